"""Sun on an upright south wall in made years, against the hourly years their figures come from."""

from __future__ import annotations

import csv

import numpy as np
import pytest
from pytest import approx

from noonwall.climate.monthly import year_from_figures
from noonwall.model.site import Site
from noonwall.sky.fine import fine_weather
from noonwall.sky.plane import on_plane
from sky.weathers import course_of, shared

MONTH = (np.datetime64("2019-01-01") + np.arange(365)).astype("datetime64[M]").astype(int) % 12


@pytest.mark.parametrize(
    "place",
    [
        "HOULTON INTL ARPT",
        "Bozeman Gallatin Field",
        "BURLINGTON INTERNATIONAL AP",
        "FARGO HECTOR INTERNATIONAL AP",
    ],
)
def test_upright_sun_is_that_of_the_hourly_year(place: str):
    # Witness: the place's hourly typical year put on the plane by pvlib's Perez, albedo 0.2, by another hand.
    with shared("weather/normals.csv").open() as table:
        rows = [row for row in csv.DictReader(table) if row["place"] == place][:12]
    first = rows[0]
    site = Site(
        latitude=float(first["latitude_deg"]), longitude=float(first["longitude_deg"]),
        elevation=float(first["elevation_m"]), utc_offset=float(first["utc_offset_h"]), snow="none",
    )  # fmt: skip
    wanted = np.array([float(row["vertical_south_perez_albedo02_kwh_m2_day"]) for row in rows])
    found = []
    for seed in (1, 2, 3):
        course = course_of(site, "2019-01-01", 900, 365 * 96)
        fine = fine_weather(year_from_figures(site, seed), site, course)
        upright = on_plane(course, fine, 90.0, 180.0).total.reshape(365, 96).mean(axis=1) * 0.024
        found.append(np.bincount(MONTH, upright) / np.bincount(MONTH))
    mean = np.mean(found, axis=0)
    assert mean == approx(wanted, rel=0.12)
    assert mean.sum() == approx(wanted.sum(), rel=0.03)
