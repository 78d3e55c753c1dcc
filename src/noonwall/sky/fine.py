"""The weather at the engine's steps: each hour's sun shared out over its steps, the ground's state added."""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.errors import WeatherError
from noonwall.sky.clear import clear_global, cloud_from_clear_index
from noonwall.sky.ground import bare_albedo, day_of_step, snow_by_day
from noonwall.sky.longwave import (
    sky_emissivity_clear,
    sky_emissivity_cloudy,
    sky_from_infrared,
    sky_temperature,
)
from noonwall.sky.share import blend, share_out
from noonwall.sky.sun import SunCourse, sun_course

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.site import Site

Floats = NDArray[np.float64]
HOUR_S = 3600
SHORTEST_STEP_S = 10
WHOLE_YEAR_S = 365 * 86400
RELIABLE_DEG = 10.0  # cloud is read from light only with the sun above this


@dataclass(frozen=True)
class FineWeather:
    """Weather at the steps of a sun course, shape (n,): means over each step."""

    start: np.datetime64
    step_s: int
    time: NDArray[np.datetime64]  # beginning of each step, local standard time
    air_c: Floats
    dewpoint_c: Floats
    pressure_pa: Floats
    wind_m_s: Floats  # at 10 m in the open
    sky_c: Floats  # a black sky of this temperature sends as much long-wave
    ghi_w_m2: Floats
    dni_w_m2: Floats
    dhi_w_m2: Floats
    snow_share: Floats  # of the yard under snow
    albedo: Floats  # of the yard


def site_clock(site: Site, weather: Weather) -> float:
    """Return the site's standard time minus UTC [h]: the builder's figure, else the weather's clock."""
    return weather.utc_offset_h if site.utc_offset_h is None else site.utc_offset_h


def first_midnight(weather: Weather) -> np.datetime64:
    """Return the midnight at which a calculation over this weather begins: the one nearest its first step."""
    day_s = 86400
    begin = int(weather.start.astype("datetime64[s]").astype(np.int64))
    return np.datetime64(round(begin / day_s) * day_s, "s")


def whole_days(weather: Weather) -> int:
    """Return how many whole days the weather covers."""
    return weather.steps * weather.step_s // 86400


def check_step(step_s: int) -> None:
    """Refuse a step that does not divide the hour or is shorter than ten seconds."""
    if step_s < SHORTEST_STEP_S or step_s > HOUR_S or HOUR_S % step_s:
        raise WeatherError(
            f"step of {step_s} s: must divide the hour and lie between 10 s and 1 h; 60 s and 300 s are usual"
        )


def fine_weather(weather: Weather, site: Site, course: SunCourse) -> FineWeather:
    """Return the weather at the steps of a sun course.

    weather   a whole year (then it repeats for ever) or a stretch that covers the course
    site      place, clock, ground;  course   sun over the site, in the site's clock (see `site_clock`)
    Returns   means over each step; global, beam and diffuse energy of every weather step is kept, the sun's
              irradiance is zero when it is down but for twilight
    Raises    WeatherError when the step does not divide the hour or the weather does not cover the course
    *Source*  `share_out`, `blend`, `sky_emissivity_clear`, `snow_by_day`
    """
    check_step(course.step_s)
    offset_s = _offset_s(weather, site, course)
    wrap = weather.steps * weather.step_s >= WHOLE_YEAR_S
    _require_cover(weather, course, offset_s, wrap)
    grain_s = gcd(gcd(course.step_s, weather.step_s), abs(offset_s))
    if grain_s < SHORTEST_STEP_S:
        raise WeatherError(
            f"weather steps begin {offset_s % HOUR_S} s off the calculation's steps; use a shorter step"
        )
    cells = _course_of_cells(weather, site)
    light = _light(weather, site, course, offset_s, grain_s)
    hourly, daily = _slow_figures(weather, site, cells)
    slow = _interpolate(hourly, weather, course, offset_s, grain_s, wrap)
    seconds = offset_s + np.arange(course.steps, dtype=np.int64) * course.step_s + course.step_s // 2
    total_s = weather.steps * weather.step_s
    step_of = (seconds % total_s if wrap else np.clip(seconds, 0, total_s - 1)) // weather.step_s
    snow = daily[day_of_step(weather)[step_of]]
    bare = bare_albedo(site)
    air_c, dewpoint_c, pressure_pa, wind_m_s, sky_c = slow
    ghi, dni, dhi = light
    return FineWeather(
        start=course.start,
        step_s=course.step_s,
        time=course.start + np.arange(course.steps) * np.timedelta64(course.step_s, "s"),
        air_c=air_c,
        dewpoint_c=dewpoint_c,
        pressure_pa=pressure_pa,
        wind_m_s=wind_m_s,
        sky_c=sky_c,
        ghi_w_m2=ghi,
        dni_w_m2=dni,
        dhi_w_m2=dhi,
        snow_share=snow,
        albedo=bare + snow * (site.snow_albedo - bare),
    )


def _offset_s(weather: Weather, site: Site, course: SunCourse) -> int:
    """Return how long after the weather's beginning the course begins [s]."""
    clocks_h = site_clock(site, weather) - weather.utc_offset_h
    apart = (course.start - weather.start.astype("datetime64[s]")).astype(np.int64)
    return int(apart) - round(clocks_h * HOUR_S)


def _require_cover(weather: Weather, course: SunCourse, offset_s: int, wrap: bool) -> None:
    ends_s = offset_s + course.steps * course.step_s
    if not wrap and (offset_s < 0 or ends_s > weather.steps * weather.step_s):
        raise WeatherError(
            f"{weather.place}: the weather runs from {weather.start} for "
            f"{weather.steps * weather.step_s / 86400:.1f} days and does not cover the days asked for; "
            "give a whole year or fewer days"
        )


def _course_of_cells(weather: Weather, site: Site) -> SunCourse:
    """Return the sun over the site at the weather's own steps."""
    return sun_course(
        site.latitude_deg,
        site.longitude_deg,
        site.elevation_m,
        weather.utc_offset_h,
        weather.start,
        weather.step_s,
        weather.steps,
    )


def _light(
    weather: Weather, site: Site, course: SunCourse, offset_s: int, grain_s: int
) -> tuple[Floats, Floats, Floats]:
    """Return global, beam and diffuse at the course's steps."""
    cell_s = weather.step_s
    first = offset_s // cell_s
    last = -(-(offset_s + course.steps * course.step_s) // cell_s)
    rows = np.arange(first, last) % weather.steps
    cells = np.stack([weather.ghi_w_m2[rows], weather.dni_w_m2[rows], weather.dhi_w_m2[rows]])
    lead = (offset_s - first * cell_s) // grain_s
    steps = (last - first) * (cell_s // grain_s)
    fine = course
    if grain_s != course.step_s or steps != course.steps:
        begin = course.start - np.timedelta64(lead * grain_s, "s")
        place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
        fine = sun_course(*place, site_clock(site, weather), begin, grain_s, steps)
    out = np.empty((3, steps))
    share_out(cells, fine.elevation_deg, fine.up, fine.extraterrestrial_w_m2, fine.hour_share_up, out)
    per_step = course.step_s // grain_s
    kept = out[:, lead : lead + course.steps * per_step]
    if per_step > 1:
        kept = kept.reshape(3, course.steps, per_step).mean(axis=2)
    return kept[0], kept[1], kept[2]


def _slow_figures(weather: Weather, site: Site, cells: SunCourse) -> tuple[Floats, Floats]:
    """Return air, dew point, pressure, wind, sky temperature by weather step, and snow by day."""
    clear = np.array([clear_global(up) for up in cells.up.tolist()])
    sky_c = _sky_temperature(weather, cells, clear)
    hourly = np.stack([weather.air_c, weather.dewpoint_c, weather.pressure_pa, weather.wind_m_s, sky_c])
    return hourly, snow_by_day(weather, site, clear)


def _sky_temperature(weather: Weather, cells: SunCourse, clear: Floats) -> Floats:
    """Return the sky's temperature at the weather's steps, measured if the file has it."""
    if weather.sky_infrared_w_m2 is not None:
        return sky_from_infrared(weather.sky_infrared_w_m2)
    hour = (np.arange(weather.steps) + 0.5) * weather.step_s / HOUR_S
    emissivity = sky_emissivity_cloudy(
        sky_emissivity_clear(weather.dewpoint_c, hour % 24.0), cloud_share(weather, cells, clear)
    )
    return sky_temperature(weather.air_c, emissivity)


def cloud_share(weather: Weather, cells: SunCourse, clear: Floats) -> Floats:
    """Return the cloud at the weather's steps: the file's, else read from the light, nights between two days.

    weather : n steps;  cells   sun over the site at those steps;  clear : shape (n,) cloudless light [W/m²]
    Returns   shape (n,)   0 clear, 1 overcast [-]; 0.5 all along where the sun never rises high enough
    """
    if weather.cloud_share is not None:
        return weather.cloud_share
    seen = np.flatnonzero(cells.elevation_deg > RELIABLE_DEG)
    if len(seen) == 0:
        return np.full(weather.steps, 0.5)
    index = weather.ghi_w_m2[seen] / clear[seen]
    cloud = np.array([cloud_from_clear_index(value) for value in index.tolist()])
    return np.asarray(np.interp(np.arange(weather.steps), seen, cloud))


def _interpolate(
    hourly: Floats, weather: Weather, course: SunCourse, offset_s: int, grain_s: int, wrap: bool
) -> Floats:
    """Return slow figures at the course's steps, shape (rows, n)."""
    per_step = course.step_s // grain_s
    out = np.empty((len(hourly), course.steps * per_step))
    blend(hourly, offset_s // grain_s, weather.step_s // grain_s, wrap, out)
    return out if per_step == 1 else out.reshape(len(hourly), course.steps, per_step).mean(axis=2)
