"""Low-voltage wiring: how much of the voltage the cable eats."""

from __future__ import annotations

import math

from noonwall.compiled import formula

COPPER_OHM_M_20C = 1.75e-8
COPPER_PER_K = 0.00393
COPPER_OHM_CMIL_FT = 12.9
CIRCULAR_MIL_M2 = 5.067075e-10


@formula
def copper_resistivity_ohm_m(copper_c: float) -> float:
    """Resistivity of commercial copper wire.

    copper_c : float  temperature of the conductor [°C]
    Returns           resistivity [ohm m]
    Source            iec_60228_2004 practice: 0.0175 ohm mm²/m at 20 °C; coefficient 0.00393 1/K, handbook
                      figure from memory
    Valid             -40 to 120 °C
    Departs           no
    >>> round(copper_resistivity_ohm_m(70.0) * 1e6, 4)
    0.0209
    """
    return COPPER_OHM_M_20C * (1.0 + COPPER_PER_K * (copper_c - 20.0))


@formula
def voltage_drop_v(length_m: float, current_a: float, area_m2: float, resistivity_ohm_m: float) -> float:
    """Voltage lost in a two-wire cable, out and back.

    length_m : float           one-way length [m]
    current_a : float          current [A]
    area_m2 : float            cross-section of one conductor [m²]
    resistivity_ohm_m : float  resistivity of the conductor [ohm m]
    Returns                    drop [V]
    Source                     Ohm's law
    Valid                      direct current, or alternating current in thin cable
    Departs                    no
    >>> round(voltage_drop_v(20.0, 10.0, 2.5e-6, 0.0175e-6), 2)
    2.8
    """
    return 2.0 * length_m * current_a * resistivity_ohm_m / area_m2


@formula
def voltage_drop_circular_mil_v(length_ft: float, current_a: float, area_cmil: float) -> float:
    """Voltage lost in a two-wire copper cable by the circular-mil rule of the trade.

    length_ft : float  one-way length [ft]
    current_a : float  current [A]
    area_cmil : float  cross-section of one conductor [circular mil]
    Returns            drop [V]
    Source             2 K L I / CM with K = 12.9 ohm cmil/ft (copper near 75 °C): common practice
    Valid              as voltage_drop_v
    Departs            no
    >>> round(voltage_drop_circular_mil_v(100.0, 20.0, 10380.0), 2)
    4.97
    """
    return 2.0 * COPPER_OHM_CMIL_FT * length_ft * current_a / area_cmil


@formula
def gauge_area_m2(gauge: float) -> float:
    """Cross-section of an American wire gauge number.

    gauge : float  AWG number, 14 for 14 AWG, 0 for 1/0 [-]
    Returns        cross-section [m²]
    Source         astm_b258_2018: diameter 0.005 in × 92^((36 - n)/39)
    Valid          0 to 36
    Departs        no
    >>> round(gauge_area_m2(14.0) * 1e6, 2)
    2.08
    """
    diameter = 0.005 * 0.0254 * math.pow(92.0, (36.0 - gauge) / 39.0)
    return 0.25 * math.pi * diameter * diameter


@formula
def area_for_drop_m2(length_m: float, current_a: float, drop_v: float, resistivity_ohm_m: float) -> float:
    """Cross-section that keeps the drop of a two-wire cable to a wanted value.

    length_m : float           one-way length [m]
    current_a : float          current [A]
    drop_v : float             drop allowed [V]
    resistivity_ohm_m : float  resistivity of the conductor [ohm m]
    Returns                    cross-section of one conductor [m²]
    Source                     voltage_drop_v solved for the area
    Valid                      as voltage_drop_v
    Departs                    no
    >>> round(area_for_drop_m2(20.0, 10.0, 2.8, 0.0175e-6) * 1e6, 3)
    2.5
    """
    return 2.0 * length_m * current_a * resistivity_ohm_m / drop_v
