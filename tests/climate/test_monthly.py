"""Made years: they meet the monthly figures, behave like weather, and come out the same again."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from climate.files import SITE, shared
from noonwall.climate.humid import humidity
from noonwall.climate.monthly import ensemble, year_from_figures, year_from_months
from noonwall.climate.places import Place, nearest, places
from noonwall.climate.read import read_weather
from noonwall.climate.sunhours import sun_hours
from noonwall.climate.weather import Weather
from noonwall.errors import WeatherError
from noonwall.model.site import Site

MONTH = (np.datetime64("2019-01-01") + np.arange(365)).astype("datetime64[M]").astype(int) % 12
SOME = ("Houlton Intl Arpt, ME", "Bozeman Gallatin Field, MT", "Denver Centennial Golden Nr, CO",
        "Jyvaskyla, FIN", "Mount Washington, NH", "Sodankyla, FIN", "Salmon/Lemhi, ID")  # fmt: skip
TYPED = tuple(
    {"ghi_kwh_m2_day": ghi, "temp_mean_c": mean, "temp_max_c": mean + 5.0, "temp_min_c": mean - 6.0}
    for ghi, mean in zip(
        (1.5, 2.4, 3.6, 4.6, 5.5, 6.0, 6.0, 5.2, 3.9, 2.4, 1.4, 1.2),
        (-11.0, -9.0, -3.0, 4.0, 11.0, 16.0, 19.0, 18.0, 13.0, 7.0, 0.0, -7.0),
        strict=True,
    )
)


def days(values: np.ndarray) -> np.ndarray:
    return values.reshape(365, 24)


def by_month(daily: np.ndarray) -> np.ndarray:
    return np.bincount(MONTH, daily) / np.bincount(MONTH)


def spread(daily: np.ndarray) -> np.ndarray:
    return np.array([daily[month == MONTH].std(ddof=1) for month in range(12)])


def place(name: str) -> Place:
    return next(one for one in places() if one.name == name)


def year_at(one: Place, seed: int) -> Weather:
    site = Site(
        latitude=one.latitude_deg,
        longitude=one.longitude_deg,
        elevation=one.elevation_m,
        utc_offset=one.utc_offset_h,
    )
    return year_from_figures(site, seed)


@pytest.mark.parametrize("seed", [1, 2, 17])
@pytest.mark.parametrize("name", SOME)
def test_a_made_year_meets_the_places_figures(name: str, seed: int):
    one = place(name)
    year, wanted = year_at(one, seed), one.figures
    assert by_month(days(year.ghi_w_m2).mean(1)) * 0.024 == approx(wanted.ghi_kwh_m2_day, rel=0.01, abs=1e-6)
    assert by_month(days(year.air_c).mean(1)) == approx(wanted.temp_mean_c, abs=0.1)
    daily_range = wanted.temp_max_c - wanted.temp_min_c
    assert by_month(np.ptp(days(year.air_c), axis=1)) == approx(daily_range, rel=0.15)
    assert spread(days(year.air_c).mean(1)) == approx(wanted.spread_k, rel=0.15)
    assert by_month(days(year.wind_m_s).mean(1)) == approx(wanted.wind_m_s, rel=0.01)
    share = humidity(year.air_c, year.dewpoint_c)
    assert by_month(days(share).mean(1)) == approx(wanted.humidity_share, abs=0.04)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Houlton Intl Arpt, ME", "weather/USA_ME_Houlton.Intl.AP.727033_TMY3.epw"),
        ("Bozeman Gallatin Field, MT", "weather/USA_MT_Bozeman-Gallatin.Field.726797_TMY3.epw"),
        ("Denver Centennial Golden Nr, CO", "weather/USA_CO_Golden-NREL.724666_TMY3.epw"),
    ],
)
def test_day_to_day_spread_is_the_real_years(name: str, file: str):
    """Where the hourly year is at hand: spread of daily light and of daily warmth within 15 %."""
    real, one = read_weather(shared(file)), place(name)
    for seed in (4, 5):
        year = year_at(one, seed)
        warmth = spread(days(year.air_c).mean(1)) / spread(days(real.air_c).mean(1))
        light = spread(days(year.ghi_w_m2).mean(1)) / spread(days(real.ghi_w_m2).mean(1))
        # The real file's readings are means of two; their spread is a little under the places' figures.
        assert warmth == approx(1.0, abs=0.15)
        assert float(light.mean()) == approx(1.0, abs=0.15)
        beam = days(year.dni_w_m2).mean() / days(real.dni_w_m2).mean()
        assert beam == approx(1.0, abs=0.06)


def test_warmth_and_light_have_memory_and_go_together():
    one = place("Houlton Intl Arpt, ME")
    memory, pull = [], []
    for seed in range(1, 7):
        year = year_at(one, seed)
        warmth, light = days(year.air_c).mean(1), days(year.ghi_w_m2).mean(1)
        for month in range(12):
            w = warmth[month == MONTH]
            memory.append(np.corrcoef(w[:-1], w[1:])[0, 1])
        january = MONTH == 0
        pull.append(np.corrcoef(warmth[january], light[january])[0, 1])
    # Own figures of seven typical years: 0.68 from day to day within months; clear January days are cold.
    assert float(np.mean(memory)) == approx(0.68, abs=0.12)
    assert float(np.mean(pull)) < -0.2


def test_light_keeps_within_a_cloudless_sky():
    year = year_from_figures(SITE, 1)
    sun = sun_hours(46.1, -67.8, -5.0, year.start, 3600, 8760)
    assert float(year.ghi_w_m2[sun.highest_deg < -6.0].max()) == 0.0
    assert float((year.dni_w_m2 / sun.extra_w_m2).max()) < 0.81
    assert float(year.ghi_w_m2.max()) < 1100.0
    parts = year.dni_w_m2 * sun.mean_up + year.dhi_w_m2
    assert parts == approx(year.ghi_w_m2, abs=1e-6)
    assert (year.dewpoint_c <= year.air_c).all()


def test_the_same_seed_gives_the_same_year_and_another_one_another():
    one, again, other = (year_from_figures(SITE, seed) for seed in (5, 5, 6))
    for field in fields(Weather):
        value = getattr(one, field.name)
        if isinstance(value, np.ndarray):
            assert np.array_equal(value, getattr(again, field.name))
    assert np.abs(one.air_c - other.air_c).mean() > 1.0
    assert one.notes == again.notes


def test_ensemble():
    years = ensemble(SITE, [1, 2, 3])
    assert len(years) == 3
    sums = [float(year.ghi_w_m2.sum()) for year in years]
    assert sums == approx([sums[0]] * 3)
    with pytest.raises(WeatherError, match="at least one seed"):
        ensemble(SITE, [])


def test_nearest_place_counts_height_in():
    one, away = nearest(SITE)
    assert one.name == "Houlton Intl Arpt, ME"
    # Great circle by hand: 0.03 degree north, 0.01 degree east of the table's 46.13 N, 67.79 W.
    assert away == approx(111.2 * np.hypot(0.03, 0.01 * np.cos(np.radians(46.1))), abs=0.3)
    valley = Site(latitude=44.27, longitude=-71.30, elevation=300.0)
    summit = Site(latitude=44.27, longitude=-71.30, elevation=1900.0)
    assert nearest(summit)[0].name == "Mount Washington, NH"
    assert nearest(valley)[0].name != "Mount Washington, NH"


def test_temperatures_are_carried_to_the_sites_height():
    low, high = (
        year_from_figures(Site(latitude=46.1, longitude=-67.8, elevation=e), 1) for e in (150.0, 550.0)
    )
    # Standard atmosphere: 6.5 K per km.
    assert low.air_c.mean() - high.air_c.mean() == approx(2.6, abs=0.01)
    assert any("400 m above" in note or "398 m above" in note for note in high.notes)


def test_the_sites_own_sun_counts():
    """A site a degree north of its place has the place's clearness, not its light."""
    there, north = (
        year_from_figures(Site(latitude=latitude, longitude=25.67, elevation=139.0, utc_offset=2.0), 1)
        for latitude in (62.4, 63.3)
    )
    assert there.place == north.place == "Jyvaskyla, FIN"
    january = MONTH == 0
    ratio = days(north.ghi_w_m2).mean(1)[january].mean() / days(there.ghi_w_m2).mean(1)[january].mean()
    # Daily extraterrestrial light by hand, 17 January, declination -20.9: 0.817 of it a degree further north.
    assert ratio == approx(0.817, abs=0.03)


def test_typed_months_are_met():
    year = year_from_months(SITE, TYPED, 2)
    assert year.kind == "typed months"
    assert by_month(days(year.ghi_w_m2).mean(1)) * 0.024 == approx(
        [m["ghi_kwh_m2_day"] for m in TYPED], rel=0.01
    )
    assert by_month(days(year.air_c).mean(1)) == approx([m["temp_mean_c"] for m in TYPED], abs=0.1)
    assert by_month(np.ptp(days(year.air_c), axis=1)) == approx(11.0, rel=0.15)


@pytest.mark.parametrize(
    ("month", "change", "message"),
    [
        (2, {"temp_max_c": -20.0}, "March: temp_mean_c -3 must lie between"),
        (0, {"ghi_kwh_m2_day": 9.0}, "January: ghi_kwh_m2_day 9 is more than the sky can give there"),
        (5, {"temp_mean": 3.0}, "June: unknown word 'temp_mean'"),
        (5, {"humidity": 70.0}, "June: humidity is 70; wanted 0.05 to 1"),
        (7, {"wind": -1.0}, "August: wind is -1"),
        (7, {"wind": float("nan")}, "August: wind is nan"),
    ],
)
def test_wrong_typed_months_are_refused(month: int, change: dict[str, float], message: str):
    typed = [dict(one) for one in TYPED]
    typed[month] |= change
    with pytest.raises(WeatherError) as problem:
        year_from_months(SITE, tuple(typed))
    assert message in str(problem.value)
    assert "\n" not in str(problem.value)


def test_eleven_months_and_missing_words_are_refused():
    with pytest.raises(WeatherError, match="11 months"):
        year_from_months(SITE, TYPED[:11])
    with pytest.raises(WeatherError, match="December: temp_mean_c is missing"):
        year_from_months(SITE, (*TYPED[:11], {"ghi_kwh_m2_day": 1.0}))
    half = {"ghi_kwh_m2_day": 1.0, "temp_mean_c": 0.0, "temp_max_c": 3.0}
    with pytest.raises(WeatherError, match="December: give both"):
        year_from_months(SITE, (*TYPED[:11], half))


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    latitude=st.floats(-60.0, 71.0),
    longitude=st.floats(-180.0, 180.0),
    elevation=st.floats(0.0, 3000.0),
    seed=st.integers(0, 10_000),
)
def test_a_year_can_be_made_anywhere(latitude: float, longitude: float, elevation: float, seed: int):
    year = year_from_figures(Site(latitude=latitude, longitude=longitude, elevation=elevation), seed)
    for field in fields(Weather):
        value = getattr(year, field.name)
        if isinstance(value, np.ndarray):
            assert np.isfinite(value).all()
    assert year.ghi_w_m2.min() >= 0.0
    assert year.dni_w_m2.min() >= 0.0
    assert year.dhi_w_m2.min() >= 0.0
    assert year.ghi_w_m2.max() < 1400.0


def test_every_place_of_the_table_is_whole():
    assert len(places()) >= 90
    for one in places():
        assert one.source in {"NREL TMY3", "FMI TRY2020"}
        assert (one.figures.temp_min_c < one.figures.temp_mean_c).all()
        assert (one.figures.temp_mean_c < one.figures.temp_max_c).all()
        assert (one.figures.spread_k > 0.9).all()
