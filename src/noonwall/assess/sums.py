"""What the year comes to: hours warm enough, what the heater did, the shop without the wall, the fuel not burned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.fuel import FuelSaved, fuel_saved
from noonwall.assess.idle_fans import IdleFans, idle_fans
from noonwall.assess.january import WinterDay, midwinter_month, winter_days

if TYPE_CHECKING:
    from noonwall.engine.year import Month, Year
    from noonwall.model.project import Project
    from noonwall.model.shop import Heater

COLD_HALF_NORTH = (10, 11, 12, 1, 2, 3, 4)
COLD_HALF_SOUTH = (4, 5, 6, 7, 8, 9, 10)
RESTS_BELOW_W = 1.0
SHORT_K = 0.1  # a shop that much below the setpoint is short of heat


@dataclass(frozen=True)
class WarmHours:
    """Hours in which the shop was warm enough to work in."""

    limit_c: float
    with_wall_h: float
    without_wall_h: float
    cold_half_with_wall_h: float  # October to April (April to October in the south)
    cold_half_without_wall_h: float
    cold_half_h: float  # hours simulated in those months


@dataclass(frozen=True)
class HeaterHours:
    """What the heater did: hours in which it rested, hours in which it could not hold its setpoint."""

    setpoint_c: float
    holds_warm_enough: bool  # its setpoint is 'warm enough' or more, so that no hour is told apart by that
    rests_with_wall_h: float
    rests_without_wall_h: float
    short_with_wall_h: float
    short_without_wall_h: float
    useful_at_rest_kwh: float  # heat of use that came while the heater would have rested without the wall


@dataclass(frozen=True)
class ShopAlone:
    """The shop without the wall in one month, or, with month 0, in all of them."""

    month: int
    mean_c: float
    min_c: float
    max_c: float
    too_hot_hours: float
    backup_kwh: float


@dataclass(frozen=True)
class Answers:
    """All that the year's page tells, ready to be shown."""

    months: tuple[Month, ...]
    whole: Month
    alone_months: tuple[ShopAlone, ...]
    alone: ShopAlone
    winter_month: int  # 1 or 7
    winter_days: tuple[WinterDay, ...]  # empty when the month was not simulated
    warm: WarmHours
    heater: HeaterHours | None  # None without a heater
    fuel: FuelSaved | None  # None without a heater: there is no fuel to save
    idle_fans: IdleFans | None  # None when the fans ran, or there are none
    fan_money: float | None  # price of the fans' electricity; None when its price is not known


def answers(year: Year, project: Project) -> Answers:
    """Turn a simulated year into everything its page tells.

    year  result of ``simulate``;  project  the project it was calculated for
    """
    whole, winter = year.whole(), midwinter_month(project.site.latitude_deg)
    price = project.money.electricity_per_kwh
    return Answers(
        months=year.months(),
        whole=whole,
        alone_months=tuple(shop_alone(year, m.month) for m in year.months()),
        alone=shop_alone(year),
        winter_month=winter,
        winter_days=winter_days(year, winter, project.shop.comfort.hours),
        warm=warm_hours(year, south=winter != 1),
        heater=heater_hours(year, project.shop.heater),
        fuel=fuel_saved(whole, project.shop.heater),
        idle_fans=idle_fans(year, project),
        fan_money=None if price is None else price * whole.fan_kwh,
    )


def warm_hours(year: Year, *, south: bool = False) -> WarmHours:
    """Count the hours in which the shop was at 'warm enough' or above, with and without the wall."""
    table, hours = year.table, year.step_s / 3600.0
    cold_half = np.isin(month_numbers(year), COLD_HALF_SOUTH if south else COLD_HALF_NORTH)
    with_wall, without = table.room_c >= year.warm_enough_c, table.room_without_c >= year.warm_enough_c
    return WarmHours(
        limit_c=year.warm_enough_c,
        with_wall_h=float(with_wall.sum() * hours),
        without_wall_h=float(without.sum() * hours),
        cold_half_with_wall_h=float((with_wall & cold_half).sum() * hours),
        cold_half_without_wall_h=float((without & cold_half).sum() * hours),
        cold_half_h=float(cold_half.sum() * hours),
    )


def heater_hours(year: Year, heater: Heater | None) -> HeaterHours | None:
    """Count the hours in which the heater rested and in which it was too small; None without a heater."""
    if heater is None:
        return None
    table, hours, setpoint_c = year.table, year.step_s / 3600.0, heater.setpoint_c
    rests_without = table.backup_without_w < RESTS_BELOW_W
    return HeaterHours(
        setpoint_c=setpoint_c,
        holds_warm_enough=setpoint_c >= year.warm_enough_c,
        rests_with_wall_h=float((table.backup_w < RESTS_BELOW_W).sum() * hours),
        rests_without_wall_h=float(rests_without.sum() * hours),
        short_with_wall_h=float((table.room_c < setpoint_c - SHORT_K).sum() * hours),
        short_without_wall_h=float((table.room_without_c < setpoint_c - SHORT_K).sum() * hours),
        useful_at_rest_kwh=float(table.useful_w[rests_without].sum() * year.step_s / 3.6e6),
    )


def shop_alone(year: Year, month: int = 0) -> ShopAlone:
    """Return the shop without the wall, in one month (1 to 12) or over the whole run (0)."""
    chosen = month_numbers(year) == month if month else np.ones(len(year.table.time), dtype=bool)
    room = year.table.room_without_c[chosen]
    return ShopAlone(
        month=month,
        mean_c=float(room.mean()),
        min_c=float(room.min()),
        max_c=float(room.max()),
        too_hot_hours=float((room > year.too_hot_c).sum() * year.step_s / 3600.0),
        backup_kwh=float(year.table.backup_without_w[chosen].sum() * year.step_s / 3.6e6),
    )


def month_numbers(year: Year) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Return the month, 1 to 12, of each step, shape (n,)."""
    numbers: np.ndarray[tuple[int], np.dtype[np.int64]] = (
        year.table.time.astype("datetime64[M]").astype(np.int64) % 12 + 1
    )
    return numbers
