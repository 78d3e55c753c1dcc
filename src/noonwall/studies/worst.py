"""The worst credible hours: a year in which every day is clear, still and as hot as its month can be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.weather import Weather
from noonwall.engine.simulate import surroundings
from noonwall.errors import WeatherError
from noonwall.sky.clearest import CLEAN_AEROSOL, DRY_WATER_CM, clearest_sky
from noonwall.sky.fine import site_clock
from noonwall.sky.sun import sun_course
from noonwall.studies.remedies import changed

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.model.project import Project

STEP_S = 900
DAY_S = 86400
MONTHS = 12
FEWEST_DAYS = 20  # of a month, to tell its hot days by
RARE = 2.33  # spreads above the mean of the daily highest: one day in a hundred of a normal distribution
DEW_BELOW_K = 3.0  # dew point under the night's lowest on a dry, clear day; common practice, no source
WARMEST_H = 15.0  # clock hour of the highest temperature; common practice, no source
SNOWY_SHARE = 0.5  # a day counts as snowy if so much of the yard lies under snow
SNOW_M = 0.3  # deep enough to hide the ground


@dataclass(frozen=True)
class WorstDay:
    """The air on one worst credible day."""

    hottest_c: float
    coldest_c: float


@dataclass(frozen=True)
class WorstMonth:
    """The worst credible days of a month: a hot one with bare ground, a mild one with snow in front."""

    month: int
    bare: WorstDay | None  # None in a month that never lies bare
    snowy: WorstDay | None  # None in a month without snow


@dataclass(frozen=True)
class WorstYear:
    """A project set in front of the worst credible days, and what they are made of."""

    project: Project
    weather: Weather
    months: tuple[WorstMonth, ...]
    aerosol: float  # optical depth at 700 nm
    water_cm: float  # in the column of air


def worst_year(project: Project, weather: Weather) -> WorstYear:
    """Return a year whose every day is the worst credible of its month.

    project  for its site;  weather  a whole year, for the spread of its hot days and its snow
    Raises   WeatherError when the weather does not tell all twelve months

    Clear sky of a very clean, dry day; no wind; the air as hot as one day in a hundred of the month, with the
    range of the month's sunnier days. In a month with snow every other day has it in front, and is then as
    warm as one snowy day in a hundred: great heat and snow seldom meet.
    """
    months = worst_months(project, weather)
    return WorstYear(
        project=changed(project, site=changed(project.site, snow="auto")),
        weather=_weather(project, weather, months),
        months=months,
        aerosol=CLEAN_AEROSOL,
        water_cm=DRY_WATER_CM,
    )


def worst_months(project: Project, weather: Weather) -> tuple[WorstMonth, ...]:
    """Return the worst days of each month, January first; arguments and errors as `worst_year`."""
    fine = surroundings(project, weather, min(STEP_S, weather.step_s)).fine
    days, place = np.unique(fine.time.astype("datetime64[D]"), return_inverse=True)
    number = days.astype("datetime64[M]").astype(int) % MONTHS
    high, low = np.full(len(days), -300.0), np.full(len(days), 300.0)
    np.maximum.at(high, place, fine.air_c)
    np.minimum.at(low, place, fine.air_c)
    sun = np.bincount(place, fine.ghi_w_m2)
    snowy = np.bincount(place, fine.snow_share) / np.bincount(place) > SNOWY_SHARE
    found = []
    for m in range(MONTHS):
        mine = number == m
        if mine.sum() < FEWEST_DAYS:
            told = f"month {m + 1} has {mine.sum()} days in it"
            raise WeatherError(f"the worst hours need a whole year of weather; {told}")
        sunny = mine & (sun >= np.median(sun[mine]))
        spread = float((high - low)[sunny].mean())
        bare_day = _hot_day(high[mine & ~snowy], spread)
        found.append(WorstMonth(m + 1, bare_day, _hot_day(high[mine & snowy], spread)))
    return tuple(found)


def _hot_day(high_c: NDArray[np.float64], spread_k: float) -> WorstDay | None:
    if len(high_c) == 0:
        return None
    hottest = max(float(high_c.mean() + RARE * high_c.std()), float(high_c.max()))
    return WorstDay(hottest, hottest - spread_k)


def _weather(project: Project, weather: Weather, months: tuple[WorstMonth, ...]) -> Weather:
    site, clock_h = project.site, site_clock(project.site, weather)
    start = np.datetime64("2001-01-01T00:00:00", "s")
    steps = 365 * DAY_S // STEP_S
    course = sun_course(
        site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h, start, STEP_S, steps
    )
    pressure = float(np.mean(weather.pressure_pa))
    sky = clearest_sky(course, pressure)
    time = start + np.arange(steps) * np.timedelta64(STEP_S, "s")
    hot, cold, snow = _by_step(time, months)
    hour = ((np.arange(steps) + 0.5) * STEP_S % DAY_S) / 3600.0
    wave = np.cos(2.0 * np.pi * (hour - WARMEST_H) / 24.0)
    zero = np.zeros(steps)
    return Weather(
        kind=weather.kind,
        place=weather.place,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        utc_offset_h=clock_h,
        start=start,
        step_s=STEP_S,
        air_c=0.5 * (hot + cold) + 0.5 * (hot - cold) * wave,
        dewpoint_c=cold - DEW_BELOW_K,
        pressure_pa=np.full(steps, pressure),
        wind_m_s=zero,
        ghi_w_m2=sky.ghi_w_m2,
        dni_w_m2=sky.dni_w_m2,
        dhi_w_m2=sky.dhi_w_m2,
        cloud_share=zero,
        snow_depth_m=SNOW_M * snow,
        distance_km=weather.distance_km,
    )


def _by_step(
    time: NDArray[np.datetime64], months: tuple[WorstMonth, ...]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return highest and lowest air of each step's day, and 1 where it has snow: every other day where both occur."""
    number = time.astype("datetime64[M]").astype(int) % MONTHS
    day = time.astype("datetime64[D]").astype(int)
    hot, cold, snow = np.empty(len(time)), np.empty(len(time)), np.zeros(len(time))
    for month in months:
        mine = number == month.month - 1
        turns = [d for d in (month.bare, month.snowy) if d is not None]
        for turn, worst in enumerate(turns):
            here = mine & (day % len(turns) == turn)
            hot[here], cold[here] = worst.hottest_c, worst.coldest_c
            snow[here] = float(worst is month.snowy)
    return hot, cold, snow
