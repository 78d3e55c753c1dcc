"""What PV modules deliver over a stretch of weather, part by shaded part, and on an open site.

Models: power by light and cell temperature (PVWatts), cells by the Sandia model, inverter by the PVWatts
curve, all as pvlib has them; strings under partial shade by the bypass parts that are worth keeping.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.compiled import kernel
from noonwall.shade.modules import module_shade
from noonwall.sky.plane import on_plane

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.model.pv import PvField
    from noonwall.shade.modules import ModuleShade
    from noonwall.sky.fine import FineWeather
    from noonwall.sky.plane import PlaneSun
    from noonwall.sky.sun import SunCourse

Floats = NDArray[np.float64]
MOUNTS = {"free": "open_rack_glass_polymer", "close": "close_mount_glass_glass"}
RATED_W_M2, RATED_C = 1000.0, 25.0
J_PER_KWH = 3.6e6
MONTHS = 12
BEST_CURRENT = 0.945  # per short-circuit current
OPEN_VOLTAGE = 1.2  # per best voltage
DIODE_VOLTAGE = 0.045  # of a bypass diode: half a volt of a part's eleven
CURVE_POINTS = 1001


@dataclass(frozen=True)
class FieldYear:
    """What one PV field delivers, after its inverter."""

    name: str
    ac_w: Floats  # (n,) mean power over each step
    ac_open_w: Floats  # (n,) the same if nothing shaded it
    month_kwh: tuple[float, ...]  # January first
    month_open_kwh: tuple[float, ...]

    @property
    def kwh(self) -> float:
        """Energy over the whole stretch [kWh]."""
        return sum(self.month_kwh)

    @property
    def open_kwh(self) -> float:
        """Energy over the whole stretch on an open site [kWh]."""
        return sum(self.month_open_kwh)


def field_year(
    project: Project,
    field: PvField,
    course: SunCourse,
    fine: FineWeather,
    years_on: float = 0.0,
    shade: ModuleShade | None = None,
) -> FieldYear:
    """Return what a PV field delivers over a stretch of weather.

    course, fine  sun and weather at the same steps;  years_on  years of growth to add to the trees [a]
    shade         what ``module_shade`` gave, if it is at hand
    *Departs*     snow on the modules and the sun's angle on their glass count for nothing
    """
    azimuth = project.wall.azimuth_deg if field.azimuth_deg is None else field.azimuth_deg
    plane = on_plane(course, fine, field.tilt_deg, azimuth)
    if shade is None:
        shade = module_shade(project, field, course, years_on)
    lit = np.flatnonzero(plane.total > 0.0)
    parts = part_light(plane, shade, lit)
    ac, ac_open = np.zeros(course.steps), np.zeros(course.steps)
    wind, air = fine.wind_m_s[lit], fine.air_c[lit]
    ac[lit] = _inverted(field, _strings_w(field, parts, cell_c(field, parts.mean(axis=1), air, wind)))
    whole = np.maximum(plane.total[lit], 0.0)
    ac_open[lit] = _inverted(
        field, field.modules * field.rated_w * _rated_share(field, whole, cell_c(field, whole, air, wind))
    )
    month = fine.time.astype("datetime64[M]").astype(np.int64) % MONTHS
    return FieldYear(
        field.name, ac, ac_open, _by_month(ac, month, course.step_s), _by_month(ac_open, month, course.step_s)
    )


def _by_month(power_w: Floats, month: NDArray[np.int64], step_s: int) -> tuple[float, ...]:
    sums = np.bincount(month, weights=power_w, minlength=MONTHS) * step_s / J_PER_KWH
    return tuple(float(kwh) for kwh in sums)


def part_light(plane: PlaneSun, shade: ModuleShade, chosen: NDArray[np.int64]) -> Floats:
    """Return the light on each bypass part at some steps, (steps, parts) [W/m²], never negative."""
    day = shade.day[chosen]
    light = (plane.beam[chosen] + plane.circumsolar[chosen])[:, None] * shade.beam_share[chosen]
    light += plane.isotropic[chosen, None] * shade.sky_view[day]
    light += plane.horizon[chosen, None] * shade.horizon_view[day]
    light += plane.ground[chosen, None] * shade.ground_view[day]
    return np.maximum(light, 0.0)


def cell_c(field: PvField, light_w_m2: Floats, air_c: Floats, wind_m_s: Floats) -> Floats:
    """Return the temperature of a field's cells [°C].

    *Source*  Sandia array performance model (King, Boyson & Kratochvil 2004), mounts as in pvlib
    """
    from pvlib.temperature import TEMPERATURE_MODEL_PARAMETERS, sapm_cell

    mount = TEMPERATURE_MODEL_PARAMETERS["sapm"][MOUNTS[field.air_behind]]
    cells: Floats = sapm_cell(light_w_m2, air_c, wind_m_s, **mount)
    return cells


def _rated_share(field: PvField, light_w_m2: Floats, cells_c: Floats) -> Floats:
    """Return DC power per rated power (PVWatts), losses taken off [-]."""
    from pvlib.pvsystem import pvwatts_dc

    share: Floats = pvwatts_dc(light_w_m2, cells_c, 1.0, field.power_per_k, RATED_C)
    return share * (1.0 - field.losses)


def string_light(parts_w_m2: Floats) -> Floats:
    """Return the even light that would give a string the power it makes under uneven light.

    parts_w_m2  (n, parts) light on the bypass parts of one string, in series [W/m²]
    Returns     (n,) [W/m²]
    *Source*    in series all parts carry one current, a part that cannot is passed by its diode; the best of
                the currents near each part's own knee. A part's curve: one diode and a series resistance, open
                circuit at 1.2 of the best voltage, best current at 0.945 of short circuit, usual data-sheet
                ratios of crystalline modules (common practice, no source)
    *Departs*   voltage does not fall with light
    """
    light = np.empty(len(parts_w_m2))
    _best_currents(np.ascontiguousarray(parts_w_m2), part_volts(), light)
    return light


def part_volts() -> Floats:
    """Return a part's voltage at even steps of current from 0 to its short circuit, per best voltage [-].

    The two free figures follow from the best point: voltage 1 there, and power level there.
    """
    knee = -math.log(1.0 - BEST_CURRENT)
    resistance = (OPEN_VOLTAGE - 1.0 - knee * (1.0 - BEST_CURRENT) / BEST_CURRENT) / (
        BEST_CURRENT - knee * (1.0 - BEST_CURRENT)
    )
    bend = (1.0 / BEST_CURRENT - resistance) * (1.0 - BEST_CURRENT)
    current = np.linspace(0.0, 1.0, CURVE_POINTS)
    volts: Floats = OPEN_VOLTAGE + bend * np.log(np.maximum(1.0 - current, 1e-12)) - resistance * current
    return np.maximum(volts, -DIODE_VOLTAGE)


@kernel
def _best_currents(parts: Floats, volts: Floats, light: Floats) -> None:
    count, last = parts.shape[1], len(volts) - 1
    for i in range(parts.shape[0]):
        best, done = 0.0, -1.0
        for k in np.argsort(parts[i]):
            if parts[i, k] <= 0.0 or parts[i, k] < done * 1.005:
                continue
            done = parts[i, k]
            for share in (BEST_CURRENT, 0.96, 0.975):
                current, sum_volts = share * parts[i, k], 0.0
                for j in range(count):
                    if current >= parts[i, j]:
                        sum_volts -= DIODE_VOLTAGE
                    else:
                        at = current / parts[i, j] * last
                        low = int(at)
                        sum_volts += volts[low] + (at - low) * (volts[min(low + 1, last)] - volts[low])
                best = max(best, current * sum_volts)
        light[i] = best / (BEST_CURRENT * count)


def _strings_w(field: PvField, parts_w_m2: Floats, cells_c: Floats) -> Floats:
    """Return DC power of all strings together, each at its own best point (n,) [W]."""
    per = field.bypass_parts
    total = np.zeros(len(parts_w_m2))
    for string in field.strings():
        bins = [(number - 1) * per + part for number in string for part in range(per)]
        light = string_light(parts_w_m2[:, bins])
        total += len(string) * field.rated_w * _rated_share(field, light, cells_c)
    return total


def _inverted(field: PvField, dc_w: Floats) -> Floats:
    """Return AC power after the inverter, at most its rating [W].

    *Source*  PVWatts version 5 inverter curve (Dobos 2014, NREL/TP-6A20-62641) as in pvlib
    """
    from pvlib.inverter import pvwatts

    rated = field.modules * field.rated_w if field.inverter_w is None else field.inverter_w
    share = field.inverter_share
    ac: Floats = pvwatts(np.minimum(dc_w, rated / share), rated / share, share)
    return np.maximum(ac, 0.0)
