"""Sums are what the table holds: counted hours, the shop alone, and the fuel not burned."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.sums import answers, shop_alone, warm_hours


def test_warm_hours_count_each_shop_by_itself() -> None:
    year = invented_year()
    n = len(year.table.time)
    warm = warm_hours(
        with_table(year, room_c=np.full(n, 10.0), room_without_c=np.where(np.arange(n) < 100, 10.0, 9.9))
    )
    assert (warm.with_wall_h, warm.without_wall_h) == (8760.0, 100.0)
    # October to April: 31 + 30 + 31 + 31 + 28 + 31 + 30 days
    assert warm.cold_half_h == warm.cold_half_with_wall_h == 212 * 24
    assert warm.cold_half_without_wall_h == 100.0


def test_hours_do_not_depend_on_the_step() -> None:
    coarse, fine = warm_hours(invented_year(3600)), warm_hours(invented_year(900))
    assert fine.with_wall_h == pytest.approx(coarse.with_wall_h, rel=0.01)
    assert fine.cold_half_h == coarse.cold_half_h


def test_the_shop_alone_adds_up_over_the_months() -> None:
    year = invented_year()
    whole, months = shop_alone(year), [shop_alone(year, m) for m in range(1, 13)]
    assert sum(m.backup_kwh for m in months) == pytest.approx(whole.backup_kwh)
    assert whole.min_c == min(m.min_c for m in months)
    assert whole.max_c == max(m.max_c for m in months)
    assert whole.backup_kwh == pytest.approx(year.whole().backup_without_wall_kwh)


def test_answers_follow_the_site_to_its_own_winter() -> None:
    year, project = invented_year(), demo()
    north = answers(year, project)
    south = answers(year, demo(site=project.site.model_copy(update={"latitude_deg": -46.1})))
    assert (north.winter_month, south.winter_month) == (1, 7)
    # April to October: 30 + 31 + 30 + 31 + 31 + 30 + 31 days
    assert south.warm.cold_half_h == 214 * 24


def test_fan_money_is_none_without_a_price_and_a_product_with_one() -> None:
    year, project = invented_year(), demo()
    priced = demo(money=project.money.model_copy(update={"electricity_per_kwh": 0.25}))
    assert (
        answers(year, demo(money=project.money.model_copy(update={"electricity_per_kwh": None}))).fan_money
        is None
    )
    assert answers(year, priced).fan_money == pytest.approx(0.25 * year.whole().fan_kwh)


def test_fuel_is_the_heaters_heat_over_its_efficiency_in_the_units_of_its_price() -> None:
    year, project = invented_year(), demo()
    saved = answers(year, project).fuel
    assert saved is not None
    whole = year.whole()
    assert saved.heat_kwh == pytest.approx(whole.backup_without_wall_kwh - whole.backup_kwh)
    assert saved.fuel_kwh == pytest.approx(saved.heat_kwh / 0.80)
    # Witness: US EIA, energy units: propane 91,452 Btu a gallon; 1 kWh is 3412.14 Btu
    assert saved.amount == pytest.approx(saved.fuel_kwh * 3412.14 / 91452.0, rel=1e-3)
    assert saved.unit == "gallon"
    assert saved.money == pytest.approx(2.60 * saved.amount)


def test_a_wall_that_makes_the_heater_burn_more_is_told_as_negative() -> None:
    year = invented_year()
    worse = with_table(year, backup_w=year.table.backup_without_w + 100.0)
    saved = answers(worse, demo()).fuel
    assert saved is not None
    assert saved.heat_kwh == pytest.approx(-876.0)


def test_without_a_heater_there_is_no_fuel() -> None:
    shop = demo().shop.model_copy(update={"heater": None})
    assert answers(invented_year(), demo(shop=shop)).fuel is None
    assert answers(invented_year(), demo(shop=shop)).heater is None


def test_the_heaters_hours_are_counted_for_each_shop_by_itself() -> None:
    year, n = invented_year(), 8760
    first = np.arange(n) < 50
    heat = with_table(
        year,
        room_c=np.full(n, 5.0),
        room_without_c=np.where(first, 4.8, 5.0),
        backup_w=np.zeros(n),
        backup_without_w=np.where(first, 9000.0, 0.0),
        useful_w=np.full(n, 1000.0),
    )
    found = answers(heat, demo()).heater
    assert found is not None
    assert not found.holds_warm_enough
    assert (found.rests_with_wall_h, found.rests_without_wall_h) == (8760.0, 8710.0)
    assert (found.short_with_wall_h, found.short_without_wall_h) == (0.0, 50.0)
    assert found.useful_at_rest_kwh == pytest.approx(8710.0)
