"""First and last sun, hours of sun, and when obstacles bite."""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall.model.cover import Overhang
from noonwall.model.obstacle import Building, Tree
from noonwall.shade.calendar import sun_calendar
from noonwall.sky.sun import sun_course
from shade.sites import site

STEP = 300


def course(days: int = 365, start: str = "2023-01-01"):
    return sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64(start), STEP, days * 86400 // STEP)


def test_an_open_site_has_the_open_sites_sun():
    calendar = sun_calendar(site(azimuth_deg=180.0), course())
    assert np.array_equal(calendar.first, calendar.first_open)
    assert np.array_equal(calendar.last, calendar.last_open)
    assert np.array_equal(calendar.hours, calendar.hours_open)
    assert calendar.bites == ()
    # Witness: day length by N = 2/15 acos(-tan L tan d) at 46.1 degrees, 17 January (declination -20.92): 8.9 h;
    # refraction and the sun's own size add 0.1 to 0.2 h.
    day = 2.0 / 15.0 * math.degrees(math.acos(-math.tan(math.radians(46.1)) * math.tan(math.radians(-20.92))))
    assert calendar.hours_open[16] == pytest.approx(day, abs=0.2)
    # In June the wall's sun begins after sunrise and ends before sunset: the sun rises behind it.
    june = calendar.hours_open[171]
    assert june < 9.5


def test_a_tall_house_in_the_west_ends_the_day_early():
    house = Building(name="house", along=20.0, out=8.0, width=12.0, length=12.0, eaves=14.0, faces=180.0)
    calendar = sun_calendar(site(house, azimuth_deg=180.0), course(10))
    assert np.all(calendar.first == calendar.first_open)
    assert np.all(calendar.last < calendar.last_open)
    assert np.all(calendar.hours < calendar.hours_open)


def test_a_day_without_sun_has_no_first_and_no_last():
    house = Building(name="house", along=0.0, out=6.0, width=80.0, length=2.0, eaves=60.0, faces=180.0)
    calendar = sun_calendar(site(house, azimuth_deg=180.0), course(3))
    assert np.all(np.isnat(calendar.first))
    assert np.all(np.isnat(calendar.last))
    assert np.all(calendar.hours < 1e-9)


def test_a_winter_obstacle_bites_in_winter_and_an_overhang_in_summer():
    fir = Tree(name="fir", form="conifer", along=0.0, out=25.0, height=14.0, crown_width=5.0)
    project = site(fir, azimuth_deg=180.0, overhang=Overhang(depth=0.8, above=0.3, side=0.5))
    bites = {bite.name: bite for bite in sun_calendar(project, course()).bites}
    assert list(bites) == ["overhang", "fir"]
    winter = bites["fir"]
    assert len(winter.stretches) == 2  # January to spring, and autumn to New Year
    assert winter.stretches[0][0] == np.datetime64("2023-01-01")
    assert winter.stretches[1][1] == np.datetime64("2023-12-31")
    # Witness: the tip as seen from the glazing's foot stands at atan(13.5 / 25) = 28.4 degrees, the noon sun at 15.5
    # degrees south declination, 6 February and 4 November; the thin tip takes less than a bite, so it ends earlier.
    assert np.datetime64("2023-01-05") < winter.stretches[0][1] <= np.datetime64("2023-02-06")
    assert np.datetime64("2023-11-04") <= winter.stretches[1][0] < np.datetime64("2023-12-10")
    summer = bites["overhang"]
    assert summer.hours[171] > summer.hours[0]


def test_years_on_take_more_sun():
    fir = Tree(name="fir", form="conifer", along=0.0, out=25.0, height=9.0, crown_width=4.0, growth=0.5)
    project = site(fir, azimuth_deg=180.0)
    now, later = (sun_calendar(project, course(40), years_on=y).hours.sum() for y in (0.0, 10.0))
    assert later < now
