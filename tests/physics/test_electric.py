"""Voltage drop."""

from __future__ import annotations

import pytest
from pytest import approx

from noonwall.physics import electric as e

FOOT = 0.3048


@pytest.mark.parametrize(
    ("feet", "amps", "gauge", "cmil", "volts"),
    [(100.0, 20.0, 10, 10380.0, 4.97), (100.0, 20.0, 12, 6530.0, 7.9), (100.0, 20.0, 8, 16510.0, 3.1)],
)
def test_drop_by_circular_mils(feet: float, amps: float, gauge: int, cmil: float, volts: float) -> None:
    # Witness: trade pages on voltage drop, K = 12.9: 4.97, 7.9, 3.1 V; 14 AWG etc. areas from ASTM B258
    assert e.voltage_drop_circular_mil_v(feet, amps, cmil) == approx(volts, rel=0.01)
    assert e.gauge_area_m2(gauge) / e.CIRCULAR_MIL_M2 == approx(cmil, rel=1e-3)


def test_low_voltage_fan() -> None:
    # Witness: by hand, 3 A at 12 V over 25 ft: 14 AWG 0.47 V (3.9 %), 10 AWG 1.55 %; 80 ft at 120 V 1.51 V
    assert e.voltage_drop_circular_mil_v(25.0, 3.0, 4110.0) == approx(0.47, abs=0.005)
    assert e.voltage_drop_circular_mil_v(25.0, 3.0, 10380.0) / 12 == approx(0.0155, abs=2e-4)
    assert e.voltage_drop_circular_mil_v(80.0, 3.0, 4110.0) == approx(1.51, abs=0.005)


def test_drop_in_si() -> None:
    # Witness: 20 m, 10 A, 2.5 mm²: 2.80 V at 0.0175, 3.60 V at 0.0225 ohm mm²/m
    assert e.voltage_drop_v(20.0, 10.0, 2.5e-6, 0.0175e-6) == approx(2.80)
    assert e.voltage_drop_v(20.0, 10.0, 2.5e-6, 0.0225e-6) == approx(3.60)


def test_both_systems_agree() -> None:
    # Witness: K = 12.9 ohm cmil/ft is copper at some 75 °C
    resistivity = 12.9 * e.CIRCULAR_MIL_M2 / FOOT
    assert e.copper_resistivity_ohm_m(75.0) == approx(resistivity, rel=0.01)
    si = e.voltage_drop_v(100 * FOOT, 20.0, e.gauge_area_m2(10), resistivity)
    assert si == approx(e.voltage_drop_circular_mil_v(100.0, 20.0, 10380.0), rel=1e-3)


def test_area_for_a_drop() -> None:
    area = e.area_for_drop_m2(7.6, 3.0, 0.36, 1.75e-8)
    assert e.voltage_drop_v(7.6, 3.0, area, 1.75e-8) == approx(0.36)
