"""The sun's course over a place, step by step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.sunplace import (
    SOLAR_CONSTANT_W_M2,
    apparent_elevation,
    standard_pressure,
    sun_equatorial,
    sun_horizontal,
)
from noonwall.compiled import formula, kernel

Floats = NDArray[np.float64]
KNOT_S = 3600.0  # the sun's slow places are worked out this often
MEAN_AIR_C = 12.0  # for refraction; 20 K off moves a setting sun by 0.03 degree
FEWEST_SUNLIT_S = 1.0  # a step with less sun than this counts as night


@dataclass(frozen=True)
class SunCourse:
    """Where the sun stands in each of n equal steps, shape (n,).

    The figures hold for the middle of the step; in a step in which the sun rises or sets, for the middle of
    its sunlit part, so that every step with any sun has the sun above the horizon. Elevation is apparent
    (refraction included), azimuth runs from north clockwise.
    """

    start: np.datetime64  # first step's beginning, local standard time
    step_s: int
    east: Floats
    north: Floats
    up: Floats  # unit vector to the sun
    elevation_deg: Floats
    azimuth_deg: Floats
    extraterrestrial_w_m2: Floats  # on a plane facing the sun, outside the air
    hour_share_up: Floats  # share of the step with the sun's centre above the level horizon

    @property
    def steps(self) -> int:
        """Number of steps."""
        return len(self.up)


def sun_course(
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float,
    utc_offset_h: float,
    start: np.datetime64,
    step_s: int,
    steps: int,
) -> SunCourse:
    """Return the sun's course at a place.

    latitude_deg, longitude_deg   north and east positive [deg];  elevation_m   above sea level [m]
    utc_offset_h   local standard time minus UTC [h];  start   beginning of the first step, standard time
    step_s         length of a step [s];  steps   how many
    *Source*       `sun_equatorial`, `sun_horizontal`, `apparent_elevation`
    *Valid*        1970-2050, everywhere: within 0.01 degree of the NREL solar position algorithm
    """
    begin = start.astype("datetime64[s]")
    first_utc_s = float(begin.astype(np.int64)) - utc_offset_h * 3600.0
    columns = np.empty((7, steps))
    _course(
        first_utc_s,
        float(step_s),
        np.radians(latitude_deg),
        np.radians(longitude_deg),
        standard_pressure(elevation_m),
        columns,
    )
    east, north, up, elevation, azimuth, extra, share = columns
    return SunCourse(begin, int(step_s), east, north, up, elevation, azimuth, extra, share)


@formula
def _at_knot(unix_utc_s: float) -> tuple[float, float, float]:
    """Return Greenwich hour angle [rad], sine of declination [-] and distance [AU] of the sun."""
    ascension, sin_declination, sidereal, distance = sun_equatorial(unix_utc_s)
    return sidereal - ascension, sin_declination, distance


@kernel
def _course(
    first_s: float, step_s: float, latitude: float, longitude: float, pressure_pa: float, out: Floats
) -> None:
    """Fill out[7, n]: hour angle and declination run straight through each hour, which costs 0.0001 degree."""
    sin_latitude, cos_latitude = np.sin(latitude), np.cos(latitude)
    degrees, turn = 180.0 / np.pi, 2.0 * np.pi
    spin = turn / 86164.1
    knot = first_s
    angle, sine, distance = _at_knot(knot)
    next_angle, next_sine, next_distance = _at_knot(knot + KNOT_S)
    for i in range(out.shape[1]):
        middle = first_s + (i + 0.5) * step_s
        while middle > knot + KNOT_S:
            knot += KNOT_S
            angle, sine, distance = next_angle, next_sine, next_distance
            next_angle, next_sine, next_distance = _at_knot(knot + KNOT_S)
        turned = (next_angle - angle) % turn
        part = (middle - knot) / KNOT_S
        hour_angle = angle + longitude + part * turned
        declination = sine + part * (next_sine - sine)
        east, north, up = sun_horizontal(hour_angle, declination, sin_latitude, cos_latitude)
        seen = apparent_elevation(np.arcsin(up) * degrees, pressure_pa, MEAN_AIR_C)
        # Elevation's rate: d(up)/dt = east cos(latitude) spin; divided by cos(elevation) in degrees a second.
        climb = east * cos_latitude * spin / np.sqrt(max(1.0 - up * up, 1e-12)) * degrees
        reach = abs(climb) * step_s
        share = 1.0 if seen > 0.0 else 0.0
        if abs(seen) < 0.5 * reach:
            share = 0.5 + seen / reach
            if share * step_s < FEWEST_SUNLIT_S:
                share = 0.0
            else:
                # Sunlit part is the end of the step when the sun climbs, else its beginning.
                shift = 0.5 * (1.0 - share) * step_s
                hour_angle += spin * (shift if climb > 0.0 else -shift)
                east, north, up = sun_horizontal(hour_angle, declination, sin_latitude, cos_latitude)
                seen = apparent_elevation(np.arcsin(up) * degrees, pressure_pa, MEAN_AIR_C)
                seen = max(seen, 0.001)
        azimuth = np.arctan2(east, north)
        low = seen / degrees
        lift = np.cos(low) / np.sqrt(max(east * east + north * north, 1e-18))
        out[0, i] = lift * east
        out[1, i] = lift * north
        out[2, i] = np.sin(low)
        out[3, i] = seen
        out[4, i] = (azimuth * degrees) % 360.0
        out[5, i] = SOLAR_CONSTANT_W_M2 / (distance * distance)
        out[6, i] = share
