"""Fans on their curve, in both directions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.physics import fan


def test_fan_laws() -> None:
    # Witness: affinity laws by hand: speed x 0.75 makes flow 0.75, pressure 0.5625, power 0.4219
    assert fan.at_speed(1.0, 1.0, 1.0, 0.75) == approx((0.75, 0.5625, 0.421875))
    assert fan.at_density(2.0, 50.0, 20.0, 0.8) == approx((2.0, 40.0, 16.0))


def test_power_in_both_systems() -> None:
    # Witness: 0.1175 cfm x in.wg / efficiency: 160 cfm, 0.2 in, 0.25 make 15.0 W (engineering table), SI
    # 15.05 W
    assert fan.fan_power_w(160 * 0.000471947, 0.2 * 249.089, 0.25) == approx(15.0, rel=5e-3)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.floats(0.01, 2.0), st.floats(0.0, 0.95), st.floats(1.0, 500.0))
def test_parabola_passes_its_points(flow: float, share: float, shutoff: float) -> None:
    same, free = fan.parabola_curve(flow, share * shutoff, shutoff)
    assert same == shutoff
    assert fan.fan_pressure_pa(flow, shutoff, free) == approx(share * shutoff, rel=1e-9, abs=1e-9 * shutoff)
    assert fan.fan_pressure_pa(0.0, shutoff, free) == shutoff
    assert fan.fan_pressure_pa(free, shutoff, free) == approx(0.0, abs=1e-9 * shutoff)


def test_parabola_rated_at_shutoff_never_falls() -> None:
    assert fan.parabola_curve(0.1, 40.0, 40.0) == (40.0, math.inf)
    assert fan.fan_pressure_pa(5.0, 40.0, math.inf) == 40.0


POINTS = (np.array([0.0, 0.05, 0.08, 0.12]), np.array([60.0, 50.0, 30.0, 0.0]))


@settings(max_examples=120, deadline=None, derandomize=True)
@given(st.floats(-1.0, 1.0), st.floats(1e-6, 0.5))
def test_pressure_falls_over_all_flows(flow: float, more: float) -> None:
    assert fan.fan_pressure_pa(flow + more, 40.0, 0.2) < fan.fan_pressure_pa(flow, 40.0, 0.2)
    assert fan.fan_pressure_from_points_pa(flow + more, *POINTS) < fan.fan_pressure_from_points_pa(
        flow, *POINTS
    )


@pytest.mark.parametrize("flow", [0.0, 0.01, 0.05, 0.06, 0.08, 0.1, 0.12])
def test_points_are_met(flow: float) -> None:
    # Witness: interp of numpy
    assert fan.fan_pressure_from_points_pa(flow, *POINTS) == approx(
        float(np.interp(flow, *POINTS)), abs=1e-12
    )


def test_beyond_the_points() -> None:
    # Witness: by hand: last line -750 Pa per m³/s, whole curve -500
    assert fan.fan_pressure_from_points_pa(0.14, *POINTS) == approx(-15.0)
    assert fan.fan_pressure_from_points_pa(-0.02, *POINTS) == approx(70.0)


def test_flat_curve_still_ends() -> None:
    flows, flat = np.array([0.0, 0.1, 0.2]), np.array([40.0, 20.0, 20.0])
    assert fan.fan_pressure_from_points_pa(0.5, flows, flat) == approx(20.0 - 100.0 * 0.3)


def test_fan_against_stack() -> None:
    """Fan and stack pressures in one path add: the crossing lies where the sum meets the loss."""
    # Witness: p0 (1 - (Q/Qf)²) + stack = R Q² solved by hand
    shutoff, free, stack, resistance = 40.0, 0.2, 2.2, 1500.0
    flow = math.sqrt((shutoff + stack) / (shutoff / free**2 + resistance))
    assert fan.fan_pressure_pa(flow, shutoff, free) + stack == approx(resistance * flow**2)


def test_stopped_fan_resists_both_ways() -> None:
    # Witness: K rho v²/2 by hand: 6 x 0.6 x 2² = 14.4 Pa
    assert fan.stopped_fan_pressure_pa(0.2, 0.1, 6.0, 1.2) == approx(14.4)
    assert fan.stopped_fan_pressure_pa(-0.2, 0.1, 6.0, 1.2) == approx(-14.4)
