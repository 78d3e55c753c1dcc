"""The honest meter and what heat is worth: a builder's claim, two years, fuel."""

from __future__ import annotations

import numpy as np
import pytest

from logs.lived import shed
from noonwall.logs.claim import corrected_kwh, hold
from noonwall.logs.period import Period
from noonwall.logs.worth import Lap, compare, degree_days, laps, worth_of

SUN_NOW_KWH, SUN_BEFORE_KWH = (
    640.0 * 9.3,
    712.0 * 9.3,
)  # 9.3 m2, October to April, measured on the wall's plane


def test_a_claim_beyond_what_the_wall_takes_up_is_refused() -> None:
    # Witness: the energy balance by hand: 640 kWh/m2 on 9.3 m2 are 5,952 kWh; 4,350 kWh are 73 % of them.
    assert pytest.approx(5952.0) == SUN_NOW_KWH
    claim = hold(4350.0, SUN_NOW_KWH)
    assert claim.refused
    assert claim.share == pytest.approx(0.731, abs=5e-4)
    assert "energy balance" in claim.why


def test_the_same_claim_put_right_is_possible() -> None:
    # Witness: by hand: 4,350 x 205/280 = 3,185; the sensor 1.5 K high on 17 K: x 15.5/17 = 2,904 kWh.
    by_flow = corrected_kwh(4350.0, 280.0, 205.0)
    assert round(by_flow) == 3185
    right = corrected_kwh(4350.0, 280.0, 205.0, 17.0, 1.5)
    assert round(right) == 2904
    claim = hold(right, SUN_NOW_KWH)
    assert claim.verdict == "possible"
    assert claim.share == pytest.approx(0.488, abs=5e-4)


def test_more_than_half_is_doubtful_and_no_sun_is_no_ground() -> None:
    assert hold(3900.0, SUN_NOW_KWH).verdict == "doubtful"
    with pytest.raises(ValueError, match="needs sun"):
        hold(10.0, 0.0)


def test_fewer_kilowatt_hours_but_no_change_proven() -> None:
    # Witness: by hand: 2,904 / 5,952 = 48.8 %, 3,050 / 6,622 = 46.1 %: 6 % better by the sun, inside 8 %.
    before = Lap("before", 212, 3900.0, SUN_BEFORE_KWH, 0.0, 3050.0)
    after = Lap("after", 212, 4100.0, SUN_NOW_KWH, 0.0, 2904.0)
    change = compare(before, after)
    assert change.plain_share == pytest.approx(-0.048, abs=1e-3)
    assert change.by_sun_share == pytest.approx(0.06, abs=5e-3)
    assert change.by_weather_share is None
    assert change.verdict == "no change proven"
    assert compare(before, after, band_share=0.03).verdict == "better"


def test_the_weather_year_decides_over_the_plain_sum() -> None:
    before = Lap("before", 365, 4000.0, 10_000.0, 2000.0, 1800.0)
    after = Lap("after", 365, 3500.0, 9000.0, 1500.0, 1640.0)
    change = compare(before, after)
    assert change.plain_share == pytest.approx(-0.089, abs=1e-3)
    assert change.by_weather_share == pytest.approx(0.215, abs=1e-3)
    assert change.verdict == "better"


def test_degree_days_count_what_is_below_the_base() -> None:
    air = np.repeat([5.0, 20.0, -10.0], 96)
    assert degree_days(air) == pytest.approx(10.0 + 0.0 + 25.0)


def test_two_years_are_cut_apart_at_the_last_day_and_count_compared_hours_only() -> None:
    period = Period(np.datetime64("2023-12-01"), 31 + 366 + 365, -5.0)
    steps = period.days * 96
    watt = np.where(np.arange(steps) < steps - 365 * 96, 800.0, 1000.0)
    known = np.ones(steps, bool)
    known[: 96 * 32] = False
    found = laps(period, known, np.zeros(steps), 4.0 * watt, 1.0 * watt, np.where(known, watt, np.nan))
    assert [lap.name for lap in found] == ["2024-01-02 to 2024-12-31", "2025-01-01 to 2025-12-31"]
    first, last = found
    assert last.days == 365
    assert last.measured_kwh == pytest.approx(365 * 24.0)
    assert first.measured_kwh == pytest.approx(365 * 24 * 0.8)
    assert last.degree_days == pytest.approx(365 * 15.0)
    change = compare(first, last)
    assert change.by_weather_share == pytest.approx(0.0, abs=1e-12)
    assert change.verdict == "no change proven"


def test_what_is_there_twice_is_set_side_by_side() -> None:
    period = Period(np.datetime64("2024-10-01"), 365 + 100, -5.0)
    steps = period.days * 96
    ones = np.full(steps, 1000.0)
    found = laps(period, np.ones(steps, bool), np.zeros(steps), ones, ones, ones)
    assert [lap.name for lap in found] == ["2024-10-01 to 2025-01-08", "2025-10-01 to 2026-01-08"]
    short = Period(np.datetime64("2024-10-01"), 365 + 30, -5.0)
    steps = short.days * 96
    assert len(laps(short, np.ones(steps, bool), *(np.ones(steps) for _ in range(4)))) == 1


def test_the_backup_is_compared_by_degree_days_over_the_days_it_was_logged() -> None:
    period = Period(np.datetime64("2024-01-01"), 2 * 365, -5.0)
    steps = period.days * 96
    later = np.arange(steps) >= steps // 2
    out_c = np.where(later, 5.0, 0.0)  # 15 K d a day in the first year, 10 in the second
    backup = np.where(later, 20.0, 45.0) / 96.0  # 3 and 2 kWh a degree day
    backup[: 96 * 100] = np.nan
    ones = np.full(steps, 1000.0)
    first, last = laps(period, np.ones(steps, bool), out_c, ones, ones, ones, backup)
    assert first.heater_degree_days == pytest.approx(265 * 15.0)
    heater = shed().shop.heater
    change = compare(first, last, heater=heater)
    assert change.heater_share == pytest.approx(-1.0 / 3.0)
    assert change.saved is not None
    # Witness: by hand: 1 kWh a degree day over 3,650 of them.
    assert change.saved.heat_kwh == pytest.approx(3650.0)
    assert change.saved.money == pytest.approx(change.saved.amount * 2.60)
    assert compare(first, last).saved is None


def test_heat_in_fuel_and_money() -> None:
    heater = shed().shop.heater
    assert heater is not None
    worth = worth_of(1000.0, heater)
    assert worth is not None
    assert worth.money is not None
    assert worth.money == pytest.approx(worth.amount * 2.60)
    # Witness: propane 91,500 Btu a gallon, higher heating value (EIA, energy units; from memory), 80 % efficiency.
    assert worth.amount == pytest.approx(1000.0 / 0.8 / (91_500 / 3412.14), rel=0.01)
    assert worth_of(1000.0, None) is None
