"""From what was expected to what was measured, one link after the other: successive runs of the engine.

Each link is the difference of two runs that differ in that link only; the last one is what no run explains.
Their sum is therefore exactly the whole difference, whatever is in them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import DAY_S, STEP_S
from noonwall.logs.runs import J_PER_KWH, kwh

if TYPE_CHECKING:
    from noonwall.logs.period import Period
    from noonwall.logs.records import Floats

STEPS = DAY_S // STEP_S
SPELLS = 4  # stretches of dates told for a link
TELLING_SHARE = 0.6  # of a link's whole sum that its dates should explain


@dataclass(frozen=True)
class Link:
    """One part of the difference between expected and measured.

    ``kwh``       positive when it gave more heat than assumed
    ``by_day``    the same for each day, shape (days,) [kWh]; sums to ``kwh``
    ``dates``     stretches in which most of it lies, as "2025-02-08 to 2025-02-16"
    ``evidence``  what tells it;  ``advice``  what to look at, what to do
    """

    key: str
    name: str
    kwh: float
    by_day: Floats
    dates: tuple[str, ...]
    evidence: str
    advice: str


def link(
    key: str,
    name: str,
    before_w: Floats,
    after_w: Floats,
    known: np.ndarray,
    period: Period,
    words: tuple[str, str],
    dates: tuple[str, ...] | None = None,
) -> Link:
    """Return the link between two runs.

    before_w, after_w  net heat without and with the link, shape (n,) [W];  known  steps that are compared
    words              evidence and advice;  dates  where to look, default: where the difference lies
    """
    change = np.where(known, after_w - before_w, 0.0)
    by_day = np.asarray(change.reshape(-1, STEPS).sum(axis=1) * STEP_S / J_PER_KWH)
    told = telling_dates(by_day, period) if dates is None else dates
    return Link(key, name, float(by_day.sum()), by_day, told, *words)


def known_kwh(power_w: Floats, known: np.ndarray) -> float:
    """Return the energy over the steps that are compared [kWh]."""
    return kwh(np.where(known, power_w, 0.0))


def telling_dates(by_day: Floats, period: Period) -> tuple[str, ...]:
    """Return the stretches of a week or more, or single days, in which most of a link lies, the largest first."""
    sign = np.sign(by_day.sum())
    if sign == 0.0 or abs(by_day.sum()) < 0.5:
        return ()
    weight = np.maximum(by_day * sign, 0.0)
    threshold = max(0.1 * float(weight.max()), 0.02)
    spells = _spells(weight > threshold)
    spells.sort(key=lambda spell: -float(weight[spell[0] : spell[1] + 1].sum()))
    chosen, held = [], 0.0
    for first, last in spells[:SPELLS]:
        chosen.append((first, last))
        held += float(weight[first : last + 1].sum())
        if held > TELLING_SHARE * float(weight.sum()):
            break
    return tuple(dates_text(first, last, period) for first, last in sorted(chosen))


def dates_text(first: int, last: int, period: Period) -> str:
    """Return "2025-02-08 to 2025-02-16", or one date for one day."""
    return period.date(first) if first == last else f"{period.date(first)} to {period.date(last)}"


def _spells(marks: np.ndarray, gap_days: int = 3) -> list[tuple[int, int]]:
    """Return first and last day of each run of marks, runs a few days apart taken together."""
    out: list[tuple[int, int]] = []
    for day in np.flatnonzero(marks).tolist():
        if out and day - out[-1][1] <= gap_days + 1:
            out[-1] = (out[-1][0], day)
        else:
            out.append((day, day))
    return out
