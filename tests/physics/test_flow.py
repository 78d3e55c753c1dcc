"""Openings, friction, flaps and the stack."""

from __future__ import annotations

import math

import fluids
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.physics import flow as f
from noonwall.physics.air import density_kg_m3, viscosity_pa_s

SEA = 101325.0


@pytest.mark.parametrize(
    ("height_m", "outside_c", "inside_c", "pascal"),
    [(2.0, 20.0, 50.0, 2.192), (2.4, 15.0, 45.0, 2.719), (2.0, 20.0, 10.0, -0.834)],
)
def test_stack_pressure(height_m: float, outside_c: float, inside_c: float, pascal: float) -> None:
    # Witness: ideal gas by hand, 3463 H (1/To - 1/Ti); the last one is the night: the sign must flip
    inner, outer = density_kg_m3(SEA, inside_c + 273.15), density_kg_m3(SEA, outside_c + 273.15)
    assert f.stack_pressure_pa(inner, outer, height_m) == approx(pascal, rel=2e-3)


def test_stack_flow_by_two_routes() -> None:
    # Witness: ASHRAE Fundamentals 1997, p. 25.13, eq. 37 (quoted publicly): Cd 0.65, 0.1 m², 1 m, 50/20 °C:
    # 0.0877 m³/s
    flow = f.stack_flow_m3_s(0.1, 0.65, 1.0, 323.15, 293.15)
    assert flow == approx(0.0877, rel=5e-3)
    # Two such openings 2 m apart in series carry the same flow under the whole stack pressure (outdoor air
    # counts).
    drive = f.stack_pressure_pa(density_kg_m3(SEA, 323.15), density_kg_m3(SEA, 293.15), 2.0)
    resistance = f.loss_resistance(
        2 * f.loss_coefficient_from_discharge(0.65), 0.1, density_kg_m3(SEA, 293.15)
    )
    assert f.quadratic_flow(drive, resistance, 0.0) == approx(flow, rel=5e-3)
    assert f.stack_flow_m3_s(0.1, 0.65, 1.0, 293.15, 323.15) == -flow


def test_discharge_and_loss() -> None:
    # Witness: definition, 1/0.60² and 1/0.65²
    assert f.loss_coefficient_from_discharge(0.60) == approx(2.78, abs=0.005)
    assert f.loss_coefficient_from_discharge(0.65) == approx(2.37, abs=0.005)


@pytest.mark.parametrize("open_share", [0.3, 0.5, 0.6, 0.7, 0.8])
@pytest.mark.parametrize("wire_reynolds", [20.0, 35.0, 100.0, 1000.0])
def test_screen(open_share: float, wire_reynolds: float) -> None:
    # Witness: fluids.filters.round_edge_screen (Blevins 1984)
    assert f.screen_loss_at(open_share, wire_reynolds) == approx(
        fluids.filters.round_edge_screen(open_share, wire_reynolds), rel=1e-9
    )


def test_insect_screen_in_slow_air() -> None:
    # Witness: fluids.filters.round_edge_screen at wire Reynolds number 20 (0.3 mm wire at 1 m/s)
    assert f.screen_loss(0.55) == approx(fluids.filters.round_edge_screen(0.55, 20.0), rel=1e-9)
    assert f.screen_loss(1.0) == 0.0


def test_orifice() -> None:
    # Witness: dp = K rho v²/2 by hand
    flow = f.orifice_flow_m3_s(10.0, 0.02, 0.62, 1.2)
    assert f.loss_coefficient_from_discharge(0.62) * 0.6 * (flow / 0.02) ** 2 == approx(10.0)
    assert f.orifice_flow_m3_s(-10.0, 0.02, 0.62, 1.2) == -flow
    assert f.orifice_flow_m3_s(0.0, 0.02, 0.62, 1.2) == 0.0


def test_half_the_flow_a_quarter_of_the_pressure() -> None:
    # Witness: 10 Pa at 0.05 m³/s: quadratic losses give 2.5 Pa at half the flow, laminar ones 5 Pa
    assert f.quadratic_pressure_pa(0.025, 10.0 / 0.05**2, 0.0) == approx(2.5)
    assert f.quadratic_pressure_pa(0.025, 0.0, 10.0 / 0.05) == approx(5.0)


pressures = st.floats(-200.0, 200.0)
resistances = st.floats(0.0, 1e5)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(pressures, resistances, st.floats(1e-3, 1e4))
def test_quadratic_flow_undone(dp_pa: float, quadratic: float, linear: float) -> None:
    flow = f.quadratic_flow(dp_pa, quadratic, linear)
    assert f.quadratic_pressure_pa(flow, quadratic, linear) == approx(dp_pa, rel=1e-9, abs=1e-12)
    assert f.quadratic_flow(-dp_pa, quadratic, linear) == -flow


@pytest.mark.parametrize("dp_pa", [1e-12, 1e-8, 1e-5])
def test_quadratic_flow_is_linear_near_zero(dp_pa: float) -> None:
    assert f.quadratic_flow(dp_pa, 3000.0, 50.0) == approx(dp_pa / 50.0, rel=1e-4)


def test_quadratic_flow_where_nothing_drives_or_resists() -> None:
    assert f.quadratic_flow(0.0, 3000.0, 0.0) == 0.0
    assert f.quadratic_flow(1.0, 0.0, 0.0) == 0.0


@pytest.mark.parametrize("Re", [300.0, 1000.0, 1765.0])
def test_laminar_friction(Re: float) -> None:
    # Witness: Shah & London 1978: 96/Re between wide plates (numerical series gives the same)
    assert f.channel_friction_factor(Re) == approx(96.0 / Re)


@pytest.mark.parametrize("Re", [4000.0, 1e4, 2e4, 5e4])
def test_turbulent_friction(Re: float) -> None:
    # Witness: friction_factor (Colebrook, smooth) and Blasius of the fluids library
    assert f.channel_friction_factor(Re) == approx(fluids.friction_factor(Re, 0.0), rel=0.04)
    assert f.channel_friction_factor(Re) == approx(fluids.friction.Blasius(Re), rel=1e-3)


@pytest.mark.parametrize(
    ("gap_m", "speed", "length_m", "pascal", "rel"),
    [(0.050, 0.3, 2.0, 0.055, 0.01), (0.025, 0.3, 2.0, 0.221, 0.01), (0.025, 3.0, 2.4, 7.95, 0.03)],
)
def test_friction_of_a_slot(gap_m: float, speed: float, length_m: float, pascal: float, rel: float) -> None:
    # Witness: Darcy-Weisbach with CoolProp air at 40 °C by hand: 0.055, 0.221, 7.95 Pa
    rho, mu = density_kg_m3(SEA, 313.15), viscosity_pa_s(313.15)
    found = f.channel_friction_pa(speed * gap_m * 0.9, 0.9, gap_m, length_m, rho, mu)
    assert found == approx(pascal, rel=rel)
    assert f.channel_friction_pa(-speed * gap_m * 0.9, 0.9, gap_m, length_m, rho, mu) == -found


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.floats(-2.0, 2.0), st.floats(1e-6, 0.5), st.floats(0.01, 0.2))
def test_friction_rises_with_flow(flow: float, more: float, gap_m: float) -> None:
    low = f.channel_friction_pa(flow, 2.0, gap_m, 2.4, 1.2, 1.8e-5)
    high = f.channel_friction_pa(flow + more, 2.0, gap_m, 2.4, 1.2, 1.8e-5)
    assert high >= low


def test_friction_has_no_step() -> None:
    at, width, gap, rho, mu = 0.0, 2.0, 0.05, 1.2, 1.8e-5
    for Re in (1999.999, 2034.0):
        flow = Re * mu / (rho * 2 * gap) * width * gap
        step = f.channel_friction_pa(flow * 1.000001, width, gap, 2.4, rho, mu) - f.channel_friction_pa(
            flow, width, gap, 2.4, rho, mu
        )
        at = max(at, step)
    assert 0.0 <= at < 1e-6


FLAP = {"opening_pa": 0.3, "leak_area_m2": 0.005, "open_area_m2": 0.15, "cd": 0.62, "density_kg_m3": 1.2}


@settings(max_examples=150, deadline=None, derandomize=True)
@given(pressures, st.floats(0.0, 20.0), st.floats(1e-5, 0.05), st.floats(0.0, 0.5))
def test_flap_undone(dp_pa: float, opening: float, leak: float, wide: float) -> None:
    flow = f.flap_flow(dp_pa, opening, leak, wide, 0.62, 1.2)
    assert f.flap_pressure_pa(flow, opening, leak, wide, 0.62, 1.2) == approx(dp_pa, rel=1e-6, abs=1e-9)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.floats(-3.0, 3.0), st.floats(1e-6, 1.0))
def test_flap_pressure_rises(flow: float, more: float) -> None:
    assert f.flap_pressure_pa(flow + more, **FLAP) > f.flap_pressure_pa(flow, **FLAP)


def test_flap_lets_only_its_leak_back() -> None:
    # Witness: the leak alone, as a plain opening
    assert f.flap_flow(-1.0, **FLAP) == f.orifice_flow_m3_s(-1.0, 0.005, 0.62, 1.2)
    assert f.flap_flow(0.29, **FLAP) == f.orifice_flow_m3_s(0.29, 0.005, 0.62, 1.2)
    assert f.flap_flow(-1.0, 0.3, 0.0, 0.15, 0.62, 1.2) == 0.0
    # A tight flap resists reversed flow without bound, but with a number.
    assert f.flap_pressure_pa(-0.1, 0.3, 0.0, 0.15, 0.62, 1.2) < -1e12
    assert math.isfinite(f.flap_pressure_pa(-0.1, 0.3, 0.0, 0.15, 0.62, 1.2))


def test_thermocirculation() -> None:
    # Witness: Utzinger 1979 in Duffie & Beckman (from memory) by hand: Ag = Av 0.437 m/s, Ag/Av 2 0.237 m/s
    assert f.thermocirculation_speed_m_s(2.0, 1.0, 1.0, 308.15, 293.15, 8.0, 2.0) == approx(0.437, rel=0.01)
    assert f.thermocirculation_speed_m_s(2.0, 1.0, 0.5, 308.15, 293.15, 8.0, 2.0) == approx(0.237, rel=0.01)
    assert f.thermocirculation_speed_m_s(2.0, 1.0, 1.0, 283.15, 293.15, 8.0, 2.0) < 0.0


@pytest.mark.parametrize(
    ("heat_w", "area_m2", "loss", "kg_s"),
    [
        (500.0, 0.05, 6.0, 0.0272),
        (1000.0, 0.05, 6.0, 0.03425),
        (1000.0, 0.05, 3.0, 0.04315),
        (1000.0, 0.10, 6.0, 0.0544),
    ],
)
def test_heated_column(heat_w: float, area_m2: float, loss: float, kg_s: float) -> None:
    # Witness: closed form m = (rho² A² g H Q / (K cp T))^(1/3) by hand, 2 m, air of 20 °C
    assert f.heated_column_flow_kg_s(heat_w, 2.0, area_m2, loss, 1.2041, 293.15) == approx(kg_s, rel=2e-3)


def test_heated_column_balances_itself() -> None:
    """The stack pressure of half the rise is what the path's loss takes at that flow."""
    flow = f.heated_column_flow_kg_s(500.0, 2.0, 0.05, 6.0, 1.2041, 293.15)
    rise = 500.0 / (flow * 1006.0)
    assert rise == approx(18.3, abs=0.05)
    drive = 1.2041 * 9.80665 * 2.0 * 0.5 * rise / 293.15
    assert f.loss_resistance(6.0, 0.05, 1.2041) * (flow / 1.2041) ** 2 == approx(drive, rel=1e-9)
