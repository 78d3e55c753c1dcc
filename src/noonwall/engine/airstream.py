"""The air path as plain differential equations: each flow and pressure a state of its own; see ``equations``.

Air has inertia and can be pressed together, as in nature, so no root is sought: an opening's flow follows from the
pressures as they are, and these follow the flows in milliseconds.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from noonwall.engine.room import AIR, NODES
from noonwall.physics.air import GAS_CONSTANT_J_KGK as GAS_CONSTANT
from noonwall.physics.air import GRAVITY_M_S2 as GRAVITY
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP
from noonwall.physics.air import ZERO_C_K, viscosity_pa_s
from noonwall.physics.convection import gap_film_w_m2k, gap_films_w_m2k
from noonwall.physics.flow import channel_friction_factor

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case

ROUNDING_PA = 0.002  # below it an opening's flow is laminar, as in the kernel
SHUTTER_LEAK = 0.002  # what a hand shutter leaves open, as in the kernel
LEAST_SPEED = 1e-3  # a fan below this share of its speed counts as stopped
BLOCK_KG_PA = 1e-4  # air that a pascal presses into either end of the channel
DUCT_M = 0.3  # length of air that a fan sets in motion
FILM_S = 2.0  # the films follow the gap's mean air this fast
STILL_KG_S = 1e-9


class Places(NamedTuple):
    """Where each part of the state stands in the integrator's vector."""

    left: slice
    right: slice
    mesh: slice
    room: slice
    parts: slice
    sensors: slice
    fans: slice  # flow of one fan of each kind [m3/s]
    flow: int  # up the channel [kg/s]
    foot: int  # pressure in the channel's foot, in its top, of the shop [Pa]
    top: int
    room_pa: int
    film_air: int  # mean air of the gap as the films feel it [C]
    sums: slice  # delivered, carried out, heater, through the wall's back [kWh]
    length: int


class Now(NamedTuple):
    """What acts during one step of the drive while the fans stand as they do."""

    t: int
    running: float  # mains fans
    speed: float  # fans fed by a PV module
    fan_w: float
    left: Floats  # (nl, strips) absorbed sun [W/m2]
    right: Floats  # (strips,)
    mesh: Floats  # (strips,)


class Row(NamedTuple):
    """Air through one row of vents."""

    forward: Floats  # both counted positive [kg/s], (k,)
    backward: Floats
    fans: Floats  # (kinds, k) how fast each fan's flow changes [m3/s2]


class Stream(NamedTuple):
    """The air path at one moment."""

    air: Floats  # (strips, k) mean air of each strip [C]
    to_room: Floats  # (k,) heat it brings the room [W]
    surplus: Floats  # (k,) net air into the room [kg/s]
    films: tuple[Floats, Floats, Floats]  # left, right, mesh [W/m2K]
    rates: tuple[Floats, Floats, Floats, Floats, Floats]  # of flow, foot, top, shop pressure, film air
    fans: Floats  # (kinds, k)


def places_of(case: Case) -> Places:
    """Lay the state out."""
    wall = case.wall
    sizes = (
        wall.left_capacity.size * wall.strips,
        wall.right_capacity.size * wall.strips,
        wall.mesh * wall.strips,
        NODES,
        2 * case.shop.part_in_w_k.size,
        case.switches.kind.size,
        case.air.fan_row.size,
    )
    edges = np.concatenate([[0], np.cumsum(sizes)]).tolist()
    left, right, mesh, room, parts, sensors, fans = (
        slice(begin, end) for begin, end in itertools.pairwise(edges)
    )
    at = int(edges[-1])
    return Places(
        left, right, mesh, room, parts, sensors, fans, at, at + 1, at + 2, at + 3, at + 4, slice(at + 5, at + 9), at + 9
    )  # fmt: skip


def now_at(case: Case, t: int, fan_on: float) -> Now:
    """Gather what acts in step ``t``."""
    drive, wall, air = case.drive, case.wall, case.air
    day = drive.day[t]
    beam = drive.beam[t] * drive.beam_share[t if len(drive.beam_share) > 1 else 0]
    lit = drive.ground_beam[t] * drive.ground_share[t if len(drive.ground_share) > 1 else 0]
    sky = drive.isotropic[t] * drive.sky_view[day]
    band = np.maximum(drive.horizon[t] * drive.horizon_view[day], -sky)
    ground = lit + drive.ground_sky[t] * drive.ground_view[day]

    def taken(row: int) -> Floats:
        if row < 0:
            return np.zeros(wall.strips)
        light = drive.take_beam[row, t] * beam + drive.take_sky[row] * sky
        light = light + drive.take_horizon[row] * band + drive.take_ground[row] * ground
        return np.asarray(drive.pass_share[t] * light)

    running = float(fan_on > 0.5 and drive.mains[t] > 0.5)
    speed = float(drive.fan_speed[t]) if fan_on > 0.5 or air.pv_free == 1 else 0.0
    watts = np.where(air.fan_pv == 1, air.fan_w * speed**3, air.fan_w * running)
    left = np.array([taken(int(row)) for row in wall.left_sun])
    return Now(t, running, speed, float(watts.sum()), left, taken(wall.right_sun), taken(wall.mesh_sun))


def each(formula: Callable[..., tuple[float, ...]], *columns: Floats) -> Floats:
    """Apply a scalar formula along the columns, once for each different set of arguments: (results, k)."""
    wanted = list(zip(*(column.tolist() for column in columns), strict=True))
    known = {arguments: formula(*arguments) for arguments in set(wanted)}
    return np.array([known[arguments] for arguments in wanted]).T


def opening(dp_pa: Floats, area_m2: float, density: Floats) -> Floats:
    """Return the flow through a plain opening [kg/s], smooth at rest."""
    return np.asarray(area_m2 * np.sqrt(2.0 * density) * dp_pa / (dp_pa * dp_pa + ROUNDING_PA**2) ** 0.25)


def vents(case: Case, now: Now, row: int, push: Floats, density: Floats, fans: Floats) -> Row:
    """Send air through one row of vents.

    push  (k,) pressure that drives it from room to channel (row 1) or channel to room (row 2) [Pa]
    fans  (kinds, k) flow of one fan of each kind [m3/s]
    """
    air = case.air
    share = SHUTTER_LEAK + (1.0 - SHUTTER_LEAK) * case.drive.vents_open[now.t]
    plain, with_fans = (
        (air.bottom_plain_m2, air.bottom_fan_m2) if row == 1 else (air.top_plain_m2, air.top_fan_m2)
    )
    whole = plain + with_fans
    speeds = np.where(air.fan_pv == 1, now.speed, now.running)
    blowing = (air.fan_row == row) & (speeds > LEAST_SPEED)
    stopped = (air.fan_row == row) & ~blowing
    plain = plain + float((air.fan_stopped_m2 * air.fan_count)[stopped].sum())
    hung = air.flap_row == row
    moves = hung and air.flap_stuck == 0
    shut = hung and air.flap_stuck == 2
    free = air.flap_open_share if hung else 1.0
    leaf = push - (air.flap_opening_pa if moves else 0.0)
    net = opening(leaf, 0.0 if shut else plain * share * free, density)
    if moves:
        net = np.where(leaf > 0.0, net, 0.0)
    if moves or shut:
        net = net + opening(push, whole * share * air.flap_leak_share, density)
    forward, backward = np.maximum(net, 0.0), np.maximum(-net, 0.0)
    rates = np.zeros_like(fans)
    for kind in [] if shut else np.flatnonzero(blowing).tolist():
        rates[kind] = fan_rate(case, kind, float(speeds[kind]), fans[kind], leaf, density, share * free)
        blown = density * fans[kind] * air.fan_count[kind]
        forward = forward + np.maximum(blown, 0.0)
        if not moves:
            backward = backward + np.maximum(-blown, 0.0)
    return Row(forward, backward, rates)


def fan_rate(
    case: Case, kind: int, speed: float, flow: Floats, help_pa: Floats, density: Floats, free: float
) -> Floats:
    """Return how fast one fan's flow changes [m3/s2]: its pressure and the help against its opening's drag."""
    air = case.air
    points = air.fan_points[kind]
    along = air.fan_flow_m3_s[kind, :points] * speed
    curve = air.fan_pressure_pa[kind, :points] * speed * speed
    fall = (curve[-2] - curve[-1]) / (along[-1] - along[-2])
    own = np.interp(flow, along, curve) - fall * np.maximum(flow - along[-1], 0.0)
    area = air.fan_opening_m2[kind] * free
    drag = 0.5 * density * flow * np.abs(flow) / (area * area)
    return np.asarray((own * density / 1.2 + help_pa - drag) * area / (density * DUCT_M))


def channel_drag(case: Case, flow: Floats, density: Floats, air_k: Floats) -> Floats:
    """Return the pressure lost to friction along the channel and to its two turns [Pa], sign of the flow."""
    wall = case.wall
    width = 2.0 * wall.gap_m
    speed = flow / (density * wall.channel_m2)

    def factor(rho: float, v: float, kelvin: float) -> tuple[float]:
        return (channel_friction_factor(max(rho * abs(v) * width / viscosity_pa_s(kelvin), 1e-12)),)

    loss = each(factor, density, speed, air_k)[0] * wall.height_m / width + case.air.turn_loss
    return np.asarray(0.5 * density * speed * np.abs(speed) * loss)


def mixture(streams: Sequence[tuple[Floats, Floats]], otherwise: Floats) -> Floats:
    """Return the temperature of merged streams, given as (flow, temperature)."""
    total, heat = np.zeros_like(otherwise), np.zeros_like(otherwise)
    for flow, temperature in streams:
        total = total + flow
        heat = heat + flow * temperature
    return np.where(total > 1e-12, heat / np.maximum(total, 1e-12), otherwise)


def films(
    case: Case, left: Floats, right: Floats, mesh: Floats, air_c: Floats, speed: Floats, pressure_pa: float
) -> tuple[Floats, Floats, Floats]:
    """Return the films of the channel's left face, right face and mesh [W/m2K], by the means over the strips."""
    wall = case.wall
    gap_m, height_m = wall.gap_m, wall.height_m

    def faces(a: float, b: float, c: float, v: float) -> tuple[float, float]:
        return gap_films_w_m2k(a, b, c, gap_m, height_m, v, pressure_pa)

    def wires(m: float, a: float, c: float, v: float) -> tuple[float]:
        return (gap_film_w_m2k(m, a, c, 0.5 * gap_m, height_m, v, pressure_pa),)

    left_c = left.mean(axis=0)
    on_left, on_right = each(faces, left_c, right.mean(axis=0), air_c, speed)
    if not wall.mesh:
        return on_left, on_right, np.zeros_like(air_c)
    return on_left, on_right, wall.mesh_area * each(wires, mesh.mean(axis=0), left_c, air_c, speed)[0]


def along_strips(flow: Floats, inlet: Floats, faces: Floats, conductance: Floats) -> tuple[Floats, Floats]:
    """Follow the air up or down the strips: (mean air of each strip (strips, k), outlet (k,)) [C].

    faces  (strips, k) what the strip's faces together draw the air towards [C]
    conductance  (k,) of one strip [W/K]
    """
    units = conductance / (np.maximum(np.abs(flow), STILL_KG_S) * CP)
    kept = np.exp(-units)
    mean = np.where(units > 1e-9, -np.expm1(-units) / np.maximum(units, 1e-9), 1.0)
    up = flow >= 0.0
    ahead = np.where(up, faces, faces[::-1])
    air = np.empty_like(ahead)
    value = inlet
    for i in range(len(ahead)):
        air[i] = ahead[i] + mean * (value - ahead[i])
        value = ahead[i] + kept * (value - ahead[i])
    return np.where(up, air, air[::-1]), value


def stream(case: Case, now: Now, at: Places, y: Floats, left: Floats, right: Floats, mesh: Floats) -> Stream:
    """Return the air path and its heat.

    left, right, mesh  (strips, k) the channel's faces
    """
    wall, air, drive, t = case.wall, case.air, case.drive, now.t
    pa, summer = drive.pressure_pa[t], drive.summer_open[t]
    flow, foot, top, room_pa, film_air = y[at.flow], y[at.foot], y[at.top], y[at.room_pa], y[at.film_air]
    room, still = y[at.room][AIR], np.zeros_like(flow)
    out_c = still + drive.out_c[t]
    inside, outside, gap = (pa / (GAS_CONSTANT * (c + ZERO_C_K)) for c in (room, out_c, film_air))
    tilt = GRAVITY * (inside - outside)
    foot_out = tilt * (wall.bottom_vent_m - air.neutral_m) - room_pa
    top_out = tilt * (wall.top_vent_m - air.neutral_m) - room_pa
    fresh = air.inlet_outdoors == 1
    low = vents(case, now, 1, foot_out - foot if fresh else -foot, outside if fresh else inside, y[at.fans])
    high = vents(case, now, 2, top, gap, y[at.fans])
    foot_in = opening(foot_out - foot, 0.5 * air.leak_m2 + summer * air.summer_bottom_m2, outside)
    top_leak = opening(top - top_out, 0.5 * air.leak_m2 + summer * air.summer_top_m2, gap)
    room_in, room_back = (still, still) if fresh else (low.forward, low.backward)
    if fresh:
        foot_in = foot_in + low.forward - low.backward

    speed = np.abs(flow) / (gap * wall.channel_m2)
    conductances = films(case, left, right, mesh, film_air, speed, pa)
    total = conductances[0] + conductances[1] + conductances[2]
    faces = conductances[0] * left + conductances[1] * right
    if wall.mesh:
        faces = faces + conductances[2] * mesh
    from_foot = [(room_in, room), (np.maximum(foot_in, 0.0), out_c)]
    from_top = [(high.backward, room), (np.maximum(-top_leak, 0.0), out_c)]
    inlet = np.where(flow >= 0.0, mixture(from_foot, room), mixture(from_top, room))
    strips, outlet = along_strips(flow, inlet, faces / total, total * wall.strip_m2)
    foot_c = mixture([*from_foot, (np.maximum(-flow, 0.0), outlet)], room)
    top_c = mixture([*from_top, (np.maximum(flow, 0.0), outlet)], room)

    gap_strips = pa / (GAS_CONSTANT * (strips + ZERO_C_K))
    lift = GRAVITY * (wall.column[:, None] * (inside - gap_strips)).sum(axis=0)
    drag = channel_drag(case, flow, gap, film_air + ZERO_C_K)
    surplus = high.forward - high.backward + room_back - room_in
    pressing = still
    if fresh or (summer > 0.0 and air.summer_top_m2 + air.summer_bottom_m2 > 0.0):
        elastic_kg_pa = case.shop.air_capacity / CP / pa
        pressing = (surplus - opening(room_pa, air.room_leak_m2, inside)) / elastic_kg_pa
    rates = (
        (foot - top + lift - drag) * wall.channel_m2 / wall.height_m,
        (room_in - room_back + foot_in - flow) / BLOCK_KG_PA,
        (flow - high.forward + high.backward - top_leak) / BLOCK_KG_PA,
        pressing,
        (strips.mean(axis=0) - film_air) / FILM_S,
    )
    to_room = CP * (room_back * (foot_c - room) + high.forward * (top_c - room))
    return Stream(strips, to_room, surplus, conductances, rates, low.fans + high.fans)
