"""The ground: what a slab loses at its edge, and how warm the earth is below."""

from __future__ import annotations

import math

from noonwall.compiled import formula

YEAR_D = 365.0
SOIL_DIFFUSIVITY_M2_D = 0.06


@formula
def slab_loss_w_k(loss_w_mk: float, perimeter_m: float) -> float:
    """Heat loss coefficient of a slab on the ground by its outer edge.

    loss_w_mk : float    F, loss per length of edge [W/(m K)]
    perimeter_m : float  length of the edge that faces outdoors [m]
    Returns              loss to outdoor air [W/K]
    Source               ashrae_901_2019, appendix A6 (F-factor method)
    Valid                slabs up to some 15 m across; a wide slab's middle loses less than this method gives
    Departs              no
    >>> round(slab_loss_w_k(1.2634, 34.1376), 1)
    43.1
    """
    return loss_w_mk * perimeter_m


@formula
def ground_temperature_c(
    mean_c: float,
    amplitude_k: float,
    depth_m: float,
    day: float,
    coldest_day: float,
    diffusivity_m2_d: float,
) -> float:
    """Temperature of undisturbed earth at a depth and a day of the year.

    mean_c : float            yearly mean of the surface [°C]
    amplitude_k : float       half the yearly swing of the surface [K]
    depth_m : float           depth [m]
    day : float               day of the year [d]
    coldest_day : float       day on which the surface is coldest, about 35 in the north [d]
    diffusivity_m2_d : float  heat diffusivity of the soil, SOIL_DIFFUSIVITY_M2_D when unknown [m²/d]
    Returns                   temperature [°C]
    Source                    kusuda_achenbach_1965
    Valid                     even soil without flowing water or freezing; snow cover lifts the real surface
                              mean
    Departs                   no
    >>> round(ground_temperature_c(10.0, 12.0, 0.0, 35.0, 35.0, 0.06), 6)
    -2.0
    """
    damping = depth_m * math.sqrt(math.pi / (YEAR_D * diffusivity_m2_d))
    lag = 0.5 * depth_m * math.sqrt(YEAR_D / (math.pi * diffusivity_m2_d))
    phase = 2.0 * math.pi / YEAR_D * (day - coldest_day - lag)
    return mean_c - amplitude_k * math.exp(-damping) * math.cos(phase)
