"""The heat that cold air carries out through the wall: by month, by hour, by night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.engine.year import Floats, Year

J_PER_KWH = 3.6e6
WORST_NIGHTS = 5
FEWEST_HOURS = 18.0  # of a night, noon to noon, to be listed
LEAST_KG_S = 1e-4


@dataclass(frozen=True)
class NightMonth:
    """Heat carried out in one month, or, with month 0, in the whole run."""

    month: int
    lost_kwh: float
    backwards_share: float | None  # of that, while the air ran downward; None when nothing was lost
    hours: float  # in which air carried heat out
    coldest_c: float  # outdoors


@dataclass(frozen=True)
class Night:
    """One night, noon to noon."""

    evening: np.datetime64  # unit 'D', the day on which it begins
    lost_kwh: float
    outdoors_mean_c: float
    outdoors_lowest_c: float
    wind_mean_m_s: float
    sky_below_air_k: float  # how far the sky is colder than the air: large under a clear sky
    flow_kg_s: float  # largest downward flow


@dataclass(frozen=True)
class NightLoss:
    """All that is told of the heat lost by reversed flow."""

    months: tuple[NightMonth, ...]
    whole: NightMonth
    dark_share: float | None  # of the heat, while no sun is on the wall; None when nothing was lost
    by_hour_kwh: tuple[float, ...]  # 24, over the whole run, midnight first
    month_hour_kwh: tuple[tuple[float, ...], ...]  # twelve rows of 24
    worst: tuple[Night, ...]  # most heat lost first


def night_loss(year: Year) -> NightLoss:
    """Return where and when air carried heat out of the shop through the wall."""
    table = year.table
    kwh = table.reversed_w * year.step_s / J_PER_KWH
    number = table.time.astype("datetime64[M]").astype(int) % 12 + 1
    hour = table.time.astype("datetime64[h]").astype(int) % 24
    cells = np.zeros((12, 24))
    np.add.at(cells, (number - 1, hour), kwh)
    months = tuple(_month(year, kwh, m, number == m) for m in range(1, 13) if np.any(number == m))
    return NightLoss(
        months=months,
        whole=_month(year, kwh, 0, np.ones(len(kwh), dtype=bool)),
        dark_share=float(kwh[table.sun_on_wall_w <= 0.0].sum() / kwh.sum()) if kwh.sum() > 0.0 else None,
        by_hour_kwh=tuple(float(v) for v in cells.sum(axis=0)),
        month_hour_kwh=tuple(tuple(float(v) for v in row) for row in cells),
        worst=worst_nights(year, kwh),
    )


def _month(
    year: Year, kwh: Floats, month: int, chosen: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> NightMonth:
    table = year.table
    lost = float(kwh[chosen].sum())
    down = float(kwh[chosen & (table.flow_kg_s < 0.0)].sum())
    return NightMonth(
        month=month,
        lost_kwh=lost,
        backwards_share=down / lost if lost > 0.0 else None,
        hours=float((kwh[chosen] > 0.0).sum() * year.step_s / 3600.0),
        coldest_c=float(table.air_c[chosen].min()),
    )


def worst_nights(year: Year, kwh: Floats) -> tuple[Night, ...]:
    """Return the nights, noon to noon, in which most heat was lost; broken ones at the run's ends are left out."""
    table = year.table
    evening = (table.time - np.timedelta64(12, "h")).astype("datetime64[D]")
    nights, place = np.unique(evening, return_inverse=True)
    steps = np.bincount(place)
    lost = np.bincount(place, kwh)
    whole = steps * year.step_s / 3600.0 >= FEWEST_HOURS
    order = [n for n in np.argsort(-lost, kind="stable") if whole[n] and lost[n] > 0.0]
    found = []
    for n in order[:WORST_NIGHTS]:
        mine = place == n
        dark = mine & (kwh > 0.0)
        found.append(
            Night(
                evening=nights[n],
                lost_kwh=float(lost[n]),
                outdoors_mean_c=float(table.air_c[dark].mean()),
                outdoors_lowest_c=float(table.air_c[mine].min()),
                wind_mean_m_s=float(table.wind_m_s[dark].mean()),
                sky_below_air_k=float((table.air_c - table.sky_c)[dark].mean()),
                flow_kg_s=float(max(0.0, -table.flow_kg_s[mine].min())),
            )
        )
    return tuple(found)
