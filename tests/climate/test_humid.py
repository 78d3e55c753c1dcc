"""Humid air against the handbook's equations."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from pytest import approx

from noonwall.climate.humid import dewpoint, humidity, saturation_pressure


@pytest.mark.parametrize(("air_c", "pascal"), [(5.0, 872.5), (25.0, 3169.2)])
def test_saturation_pressure_over_water(air_c: float, pascal: float):
    # Witness: ASHRAE Fundamentals' equation as psychrolib 2.5 evaluates it.
    assert float(saturation_pressure(np.array([air_c]))[0]) == approx(pascal, rel=0.004)


def test_dewpoint():
    # Witness: psychrolib 2.5, GetTDewPointFromRelHum.
    psychrolib.SetUnitSystem(psychrolib.SI)
    for air_c, share in ((30.0, 0.3), (20.0, 0.6), (10.0, 0.9), (25.0, 0.5)):
        wanted = psychrolib.GetTDewPointFromRelHum(air_c, share)
        assert float(dewpoint(np.array([air_c]), np.array([share]))[0]) == approx(wanted, abs=0.1)


def test_there_and_back():
    air, share = np.linspace(-40.0, 45.0, 50), np.linspace(0.05, 1.0, 50)
    assert humidity(air, dewpoint(air, share)) == approx(share, rel=1e-9)
