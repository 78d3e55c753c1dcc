"""What a builder's instruments say about heat carried by air, and how sure it is."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from noonwall.compiled import formula
from noonwall.physics.air import GAS_CONSTANT_J_KGK, MOLAR_RATIO, SPECIFIC_HEAT_J_KGK, ZERO_C_K

Floats = NDArray[np.float64]

# log-Tchebycheff lines of a rectangular duct, as shares of a side (iso_3966_2020, ashrae_111_2008)
RECTANGULAR_LINES = {
    5: (0.074, 0.288, 0.500, 0.712, 0.926),
    6: (0.061, 0.235, 0.437, 0.563, 0.765, 0.939),
    7: (0.053, 0.203, 0.366, 0.500, 0.634, 0.797, 0.947),
}
# log-linear points across a round duct, as shares of the diameter (iso_3966_2020, ashrae_111_2008)
ROUND_POINTS = {
    6: (0.032, 0.135, 0.321, 0.679, 0.865, 0.968),
    8: (0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979),
    10: (0.019, 0.077, 0.153, 0.217, 0.361, 0.639, 0.783, 0.847, 0.923, 0.981),
}


@formula
def air_heat_w(mass_flow_kg_s: float, rise_k: float) -> float:
    """Heat that a flow of air carries.

    mass_flow_kg_s : float  mass flow [kg/s]
    rise_k : float          outlet less inlet temperature [K]
    Returns                 heat, negative when it leaves colder [W]
    Source                  first law with cp = 1006 J/(kg K)
    Valid                   dry air to 1 % up to 100 °C; damp air carries up to 1 % more
    Departs                 no
    >>> round(air_heat_w(0.05, 20.0), 6)
    1006.0
    """
    return mass_flow_kg_s * SPECIFIC_HEAT_J_KGK * rise_k


@formula
def density_at_meter_kg_m3(air_c: float, pressure_pa: float, vapour_pa: float) -> float:
    """Density of the air where its volume flow is measured.

    air_c : float        temperature at the meter, not the room's [°C]
    pressure_pa : float  station pressure, not reduced to sea level [Pa]
    vapour_pa : float    vapour pressure, 0 when unknown [Pa]
    Returns              density [kg/m³]
    Source               ideal gases; ashrae_fundamentals_2021, ch. 1
    Valid                -40 to 120 °C
    Departs              no
    >>> round(density_at_meter_kg_m3(15.0, 101325.0, 0.0) / density_at_meter_kg_m3(45.0, 101325.0, 0.0), 3)
    1.104
    """
    return (pressure_pa - (1.0 - MOLAR_RATIO) * vapour_pa) / (GAS_CONSTANT_J_KGK * (air_c + ZERO_C_K))


@formula
def mass_flow_kg_s(speed_m_s: float, area_m2: float, density_kg_m3: float) -> float:
    """Mass flow from a mean speed.

    speed_m_s : float      mean speed over the cross-section [m/s]
    area_m2 : float        cross-section at the meter [m²]
    density_kg_m3 : float  density at the meter [kg/m³]
    Returns                mass flow [kg/s]
    Source                 continuity
    Valid                  speed averaged by a traverse, not one reading in the middle
    Departs                no
    >>> mass_flow_kg_s(2.0, 0.05, 1.2)
    0.12
    """
    return speed_m_s * area_m2 * density_kg_m3


@formula
def standard_speed_to_real_m_s(
    shown_m_s: float, air_c: float, pressure_pa: float, reference_c: float
) -> float:
    """Real speed from a heated-element meter that shows speed at its standard density.

    shown_m_s : float    speed shown [m/s]
    air_c : float        temperature at the meter [°C]
    pressure_pa : float  station pressure [Pa]
    reference_c : float  standard temperature of the meter, 21.1 as a rule [°C]
    Returns              real speed [m/s]
    Source               mass flux kept: standard density over real density, standard pressure 101325 Pa
    Valid                meters that say they show standard speed; not vane or pitot meters
    Departs              no
    >>> round(standard_speed_to_real_m_s(1.0, 45.0, 84556.0, 21.1), 3)
    1.296
    """
    return shown_m_s * 101325.0 / pressure_pa * (air_c + ZERO_C_K) / (reference_c + ZERO_C_K)


@formula
def heat_uncertainty_w(
    heat_w: float, flow_share: float, inlet_error_k: float, outlet_error_k: float, rise_k: float
) -> float:
    """Uncertainty of heat from flow and two thermometers whose errors have nothing to do with each other.

    heat_w : float                         the heat [W]
    flow_share : float                     uncertainty of the mass flow as a share of it [-]
    inlet_error_k, outlet_error_k : float  uncertainties of the thermometers [K]
    rise_k : float                         temperature rise [K]
    Returns                                uncertainty at the same level of confidence as the inputs [W]
    Source                                 jcgm_100_2008, sec. 5.1 (law of propagation)
    Valid                                  independent, small errors; a bias common to both thermometers
                                           drops out
    Departs                                no
    >>> round(heat_uncertainty_w(1000.0, 0.10, 0.5, 0.5, 20.0))
    106
    """
    if rise_k == 0.0:
        return math.inf
    rise_share = math.sqrt(inlet_error_k * inlet_error_k + outlet_error_k * outlet_error_k) / rise_k
    return abs(heat_w) * math.sqrt(flow_share * flow_share + rise_share * rise_share)


def traverse_mean(speeds_m_s: ArrayLike) -> float:
    """Mean speed from readings at log-Tchebycheff or log-linear points.

    speeds_m_s : array-like, any shape  readings at the points of RECTANGULAR_LINES (both ways) or
                                        ROUND_POINTS
    Returns                             mean speed [m/s]
    Source                              iso_3966_2020: the points are placed so that all weigh the same
    Valid                               at least 8 diameters of straight duct before the meter
    Departs                             no
    >>> traverse_mean([[1.0, 2.0], [3.0, 4.0]])
    2.5
    """
    return float(np.asarray(speeds_m_s, dtype=float).mean())


def rectangular_lines(side_m: float) -> Floats:
    """Distances from one wall of a rectangular duct at which to read, along one side.

    side_m : float  inner length of that side [m]
    Returns         distances, shape (5,), (6,) or (7,) by the side's length [m]
    Source          ashrae_111_2008: 5 lines below 30 in, 6 up to 36 in, 7 above
    Valid           any duct; at least 25 points in all
    Departs         no
    >>> [round(float(x), 3) for x in rectangular_lines(0.5)]
    [0.037, 0.144, 0.25, 0.356, 0.463]
    """
    inches = side_m / 0.0254
    count = 5 if inches < 30.0 else 6 if inches <= 36.0 else 7
    return np.asarray(RECTANGULAR_LINES[count]) * side_m
