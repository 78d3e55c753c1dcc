"""The weather a wall stands in, month by month: told before any wall is calculated."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.simulate import surroundings

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.simulate import Surroundings
    from noonwall.model.project import Project
    from noonwall.sky.plane import Floats

STEP_S = 900
DAY_S = 86400


@dataclass(frozen=True)
class ClimateMonth:
    """Weather of one month, or, with month 0, of the whole stretch."""

    month: int
    air_mean_c: float
    air_daily_max_c: float  # mean of each day's highest
    air_daily_min_c: float
    air_lowest_c: float
    air_highest_c: float
    wind_m_s: float
    ghi_kwh_m2_day: float  # on level ground
    diffuse_share: float | None  # of that; None without sun
    wall_kwh_m2_day: float  # on the wall's plane, nothing shading it, snow on the ground counted in
    snow_days: float


def climate_months(project: Project, weather: Weather) -> tuple[tuple[ClimateMonth, ...], ClimateMonth]:
    """Return the months of a weather year at a project's site, January first, and the whole of it.

    project  for its site and the way its wall faces;  weather  any stretch of at least a day
    """
    around = surroundings(project, weather, STEP_S)
    number = around.fine.time.astype("datetime64[M]").astype(int) % 12 + 1
    months = (_sum(around, m, number == m) for m in range(1, 13) if np.any(number == m))
    return tuple(months), _sum(around, 0, np.ones(len(number), dtype=bool))


def _sum(
    around: Surroundings, month: int, chosen: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> ClimateMonth:
    fine, plane = around.fine, around.plane
    air = fine.air_c[chosen]
    wall = plane.beam + plane.circumsolar + plane.isotropic + plane.horizon + plane.ground
    ghi, diffuse = _kwh_a_day(fine.ghi_w_m2[chosen]), _kwh_a_day(fine.dhi_w_m2[chosen])
    highest, lowest = _of_days(air)
    return ClimateMonth(
        month=month,
        air_mean_c=float(air.mean()),
        air_daily_max_c=float(highest.mean()),
        air_daily_min_c=float(lowest.mean()),
        air_lowest_c=float(air.min()),
        air_highest_c=float(air.max()),
        wind_m_s=float(fine.wind_m_s[chosen].mean()),
        ghi_kwh_m2_day=ghi,
        diffuse_share=diffuse / ghi if ghi > 0.0 else None,
        wall_kwh_m2_day=_kwh_a_day(wall[chosen]),
        snow_days=float(fine.snow_share[chosen].sum() * STEP_S / DAY_S),
    )


def _kwh_a_day(power_w_m2: Floats) -> float:
    return float(power_w_m2.mean()) * 24.0 / 1000.0


def _of_days(values: Floats) -> tuple[Floats, Floats]:
    """Return each day's highest and lowest; a broken day at the end is left out, unless there is no other."""
    per_day = DAY_S // STEP_S
    days = max(1, len(values) // per_day)
    whole = values[: days * per_day].reshape(days, -1)
    return whole.max(axis=1), whole.min(axis=1)
