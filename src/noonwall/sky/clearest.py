"""The clearest sky there is: how much sun a day without cloud and with little haze can bring."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.sky.sun import SunCourse


CLEAN_AEROSOL = 0.05  # optical depth at 700 nm of very clean air; common practice, no source
DRY_WATER_CM = 0.5  # water in the column of cold, dry air; common practice, no source


class ClearSky(NamedTuple):
    """Sun under a cloudless sky at mid-step, shape (n,)."""

    ghi_w_m2: NDArray[np.float64]
    dni_w_m2: NDArray[np.float64]
    dhi_w_m2: NDArray[np.float64]


def clearest_sky(course: SunCourse, pressure_pa: float) -> ClearSky:
    """Return the sun of a very clear, dry day.

    course       sun over the site;  pressure_pa  at its height [Pa]
    *Source*     Ineichen 2008, Solar Energy 82, 758 (simplified Solis), by pvlib; aerosol and water as above
    *Valid*      sea level to 7000 m, aerosol 0 to 0.45, water 0.2 to 10 cm
    """
    from pvlib.clearsky import simplified_solis

    up = np.maximum(course.elevation_deg, 0.0)
    found = simplified_solis(
        up,
        aod700=CLEAN_AEROSOL,
        precipitable_water=DRY_WATER_CM,
        pressure=pressure_pa,
        dni_extra=course.extraterrestrial_w_m2,
    )
    lit = course.elevation_deg > 0.0
    ghi, dni, dhi = (
        np.where(lit, np.nan_to_num(np.asarray(found[k], dtype=float)), 0.0) for k in ("ghi", "dni", "dhi")
    )
    return ClearSky(ghi, dni, dhi)
