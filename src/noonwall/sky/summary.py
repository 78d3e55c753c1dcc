"""What a weather year holds, month by month, as `noonwall climate` and the dossier show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.humid import humidity
from noonwall.sky.fine import fine_weather, first_midnight, site_clock, whole_days
from noonwall.sky.plane import on_plane
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.site import Site

Floats = NDArray[np.float64]
STEP_S = 600
SNOW_DAY_SHARE = 0.5


@dataclass(frozen=True)
class ClimateMonth:
    """One month of a weather year."""

    month: int  # 1 to 12
    days: int
    ghi_kwh_m2_day: float  # light on the level
    dni_kwh_m2_day: float  # beam, facing the sun
    dhi_kwh_m2_day: float  # diffuse, on the level
    upright_kwh_m2_day: float  # on an unshaded upright plane facing the given way, ground and snow included
    air_mean_c: float
    air_daily_max_c: float  # mean of the days' highest
    air_daily_min_c: float  # mean of the days' lowest
    air_lowest_c: float
    air_highest_c: float
    humidity_share: float
    wind_m_s: float
    snow_days: int  # days with more than half of the yard under snow
    sky_below_air_k: float  # how much colder than the air the sky looks, on average


@dataclass(frozen=True)
class ClimateSummary:
    """A weather year at a glance."""

    kind: str
    place: str
    distance_km: float | None
    hours_repaired: float
    azimuth_deg: float  # way the upright plane faces
    months: tuple[ClimateMonth, ...]
    ghi_kwh_m2: float  # sum of the year
    upright_kwh_m2: float  # sum of the year
    air_mean_c: float
    snow_days: int
    notes: tuple[str, ...]


def climate_summary(weather: Weather, site: Site, azimuth_deg: float = 180.0) -> ClimateSummary:
    """Sum up a weather year at a site.

    weather   a whole year;  site   place, ground, snow habit;  azimuth_deg   way the upright plane faces
    Returns   twelve months (fewer for a shorter stretch) and the year
    """
    clock_h = site_clock(site, weather)
    days = whole_days(weather)
    steps = days * 86400 // STEP_S
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
    course = sun_course(*place, clock_h, first_midnight(weather), STEP_S, steps)
    fine = fine_weather(weather, site, course)
    upright = on_plane(course, fine, 90.0, azimuth_deg).total
    day = {
        "ghi": _by_day(fine.ghi_w_m2, days).mean(axis=1) * 0.024,
        "dni": _by_day(fine.dni_w_m2, days).mean(axis=1) * 0.024,
        "dhi": _by_day(fine.dhi_w_m2, days).mean(axis=1) * 0.024,
        "upright": _by_day(upright, days).mean(axis=1) * 0.024,
        "air": _by_day(fine.air_c, days).mean(axis=1),
        "high": _by_day(fine.air_c, days).max(axis=1),
        "low": _by_day(fine.air_c, days).min(axis=1),
        "humid": _by_day(humidity(fine.air_c, fine.dewpoint_c), days).mean(axis=1),
        "wind": _by_day(fine.wind_m_s, days).mean(axis=1),
        "snow": _by_day(fine.snow_share, days).mean(axis=1),
        "sky": _by_day(fine.air_c - fine.sky_c, days).mean(axis=1),
    }
    dates = first_midnight(weather).astype("datetime64[D]") + np.arange(days)
    month_of = dates.astype("datetime64[M]").astype(np.int64) % 12 + 1
    rows = tuple(_month(m, day, month_of == m) for m in sorted(set(month_of.tolist())))
    return ClimateSummary(
        kind=weather.kind,
        place=weather.place,
        distance_km=weather.distance_km,
        hours_repaired=weather.hours_repaired,
        azimuth_deg=azimuth_deg,
        months=rows,
        ghi_kwh_m2=float(day["ghi"].sum()),
        upright_kwh_m2=float(day["upright"].sum()),
        air_mean_c=float(day["air"].mean()),
        snow_days=sum(row.snow_days for row in rows),
        notes=weather.notes,
    )


def _by_day(values: Floats, days: int) -> Floats:
    return values.reshape(days, -1)


def _month(month: int, day: dict[str, Floats], rows: NDArray[np.bool_]) -> ClimateMonth:
    def mean(name: str) -> float:
        return float(day[name][rows].mean())

    return ClimateMonth(
        month=month,
        days=int(rows.sum()),
        ghi_kwh_m2_day=mean("ghi"),
        dni_kwh_m2_day=mean("dni"),
        dhi_kwh_m2_day=mean("dhi"),
        upright_kwh_m2_day=mean("upright"),
        air_mean_c=mean("air"),
        air_daily_max_c=mean("high"),
        air_daily_min_c=mean("low"),
        air_lowest_c=float(day["low"][rows].min()),
        air_highest_c=float(day["high"][rows].max()),
        humidity_share=mean("humid"),
        wind_m_s=mean("wind"),
        snow_days=int((day["snow"][rows] > SNOW_DAY_SHARE).sum()),
        sky_below_air_k=mean("sky"),
    )
