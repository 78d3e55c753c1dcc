"""Holds a logger's clock against the sun.

The sun tells in two ways. First and last light on an irradiance sensor stand at sunrise and sunset: a clock
that is wrong moves both the same way, a hill or a tree moves them towards each other. Without such a sensor,
the gap's own warm hours are watched: their middle moves slowly with the season, and by a leap only when the
clock does.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import STEP_S, Panel
from noonwall.logs.records import Finding

if TYPE_CHECKING:
    from noonwall.logs.records import Floats, Whole

_LIGHT_W_M2 = 8.0  # first light; a clear sky gives as much with the sun at the horizon
_SIDE, _FEWEST = 12, 4  # days on either side of a leap: most that are looked at, fewest that must be there
_LEAP_MIN = 20.0
_LEAP_BY_WARMTH_MIN = 40.0
_DRIFT_MIN = 15.0
_OFF_MIN = 25.0


@dataclass(frozen=True)
class Course:
    """How far a clock is from the sun, day by day [min], NaN where a day does not tell; shape (days,)."""

    name: str
    minutes: Floats
    absolute: bool  # whether zero is right, or only changes tell
    leap_min: float
    beyond: float  # how far beyond its own doubt a leap must go


def clock_faults(panel: Panel, loggers: list[list[str]]) -> list[Finding]:
    """Return leaps, drifts and standing errors of the clocks behind the channels.

    loggers   names of the channels that share a clock
    """
    found: list[Finding] = []
    for group in loggers:
        names = [name for name in group if name in panel.channels]
        course = _course(panel, names)
        if course is not None:
            found += _judged(panel, course, names)
    return found


def _course(panel: Panel, names: list[str]) -> Course | None:
    """Return the best witness one logger has."""
    light = [name for name in panel.of("sun") if name in names]
    if light and panel.sun_deg is not None:
        minutes = first_and_last_light(panel, panel.columns[light[0]])
        if np.count_nonzero(np.isfinite(minutes)) >= 4:
            coarse = 1.25 * panel.interval_s(light[0]) / 60.0
            return Course(light[0], minutes, True, max(_LEAP_MIN, coarse), 5.0)
    warm = [name for name in panel.of("gap top", "absorber", "gap bottom", "air out") if name in names]
    if warm:
        minutes = middle_of_warmth(panel, panel.columns[warm[0]])
        if np.count_nonzero(np.isfinite(minutes)) >= 8:
            coarse = 1.25 * panel.interval_s(warm[0]) / 60.0
            return Course(warm[0], minutes, False, max(_LEAP_BY_WARMTH_MIN, coarse), 4.0)
    return None


def first_and_last_light(panel: Panel, light: Floats) -> Floats:
    """Return by how many minutes the lit hours lie after the sun's own, day by day.

    light     irradiance at the panel's steps, shape (n,)
    returns   shape (days,), NaN where a day has gaps or no light
    """
    if panel.sun_deg is None:
        return np.full(panel.days, np.nan)
    lit_table, sun_table = panel.by_day(light), panel.by_day(panel.sun_deg)
    out = np.full(panel.days, np.nan)
    for day in range(panel.days):
        lit, sun = lit_table[day], sun_table[day]
        if np.count_nonzero(np.isnan(lit)) > 3 or np.isnan(sun).any() or not (sun > 2.0).any():
            continue
        seen, up = _crossings(lit, _LIGHT_W_M2), _crossings(sun, -0.5)
        # light that reaches over midnight belongs to a clock half a day off: leave the day out
        if seen is None or up is None or seen[0] < 0.5 or seen[1] > len(lit) - 1.5:
            continue
        out[day] = 0.5 * ((seen[0] - up[0]) + (seen[1] - up[1])) * STEP_S / 60.0
    return out


def _crossings(values: Floats, level: float) -> tuple[float, float] | None:
    """Return where values first rise through a level and last fall through it, in steps, between steps."""
    filled = np.nan_to_num(values, nan=-1e9)
    above = np.flatnonzero(filled > level)
    if len(above) == 0:
        return None
    first, last = int(above[0]), int(above[-1])
    rise = first if first == 0 else first - _part(filled[first], filled[first - 1], level)
    fall = last if last == len(values) - 1 else last + _part(filled[last], filled[last + 1], level)
    return rise, fall


def _part(inside: float, outside: float, level: float) -> float:
    return 1.0 if outside < -1e8 else float((inside - level) / (inside - outside))


def middle_of_warmth(panel: Panel, warm: Floats) -> Floats:
    """Return by how many minutes the middle of the gap's warm hours lies after noon by the sun, day by day.

    warm      temperature at the panel's steps, shape (n,)
    returns   shape (days,), NaN on days without a good deal of warmth
    """
    table = panel.by_day(warm)
    out = np.full(panel.days, np.nan)
    hours = (np.arange(table.shape[1]) + 0.5) * STEP_S / 3600.0
    whole = np.count_nonzero(np.isnan(table), axis=1) <= 6
    if not whole.any():
        return out
    span = np.full(panel.days, np.nan)
    span[whole] = np.nanmax(table[whole], axis=1) - np.nanmedian(table[whole], axis=1)
    usual = float(np.nanquantile(span, 0.6))
    for day in np.flatnonzero(whole & (span > max(12.0, 0.85 * usual))):
        over = np.clip(table[day] - np.nanmedian(table[day]) - 0.3 * span[day], 0.0, None)
        over = np.nan_to_num(over)
        out[day] = ((over * hours).sum() / over.sum() - 12.0) * 60.0
    return out


def _judged(panel: Panel, course: Course, names: list[str]) -> list[Finding]:
    """Return what a clock's course says: leaps first, then what remains as an error or a drift."""
    known = np.flatnonzero(np.isfinite(course.minutes))
    minutes = course.minutes[known]
    breaks = _leaps(minutes, course)
    parts = list(pairwise([0, *breaks, len(minutes)]))
    levels = [float(np.median(minutes[a:b])) for a, b in parts]
    stepped = np.concatenate([minutes[a:b] - level for (a, b), level in zip(parts, levels, strict=True)])
    drift = _drift(panel, course, known, names, _spread(stepped))
    if drift:
        return drift
    # without a sun sensor the level nearest to noon is taken as right: walls face south, more or less
    right = 0.0 if course.absolute else min(levels, key=abs)
    limit = max(_OFF_MIN, course.leap_min) if course.absolute else course.leap_min
    found = []
    for i, (a, b) in enumerate(parts):
        off = levels[i] - right
        if abs(off) > limit or (breaks and abs(off) > course.leap_min):
            begin = _edge(panel, course, known, a) if i else int(panel.time_s[0])
            end = _edge(panel, course, known, b) - 1 if i < len(breaks) else int(panel.time_s[-1]) + STEP_S
            found += _shifted(names, course, begin, end, off, b - a)
    return found


def _leaps(minutes: Floats, course: Course) -> list[int]:
    """Return the places at which the median of some days leaps, far beyond the days' scatter."""
    n = len(minutes)
    score = np.zeros(n)
    for i in range(_FEWEST, n - _FEWEST + 1):
        before, after = minutes[max(0, i - _SIDE) : i], minutes[i : i + _SIDE]
        step = abs(float(np.median(after) - np.median(before)))
        scatter = max(_spread(np.concatenate([before - np.median(before), after - np.median(after)])), 2.0)
        # the median of k days is uncertain by 1.25 spread / sqrt(k)
        doubt = 1.25 * scatter * float(np.sqrt(1.0 / len(before) + 1.0 / len(after)))
        if step > max(course.leap_min, course.beyond * doubt):
            score[i] = step / doubt
    found: list[int] = []
    while score.max(initial=0.0) > 0.0:
        place = int(np.argmax(score))
        found.append(place)
        score[max(0, place - _SIDE) : place + _SIDE + 1] = 0.0
    return sorted(found)


def _spread(values: Floats) -> float:
    return float(1.48 * np.median(np.abs(values - np.median(values))))


def _edge(panel: Panel, course: Course, known: Whole, place: int) -> int:
    """Return the moment a clock leapt: between the last day of the one kind and the first of the other."""
    day = int(known[min(place, len(known) - 1)])
    begin = panel.begin_of(day)
    before = panel.begin_of(int(known[place - 1]) + 1) if place else begin
    low, high = min(before, begin) - 43_200, begin + 43_200
    times = panel.raw[course.name].time_s
    inside = times[(times >= low) & (times <= high)]
    if len(inside) > 2:
        away = np.diff(inside)
        odd = int(np.argmax(np.abs(away - np.median(away))))
        if away[odd] > 1.8 * np.median(away):
            return int(inside[odd + 1])
    return begin


def _shifted(names: list[str], course: Course, begin: int, end: int, off: float, days: int) -> list[Finding]:
    late = "ahead of" if off > 0.0 else "behind"
    seconds = -round(off * 60.0 / 300.0) * 300
    sure = course.absolute and days >= 4
    done = (
        f"its stamps are moved by {seconds / 60:+.0f} min" if sure else "heat and sun may lie on wrong hours"
    )
    said = f"the clock runs {abs(off):.0f} min {late} the sun; {done}"
    return [
        Finding(
            "clock",
            name,
            begin,
            end,
            {"minutes": round(off, 1), "days": float(days)},
            said,
            "mended" if sure else "used",
            {"shift_s": [seconds, seconds]},
        )
        for name in names
    ]


def _drift(panel: Panel, course: Course, known: Whole, names: list[str], stepped: float) -> list[Finding]:
    """Return a slow drift: the median slope of all pairs, when it explains the days at least as well as leaps.

    stepped   scatter that is left when leaps are taken out [min]
    """
    minutes = course.minutes[known]
    if len(minutes) < 20 or not course.absolute:
        return []
    i, j = np.triu_indices(len(minutes), k=len(minutes) // 3)
    slope = float(np.median((minutes[j] - minutes[i]) / (known[j] - known[i])))
    whole = slope * float(known[-1] - known[0])
    rest = minutes - slope * known
    doubt = _spread(rest) * 4.0 / np.sqrt(len(minutes))
    if abs(whole) < max(_DRIFT_MIN, 2.0 * doubt) or _spread(rest) > 1.1 * stepped:
        return []
    ends = float(np.median(rest)) + slope * np.array([0.0, panel.days - 1.0])
    begin, end = int(panel.time_s[0]), int(panel.time_s[-1]) + STEP_S
    said = (
        f"the clock drifts by {slope * 30.0:+.0f} min a month against the sun; its stamps are moved as much"
    )
    mend = {"shift_s": [-round(float(value) * 60.0) for value in ends]}
    evidence = {"minutes_a_month": round(slope * 30.0, 2), "minutes": round(whole, 1)}
    return [Finding("clock drift", name, begin, end, evidence, said, "mended", mend) for name in names]
