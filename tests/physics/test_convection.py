"""Natural convection, wind and room films."""

from __future__ import annotations

import math

import ht
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import brentq

from noonwall.physics import convection as c
from noonwall.physics.radiation import exchange_emittance, linear_radiation_w_m2k

SEA = 101325.0


@pytest.mark.parametrize(
    ("Ra", "Nu"),
    [(1e3, 1.000), (3e3, 1.008), (1e4, 1.303), (2e4, 1.692), (5e4, 2.396), (1e5, 3.002), (1e6, 6.050)],
)
def test_enclosure(Ra: float, Nu: float) -> None:
    # Witness: ElSherbiny, Raithby & Hollands 1982, aspect 40, the three branches by hand
    assert c.nusselt_vertical_enclosure(Ra, 40.0) == approx(Nu, rel=3e-3)


def test_squat_enclosure() -> None:
    # Witness: same, aspect 20 at Ra 1e4: the third branch rules
    assert c.nusselt_vertical_enclosure(1e4, 20.0) == approx(1.312, rel=3e-3)


def iso_15099(Ra: float, aspect: float) -> float:
    """ISO 15099:2003, eq. 49 to 52, vertical cavity (coefficients seen quoted)."""
    if Ra > 5e4:
        first = 0.0673838 * Ra ** (1 / 3)
    elif Ra > 1e4:
        first = 0.028154 * Ra**0.4134
    else:
        first = 1 + 1.7596678e-10 * Ra**2.2984755
    return max(first, 0.242 * (Ra / aspect) ** 0.272)


@pytest.mark.parametrize("Ra", [1e3, 3e3, 1e4, 2e4, 5e4, 1e5, 1e6])
def test_enclosure_agrees_with_the_window_standard(Ra: float) -> None:
    # Witness: ISO 15099; the two published forms differ by up to 11 % at Ra 1e6
    assert c.nusselt_vertical_enclosure(Ra, 40.0) == approx(iso_15099(Ra, 40.0), rel=0.12)


def full_enclosure(Ra: float, aspect: float) -> float:
    """All three branches of ElSherbiny et al., every one evaluated."""
    first = 0.0605 * Ra ** (1 / 3)
    second = (1 + (0.104 * Ra**0.293 / (1 + (6310 / Ra) ** 1.36)) ** 3) ** (1 / 3)
    return max(first, second, 0.242 * (Ra / aspect) ** 0.272, 1.0)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.floats(0.5, 8.5), st.floats(5.0, 110.0))
def test_branches_left_out_never_win(power: float, aspect: float) -> None:
    assert c.nusselt_vertical_enclosure(10**power, aspect) == approx(
        full_enclosure(10**power, aspect), rel=2e-4
    )


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.floats(0.0, 8.5), st.floats(0.001, 1.0), st.floats(5.0, 110.0))
def test_enclosure_rises_with_rayleigh(power: float, step: float, aspect: float) -> None:
    low, high = (
        c.nusselt_vertical_enclosure(10**power, aspect),
        c.nusselt_vertical_enclosure(10 ** (power + step), aspect),
    )
    assert 1.0 <= low <= high * (1 + 1e-12)


@pytest.mark.parametrize("Ra", [1e4, 1e6, 1e8, 1e9, 1e10])
@pytest.mark.parametrize("Pr", [0.69, 0.71, 7.0])
def test_plate(Ra: float, Pr: float) -> None:
    # Witness: ht.conv_free_immersed.Nu_vertical_plate_Churchill (Churchill & Chu 1975)
    assert c.nusselt_vertical_plate(Ra, Pr) == approx(ht.Nu_vertical_plate_Churchill(Pr, Ra / Pr), rel=1e-6)


def test_glass_door() -> None:
    # Witness: Incropera, example 9.2 (glass door, 0.71 m high, 1.02 m wide, 232 °C, room 23 °C): 7.0 W/m²K,
    # 1060 W
    film = c.plate_film_w_m2k(232.0, 23.0, 0.71, SEA)
    assert film == approx(7.0, rel=0.01)
    assert film * 0.71 * 1.02 * 209.0 == approx(1060.0, rel=0.01)


def test_rayleigh_by_hand() -> None:
    # Witness: textbook properties of air at 300 K (nu 15.89e-6, alpha 22.5e-6 m²/s) by hand
    assert c.rayleigh(20.0, 300.0, 1.0, SEA) == approx(9.80665 / 300 * 20 / (15.89e-6 * 22.5e-6), rel=0.02)


@pytest.mark.parametrize(
    ("gap_mm", "resistance"), [(5, 0.11), (7, 0.13), (10, 0.15), (15, 0.17), (25, 0.18), (50, 0.18)]
)
def test_still_air_layers_of_the_building_standard(gap_mm: float, resistance: float) -> None:
    # Witness: ISO 6946:2007 table 2, horizontal heat flow (printed to 0.01), difference of some 5 K across
    exchange = exchange_emittance(0.9, 0.9)
    found = 1.0 / c.cavity_conductance_w_m2k(gap_mm / 1000, 2.4, 7.5, 12.5, exchange, SEA)
    assert found == approx(resistance, rel=0.05)


def test_bright_face_in_a_cavity() -> None:
    # Witness: ISO 6946 annex D with one face of emittance 0.2, quoted in BR 443 (2019): 0.44 m²K/W
    found = 1.0 / c.cavity_conductance_w_m2k(0.05, 2.4, 8.5, 11.5, exchange_emittance(0.9, 0.2), SEA)
    assert found == approx(0.44, rel=0.08)


def test_double_glazing() -> None:
    # Witness: EN 673, air-filled 4-12-4, 15 K across, mean 283 K (Nu = 0.035 (Gr Pr)^0.38, at least 1): 2.080
    # W/m²K
    assert c.enclosure_film_w_m2k(2.35, 17.35, 0.012, 1.0, SEA) == approx(2.080, rel=0.03)
    # Witness: ISO 15099 at 16 mm, where EN 673 still counts conduction alone (1.614) and the finer forms do
    # not
    Ra = c.rayleigh(15.0, 283.0, 0.016, SEA)
    fine = iso_15099(Ra, 1.0 / 0.016) * c.conductivity_w_mk(283.0) / 0.016
    assert c.enclosure_film_w_m2k(2.35, 17.35, 0.016, 1.0, SEA) == approx(fine, rel=0.05)


@pytest.mark.parametrize(
    ("depth_mm", "wall_mm", "btu"), [(4, 0.4, 0.72), (6, 0.5, 0.62), (8, 0.5, 0.60), (10, 0.55, 0.56)]
)
def test_twin_wall_sheet(depth_mm: float, wall_mm: float, btu: float) -> None:
    # Witness: measured U of twin-wall sheet, ASTM C976, from a maker's data page; 1 Btu/h ft² °F = 5.678
    # W/m²K
    gap = (depth_mm - 2 * wall_mm) / 1000
    cavity = c.cavity_conductance_w_m2k(gap, 2.4, 4.0, 12.0, exchange_emittance(0.9, 0.9), SEA)
    resistance = 0.13 + 0.04 + 1.0 / cavity + 2 * wall_mm / 1000 / 0.2
    assert 1.0 / resistance == approx(btu * 5.678, abs=0.25)


def hollands(Ra: float, tilt: float) -> float:
    """Hollands et al. 1976, tilted enclosures to 75 degrees (duffie_beckman_2013, eq. 3.11.4)."""
    x = Ra * math.cos(tilt)
    bracket = max(0.0, 1 - 1708 / x)
    side = 1 - 1708 * math.sin(1.8 * tilt) ** 1.6 / x
    return 1 + 1.44 * bracket * side + max(0.0, (x / 5830) ** (1 / 3) - 1)


def test_top_loss_of_a_collector() -> None:
    # Witness: Duffie & Beckman, example 6.4.1 (from memory): plate 100 °C, air and sky 10 °C, wind film 10,
    # gap 25 mm, emittances 0.95 and 0.88, tilt 45: U 6.62 W/m²K, cover 48.4 °C
    def through(cover_c: float) -> float:
        Ra = c.rayleigh(100.0 - cover_c, 0.5 * (100.0 + cover_c) + 273.15, 0.025, SEA)
        convection = hollands(Ra, math.pi / 4) * c.conductivity_w_mk(0.5 * (100.0 + cover_c) + 273.15) / 0.025
        exchange = exchange_emittance(0.95, 0.88)
        inner = convection + linear_radiation_w_m2k(exchange, 373.15, cover_c + 273.15)
        return inner * (100.0 - cover_c)

    def outward(cover_c: float) -> float:
        return (10.0 + linear_radiation_w_m2k(0.88, cover_c + 273.15, 283.15)) * (cover_c - 10.0)

    cover = brentq(lambda t: through(t) - outward(t), 20.0, 90.0)
    assert cover == approx(48.4, abs=1.0)
    assert outward(cover) / 90.0 == approx(6.62, rel=0.02)


def test_wind_films() -> None:
    # Witness: McAdams 1954 (5.7 + 3.8 V), Watmuff 1977 (2.8 + 3 V), ISO 6946 annex (4 + 4 V), at 0, 3, 5 m/s
    speeds = (0.0, 3.0, 5.0)
    assert [c.wind_film_mcadams_w_m2k(v) for v in speeds] == approx([5.7, 17.1, 24.7])
    assert [c.wind_film_w_m2k(v) for v in speeds] == approx([2.8, 11.8, 17.8])
    assert [c.wind_film_iso_w_m2k(v) for v in speeds] == approx([4.0, 16.0, 24.0])


def test_wind_profile() -> None:
    # Witness: power law 0.14 by hand: 0.2^0.14 = 0.798
    assert c.local_wind_m_s(10.0, 0.5, 2.0) == approx(5.0 * 0.7983, rel=1e-3)
    assert c.local_wind_m_s(10.0, 1.0, 0.0) == c.local_wind_m_s(10.0, 1.0, 1.0)


def test_interior_films() -> None:
    # Witness: ISO 6946 convective parts 2.5 (wall), 5.0 (up), 0.7 (down) W/m²K, at some 5 to 10 K
    assert c.interior_film_w_m2k(20.0, 13.0, 0.0) == approx(2.5, rel=0.05)
    assert c.interior_film_w_m2k(25.0, 13.0, 1.0) == approx(3.5, rel=0.05)
    assert c.interior_film_w_m2k(12.0, 13.0, 1.0) == approx(0.76, rel=0.01)
    # A warm ceiling is as calm as a cold floor.
    assert c.interior_film_w_m2k(14.0, 13.0, -1.0) == approx(c.interior_film_w_m2k(12.0, 13.0, 1.0))
    assert c.interior_film_w_m2k(13.0, 13.0, 0.0) == 0.5
