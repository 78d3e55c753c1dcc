"""Bad, usual and good days are real days, told at the right hours, ranked by what the builder feels."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.years import invented_year, with_table
from noonwall.assess.january import midwinter_month, winter_days


def test_days_are_told_bad_usual_good_from_cold_to_warm() -> None:
    year = invented_year()
    days = winter_days(year)
    assert [day.kind for day in days] == ["bad", "usual", "good"]
    assert all(str(day.day)[5:7] == "01" for day in days)
    noon = [day.with_wall_c[1] for day in days]
    assert noon == sorted(noon)


def test_ranks_leave_one_day_in_ten_on_either_side() -> None:
    year = invented_year()
    january = year.table.time.astype("datetime64[M]").astype(int) % 12 == 0
    room = np.where(january, 4.0 + np.arange(len(january)) // 24, 50.0).astype(float)
    days = winter_days(with_table(year, room_c=room))
    assert [int(str(day.day)[8:]) for day in days] == [4, 16, 28]


@pytest.mark.parametrize("step_s", [300, 900, 3600])
def test_hours_are_read_at_the_clock_not_a_step_later(step_s: int) -> None:
    year = invented_year(step_s)
    clock = (year.table.time - year.table.time.astype("datetime64[D]")).astype(float) / 3600.0
    days = winter_days(with_table(year, room_c=clock + step_s / 3600.0))
    assert all(day.with_wall_c == pytest.approx((8.0, 12.0, 18.0)) for day in days)


def test_days_that_the_heater_makes_equal_are_ranked_by_the_heat_brought() -> None:
    year = invented_year()
    held = with_table(year, room_c=np.full(len(year.table.time), 5.0))
    bad, usual, good = winter_days(held)
    assert bad.sun_on_wall_kwh < usual.sun_on_wall_kwh < good.sun_on_wall_kwh


def test_a_month_that_was_not_simulated_has_no_days() -> None:
    assert winter_days(invented_year(start="2001-06-01", days=30)) == ()
    assert winter_days(invented_year(days=5)) == ()


def test_south_of_the_equator_winter_is_july() -> None:
    assert midwinter_month(46.1) == 1
    assert midwinter_month(-43.5) == 7
    assert all(str(day.day)[5:7] == "07" for day in winter_days(invented_year(), 7))


@pytest.mark.parametrize("step_s", [300, 3600])
def test_the_builder_chooses_the_hours(step_s: int) -> None:
    year = invented_year(step_s)
    clock = (year.table.time - year.table.time.astype("datetime64[D]")).astype(float) / 3600.0
    told = winter_days(with_table(year, room_c=clock + step_s / 3600.0), 1, (7.0, 10.0, 24.0))
    assert all(day.hours == (7.0, 10.0, 24.0) for day in told)
    assert all(day.with_wall_c == pytest.approx(day.hours) for day in told)


def test_the_heaters_heat_is_that_of_the_day() -> None:
    year = invented_year()
    for day in winter_days(year):
        rows = year.table.time.astype("datetime64[D]") == day.day
        assert day.heater_kwh == pytest.approx(year.table.backup_w[rows].sum() / 1000.0)
        assert day.heater_without_wall_kwh >= day.heater_kwh
