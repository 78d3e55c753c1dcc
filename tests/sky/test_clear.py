"""The cloudless sky's shapes, and cloud from light."""

from __future__ import annotations

import numpy as np
import pytest
from pytest import approx

from noonwall.sky.clear import air_mass, clear_beam_share, clear_global, cloud_from_clear_index


@pytest.mark.parametrize(("zenith", "mass"), [(60.0, 1.9943), (65.0, 2.3560), (80.0, 5.586)])
def test_air_mass(zenith: float, mass: float):
    # Witness: Kasten and Young 1989 as pvlib.atmosphere.get_relative_airmass has it.
    assert air_mass(90.0 - zenith) == approx(mass, rel=1e-3)


@pytest.mark.parametrize(("zenith", "w_m2"), [(0.0, 1035.1), (60.0, 487.9), (75.0, 226.3)])
def test_cloudless_light(zenith: float, w_m2: float):
    # Witness: Haurwitz 1945 as pvlib.clearsky.haurwitz has it.
    assert clear_global(float(np.cos(np.radians(zenith)))) == approx(w_m2, rel=1e-3)


def test_cloudless_beam():
    # Meinel and Meinel 1976 at air mass 1: 0.7 of the extraterrestrial beam.
    assert clear_beam_share(90.0) == approx(0.7, rel=1e-3)
    assert clear_beam_share(-1.0) == 0.0
    assert clear_global(-0.1) == 0.0


def test_cloud_from_light():
    # Kasten and Czeplak 1980: overcast leaves a quarter of the light, half cover 0.929 of it.
    assert cloud_from_clear_index(0.25) == approx(1.0)
    assert cloud_from_clear_index(1.0 - 0.75 * 0.5**3.4) == approx(0.5)
    assert cloud_from_clear_index(1.1) == 0.0
    assert cloud_from_clear_index(0.0) == 1.0
