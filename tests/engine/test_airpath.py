"""The pressure network alone: openings, fans, flap, friction; mirrored drives give mirrored flows."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import brentq

from engine.cases import case_of
from fakes.projects import plain
from noonwall.engine.airpath import (
    channel_friction,
    fan_flow,
    opening_flow,
    row_flow,
    row_openings,
    solve_network,
)

if TYPE_CHECKING:
    from noonwall.engine.numbers import AirNumbers, WallNumbers
    from noonwall.engine.simulate import Case

RHO, MU = 1.2, 1.82e-5


@cache
def case() -> Case:
    return case_of(plain(), step_s=900)


def wall() -> WallNumbers:
    return case().wall


def path(**figures: Any) -> AirNumbers:
    """Return an air path of two equal plain rows, without fans, flap or leaks unless told."""
    usual = {
        "bottom_plain_m2": 0.1, "bottom_fan_m2": 0.0, "top_plain_m2": 0.1, "top_fan_m2": 0.0, "leak_m2": 0.0,
        "fan_count": np.zeros(1),
    }  # fmt: skip
    return case().air._replace(**{**usual, **figures})


def solved(
    buoyancy_pa: float, air: AirNumbers, running: float = 0.0, vents: float = 1.0
) -> tuple[float, ...]:
    return solve_network(buoyancy_pa, 0.0, RHO, RHO, RHO, MU, 0.0, running, 0.0, vents, 0.0, wall(), air)


def test_opening_follows_the_orifice_law() -> None:
    # Witness: Cd A sqrt(2 rho dp) by hand: 0.062 m2 at 1 Pa: 0.0960 kg/s
    flow, slope = opening_flow(1.0, 0.062, RHO)
    assert flow == approx(0.062 * math.sqrt(2.4), rel=1e-5)
    assert slope == approx(0.5 * flow, rel=1e-4)


@pytest.mark.parametrize("dp", [-2.0, -1e-3, 0.0, 1e-4, 0.3, 5.0])
def test_slopes_are_the_flows_own(dp: float) -> None:
    flow, slope = opening_flow(dp, 0.1, RHO)
    ahead, _ = opening_flow(dp + 1e-7, 0.1, RHO)
    assert slope == approx((ahead - flow) / 1e-7, rel=1e-3)
    assert opening_flow(-dp, 0.1, RHO)[0] == approx(-flow, abs=1e-15)


@pytest.mark.parametrize("flow", [-0.3, -0.02, 0.005, 0.1, 0.5])
def test_friction_is_odd_and_its_slope_its_own(flow: float) -> None:
    loss, slope = channel_friction(flow, RHO, MU, wall(), path())
    ahead, _ = channel_friction(flow + 1e-7, RHO, MU, wall(), path())
    assert channel_friction(-flow, RHO, MU, wall(), path())[0] == approx(-loss, rel=1e-12)
    assert slope == approx((ahead - loss) / 1e-7, rel=2e-3)


@given(st.floats(-30.0, 30.0))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_fan_settles_on_its_curve(help_pa: float) -> None:
    air = case().air
    flow, slope = fan_flow(help_pa, 0.02232, RHO, 1.0, 0, air)
    curve_q, curve_p = air.fan_flow_m3_s[0], air.fan_pressure_pa[0]
    end = (curve_p[-1] - curve_p[-2]) / (curve_q[-1] - curve_q[-2])

    def miss(q: float) -> float:
        own = float(np.interp(q, curve_q, curve_p)) + end * max(q - curve_q[-1], 0.0)
        return own + help_pa - 0.5 * RHO * (q / 0.02232) ** 2

    # Witness: the balance of fan, help and opening, found by brentq on the same points
    assert flow / RHO == approx(brentq(miss, 0.0, 1.0), rel=1e-6)
    assert slope > 0.0


def test_fan_held_against_its_shutoff_pressure_lets_air_back() -> None:
    air = case().air
    shutoff = float(air.fan_pressure_pa[0, 0])
    assert fan_flow(-shutoff, 0.02, RHO, 1.0, 0, air)[0] == approx(0.0, abs=1e-3)
    assert fan_flow(-shutoff - 5.0, 0.02, RHO, 1.0, 0, air)[0] < -0.05


@given(st.floats(1e-4, 20.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_mirrored_drive_gives_mirrored_flow_and_pressures(buoyancy_pa: float) -> None:
    for leak in (0.0, 0.01):
        up, down = solved(buoyancy_pa, path(leak_m2=leak)), solved(-buoyancy_pa, path(leak_m2=leak))
        assert up[0] == approx(-down[0], rel=1e-6)
        assert up[1] == approx(-down[1], rel=1e-5, abs=1e-9)  # pressure at the channel's foot
        assert (up[2], up[3]) == approx((down[3], down[2]), rel=1e-5, abs=1e-9)
        assert (up[5], up[6]) == approx((down[6], down[5]), rel=1e-5, abs=1e-9)


@given(st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_more_drive_never_less_flow(one_pa: float, two_pa: float) -> None:
    air = path(fan_count=np.array([3.0]), top_plain_m2=0.045, top_fan_m2=0.067, leak_m2=0.002)
    for running in (0.0, 1.0):
        low, high = (solved(b, air, running)[0] for b in sorted((one_pa, two_pa)))
        assert high >= low - 1e-6


def test_no_drive_no_flow() -> None:
    # Law: equal temperatures and no fan: nothing moves
    flow = solved(0.0, path(leak_m2=0.01))
    assert flow[0] == approx(0.0, abs=1e-12)


@given(st.floats(-10.0, 10.0))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_mass_is_kept(buoyancy_pa: float) -> None:
    air = path(fan_count=np.array([3.0]), top_plain_m2=0.045, top_fan_m2=0.067, leak_m2=0.004)
    for running in (0.0, 1.0):
        flow, _, b_in, b_back, b_out, t_out, t_back, t_leak, _ = solved(buoyancy_pa, air, running)
        assert flow == approx(b_in - b_back + b_out, abs=1e-12)
        assert flow == approx(t_out - t_back + t_leak, abs=1e-6)


@given(st.floats(0.01, 10.0))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_a_flap_holds_back_the_night_and_lets_the_day_pass(drive_pa: float) -> None:
    figures = {"flap_row": 1, "flap_opening_pa": 0.3, "flap_leak_share": 0.03, "flap_open_share": 0.85}
    bare, flapped = path(), path(**figures)
    assert abs(solved(-drive_pa, flapped)[0]) < 0.06 * abs(solved(-drive_pa, bare)[0])
    assert 0.0 < solved(drive_pa, flapped)[0] < solved(drive_pa, bare)[0]


def test_a_stuck_flap_is_open_or_shut_both_ways() -> None:
    figures = {"flap_row": 1, "flap_opening_pa": 0.3, "flap_leak_share": 0.03, "flap_open_share": 0.85}
    for drive_pa in (-2.0, 2.0):
        stuck_open = solved(drive_pa, path(**figures, flap_stuck=1))[0]
        stuck_shut = solved(drive_pa, path(**figures, flap_stuck=2))[0]
        assert abs(stuck_open) > 10.0 * abs(stuck_shut)
        assert math.copysign(1.0, stuck_open) == math.copysign(1.0, drive_pa)


def test_shut_vents_let_next_to_nothing_through() -> None:
    assert solved(3.0, path(), vents=0.0)[0] < 0.003 * solved(3.0, path(), vents=1.0)[0]


def test_air_slips_back_beside_a_running_fan() -> None:
    # A fan in one of the openings of a row pushes air out; part of it comes back through the bare ones beside it.
    air = case().air
    rows = row_openings(2, 1.0, 0.0, 1.0, air)
    forward, backward, _ = row_flow(-2.0, RHO, rows, 2, 1.0, 0.0, 1.0, air)
    assert forward > 0.2
    assert backward > 0.05
