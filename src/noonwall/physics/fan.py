"""Fans: pressure over flow in both directions, fan laws, power."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from noonwall.compiled import formula

Floats = NDArray[np.float64]


@formula
def parabola_curve(
    rated_flow_m3_s: float, rated_pressure_pa: float, shutoff_pa: float
) -> tuple[float, float]:
    """Curve of a fan from one rated point and its pressure at no flow.

    rated_flow_m3_s : float    flow at the rated point [m³/s]
    rated_pressure_pa : float  pressure at the rated point, 0 when the flow is the free-air figure [Pa]
    shutoff_pa : float         pressure at no flow [Pa]
    Returns                    (shutoff [Pa], free flow [m³/s]) of p = shutoff (1 - (Q / free)²)
    Source                     parabola through two points: common practice, no source
    Valid                      rated pressure below shutoff; else the free flow is infinite
    Departs                    no
    >>> shutoff, free = parabola_curve(0.10, 30.0, 40.0)
    >>> shutoff, round(free, 6)
    (40.0, 0.2)
    """
    share = 1.0 - rated_pressure_pa / shutoff_pa
    if share <= 0.0:
        return shutoff_pa, math.inf
    return shutoff_pa, rated_flow_m3_s / math.sqrt(share)


@formula
def fan_pressure_pa(flow_m3_s: float, shutoff_pa: float, free_flow_m3_s: float) -> float:
    """Pressure a running fan adds, at any flow.

    flow_m3_s : float       flow through the fan, forward positive [m³/s]
    shutoff_pa : float      pressure at no flow [Pa]
    free_flow_m3_s : float  flow at no pressure [m³/s]
    Returns                 pressure, negative beyond the free flow [Pa]
    Source                  parabola from zero to free flow; beyond it the same law, backwards its mirror
                            image
    Valid                   falls steadily over all flows, so a network has one answer
    Departs                 no dip below the peak: real axial fans may stall there
    >>> fan_pressure_pa(0.1, 40.0, 0.2), fan_pressure_pa(-0.1, 40.0, 0.2)
    (30.0, 50.0)
    """
    x = flow_m3_s / free_flow_m3_s
    return shutoff_pa * (1.0 - x * abs(x))


@formula
def fan_pressure_from_points_pa(flow_m3_s: float, flows_m3_s: Floats, pressures_pa: Floats) -> float:
    """Pressure a running fan adds, from points of its maker's curve.

    flow_m3_s : float                   flow through the fan, forward positive [m³/s]
    flows_m3_s : array, shape (n,)      flows of the points, rising, n at least 2 [m³/s]
    pressures_pa : array, shape (n,)    pressures at the points, never rising [Pa]
    Returns                             pressure [Pa]
    Source                              straight lines between points
    Valid                               beyond the points the end lines run on, at least as steep as the
                                        whole curve
    Departs                             no
    >>> import numpy as np
    >>> round(fan_pressure_from_points_pa(0.15, np.array([0.0, 0.1, 0.2]), np.array([40.0, 30.0, 0.0])), 9)
    15.0
    """
    n = flows_m3_s.shape[0]
    whole = (pressures_pa[n - 1] - pressures_pa[0]) / (flows_m3_s[n - 1] - flows_m3_s[0])
    if flow_m3_s <= flows_m3_s[0]:
        return float(pressures_pa[0] + whole * (flow_m3_s - flows_m3_s[0]))
    i = 1
    while i < n - 1 and flow_m3_s > flows_m3_s[i]:
        i += 1
    slope = (pressures_pa[i] - pressures_pa[i - 1]) / (flows_m3_s[i] - flows_m3_s[i - 1])
    if flow_m3_s > flows_m3_s[n - 1]:
        slope = min(slope, whole)
        return float(pressures_pa[n - 1] + slope * (flow_m3_s - flows_m3_s[n - 1]))
    return float(pressures_pa[i - 1] + slope * (flow_m3_s - flows_m3_s[i - 1]))


@formula
def stopped_fan_pressure_pa(
    flow_m3_s: float, area_m2: float, loss_coefficient: float, density_kg_m3: float
) -> float:
    """Pressure lost in a fan that stands still or windmills.

    flow_m3_s : float         flow through it, either sign [m³/s]
    area_m2 : float           its opening [m²]
    loss_coefficient : float  loss on the opening's velocity head [-]
    density_kg_m3 : float     density of the air [kg/m³]
    Returns                   pressure lost, sign of the flow [Pa]
    Source                    definition of a loss coefficient; its value is common practice, no source
    Valid                     same loss both ways
    Departs                   no
    >>> round(stopped_fan_pressure_pa(-0.1, 0.1, 6.0, 1.2), 3)
    -3.6
    """
    speed = flow_m3_s / area_m2
    return 0.5 * loss_coefficient * density_kg_m3 * speed * abs(speed)


@formula
def at_speed(
    flow_m3_s: float, pressure_pa: float, power_w: float, speed_ratio: float
) -> tuple[float, float, float]:
    """Fan laws: the same point of a fan's curve at another speed.

    flow_m3_s, pressure_pa, power_w : float  a point at the first speed [m³/s], [Pa], [W]
    speed_ratio : float                      new speed over old [-]
    Returns                                  (flow, pressure, power) at the new speed
    Source                                   ashrae_systems_2020, ch. 21 (fan laws)
    Valid                                    one fan, one air density
    Departs                                  no
    >>> [round(x, 4) for x in at_speed(1.0, 1.0, 1.0, 0.75)]
    [0.75, 0.5625, 0.4219]
    """
    r = speed_ratio
    return flow_m3_s * r, pressure_pa * r * r, power_w * r * r * r


@formula
def at_density(
    flow_m3_s: float, pressure_pa: float, power_w: float, density_ratio: float
) -> tuple[float, float, float]:
    """Fan laws: the same point of a fan's curve in thinner or denser air.

    flow_m3_s, pressure_pa, power_w : float  a point at the first density [m³/s], [Pa], [W]
    density_ratio : float                    new density over old [-]
    Returns                                  (flow, pressure, shaft power) in the new air
    Source                                   ashrae_systems_2020, ch. 21 (fan laws)
    Valid                                    same speed
    Departs                                  no
    >>> at_density(1.0, 100.0, 10.0, 0.8)
    (1.0, 80.0, 8.0)
    """
    return flow_m3_s, pressure_pa * density_ratio, power_w * density_ratio


@formula
def fan_power_w(flow_m3_s: float, pressure_pa: float, efficiency: float) -> float:
    """Electric power of a fan from its duty.

    flow_m3_s : float    flow [m³/s]
    pressure_pa : float  pressure added [Pa]
    efficiency : float   whole efficiency, motor and drive included, above 0 to 1 [-]
    Returns              power [W]
    Source               definition of the efficiency
    Valid                any duty
    Departs              no
    >>> round(fan_power_w(0.1, 50.0, 0.25), 6)
    20.0
    """
    return flow_m3_s * pressure_pa / efficiency
