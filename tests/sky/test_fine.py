"""An hour's light shared out over its steps: energy kept, night dark, any step and any file."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.climate.read import read_weather
from noonwall.errors import WeatherError
from noonwall.model.site import Site
from noonwall.sky import share
from noonwall.sky.fine import fine_weather, first_midnight, whole_days
from noonwall.sky.sun import sun_course
from sky.weathers import SITE, YEAR_S, course_of, fine_year, made, plain, shared

LIGHT = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2")


@pytest.mark.parametrize("step_s", [60, 300, 900, 3600])
def test_each_hour_keeps_its_energy(step_s: int):
    _, fine = fine_year(step_s)
    for name in LIGHT:
        hours = getattr(fine, name).reshape(8760, -1).mean(axis=1)
        assert hours == approx(getattr(made(), name), abs=1e-9)


@pytest.mark.parametrize(
    "file",
    [
        "weather/USA_ME_Houlton.Intl.AP.727033_TMY3.epw",
        "weather/USA_MT_Bozeman-Gallatin.Field.726797_TMY3.epw",
        "weather/724666TY_Golden_CO.csv",
        "weather/NSRDB_PSM3_NWColorado_2017_30min.csv",
    ],
)
def test_real_years_keep_their_energy_and_their_night(file: str):
    weather = read_weather(shared(file))
    site = Site(
        latitude=weather.latitude_deg, longitude=weather.longitude_deg, elevation=weather.elevation_m,
        utc_offset=weather.utc_offset_h,
    )  # fmt: skip
    course = course_of(site, str(weather.start), 300, YEAR_S // 300)
    fine = fine_weather(weather, site, course)
    for name in LIGHT:
        cells = getattr(fine, name).reshape(weather.steps, -1).mean(axis=1)
        assert cells == approx(getattr(weather, name), abs=1e-6)
    assert float(fine.dni_w_m2[course.hour_share_up == 0.0].max()) == 0.0
    assert float(fine.ghi_w_m2[course.elevation_deg < -6.0].max()) == 0.0
    assert (fine.dni_w_m2 <= 0.9 * course.extraterrestrial_w_m2).all()
    lit = course.hour_share_up == 1.0
    apart = fine.ghi_w_m2 - fine.dni_w_m2 * course.up - fine.dhi_w_m2
    assert float(np.sqrt((apart[lit] ** 2).mean())) < 5.0


def test_steps_may_lie_across_the_weathers_own_steps():
    """Half-hourly moments begin a quarter past: ten-minute and hourly steps lie across them."""
    weather = replace(made(), start=np.datetime64("2019-01-01T00:15:00", "s"))
    fifteen = fine_weather(weather, SITE, course_of(SITE, "2019-01-01", 900, YEAR_S // 900))
    for step_s in (600, 1200, 3600):
        fine = fine_weather(weather, SITE, course_of(SITE, "2019-01-01", step_s, YEAR_S // step_s))
        for name in LIGHT:
            assert getattr(fine, name).sum() * step_s == approx(
                getattr(weather, name).sum() * 3600.0, rel=1e-9
            )
            hours = getattr(fine, name).reshape(8760, -1).mean(axis=1) if step_s != 1200 else None
            if hours is not None:
                wanted = getattr(fifteen, name).reshape(8760, -1).mean(axis=1)
                assert np.abs(hours - wanted).mean() < 0.02 * wanted.mean()


@pytest.mark.parametrize("step_s", [60, 300])
def test_minutes_are_averaged_into_longer_steps(step_s: int):
    weather = read_weather(shared("weather/golden-measured-2012-05-17-1min.csv"), whole_year=False)
    site = Site(latitude=39.742, longitude=-105.179, elevation=1829.0, utc_offset=-7.0)
    course = course_of(site, "2012-05-17", step_s, 86400 // step_s)
    fine = fine_weather(weather, site, course)
    lit = course.hour_share_up == 1.0
    wanted = weather.ghi_w_m2.reshape(-1, step_s // 60).mean(axis=1)
    assert fine.ghi_w_m2[lit] == approx(wanted[lit], abs=1e-6)
    assert fine.air_c == approx(weather.air_c.reshape(-1, step_s // 60).mean(axis=1), abs=1e-9)


def test_hours_come_back_better_than_flat():
    """One measured day by the minute, averaged to hours and shared out again, beats standing still."""
    minutes = read_weather(shared("weather/golden-measured-2012-05-17-1min.csv"), whole_year=False)
    figures = ("air_c", "dewpoint_c", "pressure_pa", "wind_m_s", *LIGHT)
    hours = {name: getattr(minutes, name).reshape(24, 60).mean(axis=1) for name in figures}
    site = Site(latitude=39.742, longitude=-105.179, elevation=1829.0, utc_offset=-7.0)
    fine = fine_weather(replace(minutes, step_s=3600, **hours), site, course_of(site, "2012-05-17", 60, 1440))
    for name in LIGHT:
        measured, flat = getattr(minutes, name), hours[name].repeat(60)
        ours = np.sqrt(((getattr(fine, name) - measured) ** 2).mean())
        assert ours < np.sqrt(((flat - measured) ** 2).mean())


def test_ten_second_steps():
    course = course_of(SITE, "2019-03-10", 10, 8640)
    fine = fine_weather(made(), SITE, course)
    first = (31 + 28 + 9) * 24
    for name in LIGHT:
        hours = getattr(fine, name).reshape(24, 360).mean(axis=1)
        assert hours == approx(getattr(made(), name)[first : first + 24], abs=1e-9)


@pytest.mark.parametrize("step_s", [0, 7, 420, 5400, 7200, -300, 5])
def test_steps_that_do_not_divide_the_hour_are_refused(step_s: int):
    course = replace(course_of(SITE, "2019-01-01", 300, 12), step_s=step_s)
    with pytest.raises(WeatherError, match="must divide the hour"):
        fine_weather(made(), SITE, course)


def test_a_stretch_must_cover_the_days_asked_for():
    day = plain("2019-06-01", 3600, np.zeros(24), np.zeros(24), np.zeros(24))
    with pytest.raises(WeatherError, match="does not cover the days asked for"):
        fine_weather(day, SITE, course_of(SITE, "2019-06-01", 300, 300))


def test_a_whole_year_repeats():
    early, late = (fine_weather(made(), SITE, course_of(SITE, f"{y}-12-31", 300, 576)) for y in (2018, 2019))
    assert early.air_c == approx(late.air_c)


def test_another_clock_moves_the_weather():
    """The same moments told by another clock hold the same weather."""
    east = SITE.model_copy(update={"utc_offset_h": -4.0})
    ours = fine_weather(made(), SITE, course_of(SITE, "2019-07-01T00:00:00", 300, 288))
    theirs = fine_weather(made(), east, course_of(east, "2019-07-01T01:00:00", 300, 288))
    assert theirs.ghi_w_m2 == approx(ours.ghi_w_m2, abs=1e-6)
    assert theirs.air_c == approx(ours.air_c, abs=1e-9)


def test_calculations_begin_at_midnight():
    weather = replace(made(), start=np.datetime64("2016-12-31T23:45:00", "s"))
    assert str(first_midnight(weather)) == "2017-01-01T00:00:00"
    assert whole_days(weather) == 365


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    data=st.data(),
    latitude=st.floats(-60.0, 71.0),
    day=st.integers(0, 363),
    step_s=st.sampled_from([60, 300, 600]),
)
def test_energy_is_kept_for_any_light(data: st.DataObject, latitude: float, day: int, step_s: int):
    light = st.lists(st.floats(0.0, 900.0), min_size=24, max_size=24)
    ghi, dni, dhi = (np.array(data.draw(light)) for _ in range(3))
    start = np.datetime64("2019-01-01", "s") + day * 86400
    site = Site(latitude=latitude, longitude=-67.8, utc_offset=-5.0)
    course = sun_course(latitude, -67.8, 0.0, -5.0, start, step_s, 86400 // step_s)
    fine = fine_weather(plain(str(start), 3600, ghi, dni, dhi), site, course)
    lit = course.hour_share_up.reshape(24, -1).max(axis=1) > 0.0
    for values, name in ((ghi, "ghi_w_m2"), (dni, "dni_w_m2"), (dhi, "dhi_w_m2")):
        fines = getattr(fine, name)
        assert (fines >= 0.0).all()
        assert fines.reshape(24, -1).mean(axis=1)[lit] == approx(values[lit], rel=1e-9, abs=1e-9)
    assert (fine.dni_w_m2[course.hour_share_up == 0.0] == 0.0).all()


def test_the_plain_text_gives_what_the_kernel_gives():
    rows = slice(24 * 80, 24 * 82)
    cells = np.stack([getattr(made(), name)[rows] for name in LIGHT])
    course = course_of(SITE, "2019-03-22", 900, 192)
    sky = (course.elevation_deg, course.up, course.extraterrestrial_w_m2, course.hour_share_up)
    compiled, plainly = np.empty((3, 192)), np.empty((3, 192))
    share.share_out(cells, *sky, compiled)
    getattr(share.share_out, "py_func", share.share_out)(cells, *sky, plainly)
    assert plainly == approx(compiled, abs=1e-9)
