"""Dry and humid air: density, conduction, viscosity, moisture, the pressure at a height."""

from __future__ import annotations

import math

from noonwall.compiled import formula

GAS_CONSTANT_J_KGK = 287.055
SPECIFIC_HEAT_J_KGK = 1006.0
ZERO_C_K = 273.15
GRAVITY_M_S2 = 9.80665
SEA_LEVEL_PA = 101325.0
TRIPLE_POINT_C = 0.01
MOLAR_RATIO = 0.621945


@formula
def density_kg_m3(pressure_pa: float, air_k: float) -> float:
    """Density of dry air as an ideal gas.

    pressure_pa : float  absolute pressure [Pa]
    air_k : float        air temperature [K]
    Returns              density [kg/m³]
    Source               ashrae_fundamentals_2021, ch. 1 (gas constant of dry air 287.042 to 287.055 by
                         edition)
    Valid                200 to 450 K near one atmosphere: within 0.1 % of lemmon_2000
    Departs              water vapour is left out; at 25 °C and 60 % it would take 0.7 % off
    >>> round(density_kg_m3(101325.0, 293.15), 4)
    1.2041
    """
    return pressure_pa / (GAS_CONSTANT_J_KGK * air_k)


@formula
def moist_density_kg_m3(pressure_pa: float, vapour_pa: float, air_k: float) -> float:
    """Density of humid air, vapour and air as ideal gases.

    pressure_pa : float  absolute pressure of the mixture [Pa]
    vapour_pa : float    partial pressure of water vapour [Pa]
    air_k : float        air temperature [K]
    Returns              density of the mixture [kg/m³]
    Source               ashrae_fundamentals_2021, ch. 1 (perfect-gas relations)
    Valid                near one atmosphere; vapour below saturation is not checked
    Departs              no
    >>> round(moist_density_kg_m3(101325.0, 1900.0, 298.15), 4)
    1.1755
    """
    return (pressure_pa - (1.0 - MOLAR_RATIO) * vapour_pa) / (GAS_CONSTANT_J_KGK * air_k)


@formula
def conductivity_w_mk(air_k: float) -> float:
    """Heat conductivity of dry air.

    air_k : float  air temperature [K]
    Returns        conductivity [W/(m K)]
    Source         cubic fitted here to lemmon_2004 (as evaluated by CoolProp), 225 to 430 K, worst 0.005 %
    Valid          225 to 430 K; beyond it the cubic runs on, 1 % off at 190 and 560 K
    Departs        pressure is left out: below 0.1 % between 0.6 and 1.1 bar
    >>> round(conductivity_w_mk(300.0), 6)
    0.026385
    """
    x = air_k - 300.0
    return 2.63847484e-2 + x * (7.42855623e-5 + x * (-4.04209289e-8 + x * 4.35689612e-11))


@formula
def viscosity_pa_s(air_k: float) -> float:
    """Dynamic viscosity of dry air.

    air_k : float  air temperature [K]
    Returns        viscosity [Pa s]
    Source         cubic fitted here to lemmon_2004 (as evaluated by CoolProp), 225 to 430 K, worst 0.007 %
    Valid          225 to 430 K; beyond it the cubic runs on
    Departs        pressure is left out: below 0.1 % between 0.6 and 1.1 bar
    >>> round(viscosity_pa_s(300.0) * 1e6, 3)
    18.538
    """
    x = air_k - 300.0
    return 1.85376163e-5 + x * (4.82016591e-8 + x * (-3.40454826e-11 + x * 3.75903858e-14))


@formula
def prandtl(air_k: float) -> float:
    """Prandtl number of dry air: viscosity times specific heat over conductivity.

    air_k : float  air temperature [K]
    Returns        Prandtl number [-]
    Source         definition, with this file's properties
    Valid          225 to 430 K
    Departs        specific heat is held at 1006 J/(kg K): 0.005 low at 100 °C, 0.008 low at 150 °C
    >>> round(prandtl(300.0), 3)
    0.707
    """
    return viscosity_pa_s(air_k) * SPECIFIC_HEAT_J_KGK / conductivity_w_mk(air_k)


@formula
def standard_pressure_pa(elevation_m: float) -> float:
    """Pressure of the standard atmosphere at a height.

    elevation_m : float  height above sea level [m]
    Returns              pressure [Pa]
    Source               ashrae_fundamentals_2021, ch. 1, eq. 3 (standard atmosphere)
    Valid                -5000 to 11000 m
    Departs              no
    >>> round(standard_pressure_pa(1500.0))
    84556
    """
    return SEA_LEVEL_PA * math.pow(1.0 - 2.25577e-5 * elevation_m, 5.2559)


@formula
def saturation_pressure_pa(air_c: float) -> float:
    """Pressure of saturated water vapour, over ice below 0.01 °C, over water above.

    air_c : float  temperature of the ice or water surface [°C]
    Returns        saturation pressure [Pa]
    Source         hyland_wexler_1983, as printed in ashrae_fundamentals_2021, ch. 1, eq. 5 and 6
    Valid          -100 to 200 °C
    Departs        no; the two branches differ by 0.002 % where they meet
    >>> round(saturation_pressure_pa(25.0), 1)
    3169.2
    """
    t = air_c + ZERO_C_K
    if air_c <= TRIPLE_POINT_C:
        poly = t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.484024e-13)))
        return math.exp(-5.6745359e3 / t + 6.3925247 + poly + 4.1635019 * math.log(t))
    poly = t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8))
    return math.exp(-5.8002206e3 / t + 1.3914993 + poly + 6.5459673 * math.log(t))


@formula
def _saturation_slope(air_c: float) -> float:
    """Return the slope of the logarithm of the saturation pressure, d ln p / dT [1/K]."""
    t = air_c + ZERO_C_K
    if air_c <= TRIPLE_POINT_C:
        poly = -9.677843e-3 + t * (2 * 6.2215701e-7 + t * (3 * 2.0747825e-9 - t * 4 * 9.484024e-13))
        return 5.6745359e3 / (t * t) + poly + 4.1635019 / t
    poly = -4.8640239e-2 + t * (2 * 4.1764768e-5 - t * 3 * 1.4452093e-8)
    return 5.8002206e3 / (t * t) + poly + 6.5459673 / t


@formula
def vapour_pressure_from_dewpoint_pa(dewpoint_c: float) -> float:
    """Partial pressure of water vapour in air of a known dew (or frost) point.

    dewpoint_c : float  dew point, frost point below 0.01 °C [°C]
    Returns             vapour pressure [Pa]
    Source              definition of the dew point, with saturation_pressure_pa
    Valid               -100 to 200 °C
    Departs             no
    >>> round(vapour_pressure_from_dewpoint_pa(-10.0), 1)
    259.9
    """
    return saturation_pressure_pa(dewpoint_c)


@formula
def vapour_pressure_pa(air_c: float, relative_humidity: float) -> float:
    """Partial pressure of water vapour from relative humidity.

    air_c : float              air temperature [°C]
    relative_humidity : float  share of saturation, 0 to 1 [-]
    Returns                    vapour pressure [Pa]
    Source                     definition, with saturation_pressure_pa
    Valid                      -100 to 200 °C
    Departs                    no
    >>> round(vapour_pressure_pa(20.0, 0.5), 1)
    1169.4
    """
    return relative_humidity * saturation_pressure_pa(air_c)


@formula
def dew_point_c(vapour_pressure_pa: float) -> float:
    """Temperature at which air of this vapour pressure begins to dew (or, below 0.01 °C, to frost).

    vapour_pressure_pa : float  partial pressure of water vapour [Pa]
    Returns                     dew or frost point [°C]
    Source                      inverse of saturation_pressure_pa by Newton's method
    Valid                       0.01 Pa to 1 MPa, good to 1e-6 K; smaller pressures answer as 0.01 Pa (-92 °C)
    Departs                     no
    >>> round(dew_point_c(saturation_pressure_pa(12.5)), 6)
    12.5
    """
    wanted = math.log(max(vapour_pressure_pa, 1e-2))
    x = wanted - 6.41
    t = 243.1 * x / (17.62 - x) if x > 0.0 else 272.6 * x / (22.46 - x)
    for _ in range(6):
        t -= (math.log(saturation_pressure_pa(t)) - wanted) / _saturation_slope(t)
    return t


@formula
def humidity_ratio(vapour_pa: float, pressure_pa: float) -> float:
    """Mass of water vapour per mass of dry air.

    vapour_pa : float    partial pressure of water vapour [Pa]
    pressure_pa : float  absolute pressure of the mixture [Pa]
    Returns              humidity ratio [kg/kg]
    Source               ashrae_fundamentals_2021, ch. 1, eq. 20
    Valid                vapour pressure below the total pressure
    Departs              no
    >>> round(humidity_ratio(1169.4, 101325.0), 6)
    0.007262
    """
    return MOLAR_RATIO * vapour_pa / (pressure_pa - vapour_pa)
