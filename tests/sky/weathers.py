"""Weather for tests of the sky: a made year and plain stretches."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from noonwall.climate.monthly import year_from_figures
from noonwall.climate.weather import Weather
from noonwall.model.site import Site
from noonwall.sky.fine import FineWeather, fine_weather
from noonwall.sky.sun import SunCourse, sun_course

SHARED = Path(__file__).parents[3] / "shared"
SITE = Site(latitude=46.1, longitude=-67.8, elevation=150.0, utc_offset=-5.0)
YEAR_S = 365 * 86400


def shared(name: str) -> Path:
    """Return a shared data file, or skip the test where the folder is absent."""
    path = SHARED / name
    if not path.exists():
        pytest.skip(f"shared data file {name} is not here")
    return path


@cache
def made() -> Weather:
    """Return a made year at the demo's site."""
    return year_from_figures(SITE, 3)


def course_of(site: Site, start: str, step_s: int, steps: int) -> SunCourse:
    """Return a sun course over a site in its own clock."""
    clock_h = site.utc_offset_h if site.utc_offset_h is not None else round(site.longitude_deg / 15)
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
    return sun_course(*place, clock_h, np.datetime64(start, "s"), step_s, steps)


def plain(
    start: str, step_s: int, ghi: np.ndarray, dni: np.ndarray, dhi: np.ndarray, **more: object
) -> Weather:
    """Return a stretch of weather at 5 degC with the light given."""
    n = len(ghi)
    figures: dict[str, object] = {
        "kind": "csv", "place": "test", "latitude_deg": 46.1, "longitude_deg": -67.8, "elevation_m": 150.0,
        "utc_offset_h": -5.0, "start": np.datetime64(start, "s"), "step_s": step_s, "air_c": np.full(n, 5.0),
        "dewpoint_c": np.full(n, 0.0), "pressure_pa": np.full(n, 99500.0), "wind_m_s": np.full(n, 3.0),
        "ghi_w_m2": ghi, "dni_w_m2": dni, "dhi_w_m2": dhi,
    }  # fmt: skip
    return Weather(**(figures | more))  # type: ignore[arg-type]


@cache
def fine_year(step_s: int) -> tuple[SunCourse, FineWeather]:
    """Return sun and weather of the made year at a step."""
    course = course_of(SITE, "2019-01-01", step_s, YEAR_S // step_s)
    return course, fine_weather(made(), SITE, course)
