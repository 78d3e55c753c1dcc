"""Weather of the days that were lived: measured first, then a file of those dates, then a typical year."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.lived import keep, shed
from noonwall.climate.load import load_weather
from noonwall.engine.simulate import surroundings
from noonwall.logs.invent import Faults, Invented, invent, year_from_figures
from noonwall.logs.period import LEAD_DAYS, Period, period_of
from noonwall.logs.records import Channel
from noonwall.logs.sky_split import sky_split
from noonwall.logs.store import Store
from noonwall.logs.weather_of import _with_sun, lived_weather, on_dates

if TYPE_CHECKING:
    from pathlib import Path

OFFSET_H = -5.0


@pytest.fixture(scope="module")
def table() -> Invented:
    return invent(shed(), faults=Faults(swapped=None, gaps=((30.0, 32.0),)))


def test_measured_hours_are_used_and_the_others_are_typical(table: Invented, tmp_path: Path) -> None:
    keep(tmp_path, table, days=(20, 60))
    project = shed()
    with Store(tmp_path) as store:
        period = period_of(store, OFFSET_H)
        lived = lived_weather(project, store, period)
    lead = LEAD_DAYS * 24
    hour = np.arange(len(lived.actual.air_c)) - lead
    gap = (hour >= 10 * 24) & (hour < 12 * 24)
    assert np.array_equal(lived.actual.air_c[gap], lived.typical.air_c[gap])
    assert np.array_equal(lived.actual.air_c[:lead], lived.typical.air_c[:lead])
    truth = year_from_figures(project.site, 20).air_c[20 * 24 : 60 * 24]
    inside = ~gap & (hour >= 0)
    assert np.abs(lived.actual.air_c[inside] - truth[inside[lead:]]).max() < 1.5
    assert lived.measured["sun"] == pytest.approx(38.0 / 40.0, abs=0.01)
    assert any("outdoor air: measured in 95 %" in note for note in lived.notes)


def test_the_same_day_of_the_typical_year_stands_for_a_date() -> None:
    base = load_weather(shed(), ".")
    period = Period(np.datetime64("2024-02-20"), 400, OFFSET_H)
    found = on_dates(base, period, dated=False)
    assert found.steps == 400 * 24
    day = slice(0, 24)
    assert np.array_equal(found.air_c[day], base.air_c[50 * 24 : 51 * 24])
    leap = slice(9 * 24, 10 * 24)  # 29 February 2024
    assert np.array_equal(found.air_c[leap], base.air_c[58 * 24 : 59 * 24])
    assert np.array_equal(found.air_c[10 * 24 : 11 * 24], base.air_c[59 * 24 : 60 * 24])  # 1 March


def test_a_file_of_those_dates_is_used_where_it_reaches() -> None:
    base = replace(load_weather(shed(), "."), kind="csv", start=np.datetime64("2025-01-01T00:00:00", "s"))
    period = Period(np.datetime64("2025-12-25"), 370, OFFSET_H)
    found = on_dates(base, period, dated=True)
    assert np.array_equal(found.air_c[: 7 * 24], base.air_c[-7 * 24 :])
    assert np.array_equal(found.air_c[7 * 24 : 8 * 24], base.air_c[:24])


def test_sun_measured_on_the_wall_gives_the_sky_that_made_it() -> None:
    project = shed()
    base = load_weather(project, ".")
    period = Period(np.datetime64("2025-01-01"), 365, OFFSET_H)
    weather = on_dates(base, period, dated=False)
    around = surroundings(project, weather, 3600)
    plane = around.plane
    light = plane.beam + plane.circumsolar + plane.isotropic + plane.horizon + plane.ground
    sensor = Channel("pyranometer", "sun", "irradiance", kind="mean", plane="wall")
    found = _with_sun(project, weather, np.maximum(light, 0.0), sensor, sky_split(project, base))
    winter = np.r_[0 : 59 * 24, 304 * 24 : 365 * 24]
    assert found.ghi_w_m2[winter].sum() == pytest.approx(weather.ghi_w_m2[winter].sum(), rel=0.12)
    both = np.corrcoef(found.ghi_w_m2[winter], weather.ghi_w_m2[winter])[0, 1]
    assert both > 0.97
