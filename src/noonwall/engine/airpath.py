"""The pressure network of the wall: vents, fans, flap, channel friction, leaks, flow either way.

Pressures are relative to the still air of the shop at the same height. Two unknown pressures, at the channel's
foot and top; given the foot's, every flow follows explicitly, and the mismatch between what enters at the foot
and what leaves at the top falls monotonically with it: one bracketed Newton iteration finds it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined
from noonwall.physics.flow import channel_friction_factor

if TYPE_CHECKING:
    from noonwall.engine.numbers import AirNumbers, WallNumbers

# Slope of the laminar part of an opening's flow law: below some 0.002 Pa a vent's flow is linear in pressure.
LAMINAR_PA = 0.002
TINY_M2 = 1e-9
LEAST_SPEED = 1e-3
LAMINAR_TO_RE = 2035.0  # where the friction law's two branches meet
SHUT_SHARE = 0.002  # what a hand shutter leaves open; common practice, no source


@inlined
def opening_flow(dp_pa: float, area_m2: float, density: float) -> tuple[float, float]:
    """Flow [kg/s] through an opening and its slope [kg/s Pa], smooth at zero pressure.

    dp_pa    pressure that drives it [Pa], either sign
    area_m2  opening times discharge coefficient [m2]
    density  of the air that passes [kg/m3]

    Source  orifice law m = Cd A sqrt(2 rho dp); the square root is rounded below ``LAMINAR_PA``
    """
    root = math.sqrt(dp_pa * dp_pa + LAMINAR_PA * LAMINAR_PA)
    k = area_m2 * math.sqrt(2.0 * density)
    half = math.sqrt(root)
    flow = k * dp_pa / half
    slope = k * (1.0 - 0.5 * dp_pa * dp_pa / (root * root)) / half
    return flow, slope


@inlined
def fan_flow(
    dp_pa: float, area_m2: float, density: float, speed: float, kind: int, air: AirNumbers
) -> tuple[float, float]:
    """Flow [kg/s] of one running fan in its opening, and its slope, when ``dp_pa`` helps it.

    The fan's curve, scaled to its speed and the air's density by the fan laws, is a chain of straight pieces:
    on each the balance of fan, opening and help is a quadratic.
    """
    drag = density / (2.0 * area_m2 * area_m2)
    scale = speed * speed * density / 1.2
    last = air.fan_points[kind] - 1
    shutoff = air.fan_pressure_pa[kind, 0] * scale
    if dp_pa + shutoff <= 0.0:
        flow, slope = opening_flow(dp_pa + shutoff, area_m2, density)
        return flow, slope
    for piece in range(last):
        q1 = air.fan_flow_m3_s[kind, piece + 1] * speed
        p1 = air.fan_pressure_pa[kind, piece + 1] * scale
        if piece < last - 1 and drag * q1 * q1 - p1 - dp_pa < 0.0:
            continue
        q0 = air.fan_flow_m3_s[kind, piece] * speed
        p0 = air.fan_pressure_pa[kind, piece] * scale
        fall = (p0 - p1) / max(q1 - q0, 1e-9)
        head = p0 + fall * q0 + dp_pa
        root = math.sqrt(fall * fall + 4.0 * drag * head)
        q = (root - fall) / (2.0 * drag)
        return density * q, density / max(root, 1e-9)
    return 0.0, 1e-9


@inlined
def row_openings(
    row: int, running: float, speed: float, share: float, air: AirNumbers
) -> tuple[float, float, float, int, int]:
    """One row's openings as the network sees them while the fans stand as they do.

    share    how far the hand shutters are open
    Returns  (plain openings and stopped fans [m2], leak of a shut flap [m2], pressure that lifts the flap [Pa],
             1 if a flap moves, 1 if a fan of the row runs)
    """
    plain = air.bottom_plain_m2 if row == 1 else air.top_plain_m2
    total = plain + (air.bottom_fan_m2 if row == 1 else air.top_fan_m2)
    blowing = 0
    for kind in range(len(air.fan_row)):
        if air.fan_row[kind] != row:
            continue
        if (running if air.fan_pv[kind] == 0 else speed) > LEAST_SPEED:
            blowing = 1
        else:
            plain += air.fan_stopped_m2[kind] * air.fan_count[kind]
    if air.flap_row != row:
        return plain * share, 0.0, 0.0, 0, blowing
    if air.flap_stuck == 2:
        return 0.0, total * share * air.flap_leak_share, 0.0, 0, 0
    if air.flap_stuck == 1:
        return plain * share * air.flap_open_share, 0.0, 0.0, 0, blowing
    return (
        plain * share * air.flap_open_share,
        total * share * air.flap_leak_share,
        air.flap_opening_pa,
        1,
        blowing,
    )


@inlined
def row_flow(
    dp_pa: float, density: float, openings: tuple[float, float, float, int, int], row: int,
    running: float, speed: float, share: float, air: AirNumbers,
) -> tuple[float, float, float]:  # fmt: skip
    """Air through one row of vents: (forward [kg/s], backward [kg/s], slope), both flows counted positive.

    dp_pa drives it forward: room to channel in the bottom row, channel to room in the top row. Openings with a
    running fan may push forward while their bare neighbours let air slip back.
    """
    area, leak, lift, flap, blowing = openings
    net, forward, slope = 0.0, 0.0, 0.0
    if area > TINY_M2 and (flap == 0 or dp_pa > lift):
        net, slope = opening_flow(dp_pa - lift, area, density)
    if leak > TINY_M2:
        flow, rise = opening_flow(dp_pa, leak, density)
        net += flow
        slope += rise
    backward = max(-net, 0.0)
    forward = max(net, 0.0)
    if blowing == 1:
        free = air.flap_open_share if air.flap_row == row else 1.0
        for kind in range(len(air.fan_row)):
            own = running if air.fan_pv[kind] == 0 else speed
            if air.fan_row[kind] != row or own <= LEAST_SPEED:
                continue
            flow, rise = fan_flow(
                dp_pa - lift, air.fan_opening_m2[kind] * share * free, density, own, kind, air
            )
            if flow > 0.0:
                forward += flow * air.fan_count[kind]
            elif flap == 0:
                backward -= flow * air.fan_count[kind]
            else:
                continue
            slope += rise * air.fan_count[kind]
    return forward, backward, slope


@inlined
def channel_friction(
    flow: float, density: float, viscosity: float, wall: WallNumbers, air: AirNumbers
) -> tuple[float, float]:
    """Pressure lost along the channel [Pa], sign of the flow, and its slope [Pa s/kg].

    Source  friction factor on the hydraulic diameter (2 x gap) from ``physics.flow``; turns at both ends on the
    channel's velocity head
    """
    hydraulic = 2.0 * wall.gap_m
    size_flow = max(abs(flow), 1e-9)
    speed = size_flow / (density * wall.channel_m2)
    reynolds = density * speed * hydraulic / viscosity
    head = 0.5 * density * speed * speed
    along = channel_friction_factor(reynolds) * wall.height_m / hydraulic * head
    turns = head * air.turn_loss
    power = 1.0 if reynolds < LAMINAR_TO_RE else 1.75
    slope = (power * along + 2.0 * turns) / size_flow
    size = along + turns if abs(flow) > 1e-9 else 0.0
    return (size if flow >= 0.0 else -size), slope


@inlined
def solve_network(
    buoyancy_pa: float, foot_guess_pa: float, room_density: float, gap_density: float, out_density: float,
    viscosity: float, room_pa: float, running: float, speed: float, vents_open: float, summer: float,
    wall: WallNumbers, air: AirNumbers,
) -> tuple[float, float, float, float, float, float, float, float, int]:  # fmt: skip
    """Flows for a given buoyancy.

    buoyancy_pa    what the channel's warm column adds from foot to top [Pa]
    room_pa        shop above outdoor pressure at the neutral height [Pa]
    Returns        (channel flow, foot pressure, then the flows counted positive: bottom room->channel,
                   bottom channel->room, bottom net outdoors->channel, top channel->room, top room->channel,
                   top net channel->outdoors, iterations), flows in kg/s, upward positive
    """
    share = SHUT_SHARE + (1.0 - SHUT_SHARE) * vents_open
    tilt = 9.80665 * (room_density - out_density)
    # Outdoor pressure seen from the shop's still air at both ends of the channel.
    foot_out = tilt * (wall.bottom_vent_m - air.neutral_m) - room_pa
    top_out = tilt * (wall.top_vent_m - air.neutral_m) - room_pa
    foot_leak = 0.5 * air.leak_m2 + summer * air.summer_bottom_m2
    top_leak = 0.5 * air.leak_m2 + summer * air.summer_top_m2
    bottom = row_openings(1, running, speed, share, air)
    upper = row_openings(2, running, speed, share, air)
    low, high = -1e5, 1e5
    x = foot_guess_pa
    channel = b_in = b_back = b_out = t_out = t_back = t_leak = 0.0
    trials = 0
    for _ in range(60):
        trials += 1
        if air.inlet_outdoors == 1:
            forward, backward, slope_b = row_flow(
                foot_out - x, out_density, bottom, 1, running, speed, share, air
            )
            b_in, b_back = 0.0, 0.0
            b_out = forward - backward
        else:
            b_in, b_back, slope_b = row_flow(-x, room_density, bottom, 1, running, speed, share, air)
            b_out = 0.0
        if foot_leak > TINY_M2:
            leak, rise = opening_flow(foot_out - x, foot_leak, out_density)
            b_out += leak
            slope_b += rise
        channel = b_in - b_back + b_out
        friction, friction_slope = channel_friction(channel, gap_density, viscosity, wall, air)
        top = x + buoyancy_pa - friction
        t_out, t_back, slope_t = row_flow(top, gap_density, upper, 2, running, speed, share, air)
        t_leak = 0.0
        if top_leak > TINY_M2:
            t_leak, rise = opening_flow(top - top_out, top_leak, gap_density)
            slope_t += rise
        miss = channel - (t_out - t_back + t_leak)
        if miss > 0.0:
            low = x
        else:
            high = x
        slope = -slope_b - slope_t * (1.0 + friction_slope * slope_b)
        if abs(miss) < 1e-9 + 1e-7 * abs(channel) or high - low < 1e-12 or slope >= 0.0:
            break
        step = -miss / slope
        trial = x + step
        if trial <= low or trial >= high:
            trial = 0.5 * (low + high) if high < 1e5 and low > -1e5 else x + max(-50.0, min(50.0, step))
        x = trial
    return channel, x, b_in, b_back, b_out, t_out, t_back, t_leak, trials
