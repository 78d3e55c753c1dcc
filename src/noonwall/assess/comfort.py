"""Too hot: in which months, on which days, and when a cover should hang."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.engine.year import Month, Year

FORTNIGHT, HOT_DAYS = (
    14,
    2,
)  # a cover is wanted once two days of a fortnight get too hot; common practice, no source
WEEK = 7
HALF_YEAR = 182


@dataclass(frozen=True)
class ComfortMonth:
    """One month, or, with month 0, the whole run."""

    month: int
    too_hot_h: float
    hottest_c: float
    useful_kwh: float
    backup_kwh: float
    delivered_kwh: float  # all heat that came in through the wall
    night_loss_kwh: float  # heat that went back out through it


@dataclass(frozen=True)
class CoverDates:
    """The days of one year between which a cover is wanted."""

    hang: np.datetime64 | None  # unit 'D'; None when the year does not ask for a cover
    take_down: np.datetime64 | None  # first day without it
    week_mean_hang_c: float | None  # outdoors, over the seven days before
    week_mean_down_c: float | None


@dataclass(frozen=True)
class Spread:
    """A date over several years, as day of the year (1 January: 0), early, middle and late."""

    early_day: float
    middle_day: float
    late_day: float


def comfort_months(year: Year) -> tuple[tuple[ComfortMonth, ...], ComfortMonth]:
    """Return the months of a year, January first, and the whole of it."""

    def of(m: Month, number: int) -> ComfortMonth:
        return ComfortMonth(
            number,
            m.too_hot_hours,
            m.shop_max_c,
            m.useful_kwh,
            m.backup_kwh,
            m.delivered_kwh,
            m.night_loss_kwh,
        )

    return tuple(of(m, m.month) for m in year.months()), of(year.whole(), 0)


def hot_days(year: Year) -> tuple[NDArray[np.datetime64], NDArray[np.bool_]]:
    """Return the days of a run, and on which of them the shop got too hot."""
    days, place = np.unique(year.table.time.astype("datetime64[D]"), return_inverse=True)
    hottest = np.full(len(days), -300.0)
    np.maximum.at(hottest, place, year.table.room_c)
    return days, hottest > year.too_hot_c


def cover_dates(year: Year, *, south: bool = False) -> CoverDates:
    """Return when a cover should have hung in a year that had none.

    From the first day on which the fortnight ahead holds two hot days until after the last whose fortnight
    behind does. South of the equator the year is looked at from July to June.
    """
    days, hot = hot_days(year)
    air = _daily_mean(year)
    if south:
        days, hot, air = np.roll(days, -HALF_YEAR), np.roll(hot, -HALF_YEAR), np.roll(air, -HALF_YEAR)
    count = np.concatenate([[0], np.cumsum(hot)])
    at = np.arange(len(hot))
    ahead = count[np.minimum(at + FORTNIGHT, len(hot))] - count[at]
    behind = count[at + 1] - count[np.maximum(at + 1 - FORTNIGHT, 0)]
    wanted = np.flatnonzero((ahead >= HOT_DAYS) & hot)
    ended = np.flatnonzero((behind >= HOT_DAYS) & hot)
    if len(wanted) == 0 or len(ended) == 0:
        return CoverDates(None, None, None, None)
    first, last = int(wanted[0]), min(int(ended[-1]) + 1, len(days) - 1)
    return CoverDates(days[first], days[last], _week_mean(air, first), _week_mean(air, last))


def _daily_mean(year: Year) -> NDArray[np.float64]:
    _, place = np.unique(year.table.time.astype("datetime64[D]"), return_inverse=True)
    return np.asarray(np.bincount(place, year.table.air_c) / np.bincount(place))


def _week_mean(air: NDArray[np.float64], day: int) -> float:
    return float(air[max(day - WEEK, 0) : max(day, 1)].mean())


def spread_of(dates: list[np.datetime64]) -> Spread | None:
    """Return early (one year in ten), middle and late (one in ten) of some dates; None without any.

    Days are counted on a circle, so that dates on both sides of New Year stay together.
    """
    if not dates:
        return None
    number = np.array([_day_of_year(date) for date in dates], dtype=float)
    turn = np.exp(2j * np.pi * number / 365.0).mean()
    middle = float(np.angle(turn) / (2.0 * np.pi) * 365.0)
    apart = (number - middle + HALF_YEAR) % 365.0 - HALF_YEAR
    early, half, late = (float(round(middle + q, 6) % 365.0) for q in np.quantile(apart, [0.1, 0.5, 0.9]))
    return Spread(early, half, late)


def _day_of_year(date: np.datetime64) -> int:
    day = date.astype("datetime64[D]")
    return int((day - day.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)) % 365
