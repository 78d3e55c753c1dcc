"""Heat carried by air, as measured."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pytest import approx

from noonwall.physics import meter as m


def test_heat_of_air() -> None:
    # Witness: first law: 0.05 kg/s by 20 K: 1006 W; 1000 W in 0.05 kg/s: 19.88 K
    assert m.air_heat_w(0.05, 20.0) == approx(1006.0)
    assert 1000.0 / m.air_heat_w(0.05, 1.0) == approx(19.88, rel=1e-3)


def test_rule_of_the_trade() -> None:
    # Witness: 1.08 x cfm x °F: 100 cfm, 40 °F: 4320 Btu/h = 1266 W at sea level
    flow = m.mass_flow_kg_s(100 * 0.000471947, 1.0, 1.204)
    assert m.air_heat_w(flow, 40 / 1.8) == approx(1266.0, rel=5e-3)
    # Witness: standard atmosphere, 1500 m: factor 0.8345
    thin = m.density_at_meter_kg_m3(20.0, 84556.0, 0.0) / m.density_at_meter_kg_m3(20.0, 101325.0, 0.0)
    assert thin == approx(0.8345, abs=1e-4)


def test_density_where_the_meter_is() -> None:
    # Witness: ideal gas: 45 against 15 °C makes 10.4 %
    cool, hot = (m.density_at_meter_kg_m3(t, 101325.0, 0.0) for t in (15.0, 45.0))
    assert cool / hot - 1 == approx(0.104, abs=1e-3)
    assert m.density_at_meter_kg_m3(45.0, 101325.0, 2000.0) < hot


def test_standard_speed() -> None:
    # Witness: ideal gas by hand: 1 m/s shown at 21.1 °C standard is 318.15/294.25 at 45 °C
    assert m.standard_speed_to_real_m_s(1.0, 45.0, 101325.0, 21.1) == approx(318.15 / 294.25)


def test_uncertainty() -> None:
    # Witness: law of propagation against a seeded draw of 200,000 measurements
    rng = np.random.default_rng(7)
    flow = 0.1 * (1 + 0.08 * rng.standard_normal(200_000))
    rise = 17.0 + 0.5 * rng.standard_normal(200_000) - 0.3 * rng.standard_normal(200_000)
    drawn = np.std(flow * 1006.0 * rise)
    told = m.heat_uncertainty_w(m.air_heat_w(0.1, 17.0), 0.08, 0.3, 0.5, 17.0)
    assert told == approx(float(drawn), rel=0.01)
    assert m.heat_uncertainty_w(0.0, 0.1, 0.5, 0.5, 0.0) == math.inf


def seventh(share: np.ndarray) -> np.ndarray:
    """Turbulent profile, 1/7 power of the distance from the nearer wall (1 in the middle)."""
    return np.asarray((2 * np.minimum(share, 1 - share)) ** (1 / 7))


@pytest.mark.parametrize(("lines", "error"), [(5, -0.10), (6, -0.22), (7, -0.04)])
def test_rectangular_traverse_finds_the_mean(lines: int, error: float) -> None:
    # Witness: mean of the 1/7 power profile between plates is 7/8; published point positions
    found = m.traverse_mean(seventh(np.array(m.RECTANGULAR_LINES[lines]))) / (7 / 8) - 1
    assert 100 * found == approx(error, abs=0.02)


@pytest.mark.parametrize(("points", "error"), [(6, -0.27), (8, -0.09), (10, -0.11)])
def test_round_traverse_finds_the_mean(points: int, error: float) -> None:
    # Witness: mean of the 1/7 power profile in a pipe is 49/60
    found = m.traverse_mean(seventh(np.array(m.ROUND_POINTS[points]))) / (49 / 60) - 1
    assert 100 * found == approx(error, abs=0.02)


def test_one_reading_in_the_middle_is_far_too_high() -> None:
    # Witness: 1/7 power profile: centre over mean 8/7
    assert approx(0.143, abs=1e-3) == 1 / (7 / 8) - 1
    equal_area = m.traverse_mean(seventh((np.arange(5) + 0.5) / 5)) / (7 / 8) - 1
    assert 100 * equal_area == approx(1.7, abs=0.05)


@pytest.mark.parametrize(("inches", "count"), [(20.0, 5), (30.0, 6), (36.0, 6), (40.0, 7)])
def test_number_of_lines(inches: float, count: int) -> None:
    # Witness: ANSI/ASHRAE 111 rule quoted in an instrument manual
    found = m.rectangular_lines(inches * 0.0254)
    assert len(found) == count
    assert found == approx(np.array(m.RECTANGULAR_LINES[count]) * inches * 0.0254)
    assert found + found[::-1] == approx(np.full(count, inches * 0.0254))
