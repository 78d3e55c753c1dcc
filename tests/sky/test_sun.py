"""The sun's course against the reference algorithm and the almanac."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.sky import sun
from noonwall.sky.sun import SunCourse, sun_course


def vectors(elevation_deg: np.ndarray, azimuth_deg: np.ndarray) -> np.ndarray:
    elevation, azimuth = np.radians(elevation_deg), np.radians(azimuth_deg)
    return np.array(
        [np.cos(elevation) * np.sin(azimuth), np.cos(elevation) * np.cos(azimuth), np.sin(elevation)]
    )


def apart_deg(course: SunCourse, reference: pd.DataFrame) -> np.ndarray:
    ours = np.array([course.east, course.north, course.up])
    wanted = vectors(reference.apparent_elevation.to_numpy(), reference.azimuth.to_numpy())
    return np.degrees(2.0 * np.arcsin(0.5 * np.linalg.norm(ours - wanted, axis=0)))


@pytest.mark.parametrize("year", [1975, 2003, 2019, 2049])
@pytest.mark.parametrize("latitude", [46.1, 68.0, -45.0, 2.0])
def test_whole_years_agree_with_the_reference_algorithm(year: int, latitude: float):
    # Witness: pvlib spa_python (NREL solar position algorithm), same pressure and air temperature.
    course = sun_course(latitude, 25.7, 0.0, 2.0, np.datetime64(f"{year}-01-01", "s"), 3600, 8760)
    times = pd.date_range(f"{year}-01-01 00:30", periods=8760, freq="1h", tz="Etc/GMT-2")
    reference = pvlib.solarposition.spa_python(
        times, latitude, 25.7, 0.0, pressure=101325.0, temperature=12.0, delta_t=69.0
    )
    middle = (course.hour_share_up == 0.0) | (course.hour_share_up == 1.0)
    assert float(apart_deg(course, reference)[middle].max()) < 0.005
    extra = pvlib.irradiance.get_extra_radiation(times, method="nrel").to_numpy()
    assert course.extraterrestrial_w_m2 == approx(extra, rel=3e-4)


@pytest.mark.parametrize(
    ("date", "w_m2"), [("2019-01-03", 1414.0), ("2019-04-03", 1366.4), ("2019-07-04", 1320.5)]
)
def test_extraterrestrial_light(date: str, w_m2: float):
    # Witness: Spencer's series as pvlib 0.16.1 evaluates it; two formulas differ by up to 0.1 %.
    course = sun_course(0.0, 0.0, 0.0, 0.0, np.datetime64(date, "s"), 3600, 24)
    assert course.extraterrestrial_w_m2[12] == approx(w_m2, rel=0.005)


@pytest.mark.parametrize(("offset_days", "hours"), [(16, 9.003), (46, 10.227), (74, 11.677), (104, 13.272)])
def test_day_length(offset_days: int, hours: float):
    # Witness: N = (2/15) acos(-tan lat tan decl), latitude 45, Klein's mean days; refraction adds 0.1 h.
    start = np.datetime64("2019-01-01", "s") + offset_days * 86400
    course = sun_course(45.0, 0.0, 0.0, 0.0, start, 60, 1440)
    assert float(course.hour_share_up.sum()) / 60.0 == approx(hours + 0.1, abs=0.15)


def test_sunrise_and_noon_of_the_worked_case():
    # Witness: pvlib sun_rise_set_transit_spa for 2003-10-17, 39.742476 N, 105.1786 W: sunrise 06:12:43 (upper
    # limb, sea-level refraction), transit 11:46:05. The centre in thin air rises 0.39 degree, 125 s, later.
    course = sun_course(39.742476, -105.1786, 1830.14, -7.0, np.datetime64("2003-10-17", "s"), 10, 8640)
    lit = np.flatnonzero(course.hour_share_up > 0.5)
    assert lit[0] * 10.0 == approx(6 * 3600 + 12 * 60 + 43 + 125, abs=25)
    south = int(np.argmin(np.abs(course.azimuth_deg - 180.0)))
    assert south * 10.0 + 5.0 == approx(11 * 3600 + 46 * 60 + 5, abs=6)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(latitude=st.floats(-70.0, 72.0), longitude=st.floats(-180.0, 180.0), day=st.integers(0, 364))
def test_a_step_has_sun_exactly_when_it_has_height(latitude: float, longitude: float, day: int):
    start = np.datetime64("2019-01-01", "s") + day * 86400
    course = sun_course(latitude, longitude, 0.0, round(longitude / 15), start, 600, 144)
    assert ((course.hour_share_up > 0.0) == (course.elevation_deg > 0.0)).all()
    assert ((course.hour_share_up > 0.0) == (course.up > 0.0)).all()
    assert (course.hour_share_up <= 1.0).all()
    length = course.east**2 + course.north**2 + course.up**2
    assert length == approx(1.0, abs=1e-12)
    assert ((course.azimuth_deg >= 0.0) & (course.azimuth_deg < 360.0)).all()


def test_lit_time_does_not_depend_on_the_step():
    hours = [
        float(sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64("2019-02-01", "s"), step, 864000 // step)
              .hour_share_up.sum()) * step / 3600.0
        for step in (10, 60, 300, 3600)
    ]  # fmt: skip
    assert hours[1:3] == approx([hours[0]] * 2, abs=0.05)
    # An hour is long for a straight climb: two minutes at each sunrise and sunset.
    assert hours[3] == approx(hours[0], rel=0.01)


def test_the_plain_text_gives_what_the_kernel_gives():
    course = sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64("2019-03-01", "s"), 1800, 96)
    plain = getattr(sun._course, "py_func", sun._course)
    out = np.empty((7, 96))
    first_s = float(np.datetime64("2019-03-01T05:00:00", "s").astype(np.int64))
    pressure = sun.standard_pressure(150.0)
    plain(first_s, 1800.0, np.radians(46.1), np.radians(-67.8), pressure, out)
    assert out[3] == approx(course.elevation_deg, abs=1e-9)
    assert out[6] == approx(course.hour_share_up, abs=1e-9)
