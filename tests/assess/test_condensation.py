"""Dew and frost on the pane, against a psychrometric library and by hand."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from pytest import approx

from fakes.walls import walled
from fakes.years import invented_year, with_table
from noonwall.assess.condensation import condensation, ratio, saturation, settling

psychrolib.SetUnitSystem(psychrolib.SI)


def year(room_c: float, pane_c: float, flow_kg_s: float = -0.03):
    made = invented_year(3600)
    n = len(made.table.time)
    return with_table(
        made,
        room_c=np.full(n, room_c),
        glazing_cold_c=np.full(n, pane_c),
        glazing_inner_c=np.full(n, pane_c),
        flow_kg_s=np.full(n, flow_kg_s),
    )


def shop(humidity: float):
    project = walled()
    return walled(shop=project.shop.model_copy(update={"humidity_share": humidity}))


@pytest.mark.parametrize(("room_c", "humidity"), [(5.0, 0.5), (15.0, 0.4), (20.0, 0.7), (10.0, 0.85)])
def test_water_settles_below_the_dew_point_and_not_above(room_c: float, humidity: float) -> None:
    # Witness: psychrolib (ASHRAE Fundamentals' formulas), dew point from relative humidity; it is over water above
    # freezing and over ice below.
    dew_c = psychrolib.GetTDewPointFromRelHum(room_c, humidity)
    project = shop(humidity)
    above, below = (condensation(year(room_c, dew_c + step), project) for step in (0.05, -0.05))
    assert above.whole.water_g == 0.0
    assert above.whole.dew_h + above.whole.frost_h == 0.0
    assert below.whole.water_g > 0.0
    hours = below.whole.frost_h if dew_c - 0.05 < 0.0 else below.whole.dew_h
    assert hours == approx(8760.0)


def test_what_settles_is_what_the_air_gives_up() -> None:
    # By hand: 0.03 kg/s of air at 15 C and 60 % past a pane at -5 C; humidity ratios by psychrolib; so large a pane
    # takes nearly all that is above saturation: N = 2.5 x 20.3 / (0.03 x 1006 x 0.9) = 1.87, 1 - exp(-N) = 0.846.
    project = shop(0.6)
    pressure = 101325.0 * (1.0 - 2.25577e-5 * 150.0) ** 5.2559
    inlet = psychrolib.GetHumRatioFromRelHum(15.0, 0.6, pressure)
    at_pane = psychrolib.GetSatHumRatio(-5.0, pressure)
    water_g, below, frozen = settling(year(15.0, -5.0), project)
    by_hand = 0.03 * (inlet - at_pane) * 0.846 * 3600.0 * 1000.0
    assert float(water_g[0]) == approx(by_hand, rel=0.01)
    assert below.all()
    assert frozen.all()


def test_no_more_settles_than_the_air_carries_and_none_without_air() -> None:
    project = shop(0.6)
    slow, fast = (float(settling(year(15.0, -5.0, flow), project)[0][0]) for flow in (-0.002, -2.0))
    carried = 0.002 * float(ratio(0.6 * saturation(np.array([15.0])), 99500.0)[0]) * 3.6e6
    assert slow < carried
    assert fast < 40.0 * slow
    assert float(settling(year(15.0, -5.0, 0.0), project)[0][0]) == approx(0.0, abs=1e-3)


def test_the_wettest_night_is_found() -> None:
    made = year(10.0, 20.0)
    pane = made.table.glazing_cold_c.copy()
    pane[24 * 40 + 20 : 24 * 41 + 6] = -10.0
    found = condensation(with_table(made, glazing_cold_c=pane, glazing_inner_c=pane), shop(0.7))
    assert found.worst is not None
    assert found.worst.evening == np.datetime64("2001-02-10")
    assert found.worst.water_g == approx(found.whole.water_g)
    assert found.worst.water_g_m2 == approx(found.worst.water_g / (22.08 * 0.92))
    assert found.months[1].frost_h == approx(10.0)


def test_saturation_of_many_is_that_of_one() -> None:
    # Witness: psychrolib, Hyland and Wexler's formulas as ASHRAE prints them.
    points = np.array([-40.0, -12.3, -0.5, 0.0, 0.7, 4.56, 23.4, 61.0])
    by_library = [psychrolib.GetSatVapPres(float(t)) for t in points]
    assert saturation(points) == approx(by_library, rel=3e-4)


def test_fresh_air_brings_no_water_of_the_shop() -> None:
    fresh = shop(0.6)
    fresh = fresh.model_copy(update={"wall": fresh.wall.model_copy(update={"inlet_from": "outdoors"})})
    assert condensation(year(15.0, -5.0, 0.05), fresh).whole.water_g == 0.0
    assert condensation(year(15.0, -5.0, -0.05), fresh).whole.water_g > 0.0
