"""What a reader hands on: the rows of a file with their moments, before they are laid on even steps."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from noonwall.climate.text import TextFile

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Figure = Literal[
    "air_c", "dewpoint_c", "humidity_share", "pressure_pa", "wind_m_s",
    "ghi_w_m2", "dni_w_m2", "dhi_w_m2", "sky_infrared_w_m2", "cloud_share", "albedo", "snow_depth_m",
]  # fmt: skip
LIGHT: tuple[Figure, ...] = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "sky_infrared_w_m2")
EXTRA: tuple[Figure, ...] = ("sky_infrared_w_m2", "cloud_share", "albedo", "snow_depth_m")
WORDS: dict[Figure, str] = {
    "air_c": "air temperature",
    "dewpoint_c": "dew point",
    "humidity_share": "humidity",
    "pressure_pa": "pressure",
    "wind_m_s": "wind",
    "ghi_w_m2": "global irradiance",
    "dni_w_m2": "beam irradiance",
    "dhi_w_m2": "diffuse irradiance",
    "sky_infrared_w_m2": "long-wave from the sky",
    "cloud_share": "cloud",
    "albedo": "albedo",
    "snow_depth_m": "snow depth",
}


@dataclass(frozen=True)
class Rows:
    """The rows of one weather file.

    A row's light is the mean over the step that begins ``light_from_steps`` steps and ``light_from_s``
    seconds after its stamp; its other readings were taken ``reading_at_s`` after the stamp, or are means over
    the same step as the light when that is None. ``columns`` hold NaN where the file says 'missing'.
    """

    kind: str
    file: TextFile
    place: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float  # of the local standard time that the weather is given in
    stamps: NDArray[np.datetime64]  # shape (n,), as the file writes them, unit 's'
    stamp_offset_h: float  # of the stamps: 0 where the file counts UTC
    lines: Ints  # shape (n,), where each row stands in the file
    light_from_steps: float
    columns: dict[Figure, Floats]
    light_from_s: int = 0
    reading_at_s: int | None = 0
    typical: bool = False  # months picked from different years: the year in the stamps means nothing
    notes: tuple[str, ...] = field(default=())
