"""Dew and frost on the glazing's inner face, from the shop's own air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.physics.air import (
    MOLAR_RATIO,
    SPECIFIC_HEAT_J_KGK,
    saturation_pressure_pa,
    standard_pressure_pa,
)

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

FILM_W_M2K = 2.5  # air that creeps down along a cold pane; common practice, no source
LEWIS = 0.9  # Lewis number of vapour in air to the power 2/3; ASHRAE Fundamentals, mass transfer chapter (from memory)
TABLE_K = 0.25
LOWEST_C, HIGHEST_C = -80.0, 120.0


@dataclass(frozen=True)
class Wetness:
    """Dew and frost of one month, or, with month 0, of the whole run."""

    month: int
    dew_h: float  # hours in which the coldest strip is below the shop air's dew point, and above freezing
    frost_h: float  # the same below freezing
    water_g: float  # that settles, at most


@dataclass(frozen=True)
class WetNight:
    """The night in which most water settles, noon to noon."""

    evening: np.datetime64  # unit 'D'
    water_g: float
    water_g_m2: float


@dataclass(frozen=True)
class Condensation:
    """Dew and frost on the glazing over a run."""

    humidity_share: float  # of the shop's air
    months: tuple[Wetness, ...]
    whole: Wetness
    worst: WetNight | None  # None when nothing settles


def condensation(year: Year, project: Project) -> Condensation:
    """Return dew and frost on the inner face of the glazing, if the shop's air holds its usual humidity.

    A part of the vapour that the flow carries along the pane settles: 1 - exp(-N) of what is above saturation
    at the pane, N = film x area / (flow x specific heat x Lewis number ^ 2/3). What leaks in from outdoors
    is taken for shop air too, and nothing dries off, so this is the most that can settle.

    Source  analogy of heat and mass transfer (ASHRAE Fundamentals, mass transfer chapter; from memory)
    """
    table = year.table
    water_g, below, frozen = settling(year, project)
    number = table.time.astype("datetime64[M]").astype(int) % 12 + 1
    hours = year.step_s / 3600.0

    def of(month: int, chosen: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Wetness:
        dew, frost = (below & ~frozen)[chosen].sum() * hours, (below & frozen)[chosen].sum() * hours
        return Wetness(month, float(dew), float(frost), float(water_g[chosen].sum()))

    months = tuple(of(m, number == m) for m in range(1, 13) if np.any(number == m))
    return Condensation(
        humidity_share=project.shop.humidity_share,
        months=months,
        whole=of(0, np.ones(len(number), dtype=bool)),
        worst=_worst_night(year, water_g, _glazed_m2(project)),
    )


def settling(
    year: Year, project: Project
) -> tuple[Floats, np.ndarray[tuple[int], np.dtype[np.bool_]], np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    """Return the water that settles in each step [g], where the pane is below the dew point, where it freezes."""
    table = year.table
    pressure = standard_pressure_pa(project.site.elevation_m)
    vapour = project.shop.humidity_share * saturation(table.room_c)
    cold = table.glazing_cold_c
    below = saturation(cold) < vapour
    mean_c = 0.5 * (cold + table.glazing_inner_c)
    surplus = np.maximum(ratio(vapour, pressure) - ratio(saturation(mean_c), pressure), 0.0)
    # a wall that draws fresh air gets the shop's air only while it runs backwards
    fresh = project.wall.inlet_from == "outdoors"
    flow = np.maximum(-table.flow_kg_s, 0.0) if fresh else np.abs(table.flow_kg_s)
    units = FILM_W_M2K * _glazed_m2(project) / (np.maximum(flow, 1e-9) * SPECIFIC_HEAT_J_KGK * LEWIS)
    settles = flow * surplus * -np.expm1(-units)
    return settles * year.step_s * 1000.0, below, cold < 0.0


def saturation(air_c: Floats) -> Floats:
    """Return the saturation pressure of many temperatures [Pa], by straight lines in its logarithm.

    Source  `saturation_pressure_pa` every quarter kelvin; between, within 0.01 % of it
    """
    grid = np.arange(LOWEST_C, HIGHEST_C + TABLE_K, TABLE_K)
    logs = np.log([saturation_pressure_pa(float(c)) for c in grid])
    return np.asarray(np.exp(np.interp(air_c, grid, logs)))


def ratio(vapour_pa: Floats, pressure_pa: float) -> Floats:
    """Return water per dry air [kg/kg] of many vapour pressures."""
    return np.asarray(MOLAR_RATIO * vapour_pa / (pressure_pa - vapour_pa))


def _glazed_m2(project: Project) -> float:
    return project.wall.area_m2 * (1.0 - project.wall.frame.share)


def _worst_night(year: Year, water_g: Floats, area_m2: float) -> WetNight | None:
    evening = (year.table.time - np.timedelta64(12, "h")).astype("datetime64[D]")
    nights, place = np.unique(evening, return_inverse=True)
    per_night = np.bincount(place, water_g)
    worst = int(np.argmax(per_night))
    if per_night[worst] <= 0.0:
        return None
    return WetNight(nights[worst], float(per_night[worst]), float(per_night[worst] / area_m2))
