"""The gap's films: channel flow, and how flow and buoyancy join."""

from __future__ import annotations

from itertools import pairwise

import fluids
import ht
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.linalg import solve_banded

from noonwall.physics import convection as c

SEA = 101325.0


def entrance_nusselt(uniform_flux: bool, plug: bool) -> tuple[np.ndarray, np.ndarray]:
    """Mean Nusselt number along parallel plates, one heated and one insulated, by finite volumes.

    Returns (Graetz number Re Pr D/L, Nu on twice the gap). A developed (parabolic) profile is the least, plug
    flow
    the most that a flow with a developing profile can reach.
    """
    edge = 0.5 * (1 - np.cos(np.pi * np.linspace(0, 1, 241)))
    middle, width = 0.5 * (edge[1:] + edge[:-1]), np.diff(edge)
    carried = width * (np.ones_like(middle) if plug else 6 * middle * (1 - middle))
    link = 4 / np.diff(middle)
    grid = np.concatenate([[0.0], np.logspace(-6, 0, 600)])
    temperature, summed = np.zeros_like(middle), 0.0
    places, means = [], []
    for begin, end in pairwise(grid):
        step = end - begin
        diagonal = carried / step
        load = diagonal * temperature
        diagonal = diagonal.copy()
        diagonal[:-1] += link
        diagonal[1:] += link
        if uniform_flux:
            load[0] += 4.0
        else:
            diagonal[0] += 4 / middle[0]
            load[0] += 4 / middle[0]
        band = np.zeros((3, len(middle)))
        band[0, 1:], band[1], band[2, :-1] = -link, diagonal, -link
        temperature = solve_banded((1, 1), band, load)
        bulk = (carried * temperature).sum() / carried.sum()
        if uniform_flux:
            local = 2.0 / (temperature[0] + middle[0] - bulk)
        else:
            local = 2.0 * (1.0 - temperature[0]) / middle[0] / (1.0 - bulk)
        summed += local * step
        places.append(end)
        means.append(summed / end)
    return 1 / np.array(places), np.array(means)


@pytest.fixture(scope="module")
def entrance() -> dict[str, tuple[np.ndarray, np.ndarray]]:
    return {
        "flux": entrance_nusselt(True, False),
        "flux plug": entrance_nusselt(True, True),
        "wall": entrance_nusselt(False, False),
    }


def at(curve: tuple[np.ndarray, np.ndarray], graetz: float) -> float:
    return float(np.interp(-np.log(graetz), -np.log(curve[0]), curve[1]))


def ours(graetz: float) -> float:
    Re = 1000.0
    return c.nusselt_channel_one_side(Re, 0.707, 1.0, Re * 0.707 / graetz)


def test_developed_laminar_end_values(entrance: dict[str, tuple[np.ndarray, np.ndarray]]) -> None:
    # Witness: Shah & London 1978 (from memory) and this file's numerical solution: 70/13 = 5.385 for uniform
    # flux,
    # 4.861 for a face of one temperature (mean at Graetz 1 is still a little above)
    assert pytest.approx(5.3846, abs=1e-4) == c.LAMINAR_ONE_SIDE
    assert at(entrance["flux"], 1.0) == approx(5.385, rel=0.02)
    assert at(entrance["wall"], 1.0) == approx(4.861, rel=0.02)
    assert c.nusselt_channel_one_side(1e-6, 0.707, 0.01, 1.0) == approx(70 / 13, rel=1e-6)


@pytest.mark.parametrize("graetz", [3.0, 10.0, 20.0, 50.0, 125.0, 330.0])
def test_inlet_length_against_numerical_solution(
    graetz: float, entrance: dict[str, tuple[np.ndarray, np.ndarray]]
) -> None:
    # Witness: numerical solution of the energy equation in this file, uniform flux, developed profile
    assert ours(graetz) == approx(at(entrance["flux"], graetz), rel=0.07)
    assert at(entrance["wall"], graetz) < ours(graetz) < at(entrance["flux plug"], graetz)


@pytest.mark.parametrize("Re", [4000.0, 5000.0, 1e4, 2e4])
def test_turbulent_end(Re: float) -> None:
    # Witness: Kays' 0.0158 Re^0.8 by hand; Gnielinski's tube form from ht lies up to 16 % above it
    Nu = c.nusselt_channel_one_side(Re, 0.707, 0.05, 500.0)
    assert Nu == approx(0.0158 * Re**0.8, rel=0.01)
    factor = fluids.friction_factor(Re, 0.0)
    assert Nu == approx(ht.conv_internal.turbulent_Gnielinski(Re, 0.707, factor), rel=0.20)


def test_air_heater_example() -> None:
    # Witness: Kalogirou, Solar Energy Engineering, air-heater example (from memory): depth 15 mm, width 1.2
    # m,
    # 0.06 kg/s, Re 4876, Nu 14.1, F' 0.74, FR 0.614, useful heat 1693 W, outlet 78 °C
    Re = 0.06 * 0.03 / (1.2 * 0.015 * 2.051e-5)
    assert Re == approx(4876, rel=1e-3)
    Nu = c.nusselt_channel_one_side(Re, 0.707, 0.03, 4000.0)
    assert Nu == approx(14.1, rel=0.01)
    film, radiative, loss = Nu * 0.029 / 0.03, 7.59, 6.5
    efficiency = 1 / (1 + loss / (film + 1 / (1 / film + 1 / radiative)))
    assert efficiency == approx(0.74, abs=0.01)
    carried = 0.06 * 1006.0 / (1.2 * 4.0 * loss * efficiency)
    removal = efficiency * carried * (1 - np.exp(-1 / carried))
    assert removal == approx(0.614, abs=0.01)
    useful = 1.2 * 4.0 * removal * (0.90 * 890.0 - loss * (50.0 - 15.0))
    assert useful == approx(1693.0, rel=0.015)
    assert 50.0 + useful / (0.06 * 1006.0) == approx(78.0, abs=0.5)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.floats(0.0, 5.0), st.floats(0.0, 0.3), st.floats(-2.3, -0.7))
def test_faster_air_never_takes_less(power: float, step: float, share: float) -> None:
    low = c.nusselt_channel_one_side(10**power, 0.707, 10**share, 1.0)
    high = c.nusselt_channel_one_side(10 ** (power + step), 0.707, 10**share, 1.0)
    assert low <= high * (1 + 1e-12)


def test_no_step_through_the_passage() -> None:
    speeds = np.linspace(2200.0, 4200.0, 2001)
    Nu = [c.nusselt_channel_one_side(Re, 0.707, 0.18, 2.4) for Re in speeds]
    assert np.max(np.abs(np.diff(Nu))) < 0.02


# ---- both faces of a gap
# -------------------------------------------------------------------------------------

faces = st.floats(-30.0, 110.0)
gaps = st.floats(0.008, 0.25)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(faces, faces, gaps, st.floats(1.0, 3.5))
def test_still_gap_carries_at_least_the_closed_layer(
    face1_c: float, face2_c: float, gap_m: float, height_m: float
) -> None:
    """At rest a film is half the closed layer, or that of a free plate, if that is more."""
    middle = 0.5 * (face1_c + face2_c)
    first, second = c.gap_films_w_m2k(face1_c, face2_c, middle, gap_m, height_m, 0.0, SEA)
    closed = c.enclosure_film_w_m2k(face1_c, face2_c, gap_m, height_m, SEA)
    plates = [c.plate_film_w_m2k(face, middle, height_m, SEA) for face in (face1_c, face2_c)]
    assert first == approx(max(2.0 * closed, plates[0]), rel=1e-9)
    assert second == approx(max(2.0 * closed, plates[1]), rel=1e-9)


@pytest.mark.parametrize("gap_m", [0.01, 0.025, 0.05, 0.09])
def test_narrow_still_gap_is_exactly_the_closed_layer(gap_m: float) -> None:
    # Witness: ElSherbiny et al. 1982, the closed layer
    first, second = c.gap_films_w_m2k(50.0, 10.0, 30.0, gap_m, 2.4, 0.0, SEA)
    closed = c.enclosure_film_w_m2k(50.0, 10.0, gap_m, 2.4, SEA)
    assert first * second / (first + second) == approx(closed, rel=1e-9)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(faces, faces, faces, gaps, st.floats(1.0, 3.5))
def test_films_start_from_rest_without_a_step(
    face1_c: float, face2_c: float, air_c: float, gap_m: float, height_m: float
) -> None:
    still = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, height_m, 0.0, SEA)
    slow = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, height_m, 1e-6, SEA)
    assert slow == approx(still, rel=1e-3)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(faces, faces, faces, gaps, st.floats(0.0, 3.0))
def test_films_do_not_care_for_the_way_or_the_order(
    face1_c: float, face2_c: float, air_c: float, gap_m: float, speed: float
) -> None:
    up = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, 2.4, speed, SEA)
    down = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, 2.4, -speed, SEA)
    swapped = c.gap_films_w_m2k(face2_c, face1_c, air_c, gap_m, 2.4, speed, SEA)
    assert up == down
    assert swapped == approx(up[::-1], rel=1e-12)
    assert c.gap_film_w_m2k(face1_c, face2_c, air_c, gap_m, 2.4, speed, SEA) == up[0]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(faces, faces, faces, gaps, st.floats(0.0, 3.0), st.floats(0.001, 0.5))
def test_more_flow_never_lowers_a_film(
    face1_c: float, face2_c: float, air_c: float, gap_m: float, speed: float, more: float
) -> None:
    slow = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, 2.4, speed, SEA)
    fast = c.gap_films_w_m2k(face1_c, face2_c, air_c, gap_m, 2.4, speed + more, SEA)
    assert fast[0] >= slow[0] * (1 - 1e-9)
    assert fast[1] >= slow[1] * (1 - 1e-9)


def test_narrow_gap_with_flow_is_the_forced_film() -> None:
    """In 8 mm there is no buoyancy to speak of: conduction must not be counted twice."""
    film = c.gap_film_w_m2k(31.0, 29.0, 30.0, 0.008, 2.4, 1.5, SEA)
    assert film == approx(c.forced_film_w_m2k(30.0, 0.008, 2.4, 1.5, SEA), rel=0.01)


def test_strong_flow_is_the_forced_film() -> None:
    film = c.gap_film_w_m2k(35.0, 33.0, 30.0, 0.05, 2.4, 6.0, SEA)
    assert film == approx(c.forced_film_w_m2k(30.0, 0.05, 2.4, 6.0, SEA), rel=0.01)


def test_thin_air_conducts_as_well_but_convects_less() -> None:
    sea = c.gap_film_w_m2k(60.0, 20.0, 40.0, 0.09, 2.4, 0.3, SEA)
    mountain = c.gap_film_w_m2k(60.0, 20.0, 40.0, 0.09, 2.4, 0.3, 70e3)
    assert 0.7 < mountain / sea < 0.95
