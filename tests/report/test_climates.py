"""The page and the document of the weather."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from fakes.projects import demo
from noonwall.assess.climate import ClimateMonth
from noonwall.climate.weather import Weather
from noonwall.report.climates import climate_document, climate_page
from noonwall.report.reader import Reader


@pytest.fixture
def weather() -> Weather:
    calm = np.zeros(8760)
    return Weather(
        kind="monthly figures",
        place="Houlton",
        latitude_deg=46.1,
        longitude_deg=-67.8,
        elevation_m=150.0,
        utc_offset_h=-5.0,
        start=np.datetime64("2001-01-01", "s"),
        step_s=3600,
        air_c=calm,
        dewpoint_c=calm,
        pressure_pa=calm,
        wind_m_s=calm,
        ghi_w_m2=calm,
        dni_w_m2=calm,
        dhi_w_m2=calm,
        distance_km=1.6,
        notes=("Made from monthly figures.",),
    )


def month(number: int) -> ClimateMonth:
    return ClimateMonth(number, -0.2, 5.0, -5.0, -30.0, 12.0, 4.4704, 1.0, 0.5, 3.0, 20.0)


def test_page_in_both_units(weather: Weather) -> None:
    metric = str(climate_page((month(1),), month(0), weather, demo(), Reader()))
    assert "Made from monthly figures." in metric
    row = next(line for line in metric.splitlines() if line.startswith("January"))
    assert row.split()[1:] == ["0", "5", "-5", "12", "-30", "4.5", "1.00", "50", "%", "3.00", "20"]
    us = str(climate_page((month(1),), month(0), weather, demo(), Reader("us")))
    row = next(line for line in us.splitlines() if line.startswith("January"))
    # Witness: NIST SP 811: 1 kWh/m2 = 317.0 Btu/ft2, 1 m/s = 2.23694 mph
    assert row.split()[1:] == ["32", "41", "23", "54", "-22", "10.0", "317", "50", "%", "951", "20"]
    assert "1 mile from the site" in us
    assert max(len(line) for line in (metric + "\n" + us).splitlines()) <= 100


def test_document_and_its_nulls(weather: Weather) -> None:
    dark = replace(month(12), diffuse_share=None)
    document = json.loads(json.dumps(climate_document((dark,), month(0), weather)))
    assert document["schema"] == "noonwall.climate/1"
    assert document["months"][0]["diffuse_share"] is None
    assert "month" not in document["year"]
    assert document["weather"]["distance_km"] == 1.6
