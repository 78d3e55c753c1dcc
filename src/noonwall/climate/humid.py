"""Dew point and relative humidity, one from the other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def saturation_pressure(air_c: Floats) -> Floats:
    """Return the saturation pressure of water vapour over water [Pa].

    air_c : shape (n,)   temperature [degC]
    *Source*     Magnus form of Alduchov and Eskridge 1996, Journal of Applied Meteorology 35, 601:
                 610.94 exp(17.625 t / (t + 243.04))
    *Valid*      -40 to 50 degC within 0.4 %
    """
    return np.asarray(610.94 * np.exp(17.625 * air_c / (air_c + 243.04)))


def dewpoint(air_c: Floats, humidity_share: Floats) -> Floats:
    """Return the dew point [degC].

    air_c : shape (n,)   temperature [degC];  humidity_share : shape (n,)   relative humidity, 0 to 1 [-]
    *Source*     `saturation_pressure` turned round
    *Valid*      humidity from 1 % up; drier air is taken as 1 %
    """
    ratio = np.log(np.clip(humidity_share, 0.01, 1.0) * saturation_pressure(air_c) / 610.94)
    return np.asarray(243.04 * ratio / (17.625 - ratio))


def humidity(air_c: Floats, dewpoint_c: Floats) -> Floats:
    """Return the relative humidity, 0 to 1 [-], of air at a temperature and dew point [degC], shape (n,)."""
    return np.asarray(np.clip(saturation_pressure(dewpoint_c) / saturation_pressure(air_c), 0.0, 1.0))
