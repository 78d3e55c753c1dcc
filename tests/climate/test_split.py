"""Splitting global light into beam and diffuse."""

from __future__ import annotations

import numpy as np
import pvlib
import pytest
from pytest import approx

from noonwall.climate.split import diffuse_share, split_global


@pytest.mark.parametrize(
    ("clearness", "share"),
    # Witness: Erbs, Klein and Duffie 1982, Solar Energy 28, 293, equation 1 evaluated by hand.
    [(0.1, 0.991), (0.2, 0.982), (0.3, 0.9486), (0.5, 0.6591), (0.65, 0.3336), (0.8, 0.1653), (0.85, 0.165)],
)
def test_erbs_diffuse_share(clearness: float, share: float):
    assert float(diffuse_share(np.array([clearness]))[0]) == approx(share, abs=0.0005)


def test_split_agrees_with_pvlib():
    # Witness: pvlib.irradiance.erbs at zenith 60, 400 W/m2.
    wanted = pvlib.irradiance.erbs(np.array([400.0]), np.array([60.0]), 80)
    extra = np.array([pvlib.irradiance.get_extra_radiation(80)])
    beam, diffuse = split_global(np.array([400.0]), np.array([0.5]), extra)
    assert float(diffuse[0]) == approx(float(wanted["dhi"][0]), rel=1e-3)
    assert float(beam[0]) == approx(float(wanted["dni"][0]), rel=1e-3)


def test_parts_add_up_and_low_sun_has_no_beam():
    up = np.array([0.9, 0.3, 0.06, 0.05, 0.0])
    ghi = np.array([800.0, 200.0, 30.0, 20.0, 5.0])
    beam, diffuse = split_global(ghi, up, np.full(5, 1400.0))
    assert beam * up + diffuse == approx(ghi)
    assert beam[3:] == approx(0.0)
