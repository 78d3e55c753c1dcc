"""Slab and earth."""

from __future__ import annotations

import math

from pytest import approx

from noonwall.physics import ground as g


def test_bare_slab_in_both_systems() -> None:
    # Witness: 0.73 Btu/h ft °F = 1.263 W/mK; 24 x 32 ft (112 ft of edge): 43.1 W/K
    assert g.slab_loss_w_k(0.73 * 1.730735, 112 * 0.3048) == approx(43.1, rel=1e-3)


def test_earth_at_the_surface() -> None:
    # Witness: Kusuda & Achenbach 1965 at depth 0: mean less amplitude on the coldest day, more half a year on
    assert g.ground_temperature_c(8.0, 13.0, 0.0, 35.0, 35.0, 0.06) == approx(-5.0)
    assert g.ground_temperature_c(8.0, 13.0, 0.0, 35.0 + 182.5, 35.0, 0.06) == approx(21.0)


def test_earth_damps_and_lags_together() -> None:
    # Witness: one-dimensional conduction: where the wave is damped to exp(-pi) it lags half a year
    depth = math.pi / math.sqrt(math.pi / (365.0 * 0.06))
    found = g.ground_temperature_c(8.0, 13.0, depth, 35.0, 35.0, 0.06)
    assert found == approx(8.0 + 13.0 * math.exp(-math.pi), abs=1e-9)


def test_earth_obeys_the_heat_equation() -> None:
    # Witness: dT/dt = a d²T/dz² by finite differences
    def at(depth: float, day: float) -> float:
        return g.ground_temperature_c(8.0, 13.0, depth, day, 35.0, 0.06)

    in_time = (at(1.5, 101.0) - at(1.5, 99.0)) / 2.0
    in_depth = (at(1.51, 100.0) - 2 * at(1.5, 100.0) + at(1.49, 100.0)) / 0.01**2
    assert in_time == approx(0.06 * in_depth, rel=1e-3)


def test_deep_earth_is_the_mean() -> None:
    assert g.ground_temperature_c(8.0, 13.0, 15.0, 200.0, 35.0, 0.06) == approx(8.0, abs=0.05)
