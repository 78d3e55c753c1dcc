"""One weather year as every reader returns it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Weather:
    """A stretch of weather at equal steps, in local standard time.

    Each value stands for the step that begins at ``start + i * step_s``: irradiances are means over that
    step, all other figures are means over it too (readers move point readings half a step where the format
    needs it). A satellite's year may begin some minutes off midnight.
    Arrays have shape (n,), n = number of steps, and hold no NaN.
    """

    kind: str  # 'epw', 'tmy3', 'pvgis', 'psm', 'csv', 'monthly figures', 'typed months'
    place: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float
    start: np.datetime64  # first step's beginning, local standard time, unit 's'
    step_s: int
    air_c: Floats
    dewpoint_c: Floats
    pressure_pa: Floats
    wind_m_s: Floats  # as measured, at 10 m
    ghi_w_m2: Floats
    dni_w_m2: Floats
    dhi_w_m2: Floats
    sky_infrared_w_m2: Floats | None = None  # long-wave from the sky on a horizontal plane
    cloud_share: Floats | None = None  # 0 clear, 1 overcast
    albedo: Floats | None = None
    snow_depth_m: Floats | None = None
    distance_km: float | None = None  # from the site to the weather's place
    hours_repaired: float = 0.0
    notes: tuple[str, ...] = field(default=())  # one plain sentence for each thing done or doubted

    @property
    def steps(self) -> int:
        """Number of steps."""
        return len(self.air_c)
