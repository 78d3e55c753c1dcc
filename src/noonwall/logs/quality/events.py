"""Two loggers held against each other: when the fan starts by one, the air must answer by the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import STEP_S, Panel
from noonwall.logs.records import Finding

if TYPE_CHECKING:
    from noonwall.logs.records import Floats

_REACH = 15  # steps within which an answer is looked for
_FEWEST = 4  # starts in a stretch, fewer are no evidence
_STRETCH_DAYS = 10


def late_answers(panel: Panel, loggers: list[list[str]]) -> list[Finding]:
    """Return stretches in which the air answers the fan at another time than it should.

    Only when fan and air are kept by different loggers can this be a clock; it is told, not mended: which of
    the two clocks is wrong, the sun must say. ``loggers`` names the channels that share a clock.
    """
    fans, airs = panel.of("fan"), panel.of("air out", "gap top")
    if not fans or not airs:
        return []
    fan, air = fans[0], airs[0]
    if any(fan in group and air in group for group in loggers):
        return []
    starts = np.flatnonzero((panel.columns[fan][1:] > 0.5) & (panel.columns[fan][:-1] <= 0.5)) + 1
    found: list[Finding] = []
    for day in range(0, panel.days, _STRETCH_DAYS):
        chosen = starts[(panel.day[starts] >= day) & (panel.day[starts] < day + _STRETCH_DAYS)]
        lag = answer_lag(panel.columns[air], chosen)
        if lag is None or abs(lag) < 2:
            continue
        begin = panel.begin_of(day)
        end = panel.begin_of(min(day + _STRETCH_DAYS, panel.days - 1))
        minutes = lag * STEP_S / 60.0
        when = "late" if lag > 0 else "early"
        said = f"{air} answers {fan} {abs(minutes):.0f} min {when}; one of their clocks is off"
        evidence = {"minutes": minutes, "starts": float(len(chosen))}
        if found and found[-1].to_s >= begin and found[-1].evidence["minutes"] == minutes:
            evidence["starts"] += found.pop().evidence["starts"]
            begin = panel.begin_of(max(0, day - _STRETCH_DAYS))
        found.append(Finding("clocks apart", air, begin, end, evidence, said))
    return found


def answer_lag(air: Floats, starts: np.ndarray) -> int | None:
    """Return by how many steps the sharpest change of the air lies after the fan's starts, by the median.

    air      temperatures, shape (n,);  starts   places at which the fan starts
    returns  steps, None when too few starts have a clear answer
    """
    lags = []
    for place in starts.tolist():
        low, high = place - _REACH, place + _REACH + 1
        if low < 1 or high > len(air):
            continue
        change = np.abs(np.diff(air[low - 1 : high]))
        if np.isnan(change).any():
            continue
        best = int(np.argmax(change))
        if change[best] > 3.0 and change[best] > 4.0 * np.median(change):
            lags.append(best - _REACH)
    if len(lags) < _FEWEST:
        return None
    middle = float(np.median(lags))
    agree = sum(abs(lag - middle) <= 1 for lag in lags)
    return round(middle) if agree > 0.6 * len(lags) else None
