"""Sheets and boards that warm up: how much longer they get, how far they bow, what holding them costs."""

from __future__ import annotations

import math

from noonwall.compiled import formula


@formula
def expansion_m(length_m: float, expansion_1_k: float, difference_k: float) -> float:
    """How much a free piece grows.

    length_m : float       its length [m]
    expansion_1_k : float  coefficient of linear expansion [1/K]
    difference_k : float   how much warmer it gets [K]
    Returns                growth, negative when it gets colder [m]
    Source                 definition of the coefficient
    Valid                  free piece, even temperature
    Departs                no
    >>> round(1000 * expansion_m(2.4, 6.5e-5, 80.0), 1)
    12.5
    """
    return length_m * expansion_1_k * difference_k


@formula
def slip_m(length_m: float, expansion1_1_k: float, expansion2_1_k: float, difference_k: float) -> float:
    """How far two pieces of one length slide along each other when both warm alike.

    length_m : float                       their length [m]
    expansion1_1_k, expansion2_1_k : float  coefficients of linear expansion [1/K]
    difference_k : float                   how much warmer both get [K]
    Returns                                slip over the whole length, positive when the first grows more [m]
    Source                                 definition of the coefficient
    Valid                                  both free, both equally warm
    Departs                                no
    >>> round(1000 * slip_m(3.0, 6.5e-5, 2.36e-5, 80.0), 1)
    9.9
    """
    return length_m * (expansion1_1_k - expansion2_1_k) * difference_k


@formula
def bow_radius_m(thickness_m: float, expansion_1_k: float, across_k: float) -> float:
    """Radius to which a free sheet curls when one face is warmer than the other.

    thickness_m : float    its thickness [m]
    expansion_1_k : float  coefficient of linear expansion [1/K]
    across_k : float       temperature difference between its faces [K]
    Returns                radius of curvature, warm face outward; infinite without a difference [m]
    Source                 timoshenko_1959, art. 14 (free plate, linear temperature through the thickness)
    Valid                  free edges, linear course through the thickness; for twin-wall the whole depth
                           counts
    Departs                no
    >>> round(bow_radius_m(0.010, 6.5e-5, 20.0), 2)
    7.69
    """
    strain = expansion_1_k * abs(across_k)
    if strain == 0.0:
        return math.inf
    return thickness_m / strain


@formula
def free_bow_m(length_m: float, thickness_m: float, expansion_1_k: float, across_k: float) -> float:
    """How far the middle of a free sheet stands out when one face is warmer than the other.

    length_m : float       length between the points it rests on [m]
    thickness_m : float    its thickness [m]
    expansion_1_k : float  coefficient of linear expansion [1/K]
    across_k : float       warm face less cold face [K]
    Returns                sag of the arc, towards the warm side; negative for the other face [m]
    Source                 timoshenko_1959, art. 14: L² alpha dT / (8 t), the flat-arc form
    Valid                  sag below a tenth of the length; sheet free to turn and slide at its ends
    Departs                no
    >>> round(1000 * free_bow_m(2.4, 0.010, 6.5e-5, 20.0), 1)
    93.6
    """
    return length_m * length_m * expansion_1_k * across_k / (8.0 * thickness_m)


@formula
def gripped_bow_m(length_m: float, growth_m: float) -> float:
    """How far a sheet stands out that has no room to grow: the arc of its new length over its old span.

    length_m : float  distance between the points that hold it [m]
    growth_m : float  growth beyond the room left for it (expansion less the gap left) [m]
    Returns           rise of the arc, 0 when there is room enough [m]
    Source            geometry of a flat arc: arc less chord is 8 rise² / (3 chord)
    Valid             rise below a tenth of the length; stiffness and the load that starts it are left out
    Departs           no
    >>> round(1000 * gripped_bow_m(2.4, 0.005), 1)
    67.1
    """
    return math.sqrt(3.0 * length_m * max(growth_m, 0.0) / 8.0)


@formula
def held_stress_pa(modulus_pa: float, expansion_1_k: float, difference_k: float) -> float:
    """Stress along a piece that is held so that it cannot grow.

    modulus_pa : float     modulus of elasticity [Pa]
    expansion_1_k : float  coefficient of linear expansion [1/K]
    difference_k : float   how much warmer it gets than when it was fixed [K]
    Returns                compressive stress, negative (tension) when it gets colder [Pa]
    Source                 Hooke's law; timoshenko_1959
    Valid                  elastic, straight, one direction held; creep takes much of it off in plastics
    Departs                no
    >>> round(held_stress_pa(2.2e9, 6.5e-5, 40.0) / 1e6, 2)
    5.72
    """
    return modulus_pa * expansion_1_k * difference_k


@formula
def buckling_rise_k(length_m: float, thickness_m: float, expansion_1_k: float) -> float:
    """Warming at which a solid flat strip that is held at both ends begins to buckle.

    length_m : float       free length, ends free to turn [m]
    thickness_m : float    thickness of the solid strip [m]
    expansion_1_k : float  coefficient of linear expansion [1/K]
    Returns                temperature rise [K]
    Source                 Euler's load of a hinged strut set equal to the held stress: pi² t² / (12 alpha L²)
    Valid                  solid strips; a twin-wall sheet of the same depth buckles at about three times
                           this (its material sits at the faces): take it as the low end
    Departs                no
    >>> round(buckling_rise_k(0.6, 0.010, 6.5e-5), 2)
    3.51
    """
    slenderness = math.pi * thickness_m / length_m
    return slenderness * slenderness / (12.0 * expansion_1_k)


@formula
def conduction_temperature_c(
    hot_c: float, cold_c: float, resistance_before: float, resistance_after: float
) -> float:
    """Temperature between two resistances in a steady flow of heat.

    hot_c, cold_c : float                       temperatures at both ends [°C]
    resistance_before, resistance_after : float  resistances on the hot and on the cold side [m² K/W]
    Returns                                     temperature at the joint [°C]
    Source                                      Fourier's law in steady state
    Valid                                       no heat stored or added at the joint
    Departs                                     no
    >>> conduction_temperature_c(80.0, 20.0, 0.1, 0.2)
    60.0
    """
    return hot_c + (cold_c - hot_c) * resistance_before / (resistance_before + resistance_after)
