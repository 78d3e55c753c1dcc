"""What cannot be judged of few days of readings: it is held back, and that is told once."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.logs.store import Store

DAY_S = 86_400
# Days from which each may be judged, less the last step. Common practice, no source: one day's weather turns all
CLOCKS, PLACES, EXCHANGED = 3.9, 4.9, 6.9
_NEEDED = (
    (CLOCKS, "whether clocks are right"),
    (PLACES, "whether sensors hang in their places"),
    (EXCHANGED, "whether two were exchanged all the time"),
)


def days_read(store: Store) -> float:
    """Return over how many days a store has readings, times without any left out."""
    whole, last = 0, None
    for begin, end in store.stretches():
        begin_here = begin if last is None else max(begin, last)
        whole += max(0, end - begin_here)
        last = end if last is None else max(last, end)
    return whole / DAY_S


def too_little(store: Store) -> str:
    """Return in one sentence what so few days cannot tell; empty where there is enough, or nothing at all."""
    days = days_read(store)
    left = [what for needed, what in _NEEDED if days < needed]
    if not left or not store.stretches():
        return ""
    many = "less than a day" if days < 0.75 else "1 day" if days < 1.5 else f"{days:.0f} days"
    said = left[0] if len(left) == 1 else f"{', '.join(left[:-1])} and {left[-1]}"
    return f"Only {many} of readings: too little to judge {said}; what stands still, leaps or cannot be is looked for"
