"""How warm the sky looks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from noonwall.sky.longwave import (
    sky_emissivity_clear,
    sky_emissivity_cloudy,
    sky_from_infrared,
    sky_temperature,
)


def one(value: float) -> np.ndarray:
    return np.array([value])


@pytest.mark.parametrize(
    ("air_c", "dewpoint_c", "hour", "sky_c", "emissivity"),
    # Witness: Berdahl and Martin 1984, Solar Energy 32, 663, evaluated by hand.
    [
        (10, 0, 0, -11.96, 0.724),
        (20, 10, 0, 2.99, 0.7873),
        (0, -10, 0, -25.54, 0.6753),
        (-10, -15, 12, -38.67, 0.6304),
    ],
)
def test_clear_sky(air_c: float, dewpoint_c: float, hour: float, sky_c: float, emissivity: float):
    found = sky_emissivity_clear(one(dewpoint_c), one(hour))
    assert float(found[0]) == approx(emissivity, abs=0.0002)
    assert float(sky_temperature(one(air_c), found)[0]) == approx(sky_c, abs=0.05)


def test_clear_sky_lies_near_other_formulas():
    # Swinbank 1963: 0.0552 T^1.5, -24.0 degC at 0 degC; three published formulas spread by 8 K.
    found = sky_temperature(one(0.0), sky_emissivity_clear(one(-10.0), one(6.0)))
    assert float(found[0]) == approx(-24.0, abs=8.0)


def test_overcast_sky_is_nearly_as_warm_as_the_air():
    # Unsworth and Monteith 1975: 0.16 of the clear sky's emissivity plus 0.84.
    assert float(sky_emissivity_cloudy(one(0.7), one(1.0))[0]) == approx(0.952)
    assert float(sky_emissivity_cloudy(one(0.7), one(0.0))[0]) == approx(0.7)


def test_infrared_is_turned_into_the_black_skys_temperature():
    # Stefan-Boltzmann: a black body at 0 degC sends 315.66 W/m2.
    assert float(sky_from_infrared(one(315.66))[0]) == approx(0.0, abs=0.01)


@given(air=st.floats(-45.0, 40.0), below=st.floats(0.0, 30.0), cloud=st.floats(0.0, 1.0))
def test_the_sky_is_never_warmer_than_the_air(air: float, below: float, cloud: float):
    clear = sky_emissivity_clear(one(min(air - below, 25.0)), one(3.0))
    assert float(sky_temperature(one(air), sky_emissivity_cloudy(clear, one(cloud)))[0]) <= air + 1e-9
