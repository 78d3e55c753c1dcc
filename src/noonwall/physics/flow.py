"""Air driven through openings, gaps and flaps by pressure, and the pressure of warm air itself."""

from __future__ import annotations

import math

from noonwall.compiled import formula
from noonwall.physics.air import GRAVITY_M_S2, SPECIFIC_HEAT_J_KGK

TINY_AREA_M2 = 1e-9


@formula
def stack_pressure_pa(density_in_kg_m3: float, density_out_kg_m3: float, height_m: float) -> float:
    """Pressure that drives air upward inside because it is lighter than the air outside.

    density_in_kg_m3 : float   mean density of the inner column [kg/m³]
    density_out_kg_m3 : float  mean density of the outer column [kg/m³]
    height_m : float           height between the openings [m]
    Returns                    driving pressure, positive upward inside [Pa]
    Source                     hydrostatics; ashrae_fundamentals_2021, ch. 16 (stack pressure)
    Valid                      any
    Departs                    no
    >>> round(stack_pressure_pa(1.0923, 1.2041, 2.0), 3)
    2.193
    """
    return GRAVITY_M_S2 * height_m * (density_out_kg_m3 - density_in_kg_m3)


@formula
def loss_coefficient_from_discharge(cd: float) -> float:
    """Loss coefficient on the velocity in the opening that a discharge coefficient stands for.

    cd : float  discharge coefficient [-]
    Returns     loss coefficient K [-]
    Source      definition, Q = cd A sqrt(2 dp / rho) and dp = K rho v²/2
    Valid       cd above 0
    Departs     no
    >>> round(loss_coefficient_from_discharge(0.60), 2)
    2.78
    """
    return 1.0 / (cd * cd)


# blevins_1984: wire Reynolds number -> factor of (1 - f²)/f² for screens of round wire
SCREEN_RE = (20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 200.0, 400.0)
SCREEN_FACTOR = (1.3, 1.1, 0.95, 0.83, 0.75, 0.70, 0.60, 0.52)


@formula
def screen_loss_at(open_share: float, wire_reynolds: float) -> float:
    """Loss coefficient of a screen of round wires, on the velocity before it.

    open_share : float     free share of the screen, f [-]
    wire_reynolds : float  Reynolds number on the wire [-]
    Returns                loss coefficient K [-]
    Source                 blevins_1984, table as carried by the fluids library: factor(Re) (1 - f²)/f²
    Valid                  f 0.05 to 0.8; the end factors hold below Re 20 and above Re 400
    Departs                no
    >>> round(screen_loss_at(0.6, 1000.0), 2), round(screen_loss_at(0.6, 100.0), 2)
    (0.92, 1.24)
    """
    factor = SCREEN_FACTOR[0]
    if wire_reynolds >= SCREEN_RE[7]:
        factor = SCREEN_FACTOR[7]
    elif wire_reynolds > SCREEN_RE[0]:
        i = 1
        while wire_reynolds > SCREEN_RE[i]:
            i += 1
        w = (wire_reynolds - SCREEN_RE[i - 1]) / (SCREEN_RE[i] - SCREEN_RE[i - 1])
        factor = SCREEN_FACTOR[i - 1] + w * (SCREEN_FACTOR[i] - SCREEN_FACTOR[i - 1])
    return factor * (1.0 - open_share * open_share) / (open_share * open_share)


@formula
def screen_loss(open_share: float) -> float:
    """Loss coefficient of an insect screen in slow air, on the velocity before it.

    open_share : float  free share of the screen [-]
    Returns             loss coefficient K [-]
    Source              screen_loss_at, at wire Reynolds number 20
    Valid               wires of 0.2 to 0.4 mm in air of 0.3 to 1.5 m/s (Reynolds numbers of 5 to 40)
    Departs             one Reynolds number stands for all speeds; the slowest air loses still more
    >>> round(screen_loss(0.6), 2)
    2.31
    """
    return screen_loss_at(open_share, 20.0)


@formula
def loss_resistance(loss_coefficient: float, area_m2: float, density_kg_m3: float) -> float:
    """Resistance R of dp = R Q |Q| for a loss coefficient on the velocity in an area.

    loss_coefficient : float  K, on that velocity [-]
    area_m2 : float           the area [m²]
    density_kg_m3 : float     density of the air that passes [kg/m³]
    Returns                   resistance [Pa s²/m⁶]
    Source                    definition, dp = K rho (Q/A)²/2
    Valid                     area above 0
    Departs                   no
    >>> round(loss_resistance(2.0, 0.1, 1.2), 6)
    120.0
    """
    return 0.5 * loss_coefficient * density_kg_m3 / (area_m2 * area_m2)


@formula
def orifice_flow_m3_s(dp_pa: float, area_m2: float, cd: float, density_kg_m3: float) -> float:
    """Flow through a sharp opening, either direction.

    dp_pa : float          pressure across it [Pa]
    area_m2 : float        its area [m²]
    cd : float             discharge coefficient [-]
    density_kg_m3 : float  density of the air that passes [kg/m³]
    Returns                flow, sign of the pressure [m³/s]
    Source                 ashrae_fundamentals_2021, ch. 16 (orifice equation)
    Valid                  turbulent; its slope has no bound at dp = 0, use quadratic_flow in a solver
    Departs                no
    >>> round(orifice_flow_m3_s(-10.0, 0.01, 0.6, 1.2), 5)
    -0.02449
    """
    return math.copysign(cd * area_m2 * math.sqrt(2.0 * abs(dp_pa) / density_kg_m3), dp_pa)


@formula
def quadratic_flow(dp_pa: float, resistance_quadratic: float, resistance_linear: float) -> float:
    """Solve dp = R Q |Q| + L Q for the flow Q.

    dp_pa : float                 pressure across the path [Pa]
    resistance_quadratic : float  R, losses that grow with the square of flow [Pa s²/m⁶]
    resistance_linear : float     L, laminar losses [Pa s/m³]
    Returns                       flow, sign of the pressure [m³/s]
    Source                        the positive root, in the form that loses no digits near zero
    Valid                         R and L at least 0, not both 0; smooth through 0 when L is above 0
    Departs                       no; where R and L are both 0, or dp is 0, it returns 0
    >>> round(quadratic_flow(10.0, 3000.0, 50.0), 6)
    0.05
    """
    size = abs(dp_pa)
    below = resistance_linear + math.sqrt(
        resistance_linear * resistance_linear + 4.0 * resistance_quadratic * size
    )
    if below <= 0.0:
        return 0.0
    return 2.0 * dp_pa / below


@formula
def quadratic_pressure_pa(flow_m3_s: float, resistance_quadratic: float, resistance_linear: float) -> float:
    """Pressure that a flow needs, R Q |Q| + L Q: the inverse of quadratic_flow.

    flow_m3_s : float             flow, either sign [m³/s]
    resistance_quadratic : float  R [Pa s²/m⁶]
    resistance_linear : float     L [Pa s/m³]
    Returns                       pressure, sign of the flow [Pa]
    Source                        definition
    Valid                         any
    Departs                       no
    >>> round(quadratic_pressure_pa(0.05, 3000.0, 50.0), 9)
    10.0
    """
    return flow_m3_s * (resistance_linear + resistance_quadratic * abs(flow_m3_s))


@formula
def channel_friction_factor(Re: float) -> float:
    """Darcy friction factor of flow between wide smooth parallel plates.

    Re : float  Reynolds number on the hydraulic diameter, above 0 [-]
    Returns     friction factor [-]
    Source      laminar 96/Re shah_london_1978; turbulent 0.3164 Re^-0.25 blasius_1913; the greater of the two
    Valid       Re up to 1e5; the two cross at Re 2035, where the factor has a kink, not a step
    Departs     no
    >>> round(channel_friction_factor(8824.0), 4)
    0.0326
    """
    if Re < 2000.0:
        return 96.0 / Re
    return max(96.0 / Re, 0.3164 / math.sqrt(math.sqrt(Re)))


@formula
def channel_friction_pa(
    flow_m3_s: float,
    width_m: float,
    gap_m: float,
    length_m: float,
    density_kg_m3: float,
    viscosity_pa_s: float,
) -> float:
    """Friction of air that moves through a flat gap.

    flow_m3_s : float       flow, either sign [m³/s]
    width_m, gap_m : float  width and depth of the gap [m]
    length_m : float        length along the flow [m]
    density_kg_m3 : float   mean density [kg/m³]
    viscosity_pa_s : float  mean viscosity [Pa s]
    Returns                 pressure lost, sign of the flow [Pa]
    Source                  Darcy-Weisbach with channel_friction_factor on twice the gap
    Valid                   width well above the gap, Re up to 1e5; extra loss of the inlet length not
                            included
    Departs                 no
    >>> round(channel_friction_pa(0.3 * 0.05, 1.0, 0.05, 2.0, 1.1274, 1.917e-5), 3)
    0.055
    """
    hydraulic = 2.0 * gap_m
    speed = flow_m3_s / (width_m * gap_m)
    Re = density_kg_m3 * abs(speed) * hydraulic / viscosity_pa_s
    if Re < 2000.0:
        return 48.0 * viscosity_pa_s * speed * length_m / (hydraulic * hydraulic)
    f = channel_friction_factor(Re)
    return 0.5 * f * length_m / hydraulic * density_kg_m3 * speed * abs(speed)


@formula
def flap_flow(
    dp_pa: float,
    opening_pa: float,
    leak_area_m2: float,
    open_area_m2: float,
    cd: float,
    density_kg_m3: float,
) -> float:
    """Flow past a one-way flap: its leak both ways, its opening only forward and beyond the opening pressure.

    dp_pa : float          pressure across it, forward positive [Pa]
    opening_pa : float     pressure that carries its weight [Pa]
    leak_area_m2 : float   opening that stays when shut [m²]
    open_area_m2 : float   opening it adds when lifted [m²]
    cd : float             discharge coefficient [-]
    density_kg_m3 : float  density of the air that passes [kg/m³]
    Returns                flow, forward positive [m³/s]
    Source                 two orifices side by side; the flap's weight takes its opening pressure off the
                           drive
    Valid                  light flaps whose weight, not their stiffness, resists; rises with dp everywhere
    Departs                no published curve for a hinged film stands behind it
    >>> round(flap_flow(-1.0, 0.3, 0.005, 0.15, 0.62, 1.2), 5)
    -0.004
    """
    leak = orifice_flow_m3_s(dp_pa, leak_area_m2, cd, density_kg_m3)
    return leak + orifice_flow_m3_s(max(dp_pa - opening_pa, 0.0), open_area_m2, cd, density_kg_m3)


@formula
def flap_pressure_pa(
    flow_m3_s: float,
    opening_pa: float,
    leak_area_m2: float,
    open_area_m2: float,
    cd: float,
    density_kg_m3: float,
) -> float:
    """Pressure across a one-way flap at a given flow: the inverse of flap_flow, in closed form.

    flow_m3_s : float      flow, forward positive [m³/s]
    opening_pa : float     pressure that carries its weight [Pa]
    leak_area_m2 : float   opening that stays when shut; none counts as a square millimetre's thousandth [m²]
    open_area_m2 : float   opening it adds when lifted [m²]
    cd : float             discharge coefficient [-]
    density_kg_m3 : float  density of the air that passes [kg/m³]
    Returns                pressure, forward positive [Pa]
    Source                 flap_flow solved for the pressure (a quadratic in the root of dp - opening)
    Valid                  as flap_flow; continuous, rising, with no singular slope: the form for a flow
                           solver
    Departs                no
    >>> round(flap_pressure_pa(flap_flow(2.0, 0.3, 0.005, 0.15, 0.62, 1.2), 0.3, 0.005, 0.15, 0.62, 1.2), 9)
    2.0
    """
    unit = cd * math.sqrt(2.0 / density_kg_m3)
    a = unit * max(leak_area_m2, TINY_AREA_M2)
    shut_pa = flow_m3_s * abs(flow_m3_s) / (a * a)
    if shut_pa <= opening_pa:
        return shut_pa
    b = unit * open_area_m2
    drive = flow_m3_s * flow_m3_s - a * a * opening_pa
    inner = flow_m3_s * flow_m3_s + (b * b - a * a) * opening_pa
    root = drive / (flow_m3_s * b + a * math.sqrt(max(inner, 0.0)))
    return opening_pa + root * root


@formula
def stack_flow_m3_s(
    area_m2: float, cd: float, height_npl_m: float, inside_k: float, outside_k: float
) -> float:
    """Flow through an opening by stack effect, warmer inside.

    area_m2 : float             area of the opening [m²]
    cd : float                  discharge coefficient [-]
    height_npl_m : float        height from the opening's middle to the neutral level [m]
    inside_k, outside_k : float  air temperatures [K]
    Returns                     flow; negative (downward) when the inside is colder [m³/s]
    Source                      ashrae_fundamentals_2021, ch. 16 (flow caused by thermal forces only)
    Valid                       one inlet and one outlet of like size
    Departs                     mirrored for a colder inside, with the outer temperature below the line
    >>> round(stack_flow_m3_s(0.1, 0.65, 1.0, 323.15, 293.15), 4)
    0.0877
    """
    difference = inside_k - outside_k
    warmer = max(inside_k, outside_k)
    speed = math.sqrt(2.0 * GRAVITY_M_S2 * height_npl_m * abs(difference) / warmer)
    return math.copysign(cd * area_m2 * speed, difference)


@formula
def thermocirculation_speed_m_s(
    height_m: float,
    gap_area_m2: float,
    vent_area_m2: float,
    gap_k: float,
    room_k: float,
    c1: float,
    c2: float,
) -> float:
    """Mean speed of air that circulates by itself behind the glazing of a vented wall.

    height_m : float               height between the vents [m]
    gap_area_m2, vent_area_m2 : float  flow areas of the gap and of one row of vents [m²]
    gap_k, room_k : float          mean gap temperature and room temperature [K]
    c1, c2 : float                 8 and 2 in the source [-]
    Returns                        mean speed in the gap, negative when the gap is colder [m/s]
    Source                         utzinger_1979; duffie_beckman_2013, sec. 14.7 (from memory)
    Valid                          gaps that do not choke the flow; the source's own walls
    Departs                        mirrored for a colder gap
    >>> round(thermocirculation_speed_m_s(2.0, 1.0, 1.0, 308.15, 293.15, 8.0, 2.0), 3)
    0.437
    """
    ratio = gap_area_m2 / vent_area_m2
    drive = 2.0 * GRAVITY_M_S2 * height_m * abs(gap_k - room_k) / gap_k
    return math.copysign(math.sqrt(drive / (c1 * ratio * ratio + c2)), gap_k - room_k)


@formula
def heated_column_flow_kg_s(
    heat_w: float,
    height_m: float,
    area_m2: float,
    loss_coefficient: float,
    density_kg_m3: float,
    room_k: float,
) -> float:
    """Mass flow up an evenly heated column that draws and returns room air.

    heat_w : float            heat taken up by the air [W]
    height_m : float          height of the column and between its openings [m]
    area_m2 : float           area the loss coefficient is built on [m²]
    loss_coefficient : float  whole loss of the path [-]
    density_kg_m3 : float     density of room air [kg/m³]
    room_k : float            temperature of room air [K]
    Returns                   mass flow [kg/s]
    Source                    balance of stack pressure (half the rise) and quadratic loss, solved for the
                              flow
    Valid                     rises small against room_k, turbulent losses only
    Departs                   no
    >>> round(heated_column_flow_kg_s(500.0, 2.0, 0.05, 6.0, 1.2041, 293.15), 4)
    0.0272
    """
    drive = density_kg_m3 * density_kg_m3 * area_m2 * area_m2 * GRAVITY_M_S2 * height_m * heat_w
    return math.pow(drive / (loss_coefficient * SPECIFIC_HEAT_J_KGK * room_k), 1.0 / 3.0)
