"""One time step: passes of coefficients, the flow's root, strips, room; nothing is kept until it is accepted."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined
from noonwall.engine.airpath import opening_flow, solve_network
from noonwall.engine.gap import (
    channel_faces,
    channel_faces_mesh,
    column_buoyancy_pa,
    eliminate_left,
    eliminate_right,
    far_end,
    load_right,
    march,
)
from noonwall.engine.room import AIR, air_change_w_k, balance_air_change, infiltration_kg_s, solve_room
from noonwall.engine.state import (
    P_B_BACK,
    P_B_IN,
    P_B_OUT,
    P_BUOYANCY,
    P_EXCHANGE,
    P_FAN_W,
    P_FLOW,
    P_FOOT,
    P_FOOT_MIX,
    P_H_LEFT,
    P_H_MESH,
    P_H_RIGHT,
    P_HEATER,
    P_KEPT,
    P_MEAN,
    P_ROOM_PA,
    P_SLOPE,
    P_SPEED,
    P_SUPPLY,
    P_T_BACK,
    P_T_LEAK,
    P_T_OUT,
    P_TOP_MIX,
    S_BUOYANCY,
    S_FLOW,
    S_FOOT,
    S_ROOM_PA,
    S_SLOPE,
    Scratch,
    State,
)
from noonwall.physics.air import GAS_CONSTANT_J_KGK, ZERO_C_K, viscosity_pa_s
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP
from noonwall.physics.convection import enclosure_film_w_m2k, gap_film_w_m2k, gap_films_w_m2k
from noonwall.physics.radiation import linear_radiation_w_m2k

if TYPE_CHECKING:
    from noonwall.engine.numbers import AirNumbers, Drive, Floats, ShopNumbers, WallNumbers

MAX_PASSES = 8
PASS_K = 0.1  # coefficients are renewed until no face moves by more than this between passes
BUOYANCY_SHARE = 5e-4
BUOYANCY_PA = 2e-6
MAX_TRIALS = 60
MOST_ROOM_PA = 400.0


@inlined
def mean_of(row: Floats) -> float:
    """Mean of a short array (a call to the library's would cost more than the sum)."""
    total = 0.0
    for i in range(len(row)):
        total += float(row[i])
    return total / len(row)


@inlined
def mean_row(table: Floats, row: int) -> float:
    """Mean of one row of a small table."""
    total: float = 0.0
    for i in range(table.shape[1]):
        total += float(table[row, i])
    return total / float(table.shape[1])


@inlined
def copy_strips(
    left: Floats, right: Floats, mesh: Floats, air: Floats,
    to_left: Floats, to_right: Floats, to_mesh: Floats, to_air: Floats,
) -> None:  # fmt: skip
    """Copy the strips' temperatures (plain loops: slices of small arrays cost more than they move)."""
    for i in range(len(air)):
        for k in range(left.shape[0]):
            to_left[k, i] = left[k, i]
        for k in range(right.shape[0]):
            to_right[k, i] = right[k, i]
        to_mesh[i] = mesh[i]
        to_air[i] = air[i]


@inlined
def fans_now(t: int, fan_on: float, drive: Drive, air: AirNumbers) -> tuple[float, float, float]:
    """Return (mains fans' speed, PV fans' speed, electric power [W]) for this step."""
    running = 1.0 if fan_on > 0.5 and drive.mains[t] > 0.5 else 0.0
    speed = drive.fan_speed[t] if fan_on > 0.5 or air.pv_free == 1 else 0.0
    watts = 0.0
    for kind in range(len(air.fan_row)):
        own = running if air.fan_pv[kind] == 0 else speed
        watts += air.fan_w[kind] * own**3 if air.fan_pv[kind] == 1 else air.fan_w[kind] * own
    return running, speed, watts


@inlined
def room_pressure_network(
    buoyancy: float, foot: float, room_pa: float, densities: tuple[float, float, float], viscosity: float,
    running: float, speed: float, vents: float, summer: float, wall: WallNumbers, air: AirNumbers, path: Floats,
) -> int:  # fmt: skip
    """Solve the network, and with it the shop's own pressure where the wall takes or gives outdoor air.

    Writes the flows into ``path``; returns the network iterations spent.
    """
    unbalanced = air.inlet_outdoors == 1 or (summer > 0.0 and air.summer_top_m2 + air.summer_bottom_m2 > 1e-9)
    low, high = -MOST_ROOM_PA, MOST_ROOM_PA
    guess, last, last_miss = room_pa, 0.0, 0.0
    spent = 0
    for trial in range(60):
        channel, foot, b_in, b_back, b_out, t_out, t_back, t_leak, n = solve_network(
            buoyancy, foot, densities[0], densities[1], densities[2], viscosity, guess, running, speed,
            vents, summer, wall, air,
        )  # fmt: skip
        spent += n
        path[P_FLOW], path[P_FOOT], path[P_B_IN], path[P_B_BACK] = channel, foot, b_in, b_back
        path[P_B_OUT], path[P_T_OUT], path[P_T_BACK], path[P_T_LEAK] = b_out, t_out, t_back, t_leak
        path[P_ROOM_PA] = guess
        if not unbalanced:
            break
        surplus = t_out - t_back + b_back - b_in
        out, rise = opening_flow(guess, air.room_leak_m2, densities[0])
        miss = surplus - out
        if abs(miss) < 1e-6 + 1e-4 * abs(channel) or high - low < 1e-7:
            break
        if miss > 0.0:
            low = guess
        else:
            high = guess
        # The leak's own slope to begin with, then the chord of the last two trials; the bracket's middle if it strays.
        step = miss / rise
        if trial > 0 and abs(last_miss - miss) > 1e-15:
            step = miss * (guess - last) / (last_miss - miss)
        last, last_miss = guess, miss
        trial_pa = guess + step
        if trial_pa <= low or trial_pa >= high:
            trial_pa = 0.5 * (low + high) if trial > 0 else max(low, min(high, trial_pa))
        guess = trial_pa
    return spent


@inlined
def solve_faces(
    face_diagonal: float, step_s: float, state: State, work: Scratch,
    wall: WallNumbers, h_left: float, h_right: float, h_mesh: float, mean: float,
) -> None:  # fmt: skip
    """Solve the channel faces of all strips for a given flow; ``mean`` is the inlet's share in the mean air."""
    last = len(wall.left_capacity) - 1
    lean = work.lean_right[0]
    for i in range(wall.strips):
        if wall.mesh == 1:
            channel_faces_mesh(
                work.ratio_left[last, i], work.own_left[last, i], face_diagonal, work.load_right[0, i],
                lean, wall.mesh_capacity / step_s, wall.mesh_capacity / step_s * state.mesh[i] + work.sun_mesh[i],
                work.cross[0, i], work.cross[1, i], work.cross[2, i], h_left, h_right, h_mesh, mean, work.faces, i,
            )  # fmt: skip
        else:
            channel_faces(
                work.ratio_left[last, i], work.own_left[last, i], face_diagonal, work.load_right[0, i],
                lean, work.cross[0, i], h_left, h_right, mean, work.faces, i,
            )  # fmt: skip


@inlined
def renew_coefficients(
    step_s: float, t: int, speed_m_s: float, state: State, work: Scratch, wall: WallNumbers, drive: Drive
) -> tuple[float, float, float]:
    """Renew films and long-wave links from the latest pass, eliminate both chains; returns the three films."""
    pressure = drive.pressure_pa[t]
    left_last = len(wall.left_capacity) - 1
    for k in range(left_last):
        work.still[k] = 0.0
        if wall.left_cavity_m[k] > 0.0:
            work.still[k] = enclosure_film_w_m2k(
                mean_row(work.left, k),
                mean_row(work.left, k + 1),
                wall.left_cavity_m[k],
                wall.height_m,
                pressure,
            )
    left_c, right_c, air_c = mean_row(work.left, left_last), mean_row(work.right, 0), mean_of(work.air)
    h_left, h_right = gap_films_w_m2k(left_c, right_c, air_c, wall.gap_m, wall.height_m, speed_m_s, pressure)
    h_mesh = 0.0
    if wall.mesh == 1:
        mesh_c = mean_of(work.mesh)
        h_mesh = wall.mesh_area * gap_film_w_m2k(
            mesh_c, left_c, air_c, 0.5 * wall.gap_m, wall.height_m, speed_m_s, pressure
        )
    for i in range(wall.strips):
        left_k, right_k = work.left[left_last, i] + ZERO_C_K, work.right[0, i] + ZERO_C_K
        work.cross[0, i] = linear_radiation_w_m2k(wall.channel_emittance, left_k, right_k)
        if wall.mesh == 1:
            mesh_k = work.mesh[i] + ZERO_C_K
            work.cross[1, i] = linear_radiation_w_m2k(wall.mesh_left_emittance, left_k, mesh_k)
            work.cross[2, i] = linear_radiation_w_m2k(wall.mesh_right_emittance, right_k, mesh_k)
        eliminate_left(
            step_s, wall, state.left, work.left, i, work.sun_left, work.still, drive.outer_film[t],
            drive.out_c[t], drive.sky_c[t], work.own_left, work.ratio_left, work.border,
        )  # fmt: skip
    return h_left, h_right, h_mesh


@inlined
def settle_flow(
    t: int, step_s: float, face_diagonal: float, h_left: float, h_right: float, h_mesh: float,
    running: float, speed: float, state: State, work: Scratch, wall: WallNumbers, air: AirNumbers, drive: Drive,
) -> int:  # fmt: skip
    """Find the flow whose heat makes just the buoyancy that drives it; fills ``path``, ``faces``, ``entry``, ``air``.

    Warmer air needs less flow, more flow makes cooler air: buoyancy against its own consequence falls
    monotonically, so a bracket always closes.
    """
    path = work.path
    room_c = work.room[AIR]
    pressure = drive.pressure_pa[t]
    room_density = pressure / (GAS_CONSTANT_J_KGK * (room_c + ZERO_C_K))
    out_density = pressure / (GAS_CONSTANT_J_KGK * (drive.out_c[t] + ZERO_C_K))
    air_k = mean_of(work.air) + ZERO_C_K
    gap_density = pressure / (GAS_CONSTANT_J_KGK * air_k)
    viscosity = viscosity_pa_s(air_k)
    conductance = (h_left + h_right + h_mesh) * wall.strip_m2
    low, high, low_miss, high_miss = -1e9, 1e9, 0.0, 0.0
    guess = path[P_BUOYANCY]
    fall = path[P_SLOPE]
    spent = 0
    for _ in range(MAX_TRIALS):
        spent += room_pressure_network(
            guess, path[P_FOOT], path[P_ROOM_PA], (room_density, gap_density, out_density), viscosity,
            running, speed, drive.vents_open[t], drive.summer_open[t], wall, air, path,
        )  # fmt: skip
        flow = path[P_FLOW]
        inlet, inlet_lean = inlet_air(flow, drive.out_c[t], path)
        mean = stream_mean(flow, conductance)
        solve_faces(face_diagonal, step_s, state, work, wall, h_left, h_right, h_mesh, mean)
        outlet, outlet_lean, path[P_MEAN], path[P_KEPT] = march(
            flow, inlet, inlet_lean, room_c, conductance, work.faces, h_left, h_right, h_mesh, wall,
            work.air, work.entry,
        )  # fmt: skip
        path[P_FOOT_MIX], path[P_TOP_MIX] = outlet, outlet_lean
        path[P_BUOYANCY] = guess
        miss = column_buoyancy_pa(work.air, room_c, pressure, wall) - guess
        if abs(miss) < BUOYANCY_PA + BUOYANCY_SHARE * abs(guess):
            break
        if miss > 0.0:
            if low_miss != 0.0:
                fall = max(0.0, (low_miss - miss) / max(guess - low, 1e-12) - 1.0)
            low, low_miss = guess, miss
        else:
            if high_miss != 0.0:
                fall = max(0.0, (miss - high_miss) / max(high - guess, 1e-12) - 1.0)
            high, high_miss = guess, miss
        if low_miss != 0.0 and high_miss != 0.0:
            fall = max(0.0, (low_miss - high_miss) / max(high - low, 1e-12) - 1.0)
            if high - low < 1e-9:
                break
        trial = guess + miss / (1.0 + fall)
        # A chord that lands on the bracket's edge is pulled to its middle.
        if trial <= low or trial >= high:
            trial = 0.5 * (low + high)
        guess = trial
    path[P_SLOPE] = fall
    path[P_H_LEFT], path[P_H_RIGHT], path[P_H_MESH] = h_left, h_right, h_mesh
    return spent


@inlined
def stream_mean(flow: float, conductance: float) -> float:
    """Share that a strip's inlet keeps in the strip's mean air; mirrors ``march``."""
    if abs(flow) <= 1e-9:
        return 0.0
    units = conductance / (abs(flow) * CP)
    return (1.0 - (math.exp(-units) if units < 50.0 else 0.0)) / units


@inlined
def inlet_air(flow: float, out_c: float, path: Floats) -> tuple[float, float]:
    """Air that enters the channel as (value, lean on the room): a mixture of shop and outdoor air."""
    if flow >= 0.0:
        inside, outside = path[P_B_IN], max(path[P_B_OUT], 0.0)
    else:
        inside, outside = path[P_T_BACK], max(-path[P_T_LEAK], 0.0)
    total = inside + outside
    if total < 1e-12:
        return 0.0, 1.0
    return out_c * outside / total, inside / total


@inlined
def node_mix(
    room_in: float, out_in: float, channel_in: float, out_c: float, value: float, lean: float
) -> tuple[float, float]:
    """Mixture at one end of the channel as (value, lean on the room)."""
    total = room_in + out_in + channel_in
    if total < 1e-12:
        return 0.0, 1.0
    return (out_in * out_c + channel_in * value) / total, (room_in + channel_in * lean) / total


@inlined
def air_to_room(out_c: float, path: Floats) -> tuple[float, float]:
    """Heat the air path brings the room as base + lean x room [W, W/K]; outlet of the march is in ``path``."""
    flow = path[P_FLOW]
    up, down = max(flow, 0.0), max(-flow, 0.0)
    value, lean = path[P_FOOT_MIX], path[P_TOP_MIX]
    foot_value, foot_lean = node_mix(path[P_B_IN], max(path[P_B_OUT], 0.0), down, out_c, value, lean)
    top_value, top_lean = node_mix(path[P_T_BACK], max(-path[P_T_LEAK], 0.0), up, out_c, value, lean)
    base = CP * (path[P_B_BACK] * foot_value + path[P_T_OUT] * top_value)
    slope = CP * (path[P_B_BACK] * (foot_lean - 1.0) + path[P_T_OUT] * (top_lean - 1.0))
    return base, slope


@inlined
def finish_strips(room_c: float, work: Scratch, wall: WallNumbers) -> float:
    """Substitute back through all strips; returns the largest move of a channel face since the last pass [K]."""
    left_last, right_last = len(wall.left_capacity) - 1, len(wall.right_capacity) - 1
    moved = 0.0
    mean = work.path[P_MEAN]
    h_left, h_right, h_mesh = work.path[P_H_LEFT], work.path[P_H_RIGHT], work.path[P_H_MESH]
    total = h_left + h_right + h_mesh
    for i in range(wall.strips):
        inlet = work.entry[i, 0] + work.entry[i, 1] * room_c
        left = work.faces[i, 0] + work.faces[i, 1] * inlet + work.faces[i, 2] * room_c
        right = work.faces[i, 3] + work.faces[i, 4] * inlet + work.faces[i, 5] * room_c
        heat = h_left * left + h_right * right
        if wall.mesh == 1:
            mesh = work.faces[i, 6] + work.faces[i, 7] * inlet + work.faces[i, 8] * room_c
            moved = max(moved, abs(mesh - work.mesh[i]))
            work.mesh[i] = mesh
            heat += h_mesh * mesh
        moved = max(moved, abs(left - work.left[left_last, i]), abs(right - work.right[0, i]))
        work.air[i] = mean * inlet + (1.0 - mean) * heat / total
        work.left[left_last, i] = left
        for k in range(left_last - 1, -1, -1):
            left = work.own_left[k, i] + work.ratio_left[k, i] * left
            work.left[k, i] = left
        work.right[0, i] = right
        for k in range(1, right_last + 1):
            right = work.load_right[k, i] + work.lean_right[k] * room_c + work.ratio_right[k] * right
            work.right[k, i] = right
    return moved


@inlined
def solve_step(
    t: int, step_s: float, fan_on: float, state: State, work: Scratch,
    wall: WallNumbers, air: AirNumbers, shop: ShopNumbers, drive: Drive,
) -> int:  # fmt: skip
    """Advance by ``step_s`` with the fans as they stand; the result stays in ``work``. Returns flow trials."""
    path = work.path
    out_c = drive.out_c[t]
    density = drive.pressure_pa[t] / (GAS_CONSTANT_J_KGK * (out_c + ZERO_C_K))
    running, speed, path[P_FAN_W] = fans_now(t, fan_on, drive, air)
    path[P_SPEED], path[P_SUPPLY] = running, speed
    work.room[AIR] = state.room[AIR]
    spent = 0
    if wall.strips == 0:
        exchange = air_change_w_k(infiltration_kg_s(work.room[AIR], out_c, drive.wind2[t], density, shop))
        path[P_EXCHANGE] = exchange
        path[P_HEATER] = solve_room(
            step_s, state.room, state.parts, path[P_FAN_W], 0.0, out_c, drive.deep_c[t], drive.window_w[t],
            drive.gains_w[t], work.part_sun, exchange, drive.mains[t], shop, work.room, work.parts,
        )  # fmt: skip
        return 0
    face_diagonal = eliminate_right(step_s, wall, work.inverse_right, work.ratio_right, work.lean_right)
    load_right(
        step_s, wall, work.inverse_right, work.ratio_right, state.right, work.sun_right, work.load_right
    )
    follow, far_lean = far_end(wall, work.ratio_right, work.lean_right, work.load_right, work.far_own)
    copy_strips(state.left, state.right, state.mesh, state.air, work.left, work.right, work.mesh, work.air)
    path[P_FLOW], path[P_FOOT] = state.scalar[S_FLOW], state.scalar[S_FOOT]
    path[P_BUOYANCY], path[P_SLOPE] = state.scalar[S_BUOYANCY], state.scalar[S_SLOPE]
    path[P_ROOM_PA] = state.scalar[S_ROOM_PA]
    for _ in range(MAX_PASSES):
        air_k = mean_of(work.air) + ZERO_C_K
        gap_density = drive.pressure_pa[t] / (GAS_CONSTANT_J_KGK * air_k)
        before = path[P_FLOW]
        speed_m_s = abs(before) / (gap_density * wall.channel_m2)
        h_left, h_right, h_mesh = renew_coefficients(step_s, t, speed_m_s, state, work, wall, drive)
        spent += settle_flow(
            t, step_s, face_diagonal, h_left, h_right, h_mesh, running, speed, state, work, wall, air, drive
        )
        base, slope = air_to_room(out_c, path)
        back_base, back_slope = back_to_room(follow, far_lean, work, wall)
        natural = infiltration_kg_s(work.room[AIR], out_c, drive.wind2[t], density, shop)
        surplus = path[P_T_OUT] - path[P_T_BACK] + path[P_B_BACK] - path[P_B_IN]
        exchange = air_change_w_k(balance_air_change(natural, surplus))
        path[P_EXCHANGE] = exchange
        last_room = work.room[AIR]
        path[P_HEATER] = solve_room(
            step_s, state.room, state.parts, base + back_base + path[P_FAN_W], slope + back_slope, out_c,
            drive.deep_c[t], drive.window_w[t], drive.gains_w[t], work.part_sun, exchange,
            drive.mains[t], shop, work.room, work.parts,
        )  # fmt: skip
        moved = max(finish_strips(work.room[AIR], work, wall), abs(work.room[AIR] - last_room))
        if moved < PASS_K and abs(path[P_FLOW] - before) <= 0.01 * abs(path[P_FLOW]) + 1e-4:
            break
    return spent


@inlined
def back_to_room(follow: float, far_lean: float, work: Scratch, wall: WallNumbers) -> tuple[float, float]:
    """Heat conducted from the wall's back into the room as base + lean x room [W, W/K].

    follow, far_lean  how the last node follows face and room, from ``far_end``
    """
    base, slope = 0.0, 0.0
    for i in range(wall.strips):
        value = work.faces[i, 3] + work.faces[i, 4] * work.entry[i, 0]
        lean = work.faces[i, 5] + work.faces[i, 4] * work.entry[i, 1]
        base += work.far_own[i] + follow * value
        slope += far_lean + follow * lean - 1.0
    conductance = wall.right_film * wall.strip_m2
    return base * conductance, slope * conductance
