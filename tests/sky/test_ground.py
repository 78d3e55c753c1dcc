"""Bare ground and snow in front of the wall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.climate.read import read_weather
from noonwall.model.site import Site
from noonwall.sky.fine import fine_weather
from noonwall.sky.ground import GROUND_ALBEDO, bare_albedo, daily_mean, day_of_step, snow_by_day
from sky.weathers import SITE, course_of, made, plain, shared

MONTH = (np.datetime64("2019-01-01") + np.arange(365)).astype("datetime64[M]").astype(int) % 12
CLEAR = np.where(made().ghi_w_m2 > 0.0, 600.0, 0.0)


def by_month(cover: np.ndarray) -> np.ndarray:
    return np.bincount(MONTH, cover) / np.bincount(MONTH)


@pytest.mark.parametrize(
    ("word", "theirs"),
    [
        ("grass", "grass"),
        ("bare soil", "soil"),
        ("asphalt", "asphalt"),
        ("concrete", "concrete"),
        ("water", "sea"),
    ],
)
def test_bare_ground(word: str, theirs: str):
    # Witness: pvlib.albedo.SURFACE_ALBEDOS and the sources named there.
    assert GROUND_ALBEDO[word] == pvlib.albedo.SURFACE_ALBEDOS[theirs]  # type: ignore[index]


def test_snow_albedo_default():
    # Witness: pvlib.albedo.SURFACE_ALBEDOS, old snow.
    assert Site(latitude=46.0, longitude=0.0).snow_albedo == pvlib.albedo.SURFACE_ALBEDOS["snow"]


def test_the_builders_own_figure_comes_first():
    assert bare_albedo(SITE.model_copy(update={"ground": "asphalt", "ground_albedo": 0.33})) == 0.33
    assert bare_albedo(SITE.model_copy(update={"ground": "asphalt"})) == 0.12


def test_no_snow_when_told_so():
    site = SITE.model_copy(update={"snow": "none"})
    fine = fine_weather(made(), site, course_of(site, "2019-01-01", 3600, 8760))
    assert (fine.snow_share == 0.0).all()
    assert fine.albedo == approx(0.20)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(shares=st.tuples(*[st.floats(0.0, 1.0)] * 12))
def test_a_snow_habit_is_met_on_the_coldest_days(shares: tuple[float, ...]):
    site = SITE.model_copy(update={"snow": shares})
    cover = snow_by_day(made(), site, CLEAR)
    air = made().air_c.reshape(365, 24).mean(axis=1)
    for month in range(12):
        days = month == MONTH
        count = round(shares[month] * int(days.sum()))
        assert cover[days].sum() == count
        if 0 < count < days.sum():
            assert air[days][cover[days] == 1.0].max() <= air[days][cover[days] == 0.0].min()


def test_snow_changes_albedo_by_the_day():
    site = SITE.model_copy(update={"snow": (1.0, 0.5, *(0.0,) * 10)})
    fine = fine_weather(made(), site, course_of(site, "2019-01-01", 300, 365 * 288))
    assert fine.albedo[: 31 * 288] == approx(0.65)
    assert fine.albedo[60 * 288 :] == approx(0.20)
    per_day = fine.albedo.reshape(365, 288)
    assert (per_day == per_day[:, :1]).all()


@pytest.mark.parametrize(
    ("file", "winter", "autumn"),
    [
        ("weather/USA_ME_Houlton.Intl.AP.727033_TMY3.epw", 0.8, 0.2),
        ("weather/FIN_Jyvaskyla-TRY2020_FMI.csv", 0.8, 0.4),
    ],
)
def test_snowy_winters_have_snow(file: str, winter: float, autumn: float):
    # Common knowledge of both places: snow lies from December to March, none from June to September.
    site = Site(latitude=62.4, longitude=25.68, elevation=139.0, utc_offset=2.0) if "FIN" in file else SITE
    fine = fine_weather(
        read_weather(shared(file), site=site), site, course_of(site, "2019-01-01", 3600, 8760)
    )
    cover = by_month(fine.snow_share.reshape(365, 24).mean(axis=1))
    assert cover[[0, 1, 2, 11]].min() > winter
    assert cover[5:9].max() == 0.0
    assert 0.0 < cover[9:11].max() > autumn * 0.5


def test_a_recorded_snow_depth_is_followed():
    depth = np.where(np.arange(8760) < 24 * 40, 0.2, 0.0)
    cover = snow_by_day(replace(made(), snow_depth_m=depth), SITE, CLEAR)
    assert cover.tolist() == [1.0] * 40 + [0.0] * 325


def test_a_daily_albedo_is_read_as_snow_and_a_monthly_one_is_not():
    weather = read_weather(shared("weather/NSRDB_PSM3_NWColorado_2017_30min.csv"))
    site = Site(latitude=40.53, longitude=-108.54, elevation=2168.0, utc_offset=-7.0)
    cover = snow_by_day(weather, site, np.full(weather.steps, 300.0))[:365]
    # Witness: the satellite record itself, albedo of 0.8 under snow, below 0.2 in summer.
    assert by_month(cover)[0] > 0.9
    assert by_month(cover)[6] == 0.0
    flat = replace(made(), albedo=np.repeat([0.5, 0.2], 4380))
    bare = replace(made(), albedo=None)
    assert np.array_equal(snow_by_day(flat, SITE, CLEAR), snow_by_day(bare, SITE, CLEAR))


def test_warm_weather_melts_and_cold_dull_weather_snows():
    n = 24 * 30
    dull = np.where(np.arange(n) % 24 == 12, 20.0, 0.0)
    weather = plain("2019-01-01", 3600, dull, dull * 0.0, dull, air_c=np.repeat([-5.0, 6.0], n // 2))
    clear = np.where(np.arange(n) % 24 == 12, 400.0, 0.0)
    cover = snow_by_day(weather, SITE, clear)
    assert cover[14] == 1.0
    assert cover[0] > 0.5
    assert cover[-1] == 0.0


def test_days_are_counted_from_the_first_step():
    weather = replace(made(), start=np.datetime64("2019-01-01T00:15:00", "s"))
    day = day_of_step(weather)
    assert day[0] == 0
    assert daily_mean(np.ones(8760), day)[:365] == approx(1.0)
