"""The sun at a weather year's own steps, for the readers' checks: mean height over each step, in numpy."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.sunplace import SOLAR_CONSTANT_W_M2, sun_local

Floats = NDArray[np.float64]
PARTS = 4  # moments looked at in each step


@dataclass(frozen=True)
class SunHours:
    """Sun over a place at n steps, shape (n,): refraction left out, it does not matter here.

    mean_up     mean of the sine of elevation while up [-];  lit   share of the step with the sun up [-]
    highest_deg   elevation's best in the step [deg];  extra_w_m2   extraterrestrial, facing the sun [W/m²]
    east        mean east part of the unit vector to the sun [-]: positive in the morning
    """

    mean_up: Floats
    lit: Floats
    highest_deg: Floats
    extra_w_m2: Floats
    east: Floats


def sun_hours(
    latitude_deg: float,
    longitude_deg: float,
    utc_offset_h: float,
    start: np.datetime64,
    step_s: int,
    steps: int,
) -> SunHours:
    """Return the sun at steps that begin at ``start`` (local standard time).

    latitude_deg, longitude_deg   north and east positive [deg];  utc_offset_h   local minus UTC [h]
    *Source*   `sun_local`
    """
    first = float(start.astype("datetime64[s]").astype(np.int64)) - utc_offset_h * 3600.0
    moments = first + (np.arange(steps * PARTS) + 0.5) * (step_s / PARTS)
    latitude = np.radians(latitude_deg)
    east, _, up, distance = (
        np.asarray(part).reshape(steps, PARTS)
        for part in sun_local(moments, np.sin(latitude), np.cos(latitude), np.radians(longitude_deg))  # type: ignore[arg-type]
    )
    lit = up > 0.0
    return SunHours(
        mean_up=np.where(lit, up, 0.0).sum(axis=1) / np.maximum(lit.sum(axis=1), 1),
        lit=lit.mean(axis=1),
        highest_deg=np.degrees(np.arcsin(up.max(axis=1))),
        extra_w_m2=SOLAR_CONSTANT_W_M2 / distance[:, 0] ** 2,
        east=east.mean(axis=1),
    )
