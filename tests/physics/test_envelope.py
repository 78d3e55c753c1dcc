"""Build-ups, leaks, degree days and the simple hourly method."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pytest import approx

from noonwall.physics import envelope as e

HUT = e.HourlyShop(48.0, "light", 36.0, 0.514 * 63.6 + 0.318 * 48.0, 21.6)
BTU = 5.678263  # W/m²K per Btu/h ft² °F


def test_surface_resistances() -> None:
    # Witness: ISO 6946 table of conventional surface resistances
    assert (e.RSI_UP_M2K_W, e.RSI_WALL_M2K_W, e.RSI_DOWN_M2K_W, e.RSE_M2K_W) == (0.10, 0.13, 0.17, 0.04)


@pytest.mark.parametrize(
    ("layers", "u"),
    [
        (((0.009, 0.14), (0.066, 0.040), (0.012, 0.16)), 0.514),
        (((0.019, 0.14), (0.1118, 0.040), (0.010, 0.16)), 0.318),
    ],
)
def test_u_of_the_comparative_test_cell(layers: tuple[tuple[float, float], ...], u: float) -> None:
    # Witness: ANSI/ASHRAE 140 base case, films 8.29 and 29.3 W/m²K; the standard prints 0.514 and 0.318
    resistance = sum(thickness / conductivity for thickness, conductivity in layers)
    assert e.u_value_w_m2k(resistance, 1 / 8.29, 1 / 29.3) == approx(u, rel=3e-3)


def test_combined_method() -> None:
    # Witness: ISO 6946:2017, 6.7.2 by hand: upper 3.109, lower 3.007, mean 3.058, U 0.327 (cavity alone
    # 0.251)
    board, sheathing = 0.0125 / 0.25, 0.011 / 0.13
    wool, wood = 0.140 / 0.038, 0.140 / 0.13
    mean, upper, lower = e.combined_resistance_m2k_w(
        (0.85, 0.15), ((board, wool, sheathing), (board, wood, sheathing))
    )
    assert (upper, lower, mean) == approx((3.109, 3.007, 3.058), abs=0.002)
    assert 1 / mean == approx(0.327, rel=3e-3)


def test_combined_method_of_one_path_is_a_plain_sum() -> None:
    mean, upper, lower = e.combined_resistance_m2k_w((1.0,), ((1.0, 2.0),))
    assert (mean, upper, lower) == approx((3.17, 3.17, 3.17))


@pytest.mark.parametrize(("shares", "paths"), [((0.5, 0.4), ((1.0,), (2.0,))), ((1.0,), ((1.0,), (2.0,)))])
def test_combined_method_refuses_what_does_not_match(
    shares: tuple[float, ...], paths: tuple[tuple[float, ...], ...]
) -> None:
    with pytest.raises(ValueError, match="one share for each path"):
        e.combined_resistance_m2k_w(shares, paths)


@pytest.mark.parametrize(
    ("wool_ip", "wood_ip", "u_ip", "listed_ip"),
    [(13.0, 4.375, 0.0844, 0.089), (18.0, 6.875, 0.0631, 0.067), (21.0, 6.875, 0.0584, 0.063)],
)
def test_stud_walls_by_parallel_paths(wool_ip: float, wood_ip: float, u_ip: float, listed_ip: float) -> None:
    # Witness: ASHRAE Fundamentals, parallel paths, 25 % framing at R 1.25 an inch; 90.1 table A3.4 (from
    # memory)
    rest = 0.45 + 0.62 + 0.62 + 0.68 + 0.17
    parallel = 0.75 / (wool_ip + rest) + 0.25 / (wood_ip + rest)
    assert parallel == approx(u_ip, rel=0.01)
    mean, upper, _ = e.combined_resistance_m2k_w(
        (0.75, 0.25),
        ((1.69 / BTU, wool_ip / BTU), (1.69 / BTU, wood_ip / BTU)),
        0.68 / BTU,
        0.17 / BTU,
    )
    assert 1 / upper == approx(parallel * BTU, rel=1e-9)
    assert 1 / mean == approx(listed_ip * BTU, rel=0.08)


@pytest.mark.parametrize(
    ("storeys", "shelter", "stack", "wind"),
    [
        (1, 1, 0.000145, 0.000319),
        (1, 3, 0.000145, 0.000174),
        (2, 5, 0.000290, 0.000042),
        (3, 2, 0.000435, 0.000382),
    ],
)
def test_infiltration_coefficients(storeys: int, shelter: int, stack: float, wind: float) -> None:
    # Witness: ASHRAE Fundamentals, basic model (quoted publicly; three-storey wind column from memory)
    assert e.STACK_COEFFICIENTS[storeys - 1] == stack
    assert e.WIND_COEFFICIENTS[shelter - 1][storeys - 1] == wind


def test_infiltration_flow() -> None:
    # Witness: Q = AL sqrt(Cs dT + Cw U²) in L/s and cm² by hand: 500 cm², 25 K, 4 m/s: 500 x 0.08015 = 40.1
    # L/s
    flow = e.infiltration_flow_m3_s(0.05, 25.0, 4.0, 0.000145, 0.000174)
    assert 1000 * flow == approx(500 * math.sqrt(0.000145 * 25 + 0.000174 * 16))
    assert e.infiltration_flow_m3_s(0.05, -25.0, 4.0, 0.000145, 0.000174) == flow
    assert e.infiltration_flow_m3_s(0.05, 0.0, 0.0, 0.000145, 0.000174) == 0.0


def test_leakage_area_of_a_blower_door() -> None:
    # Witness: trade rule CFM50 / 18.2 in square inches: 1000 cfm at 50 Pa is 54.9 in², 354 cm²
    found = e.leakage_area_m2(1.0, 1000 * 0.000471947 * 3600, 0.65)
    assert found / 0.0254**2 == approx(1000 / 18.2, rel=0.01)


def test_natural_air_changes() -> None:
    # Witness: ACH50 / 20: 10 gives 0.5 an hour, 33.5 W/K in 200 m³ (1206 J/m³K)
    assert e.natural_air_changes_per_h(10.0, 20.0) * 200 * 1206 / 3600 == approx(33.5, rel=1e-3)


def test_altitude() -> None:
    # Witness: PsychroLib standard pressure at 1500 m: 84556 Pa, factor 0.8345
    assert e.altitude_factor(84556.0) == approx(0.8345, abs=1e-4)


def test_degree_days() -> None:
    # Witness: definition: 65 °F base, day between 50 and 30 °F: 25 °F d; 150 W/K x 5000 K d: 18 000 kWh
    fahrenheit = e.heating_degree_days([(40 - 32) / 1.8], (65 - 32) / 1.8) * 1.8
    assert fahrenheit == approx(25.0)
    assert e.degree_day_energy_kwh(150.0, 5000.0) == approx(18000.0)
    # Witness: 300 Btu/h °F x 8000 °F d x 24 = 57.6 MMBtu
    assert e.degree_day_energy_kwh(300 * 0.527528, 8000 / 1.8) == approx(57.6 * 293.071, rel=1e-4)
    assert e.heating_degree_days([20.0, 25.0], 15.0) == 0.0


def test_balance_point() -> None:
    # Witness: 15 - 300/150 = 13 °C
    assert e.balance_point_c(15.0, 300.0, 150.0) == approx(13.0)


# ---- simple hourly method
# ------------------------------------------------------------------------------------


def test_classes() -> None:
    # Witness: ISO 13790 table 12 (quoted publicly)
    assert [e.MASS_CLASSES[name][0] / 1000 for name in e.MASS_CLASSES] == [80, 110, 165, 260, 370]
    assert [e.MASS_CLASSES[name][1] for name in e.MASS_CLASSES] == [2.5, 2.5, 2.5, 3.0, 3.5]
    assert (e.SURFACE_FILM_W_M2K, e.MASS_FILM_W_M2K, e.SURFACE_RATIO) == (3.45, 9.1, 4.5)


def test_network() -> None:
    # Witness: ISO 13790 annex C by hand for the 48 m² test cell
    assert (HUT.surface_m2, HUT.mass_area_m2, HUT.capacity_j_k) == approx((216.0, 120.0, 5.28e6))
    assert (HUT.air_surface_w_k, HUT.mass_surface_w_k) == approx((745.2, 1092.0))
    assert HUT.outside_mass_w_k == approx(50.157, rel=1e-4)
    assert HUT.chain_w_k == approx((20.992, 56.992, 54.165), rel=1e-4)
    assert HUT.time_constant_h == approx(14.06, abs=0.005)


def settle(**gains: float) -> e.HourlyState:
    mass = 0.0
    for _ in range(600):
        state = e.hourly_step(HUT, mass, 0.0, **gains)
        mass = state.mass_end_c
    return state


@pytest.mark.parametrize(
    ("gains", "air_c", "surface_c", "mass_c"),
    [
        ({"internal_w": 200.0}, 1.917, 1.838, 1.806),
        ({"solar_w": 1000.0}, 8.865, 9.122, 9.208),
        ({"heating_w": 1000.0}, 10.304, 9.260, 8.854),
    ],
)
def test_steady_free_float(gains: dict[str, float], air_c: float, surface_c: float, mass_c: float) -> None:
    # Witness: ISO 13790 annex C by hand, outdoors at 0 °C
    state = settle(**gains)
    assert (state.air_c, state.surface_c, state.mass_c) == approx((air_c, surface_c, mass_c), abs=1e-3)


@pytest.mark.parametrize(
    ("hours", "air_c", "mass_c"),
    [(1, 17.838, 18.626), (6, 12.498, 13.050), (12, 8.155, 8.515), (24, 3.472, 3.625)],
)
def test_cooling_down(hours: int, air_c: float, mass_c: float) -> None:
    # Witness: ISO 13790 eq. C.4 by hand, mass at 20 °C, outdoors 0 °C
    mass = 20.0
    for _ in range(hours):
        state = e.hourly_step(HUT, mass, 0.0)
        mass = state.mass_end_c
    assert state.air_c == approx(air_c, abs=1e-3)
    assert mass == approx(mass_c, abs=1e-3)


def test_heat_need_is_below_the_plain_sum() -> None:
    # Witness: by hand, outdoors -10, air 20 °C: 2911.6 W; the plain sum of losses is 3166.6 W
    mass = 20.0
    for _ in range(600):
        need = e.hourly_heat_need_w(HUT, mass, -10.0, 20.0)
        mass = e.hourly_step(HUT, mass, -10.0, heating_w=need).mass_end_c
    assert need == approx(2911.6, abs=0.1)
    plain = (HUT.windows_w_k + HUT.opaque_w_k + HUT.ventilation_w_k) * 30.0
    assert plain == approx(3166.6, abs=0.1)


def test_heat_need_does_what_it_says() -> None:
    need = e.hourly_heat_need_w(HUT, 14.0, -5.0, 18.0)
    assert e.hourly_step(HUT, 14.0, -5.0, heating_w=need).air_c == approx(18.0)


def test_without_gains_all_goes_to_outdoors() -> None:
    mass = 30.0
    for _ in range(400):
        state = e.hourly_step(HUT, mass, -7.0)
        mass = state.mass_end_c
    assert (state.air_c, state.surface_c, mass) == approx((-7.0, -7.0, -7.0), abs=1e-6)


def test_energy_closes_over_a_winter() -> None:
    # Witness: first law: heat in = losses + what the mass kept
    rng = np.random.default_rng(2)
    mass, gained, lost = 15.0, 0.0, 0.0
    begin = mass
    for hour in range(2000):
        outside = -5.0 + 8.0 * math.sin(hour / 12 * math.pi)
        sun = max(0.0, 2000.0 * math.sin(hour / 12 * math.pi)) * rng.uniform()
        state = e.hourly_step(HUT, mass, outside, internal_w=200.0, solar_w=sun)
        lost += HUT.outside_mass_w_k * (state.mass_c - outside) + HUT.windows_w_k * (
            state.surface_c - outside
        )
        lost += HUT.ventilation_w_k * (state.air_c - outside)
        # The window share of radiant gains leaves at once (eq. C.3).
        lost += HUT.windows_w_k / (9.1 * HUT.surface_m2) * (100.0 + sun)
        gained += 200.0 + sun
        mass = state.mass_end_c
    stored = HUT.capacity_j_k * (mass - begin) / 3600.0
    assert gained == approx(lost + stored, rel=1e-9)


def test_infiltration_heat_of_the_method() -> None:
    # Witness: ISO 13790, 9.3: 1200 J/m³K x 0.5 1/h x 129.6 m³ = 21.6 W/K
    assert approx(HUT.ventilation_w_k) == 1200 * 0.5 * 129.6 / 3600


def test_heavy_cell_swings_less_than_light() -> None:
    # Witness: order of ANSI/ASHRAE 140 cases 600FF and 900FF: same mean within 1 K, light swings wider
    ranges, means = [], []
    for mass_class in ("light", "very heavy"):
        shop = e.HourlyShop(48.0, mass_class, HUT.windows_w_k, HUT.opaque_w_k, HUT.ventilation_w_k)
        mass, air = 20.0, []
        for hour in range(60 * 24):
            outside = -2.0 + 8.0 * math.cos((hour - 15) / 12 * math.pi)
            sun = max(0.0, 6000.0 * math.cos((hour % 24 - 12) / 9 * math.pi)) if 7 <= hour % 24 <= 17 else 0.0
            state = e.hourly_step(shop, mass, outside, 200.0, sun)
            mass = state.mass_end_c
            air.append(state.air_c)
        last = np.array(air[-240:])
        ranges.append(np.ptp(last))
        means.append(last.mean())
    assert means[0] == approx(means[1], abs=1.0)
    assert ranges[0] / ranges[1] > 1.4
