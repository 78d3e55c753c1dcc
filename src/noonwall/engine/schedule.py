"""What people and clocks do: hours, days, the rule that hangs a cover, switches that feel no heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.model.calendar import minute_of_day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.engine.numbers import Floats
    from noonwall.model.control import Switch
    from noonwall.model.cover import Cover
    from noonwall.model.project import Project

Mask = NDArray[np.bool_]
Times = NDArray[np.datetime64]
WEEK_DAYS = 7
YEAR_DAYS = 360


def in_stretches(time: Times, stretches: Sequence[tuple[str, str]]) -> Mask:
    """Whether each step lies in one of the stretches of the year ('MM-DD' to 'MM-DD', both included)."""
    inside = np.zeros(len(time), dtype=bool)
    if not stretches:
        return inside
    month = time.astype("datetime64[M]")
    number = month.astype(np.int64) % 12 + 1
    mday = (time.astype("datetime64[D]") - month.astype("datetime64[D]")).astype(np.int64) + 1
    code = number * 100 + mday
    for begin, end in stretches:
        first, last = (int(text[:2]) * 100 + int(text[3:]) for text in (begin, end))
        inside |= (code >= first) & (code <= last) if first <= last else (code >= first) | (code <= last)
    return inside


def in_hours(time: Times, pairs: Sequence[tuple[str, str]]) -> Mask:
    """Whether each step's middle lies in one of the stretches of the day ('HH:MM' to 'HH:MM', over midnight too)."""
    inside = np.zeros(len(time), dtype=bool)
    half_s = int((time[1] - time[0]).astype("timedelta64[s]").astype(np.int64)) // 2 if len(time) > 1 else 0
    second = (time.astype("datetime64[s]").astype(np.int64) + half_s) % 86400
    for begin, end in pairs:
        first, last = 60 * minute_of_day(begin), 60 * minute_of_day(end)
        span = (second >= first) & (second < last) if first < last else (second >= first) | (second < last)
        inside |= span
    return inside


def timed_switches(project: Project) -> list[Switch]:
    """Return the switches that no temperature moves, in the order of their rows in `Drive.rows`."""
    return [switch for switch in project.switches if not switch.feels_heat]


def switch_rows(project: Project, time: Times, sun_w_m2: Floats) -> Floats:
    """Return 1 where a clock, a light switch or a hand keeps a switch closed, shape (switches or 1, n).

    time      beginning of each step;  sun_w_m2  sun on the open wall, shape (n,)
    """
    switches = timed_switches(project)
    rows = np.zeros((max(len(switches), 1), len(time)))
    for row, switch in zip(rows, switches, strict=False):
        if switch.kind == "light":
            row[:] = in_the_sun(sun_w_m2, switch.close_sun_w_m2 or 0.0, switch.open_sun_w_m2 or 0.0)
        elif switch.kind == "clock":
            days = in_stretches(time, switch.days) if switch.days else True
            row[:] = in_hours(time, switch.hours) & days
        else:
            row[:] = in_stretches(time, switch.days)
    return rows


def in_the_sun(sun_w_m2: Floats, close_w_m2: float, open_w_m2: float) -> Mask:
    """Return where a light switch is closed: from above one level until below the other, open at first."""
    event = np.where(sun_w_m2 >= close_w_m2, 1, np.where(sun_w_m2 < open_w_m2, -1, 0))
    last = np.maximum.accumulate(np.where(event != 0, np.arange(len(event)), -1))
    return np.asarray((last >= 0) & (event[np.maximum(last, 0)] == 1))


def days_of_run(time: Times) -> NDArray[np.int64]:
    """Return the calendar day of each step, 0 for the first, shape (n,)."""
    day = time.astype("datetime64[D]").astype(np.int64)
    out: NDArray[np.int64] = day - day[0]
    return out


def cover_hangs(cover: Cover, time: Times, out_c: Floats, hot_day: Mask | None = None) -> Mask:
    """Return where the cover hangs: on its dates, and where its rule says so; shape (n,).

    time, out_c  beginning of each step and outdoor air;  hot_day  days on which the shop got too hot, (days,)
    A rule looks back only: at the seven days before each midnight. A whole year follows upon itself.
    """
    hung = in_stretches(time, cover.hung)
    if not cover.by_rule:
        return hung
    day = days_of_run(time)
    mean = np.bincount(day, out_c) / np.bincount(day)
    week = _week_before(mean) / WEEK_DAYS
    up = np.zeros(len(mean), dtype=bool)
    if cover.hang_above_c is not None:
        up |= week > cover.hang_above_c
    if cover.hot_days is not None and hot_day is not None:
        up |= _week_before(hot_day.astype(float)) >= cover.hot_days - 0.5
    return hung | _kept(up, week < cover.down_c)[day]


def cover_passes(cover: Cover, time: Times, out_c: Floats, hot_day: Mask | None = None) -> Floats:
    """Return the share of sun that the cover lets through, 1 where it does not hang; arguments as `cover_hangs`."""
    return np.where(cover_hangs(cover, time, out_c, hot_day), cover.passes_share, 1.0)


def _week_before(daily: Floats) -> Floats:
    """Return the sum over the seven days before each day; a year's first week looks at its last."""
    whole_year = len(daily) >= YEAR_DAYS
    lead = daily[-WEEK_DAYS:] if whole_year else np.full(WEEK_DAYS, daily[0])
    total = np.concatenate([[0.0], np.cumsum(np.concatenate([lead, daily]))])
    return np.asarray(total[WEEK_DAYS:-1] - total[: -1 - WEEK_DAYS])


def _kept(up: Mask, down: Mask) -> Mask:
    """Return the state of a thing that is put up, and stays until taken down; down wins; a year begins as it ends."""
    state = False
    kept = np.zeros(len(up), dtype=bool)
    for _ in range(2 if len(up) >= YEAR_DAYS else 1):
        for i in range(len(up)):
            state = (state or bool(up[i])) and not down[i]
            kept[i] = state
    return kept


def vents_open(project: Project, time: Times) -> Floats:
    """Return 1 where the vents stand open, 0 where a hand has shut them, shape (n,)."""
    vents = project.wall.vents
    return np.where(in_stretches(time, vents.closed) | in_hours(time, vents.shut_hours), 0.0, 1.0)
