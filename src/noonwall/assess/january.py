"""The shop at the builder's hours on a bad, a usual and a good midwinter day, with and without the wall."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from noonwall.engine.year import Floats, Table, Year

DayKind = Literal["bad", "usual", "good"]

HOURS = (8.0, 12.0, 18.0)
WORKDAY = (8, 18)
RANKS: tuple[tuple[DayKind, float], ...] = (("bad", 0.1), ("usual", 0.5), ("good", 0.9))
FEWEST_DAYS = 10
STEPS_A_DAY_S = 86400


@dataclass(frozen=True)
class WinterDay:
    """One real day of the simulated midwinter month."""

    kind: DayKind  # bad: one day in ten is worse; usual: half are; good: one in ten is better
    day: np.datetime64  # unit 'D'
    sun_on_wall_kwh: float
    outdoors_mean_c: float
    hours: tuple[float, ...]  # of the day
    with_wall_c: tuple[float, ...]  # at those hours
    without_wall_c: tuple[float, ...]  # at those hours, the same days without the wall
    heater_kwh: float  # heat it gave that day
    heater_without_wall_kwh: float


def midwinter_month(latitude_deg: float) -> int:
    """Return 1 (January) north of the equator and 7 (July) south of it."""
    return 1 if latitude_deg >= 0.0 else 7


def winter_days(year: Year, month: int = 1, hours: tuple[float, ...] = HOURS) -> tuple[WinterDay, ...]:
    """Pick the bad, the usual and the good day of a month, ranked by how warm the shop was in working hours.

    year     a simulated year;  month  1 to 12;  hours  of the day to be told, above 0 to 24
    Returns  three days (bad, usual, good), or none when fewer than ten whole days of it were simulated.
             Days are ranked by the shop's mean temperature with the wall from 8 to 18 h; days that the
             heater makes equal, by the heat the wall brought and then by the air outdoors. The same real
             days are told with and without the wall, so the difference between the lines is the wall's.
    """
    rows = _whole_days(year, month)
    if len(rows) < FEWEST_DAYS:
        return ()
    table, step_s = year.table, year.step_s
    first, last = (h * 3600 // step_s for h in WORKDAY)
    warmth = np.round(table.room_c[rows][:, first:last].mean(axis=1), 1)
    heat = np.round(table.delivered_w[rows].mean(axis=1) - table.reversed_w[rows].mean(axis=1), 0)
    order = np.lexsort((table.air_c[rows].mean(axis=1), heat, warmth))
    chosen = [(kind, order[round(share * (len(rows) - 1))]) for kind, share in RANKS]
    return tuple(_told(table, step_s, kind, rows[place], hours) for kind, place in chosen)


def _whole_days(year: Year, month: int) -> np.ndarray[tuple[int, int], np.dtype[np.intp]]:
    """Return the step numbers of the month's whole days, shape (days, steps a day)."""
    time, per_day = year.table.time, STEPS_A_DAY_S // year.step_s
    midnight = time == time.astype("datetime64[D]")
    in_month = time.astype("datetime64[M]").astype(int) % 12 + 1 == month
    starts = np.flatnonzero(midnight & in_month)
    starts = starts[starts + per_day <= len(time)]
    return starts[:, None] + np.arange(per_day)[None, :]


def _told(
    table: Table,
    step_s: int,
    kind: DayKind,
    steps: np.ndarray[tuple[int], np.dtype[np.intp]],
    hours: tuple[float, ...],
) -> WinterDay:
    def at_hours(values: Floats) -> tuple[float, ...]:
        # temperatures stand for a step's end: 8 o'clock is the end of the step before it
        ends = (max(round(hour * 3600 / step_s), 1) for hour in hours)
        return tuple(float(values[steps[end - 1]]) for end in ends)

    def kwh(power_w: Floats) -> float:
        return float(power_w[steps].sum() * step_s / 3.6e6)

    return WinterDay(
        kind=kind,
        day=table.time[steps[0]].astype("datetime64[D]"),
        sun_on_wall_kwh=kwh(table.sun_on_wall_w),
        outdoors_mean_c=float(table.air_c[steps].mean()),
        hours=hours,
        with_wall_c=at_hours(table.room_c),
        without_wall_c=at_hours(table.room_without_c),
        heater_kwh=kwh(table.backup_w),
        heater_without_wall_kwh=kwh(table.backup_without_w),
    )
