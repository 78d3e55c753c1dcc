"""The weather of the readings' own days: what was measured first, then the project's weather for the same dates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.weather import Weather
from noonwall.logs.learn.readings import DAY_S
from noonwall.logs.measured_sun import measured_light
from noonwall.logs.period import Period
from noonwall.logs.sky_split import sky_split
from noonwall.logs.weather_of import of_dates, on_dates
from noonwall.sky.fine import fine_weather, site_clock
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.logs.sky_split import SkySplit
    from noonwall.model.project import Project
    from noonwall.sky.fine import FineWeather
    from noonwall.sky.sun import SunCourse

GROUND_PASSES = (
    2  # snow on the ground follows the sun, and the sun on a steep plane is read against that snow
)
OF_DATES = 0.99  # share of the steps from which a weather file is one of these dates
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
    start   midnight at which it begins, local standard time;  step_s, steps   of the readings, whole days
    """
    site = project.site
    clock_h = site_clock(site, base)
    period = Period(start.astype("datetime64[D]"), steps * step_s // DAY_S, clock_h)
    dated, share = of_dates(base, period)
    split = sky_split(project, base)
    usual = on_dates(base, period, dated=dated, lead_days=0)
    course = sun_course(
        site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h, start, step_s, steps
    )
    fine = fine_weather(usual, site, course)
    air, air_share = _over(fine.air_c, _bridged(outside.air_c, step_s))
    dew = np.minimum(air, fine.dewpoint_c + air - fine.air_c)
    if outside.humidity_share is not None:
        dew, _ = _over(dew, _dewpoint_c(air, outside.humidity_share))
    wind, _ = _over(fine.wind_m_s if share > OF_DATES else usual_wind(fine), outside.wind_m_s)
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
    sun_share = 0.0
    for _ in range(GROUND_PASSES):
        ground = fine_weather(made, site, course).albedo
        light, sun_share = _light(course, replace(fine, albedo=ground), outside, split)
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
    course: SunCourse, fine: FineWeather, outside: Outside, split: SkySplit
) -> tuple[tuple[Floats, ...], float]:
    """Return global, beam and diffuse light, and how much of the light hours was measured."""
    usual = (fine.ghi_w_m2, fine.dni_w_m2, fine.dhi_w_m2)
    if outside.sun_w_m2 is None:
        return usual, 0.0
    plane = (outside.tilt_deg, outside.azimuth_deg)
    seen = measured_light(course, fine, outside.sun_w_m2, plane, split)
    made = tuple(np.where(np.isfinite(new), new, old) for new, old in zip(seen, usual, strict=True))
    day = course.up > 0.0
    return made, float((np.isfinite(outside.sun_w_m2) & day).sum() / max(day.sum(), 1))
