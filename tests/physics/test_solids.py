"""Expansion, bow and stress of sheets."""

from __future__ import annotations

import math

import pytest
from pytest import approx

from noonwall.physics import solids as s

MM = 1000.0


@pytest.mark.parametrize(
    ("length_m", "expansion", "difference_k", "growth_mm", "abs_mm"),
    [
        (1.0, 6.5e-5, 55.0, 3.575, 0.001),
        (2.4, 6.5e-5, 80.0, 12.5, 0.1),
        (2.4, 7.0e-5, 80.0, 13.4, 0.1),
        (1.0, 6.5e-5, 80.0, 5.2, 0.05),
        (2.0, 9.0e-6, 60.0, 1.1, 0.05),
    ],
)
def test_growth(
    length_m: float, expansion: float, difference_k: float, growth_mm: float, abs_mm: float
) -> None:
    # Witness: European polycarbonate sheet association (55 K: 3.575 mm/m), maker's 5.2 mm/m from -40 to 40
    # °C,
    # handbook 9e-6 for glass (from memory)
    assert MM * s.expansion_m(length_m, expansion, difference_k) == approx(growth_mm, abs=abs_mm)


def test_growth_in_inches() -> None:
    # Witness: a maker's overview: 10 ft over 100 °F grows 0.48 in (4.0e-5 per °F)
    assert s.expansion_m(120.0, 4.0e-5, 100.0) == approx(0.48, abs=0.005)


def test_slip_in_an_aluminium_frame() -> None:
    # Witness: 3 m, 80 K: 15.6 mm against 5.7 mm
    assert MM * s.slip_m(3.0, 6.5e-5, 2.36e-5, 80.0) == approx(9.9, abs=0.2)


def test_bow_is_the_arc_of_its_radius() -> None:
    # Witness: circle geometry: rise of a chord L on radius R is R - sqrt(R² - L²/4)
    radius = s.bow_radius_m(0.010, 6.5e-5, 10.0)
    exact = radius - math.sqrt(radius**2 - 1.2**2)
    assert s.free_bow_m(2.4, 0.010, 6.5e-5, 10.0) == approx(exact, rel=0.01)
    assert s.free_bow_m(2.4, 0.010, 6.5e-5, -10.0) == -s.free_bow_m(2.4, 0.010, 6.5e-5, 10.0)
    assert s.bow_radius_m(0.01, 6.5e-5, 0.0) == math.inf


def test_gripped_bow_keeps_the_length() -> None:
    # Witness: length of the parabola y = 4 h x (L - x) / L², integrated
    length, growth = 2.4, 0.004
    rise = s.gripped_bow_m(length, growth)
    slope = 4 * rise / length
    arc = length * (0.5 * math.sqrt(1 + slope**2) + math.asinh(slope) / (2 * slope))
    assert arc - length == approx(growth, rel=0.01)
    assert s.gripped_bow_m(2.4, -0.002) == 0.0


def test_held_stress_and_buckling_meet() -> None:
    # Witness: Euler: critical stress pi² E t² / (12 L²)
    rise = s.buckling_rise_k(0.6, 0.010, 6.5e-5)
    critical = math.pi**2 * 2.2e9 * 0.010**2 / (12 * 0.6**2)
    assert s.held_stress_pa(2.2e9, 6.5e-5, rise) == approx(critical, rel=1e-12)


def test_temperature_between_layers() -> None:
    # Witness: by hand: 70 K over 0.05 + 0.30 m²K/W: 10 K over the first
    assert s.conduction_temperature_c(90.0, 20.0, 0.05, 0.30) == approx(80.0)
