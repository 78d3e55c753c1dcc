"""The days and hours that charts look into are those of the year."""

from __future__ import annotations

import numpy as np
import pytest

import noonwall
from fakes.projects import plain
from noonwall.errors import ProjectError
from noonwall.report.course import MOST_POINTS, course, daily
from noonwall.report.reader import KBTU_PER_KWH, Reader


@pytest.fixture(scope="module")
def year():
    return noonwall.simulate(plain(), step_s=600)


@pytest.mark.parametrize(("system", "per_kwh"), [("metric", 1.0), ("us", KBTU_PER_KWH)])
def test_the_days_add_up_to_the_year(year, system, per_kwh):
    days = daily(year, Reader(system))
    assert len(days["days"]) == 365
    whole = year.whole()
    # each day is rounded to a hundredth
    assert sum(days["delivered"]) == pytest.approx(whole.delivered_kwh * per_kwh, abs=365 * 0.005)
    assert sum(days["carried_out"]) == pytest.approx(whole.night_loss_kwh * per_kwh, abs=365 * 0.005)
    assert sum(days["fans_h"]) == pytest.approx(whole.fan_hours, abs=365 * 0.005)
    assert all(low <= high for low, high in zip(days["low"], days["high"], strict=True))


def test_a_day_is_shown_step_by_step_as_it_was_calculated(year):
    found = course(year, "2019-02-05", 1, Reader())
    chosen = year.table.time.astype("datetime64[D]") == np.datetime64("2019-02-05")
    assert len(found["times"]) == 144
    assert found["times"][0] == "2019-02-05T00:00"
    named = {row["name"]: row["values"] for row in found["temperatures"]}
    assert named["shop"] == pytest.approx(year.table.room_c[chosen], abs=0.051)
    assert named["absorber"] == pytest.approx(year.table.absorber_c[chosen], abs=0.051)
    flow = year.table.flow_kg_s[chosen]
    assert np.all((np.array(found["flow"]) < 0.0) == (flow < -0.05 * 1.2 / 3600.0))


def test_a_month_is_thinned_and_its_means_stay(year):
    found = course(year, "2019-03-01", 31, Reader("us"))
    assert 0 < len(found["times"]) <= MOST_POINTS
    shop = next(row["values"] for row in found["temperatures"] if row["name"] == "shop")
    march = year.table.room_c[year.table.time.astype("datetime64[M]") == np.datetime64("2019-03")]
    assert np.mean(shop) == pytest.approx(march.mean() * 1.8 + 32.0, abs=0.1)


@pytest.mark.parametrize("day", ["2031-01-01", "yesterday", ""])
def test_a_day_that_is_not_there_is_refused_in_one_line(year, day):
    with pytest.raises(ProjectError) as refused:
        course(year, day, 1, Reader())
    assert "\n" not in str(refused.value)


def test_days_hours_and_powers_are_told_as_the_reader_tells_them(year):
    us, metric = Reader("us"), Reader()
    assert daily(year, us)["labels"][35] == "Feb 5"
    assert daily(year, metric)["labels"][35] == "5 Feb"
    day, plain_day = course(year, "2019-02-05", 1, us), course(year, "2019-02-05", 1, metric)
    assert (day["labels"][0], plain_day["labels"][0]) == ("12 am", "00:00")
    assert course(year, "2019-02-05", 3, us)["labels"][0] == "Feb 5 12 am"
    assert (day["power_unit"], plain_day["power_unit"]) == ("kBtu/h", "kW")
    into, plain_into = (found["powers"][1]["values"] for found in (day, plain_day))
    # NIST SP 811: 3412.142 Btu a kWh; kilowatts are told to the watt
    assert into == pytest.approx([KBTU_PER_KWH * kw for kw in plain_into], abs=0.003)
