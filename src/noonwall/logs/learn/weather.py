"""The weather of the readings' own days: what was measured first, then the project's weather for the same dates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.weather import Weather
from noonwall.logs.learn.readings import DAY_S
from noonwall.logs.sky_split import GENERAL, SkySplit, sky_split
from noonwall.sky.fine import fine_weather, site_clock
from noonwall.sky.plane import on_plane
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.model.project import Project
    from noonwall.sky.fine import FineWeather
    from noonwall.sky.sun import SunCourse

BISECTIONS = 16
GROUND_PASSES = (
    2  # snow on the ground follows the sun, and the sun on a steep plane is read against that snow
)
TWILIGHT_W_M2 = 20.0
LEAST_UP = 0.05  # sine of the sun's height under which a plane's light says little of the sky's
PULL_M2_S2 = 12.0  # warmth's pull at 15 K as a wind's square: 0.0145 x 15 / 0.0174, one storey, some shelter
LONGEST_BRIDGE_S = 2 * 3600


@dataclass(frozen=True)
class Outside:
    """What was measured outdoors at equal steps, shape (n,) each, NaN where nothing was; None: never.

    ``sun_w_m2`` lies on a plane of ``tilt_deg`` and ``azimuth_deg`` (tilt 0: level)
    """

    air_c: Floats | None = None
    sun_w_m2: Floats | None = None
    tilt_deg: float = 0.0
    azimuth_deg: float = 180.0
    humidity_share: Floats | None = None
    wind_m_s: Floats | None = None

    def padded(self, lead: int) -> Outside:
        """Return the same with so many steps before it of which nothing is known."""
        empty = np.full(lead, np.nan)
        return self._with({name: np.concatenate([empty, value]) for name, value in self._series().items()})

    def refined(self, times: int) -> Outside:
        """Return the same at shorter steps, each value held over so many."""
        return self._with({name: np.repeat(value, times) for name, value in self._series().items()})

    def _series(self) -> dict[str, Floats]:
        names = ("air_c", "sun_w_m2", "humidity_share", "wind_m_s")
        return {name: value for name in names if (value := getattr(self, name)) is not None}

    def _with(self, series: dict[str, Floats]) -> Outside:
        return replace(self, **series)  # type: ignore[arg-type]


def weather_of(
    project: Project, base: Weather, outside: Outside, start: np.datetime64, step_s: int, steps: int
) -> tuple[Weather, tuple[str, ...]]:
    """Return the weather of a stretch of days at the readings' steps, and what it was made of in plain words.

    base    the project's weather: a file of those dates, or a typical year that then stands for them
    start   local standard time of the first step;  step_s, steps   of the readings
    """
    site = project.site
    clock_h = site_clock(site, base)
    course = sun_course(
        site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h, start, step_s, steps
    )
    fine = fine_weather(base, site, course)
    air, air_share = _over(fine.air_c, _bridged(outside.air_c, step_s))
    dew = np.minimum(air, fine.dewpoint_c + air - fine.air_c)
    if outside.humidity_share is not None:
        dew, _ = _over(dew, _dewpoint_c(air, outside.humidity_share))
    wind, _ = _over(usual_wind(fine), outside.wind_m_s)
    made = Weather(
        kind=base.kind,
        place=base.place,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        utc_offset_h=clock_h,
        start=course.start,
        step_s=step_s,
        air_c=air,
        dewpoint_c=dew,
        pressure_pa=fine.pressure_pa,
        wind_m_s=np.maximum(wind, 0.0),
        ghi_w_m2=fine.ghi_w_m2,
        dni_w_m2=fine.dni_w_m2,
        dhi_w_m2=fine.dhi_w_m2,
    )
    split, sun_share = sky_split(project, base), 0.0
    for _ in range(GROUND_PASSES):
        ground = fine_weather(made, site, course)
        light, sun_share = _light(course, fine, ground.albedo, outside, split)
        made = replace(made, ghi_w_m2=light[0], dni_w_m2=light[1], dhi_w_m2=light[2])
    notes = (_said("outdoor temperature", air_share, base), _said("sun", sun_share, base))
    return replace(made, notes=notes), notes


def known_outside(outside: Outside, step_s: int, steps: int) -> NDArray[np.bool_]:
    """Return where the weather is known, shape (n,): not while a channel that is measured else fell silent.

    A day after a gap counts as unknown too: the shop remembers it.
    """
    known = np.ones(steps, dtype=bool)
    for value in (_bridged(outside.air_c, step_s), outside.sun_w_m2):
        if value is not None and np.isfinite(value).any():
            known &= np.isfinite(value)
    after = DAY_S // step_s
    lost = np.cumsum(np.concatenate([np.zeros(after), ~known]))
    return np.asarray(lost[after:] - lost[:-after] == 0.0)


def usual_wind(fine: FineWeather) -> Floats:
    """Return the wind of each month's hours of the day that leaks as much as their winds do on average, shape (n,).

    The wind of other days is no wind of these: taken as it came, it would make leakage look smaller than it is,
    as any error in what acts weakens what it seems to do; a mean does not. Leakage goes with the root of
    warmth's pull plus the wind's square, so the mean is taken of that root.
    *Source*  Berkson 1950, J. Am. Stat. Assoc. 45, 164 (from memory); the root: ASHRAE's basic leakage model
    """
    month = fine.time.astype("datetime64[M]").astype(np.int64) % 12
    hour = fine.time.astype("datetime64[h]").astype(np.int64) % 24
    place = month * 24 + hour
    count = np.maximum(np.bincount(place, minlength=288), 1)
    root = np.bincount(place, np.sqrt(PULL_M2_S2 + fine.wind_m_s**2), minlength=288) / count
    return np.asarray(np.sqrt(np.maximum(root**2 - PULL_M2_S2, 0.0))[place])


def _said(what: str, share: float, base: Weather) -> str:
    if share > 0.999:
        return f"{what}: measured"
    rest = f"from the project's weather ({base.place})"
    return (
        f"{what}: {100.0 * share:.0f} % measured, the rest {rest}"
        if share > 0.0
        else f"{what}: {rest}, not measured"
    )


def _over(usual: Floats, measured: Floats | None) -> tuple[Floats, float]:
    """Return the measured where it is known, the usual elsewhere, and how much is known."""
    if measured is None:
        return usual, 0.0
    known = np.isfinite(measured)
    return np.where(known, measured, usual), float(known.mean())


def _bridged(value: Floats | None, step_s: int) -> Floats | None:
    """Return a series with short gaps joined by straight lines."""
    if value is None or not np.isfinite(value).any():
        return None
    known = np.flatnonzero(np.isfinite(value))
    rows = np.arange(len(value))
    after = np.minimum(np.searchsorted(known, rows), len(known) - 1)
    gap = known[after] - known[np.maximum(after - 1, 0)]
    joined = np.interp(rows, known, value[known], left=np.nan, right=np.nan)
    return np.where(np.isfinite(value) | (gap * step_s <= LONGEST_BRIDGE_S), joined, np.nan)


def _dewpoint_c(air_c: Floats, share: Floats) -> Floats:
    """Return the dew point (Magnus; Alduchov and Eskridge 1996, J. Appl. Meteorol. 35, 601)."""
    gamma = np.log(np.clip(share, 0.02, 1.0)) + 17.625 * air_c / (243.04 + air_c)
    return np.asarray(243.04 * gamma / (17.625 - gamma))


def _light(
    course: SunCourse, fine: FineWeather, albedo: Floats, outside: Outside, split: SkySplit
) -> tuple[tuple[Floats, Floats, Floats], float]:
    """Return global, beam and diffuse light over ground of some albedo, and how much of it was measured."""
    usual = (fine.ghi_w_m2, fine.dni_w_m2, fine.dhi_w_m2)
    if outside.sun_w_m2 is None:
        return usual, 0.0
    day = course.up > 0.0
    known = np.isfinite(outside.sun_w_m2)
    measured = np.where(known, np.maximum(outside.sun_w_m2, 0.0), 0.0)
    level = (
        measured
        if outside.tilt_deg == 0.0
        else level_sun(course, replace(fine, albedo=albedo), measured, outside, split)
    )
    beam, diffuse = split(level, course.up, course.extraterrestrial_w_m2, _month(fine))
    plain = known & (day | (measured > 0.0))
    made = tuple(
        np.where(plain, new, np.where(known, 0.0, old))
        for new, old in zip((level, beam, diffuse), usual, strict=True)
    )
    share = float((known & day).sum() / max(day.sum(), 1))
    return (made[0], made[1], made[2]), share


def _month(fine: FineWeather) -> NDArray[np.int64]:
    return np.asarray(fine.time.astype("datetime64[M]").astype(np.int64) % 12)


def level_sun(
    course: SunCourse, fine: FineWeather, measured: Floats, outside: Outside, split: SkySplit = GENERAL
) -> Floats:
    """Return the light on the level that would put the measured light on a tilted plane, shape (n,) [W/m2].

    Each step is searched by halving; ``split`` parts beam and sky.
    """
    month = _month(fine)
    up = np.maximum(course.up, 0.0)
    low = np.zeros(len(measured))
    high = course.extraterrestrial_w_m2 * np.maximum(up, LEAST_UP) + TWILIGHT_W_M2
    high = np.where(course.up > -0.1, high, 0.0)
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        beam, diffuse = split(middle, course.up, course.extraterrestrial_w_m2, month)
        sky = replace(fine, ghi_w_m2=middle, dni_w_m2=beam, dhi_w_m2=diffuse)
        less = on_plane(course, sky, outside.tilt_deg, outside.azimuth_deg).total < measured
        low, high = np.where(less, middle, low), np.where(less, high, middle)
    return 0.5 * (low + high)
