"""Sun on a tilted, unobstructed plane, its five parts kept apart because each is shaded differently."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from noonwall.compiled import formula, kernel
from noonwall.errors import NoonwallError
from noonwall.sky.clear import air_mass

if TYPE_CHECKING:
    from noonwall.sky.fine import FineWeather
    from noonwall.sky.sun import SunCourse

Floats = NDArray[np.float64]
SkyModel = Literal["perez", "hay-davies", "isotropic"]
SKY_MODELS: dict[str, int] = {"perez": 0, "hay-davies": 1, "isotropic": 2}
COS_85 = 0.0871557427476582  # Perez et al. 1990 hold the circumsolar part to this
COS_89 = 0.01745  # Hay and Davies' ratio is held to this, as pvlib has it

# Perez et al. 1990, Solar Energy 44, table 6 (all sites composite): F11 F12 F13 F21 F22 F23 by sky clearness.
PEREZ = np.array(
    [
        [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
        [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
        [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
        [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
        [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
        [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
        [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
        [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
    ]
)
PEREZ_BIN_TOPS = np.array([1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200])


@dataclass(frozen=True)
class PlaneSun:
    """Irradiance on an unobstructed plane by origin, shape (n,), mean over each step [W/m²]."""

    cos_incidence: Floats  # between sun and the plane's normal [-], negative behind the plane
    beam: Floats
    circumsolar: Floats  # comes from where the sun stands, shaded as the beam is
    isotropic: Floats  # from the whole sky the plane sees
    horizon: Floats  # from the band along the horizon; negative when that is darker than the rest
    ground: Floats  # thrown back by the ground in front

    @property
    def total(self) -> Floats:
        """Sum of the five parts [W/m²]."""
        return self.beam + self.circumsolar + self.isotropic + self.horizon + self.ground


def on_plane(
    course: SunCourse,
    fine: FineWeather,
    tilt_deg: float,
    azimuth_deg: float,
    model: SkyModel = "perez",
) -> PlaneSun:
    """Return the sun on an unobstructed plane.

    course, fine   sun and weather at the same steps
    tilt_deg       0 level, 90 upright;  azimuth_deg   way the plane faces, from north clockwise
    model          how diffuse light is spread over the sky
    *Source*       Perez et al. 1990 (Solar Energy 44, 271) with air mass after Kasten and Young; Hay and
                   Davies 1980; isotropic after Liu and Jordan 1963; ground as a level, evenly bright plane
    *Valid*        any plane; twilight (sun below the horizon) is spread evenly over the sky
    """
    if model not in SKY_MODELS:
        known = ", ".join(SKY_MODELS)
        raise NoonwallError(f"sky model {model!r} is not known; one of: {known}")
    parts = np.empty((6, course.steps))
    _on_plane(
        course.east,
        course.north,
        course.up,
        course.elevation_deg,
        course.extraterrestrial_w_m2,
        fine.ghi_w_m2,
        fine.dni_w_m2,
        fine.dhi_w_m2,
        fine.albedo,
        np.radians(tilt_deg),
        np.radians(azimuth_deg),
        SKY_MODELS[model],
        parts,
    )
    return PlaneSun(*parts)


@formula
def perez_brightening(
    elevation_deg: float, extra_w_m2: float, dni_w_m2: float, dhi_w_m2: float
) -> tuple[float, float]:
    """Return the circumsolar and horizon brightening coefficients F1, F2 [-].

    elevation_deg : float   apparent elevation of the sun [deg], above 0
    extra_w_m2, dni_w_m2, dhi_w_m2 : float   extraterrestrial, beam, diffuse (above 0) [W/m²]
    *Source*     Perez et al. 1990, Solar Energy 44, 271, equations 1, 2 and table 6
    """
    zenith = (90.0 - elevation_deg) * np.pi / 180.0
    bend = 1.041 * zenith**3
    clearness = ((dhi_w_m2 + dni_w_m2) / dhi_w_m2 + bend) / (1.0 + bend)
    row = 0
    while row < 7 and clearness >= PEREZ_BIN_TOPS[row]:
        row += 1
    brightness = dhi_w_m2 * air_mass(elevation_deg) / extra_w_m2
    circumsolar = PEREZ[row, 0] + PEREZ[row, 1] * brightness + PEREZ[row, 2] * zenith
    horizon = PEREZ[row, 3] + PEREZ[row, 4] * brightness + PEREZ[row, 5] * zenith
    return max(circumsolar, 0.0), horizon


@kernel
def _on_plane(
    east: Floats,
    north: Floats,
    up: Floats,
    elevation: Floats,
    extra: Floats,
    ghi: Floats,
    dni: Floats,
    dhi: Floats,
    albedo: Floats,
    tilt: float,
    azimuth: float,
    model: int,
    out: Floats,
) -> None:
    face_east, face_north, face_up = (
        np.sin(tilt) * np.sin(azimuth),
        np.sin(tilt) * np.cos(azimuth),
        np.cos(tilt),
    )
    sky_seen, ground_seen, upright = 0.5 * (1.0 + face_up), 0.5 * (1.0 - face_up), np.sin(tilt)
    for i in range(out.shape[1]):
        cosine = east[i] * face_east + north[i] * face_north + up[i] * face_up
        facing = max(cosine, 0.0) if up[i] > 0.0 else 0.0
        circumsolar, horizon = 0.0, 0.0
        if up[i] > 0.0 and dhi[i] > 0.0:
            if model == 0:
                circumsolar, horizon = perez_brightening(elevation[i], extra[i], dni[i], dhi[i])
            elif model == 1:
                circumsolar = dni[i] / extra[i]
        even = dhi[i] * (1.0 - circumsolar) * sky_seen
        near_sun = dhi[i] * circumsolar * facing / max(up[i], COS_85 if model == 0 else COS_89)
        band = dhi[i] * horizon * upright
        if even + near_sun + band <= 0.0:
            even, near_sun, band = 0.0, 0.0, 0.0
        out[0, i] = cosine
        out[1, i] = dni[i] * facing
        out[2, i] = near_sun
        out[3, i] = even
        out[4, i] = band
        out[5, i] = ghi[i] * albedo[i] * ground_seen
