"""The sun calendar as a drawing: first and last direct sun of each date, against an open site."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from noonwall.report.site_light import FIRST_DAYS, clock_text
from noonwall.web.parts.chart import MONTH_NAMES
from noonwall.web.parts.strip import both

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.report.reader import Reader

    Place = Callable[[float], float]

HIGH, LEFT, FOOT = 300.0, 46.0, 24.0
ROOMY_PX = 500.0
SPARE_H = 0.5


def calendar_drawing(calendar: dict[str, Any], day: int, minute: int, reader: Reader) -> str:
    """Return the calendar as SVG: pale band an open site, on it the lit share of this wall, a mark for the moment."""
    drawn = both(lambda wide: _drawing(calendar, (day, minute), reader, wide))
    key = f'<div class="nw-key">{_key()}<span><i class="nw-key-open"></i>sun on an open site, none here</span></div>'
    return drawn + key


def _drawing(calendar: dict[str, Any], moment: tuple[int, int], reader: Reader, wide: float) -> str:
    day, minute = moment
    known = [h for key in ("first_open", "last_open") for h in calendar[key] if h is not None]
    low, high = (min(known) - SPARE_H, max(known) + SPARE_H) if known else (6.0, 18.0)
    order = _from_january(calendar["dates"])

    def x(at: float) -> float:
        return LEFT + at * (wide - LEFT) / len(order)

    def y(hour: float) -> float:
        return (HIGH - FOOT) * (1.0 - (hour - low) / (high - low))

    def band(first: str, last: str, kind: str) -> str:
        parts = []
        for place, i in enumerate(order):
            begin, end = calendar[first][i], calendar[last][i]
            if begin is not None and end is not None:
                parts.append(
                    f"M{x(place):.1f} {y(begin):.1f}V{y(end):.1f}h{x(1) - x(0) + 0.3:.2f}V{y(begin):.1f}z"
                )
        return f'<path d="{"".join(parts)}" class="{kind}"/>'

    hours = [h for h in range(3, 23, 3) if low < h < high]
    grid = "".join(
        f'<line x1="{LEFT}" x2="{wide}" y1="{y(h):.1f}" y2="{y(h):.1f}" class="nw-sky-grid"/>'
        f'<text x="{LEFT - 5}" y="{y(h) + 4:.0f}" text-anchor="end">{reader.hour_text(float(h))}</text>'
        for h in hours
    )
    months = "".join(
        f'<text x="{x(0.5 * (FIRST_DAYS[m] + FIRST_DAYS[m + 1])):.0f}" y="{HIGH - 6}" text-anchor="middle">'
        f"{name if wide > ROOMY_PX else name[0]}</text>"
        for m, name in enumerate(MONTH_NAMES)
    )
    now = (
        f'<line x1="{x(day):.1f}" x2="{x(day):.1f}" y1="0" y2="{HIGH - FOOT}" class="nw-lightday-now"/>'
        f'<circle cx="{x(day):.1f}" cy="{y(minute / 60.0):.1f}" r="6" class="nw-sky-sun"/>'
    )
    return (
        f'<svg class="nw-sky" viewBox="0 0 {wide:.0f} {HIGH:.0f}" role="img" aria-label="First and last direct sun on '
        f'the glazing by date">{band("first_open", "last_open", "nw-lightday-open")}{_carpet(calendar["carpet"], x, y)}'
        f"{grid}{now}{months}</svg>"
    )


def _carpet(carpet: dict[str, Any], x: Place, y: Place) -> str:
    """Return the lit shares, each level one path; steps of minutes that are alike are joined."""
    paths: dict[str, list[str]] = {}
    wide = x(carpet["days"]) - x(0) + 0.2
    for step, row in enumerate(carpet["rows"]):
        left, at = x(step * carpet["days"]), 0
        for level, run in groupby(row):
            first, at = at, at + len(list(run))
            if level != "0":
                top, foot = (y(n * carpet["minutes"] / 60.0) for n in (at, first))
                paths.setdefault(level, []).append(
                    f"M{left:.1f} {top:.1f}h{wide:.1f}V{foot:.1f}h-{wide:.1f}z"
                )
    return "".join(
        f'<path d="{"".join(parts)}" class="nw-lit-{level}"/>' for level, parts in sorted(paths.items())
    )


def _key() -> str:
    words = {"4": "all of the glazing lit", "3": "three quarters", "2": "half", "1": "a quarter"}
    return "".join(f'<span><i class="nw-lit-{level}"></i>{word}</span>' for level, word in words.items())


def _from_january(dates: list[str]) -> list[int]:
    """Return the places of the dates in the order of a calendar year."""
    return sorted(range(len(dates)), key=lambda i: dates[i])


def date_words(calendar: dict[str, Any], day: int, reader: Reader) -> str:
    """Return first and last sun of one date in a sentence; the sun may be gone in between."""
    order = _from_january(calendar["dates"])
    i = order[min(day, len(order) - 1)]
    if calendar["first"][i] is None:
        return "No direct sun reaches the glazing on the chosen date."
    first, last = (clock_text(round(60.0 * calendar[key][i]), reader) for key in ("first", "last"))
    return (
        f"On the chosen date a fifth of the glazing or more is in the sun from {first} to {last}, not always in "
        "between."
    )
