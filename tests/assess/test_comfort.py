"""The cover's dates and their spread, worked by hand on invented years."""

from __future__ import annotations

import numpy as np
from pytest import approx

from fakes.years import invented_year, with_table
from noonwall.assess.comfort import comfort_months, cover_dates, hot_days, spread_of


def year_with_hot(days: list[str]):
    """Return an invented year whose shop is 20 C, and 27 C at two in the afternoon of these days."""
    year = invented_year(3600)
    room = np.full(len(year.table.time), 20.0)
    for day in days:
        room[year.table.time == np.datetime64(f"2001-{day}T14")] = 27.0
    return with_table(year, room_c=room)


def test_hot_days_are_those_with_any_hour_too_hot() -> None:
    days, hot = hot_days(year_with_hot(["06-03", "06-04"]))
    assert [str(d) for d in days[hot]] == ["2001-06-03", "2001-06-04"]


def test_a_cover_is_wanted_while_a_fortnight_holds_two_hot_days() -> None:
    # 1 May stands alone; 3 and 10 June share a fortnight, as do 28 and 30 August; 20 September stands alone.
    found = cover_dates(year_with_hot(["05-01", "06-03", "06-10", "07-04", "08-28", "08-30", "09-20"]))
    assert str(found.hang) == "2001-06-03"
    assert str(found.take_down) == "2001-08-31"
    assert found.week_mean_hang_c is not None


def test_a_cool_year_asks_for_none() -> None:
    found = cover_dates(year_with_hot(["07-01", "08-01"]))
    assert found.hang is None
    assert found.take_down is None


def test_south_of_the_equator_the_season_runs_over_new_year() -> None:
    found = cover_dates(year_with_hot(["12-20", "12-22", "01-05", "02-10", "02-12"]), south=True)
    assert str(found.hang)[5:] == "12-20"
    assert str(found.take_down)[5:] == "02-13"


def test_dates_spread_on_a_circle() -> None:
    dates = [np.datetime64(f"2001-{day}") for day in ("12-27", "01-01", "01-06")]
    spread = spread_of(dates)
    assert spread is not None
    assert spread.middle_day == approx(0.0, abs=0.1)
    assert spread.early_day == approx(361.0, abs=0.5)
    assert spread.late_day == approx(4.0, abs=0.5)
    assert spread_of([]) is None


def test_months_and_whole_agree_with_the_year() -> None:
    year = invented_year(3600)
    months, whole = comfort_months(year)
    assert sum(m.too_hot_h for m in months) == approx(whole.too_hot_h)
    assert whole.too_hot_h == approx(year.whole().too_hot_hours)
    assert max(m.hottest_c for m in months) == whole.hottest_c
