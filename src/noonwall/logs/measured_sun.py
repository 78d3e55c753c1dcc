"""Measured sun, on the level or on any plane, as the light on the level and its two parts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.sky_split import GENERAL, SkySplit
from noonwall.sky.plane import on_plane

if TYPE_CHECKING:
    from noonwall.logs.records import Floats, Whole
    from noonwall.sky.fine import FineWeather
    from noonwall.sky.sun import SunCourse

BISECTIONS = 16
DARK_DEG = -6.0  # civil twilight; what a sensor shows with the sun lower is its own error
TWILIGHT_W_M2 = 20.0
LEAST_UP = 0.05  # sine of the sun's height under which a plane's light says little of the sky's


def measured_light(
    course: SunCourse, fine: FineWeather, sun_w_m2: Floats, plane: tuple[float, float], split: SkySplit
) -> tuple[Floats, Floats, Floats]:
    """Return global, beam and diffuse light as measured, shape (n,) each [W/m2]; NaN where nothing was.

    sun_w_m2  on a plane of (tilt, azimuth) [deg], NaN where not measured;  fine  for the ground's albedo
    """
    known = np.isfinite(sun_w_m2)
    light = known & (course.elevation_deg > DARK_DEG)
    seen = np.where(light, np.maximum(np.nan_to_num(sun_w_m2), 0.0), 0.0)
    level = seen if plane[0] == 0.0 else level_sun(course, fine, seen, plane, split)
    beam, diffuse = split(level, np.maximum(course.up, 0.0), _extra(course), _month(course))
    columns = (np.where(known, np.where(light, part, 0.0), np.nan) for part in (level, beam, diffuse))
    return next(columns), next(columns), next(columns)


def level_sun(
    course: SunCourse,
    fine: FineWeather,
    measured: Floats,
    plane: tuple[float, float],
    split: SkySplit = GENERAL,
) -> Floats:
    """Return the light on the level that would put the measured light on a plane, shape (n,) [W/m2].

    Each step is searched by halving; ``split`` parts beam and sky.
    """
    month, extra, up = _month(course), _extra(course), np.maximum(course.up, 0.0)
    low = np.zeros(len(measured))
    high = extra * np.maximum(up, LEAST_UP) + TWILIGHT_W_M2
    high = np.where(course.elevation_deg > DARK_DEG, high, 0.0)
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        beam, diffuse = split(middle, up, extra, month)
        sky = replace(fine, ghi_w_m2=middle, dni_w_m2=beam, dhi_w_m2=diffuse)
        less = on_plane(course, sky, *plane).total < measured
        low, high = np.where(less, middle, low), np.where(less, high, middle)
    return 0.5 * (low + high)


def _extra(course: SunCourse) -> Floats:
    """Return extraterrestrial light facing the sun, less while the sun is up for a part of the step only."""
    return np.asarray(course.extraterrestrial_w_m2 * np.maximum(course.hour_share_up, 1e-3))


def _month(course: SunCourse) -> Whole:
    time = course.start + np.arange(course.steps) * np.timedelta64(course.step_s, "s")
    return np.asarray(time.astype("datetime64[M]").astype(np.int64) % 12)
