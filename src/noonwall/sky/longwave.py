"""How warm the sky looks: from measured long-wave, else from dew point and cloud."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
STEFAN_BOLTZMANN = 5.670374e-8


def sky_emissivity_clear(dewpoint_c: Floats, solar_hour: Floats) -> Floats:
    """Return the emissivity of a cloudless sky at sea-level pressure [-].

    dewpoint_c : shape (n,)   dew point [degC];  solar_hour : shape (n,)   hours since midnight [h]
    *Source*     Berdahl and Martin 1984, Solar Energy 32, 663: 0.711 + 0.56 (Td/100) + 0.73 (Td/100)²
                 + 0.013 cos(2 pi t / 24)
    *Valid*      dew points -13 to 24 degC in the source; the curve's low point is at -38 degC, colder dew
                 points are held there
    """
    hundredth = np.maximum(dewpoint_c, -38.0) / 100.0
    daily = 0.013 * np.cos(2.0 * np.pi * solar_hour / 24.0)
    return np.asarray(0.711 + 0.56 * hundredth + 0.73 * hundredth**2 + daily)


def sky_emissivity_cloudy(clear: Floats, cloud_share: Floats) -> Floats:
    """Return the emissivity of a partly clouded sky [-].

    clear : shape (n,)   of the cloudless sky [-];  cloud_share : shape (n,)   0 clear to 1 overcast [-]
    *Source*     Unsworth and Monteith 1975, Quarterly Journal of the Royal Meteorological Society 101, 13:
                 (1 - 0.84 c) e + 0.84 c
    *Valid*      0 to 1
    """
    return np.asarray((1.0 - 0.84 * cloud_share) * clear + 0.84 * cloud_share)


def sky_temperature(air_c: Floats, emissivity: Floats) -> Floats:
    """Return the temperature of a black sky that sends as much long-wave [degC].

    air_c : shape (n,)   air near the ground [degC];  emissivity : shape (n,)   of the sky [-]
    *Source*     definition: e sigma Ta⁴ = sigma Ts⁴
    """
    return np.asarray((air_c + 273.15) * emissivity**0.25 - 273.15)


def sky_from_infrared(infrared_w_m2: Floats) -> Floats:
    """Return the temperature of a black sky that sends this long-wave [degC].

    infrared_w_m2 : shape (n,)   long-wave from the sky on a level plane [W/m²]
    *Source*     Stefan-Boltzmann law
    """
    return np.asarray((infrared_w_m2 / STEFAN_BOLTZMANN) ** 0.25 - 273.15)
