"""Clocks, light switches, hands and the cover's rule: what they do, step by step, worked by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pytest import approx

from fakes.walls import switch, walled
from noonwall.engine.nodes import set_points, switch_numbers
from noonwall.engine.schedule import (
    cover_hangs,
    in_hours,
    in_stretches,
    in_the_sun,
    switch_rows,
    vents_open,
)
from noonwall.model.cover import Cover


def hours(
    days: int, step_min: int = 60, start: str = "2001-01-01"
) -> np.ndarray[Any, np.dtype[np.datetime64]]:
    steps = days * 1440 // step_min
    return np.datetime64(start, "s") + np.arange(steps) * np.timedelta64(step_min * 60, "s")


def test_hours_of_the_day_over_midnight_too() -> None:
    time = hours(1)
    assert np.flatnonzero(in_hours(time, [("09:00", "12:00")])).tolist() == [9, 10, 11]
    assert np.flatnonzero(in_hours(time, [("22:00", "02:00")])).tolist() == [0, 1, 22, 23]
    assert in_hours(time, [("00:00", "24:00")]).all()
    assert not in_hours(time, []).any()


def test_an_hour_begins_with_the_step_whose_middle_is_past_it() -> None:
    time = hours(1, step_min=15)
    assert np.flatnonzero(in_hours(time, [("09:05", "10:10")])).tolist() == [36, 37, 38, 39, 40]


def test_stretches_of_the_year_over_new_year_too() -> None:
    days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]").astype("datetime64[s]")
    inside = in_stretches(days, [("11-15", "02-10")])
    assert inside.sum() == 16 + 31 + 31 + 10
    assert inside[0]
    assert inside[-1]
    assert not inside[100]


def test_a_light_switch_keeps_its_state_between_its_levels() -> None:
    # Hand-worked: closes at 300, opens below 200.
    sun = np.array([0.0, 250.0, 310.0, 250.0, 205.0, 199.0, 250.0, 300.0, 299.0])
    closed = in_the_sun(sun, 300.0, 200.0)
    assert closed.astype(int).tolist() == [0, 0, 1, 1, 1, 0, 0, 1, 1]


def test_rows_of_a_clock_a_light_switch_and_a_hand() -> None:
    switches = (
        switch(kind="clock", hours=(("09:00", "11:00"),), days=(("01-02", "01-03"),)),
        switch(name="felt", close=40.0, open=30.0),
        switch(name="sun", kind="light", close_sun=300.0, open_sun=200.0),
        switch(name="hand", kind="by hand", days=(("01-01", "01-01"),)),
    )
    project = walled(switches=switches)
    time = hours(3)
    sun = np.where(np.arange(72) % 24 == 12, 500.0, 0.0)
    rows = switch_rows(project, time, sun)
    assert np.flatnonzero(rows[0]).tolist() == [33, 34, 57, 58]
    assert np.flatnonzero(rows[1]).tolist() == [12, 36, 60]
    assert np.flatnonzero(rows[2]).tolist() == list(range(24))
    numbers = switch_numbers(project)
    assert numbers.kind.tolist() == [3, 0, 3, 3]
    assert numbers.row.tolist() == [0, 0, 1, 2]
    assert numbers.groups == 4


def test_a_switch_higher_up_feels_warmer_air() -> None:
    # By hand: eaves 3.4 m, so the mean stands at 1.7 m; at 2.7 m and 0.5 K/m it is half a kelvin warmer.
    limit = switch(kind="open on rise", spot="room", open=24.0, close=22.0, height=2.7)
    assert set_points(walled(), limit) == approx((21.5, 23.5))
    low = limit.model_copy(update={"height_m": 0.7})
    assert set_points(walled(), low) == approx((22.5, 24.5))


def test_vents_are_shut_by_hour_and_by_date() -> None:
    vents = walled().wall.vents.model_copy(
        update={"shut_hours": (("17:00", "08:00"),), "closed": (("01-02", "01-02"),)}
    )
    opened = vents_open(walled({"vents": vents}), hours(2))
    assert np.flatnonzero(opened).tolist() == list(range(8, 17))


def cover(**keys: Any) -> Cover:
    return Cover.model_validate(keys, strict=True)


def test_a_cover_follows_its_dates() -> None:
    hung = cover_hangs(cover(hung=(("05-01", "05-02"),)), hours(3, start="2001-04-30"), np.zeros(72))
    assert np.flatnonzero(hung).tolist() == list(range(24, 72))


def test_a_cover_by_rule_looks_at_the_week_before_only() -> None:
    # Hand-worked: ten days of 10 C, then 20 C; the week's mean passes 16 C once five of its days are warm
    # (5 x 20 + 2 x 10) / 7 = 17.1; four make 15.7. So it hangs on the sixth warm day, day 15.
    daily = np.array([10.0] * 10 + [20.0] * 15 + [5.0] * 15)
    hung = cover_hangs(cover(hang_above=16.0, take_down_below=12.0), hours(40), np.repeat(daily, 24))
    days = hung.reshape(-1, 24)
    assert (days.all(axis=1) | ~days.any(axis=1)).all()
    up = np.flatnonzero(days[:, 0])
    assert up[0] == 15
    # down again once (7 - k) x 20 + k x 5 falls below 12 x 7: k = 4, four cold days past, day 29
    assert up[-1] == 28
    assert len(up) == 29 - 15


def test_a_cover_by_hot_days_hangs_after_them_and_stays_until_it_is_cool() -> None:
    hot = np.zeros(40, dtype=bool)
    hot[[3, 9, 11]] = True
    daily = np.array([15.0] * 20 + [5.0] * 20)
    hung = cover_hangs(cover(hot_days=2, take_down_below=10.0), hours(40), np.repeat(daily, 24), hot)
    up = np.flatnonzero(hung.reshape(-1, 24)[:, 0])
    # day 10 has days 3 and 9 in the seven days before it; later days at least one more until day 18
    assert up[0] == 10
    # (7 - k) x 15 + k x 5 below 70: k = 4, day 24
    assert up[-1] == 23


def test_a_year_follows_upon_itself() -> None:
    daily = np.full(365, 5.0)
    daily[:100] = daily[330:] = 25.0
    hung = cover_hangs(cover(hang_above=16.0), hours(365), np.repeat(daily, 24))
    by_day = hung.reshape(-1, 24)[:, 0]
    assert by_day[0]
    assert by_day[-1]
    assert not by_day[200]


@pytest.mark.parametrize("fraction", [0.0, 0.5])
def test_no_rule_and_no_date_hang_nothing(fraction: float) -> None:
    assert not cover_hangs(cover(passes=fraction), hours(2), np.full(48, 40.0)).any()
