"""The ground: what a slab loses at its edge, and how warm the earth is below."""

from __future__ import annotations

import math

from noonwall.compiled import formula

YEAR_D = 365.0
IP_R_M2K_W = 0.176110
IP_F_W_MK = 1.730735
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
def _between(r_ip: float, at0: float, at5: float, at10: float, at15: float) -> float:
    """Interpolate over the insulation's conductance step, knots at R 0, 5, 10, 15 [h ft² °F/Btu]."""
    if r_ip <= 5.0:
        # Most of the gain comes with the first inch: follow 1/(1 + R), not R.
        w = (1.0 - 1.0 / (1.0 + r_ip)) / (1.0 - 1.0 / 6.0)
        return at0 + w * (at5 - at0)
    if r_ip <= 10.0:
        return at5 + (r_ip - 5.0) / 5.0 * (at10 - at5)
    return at10 + min(1.0, (r_ip - 10.0) / 5.0) * (at15 - at10)


@formula
def slab_edge_loss_w_mk(insulation_r_m2k_w: float, insulation_depth_m: float) -> float:
    """Loss per length of edge (F-factor) of an unheated slab with vertical edge insulation.

    insulation_r_m2k_w : float  resistance of the insulation, 0 for none [m² K/W]
    insulation_depth_m : float  how deep it goes [m]
    Returns                     F [W/(m K)]
    Source                      ashrae_901_2019, table A6.3.1 (unheated; none, 2 ft and 4 ft vertical, R 5,
                                10, 15)
    Valid                       0 to 1.22 m and R 0 to 2.64; beyond, the last value holds
    Departs                     between the table's points: straight lines, and 1/(1 + R) below R 5
    >>> round(slab_edge_loss_w_mk(0.0, 0.6), 3), round(slab_edge_loss_w_mk(1.7611, 0.6096), 3)
    (1.263, 0.935)
    """
    r = insulation_r_m2k_w / IP_R_M2K_W
    none = 0.73
    shallow = _between(r, none, 0.58, 0.54, 0.52)
    deep = _between(r, none, 0.54, 0.48, 0.45)
    depth = insulation_depth_m / 0.6096
    if depth <= 1.0:
        f = none + depth * (shallow - none)
    else:
        f = shallow + min(1.0, depth - 1.0) * (deep - shallow)
    return f * IP_F_W_MK


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
