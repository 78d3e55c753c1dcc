"""The kernel's equations once more, as plain differential equations: how fast every state changes.

Together with ``airstream`` it shares the numbers of a ``Case`` and the formulas of ``physics`` with the kernel,
nothing else: no elimination, no air marched against unknown faces, no linearised radiation, no search for the flow.

Arrays carry a last axis of length k: many states at once, so that an integrator gets its Jacobian in one call.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.airstream import each, stream
from noonwall.engine.room import AIR, CONTENTS, CORE, EDGE, SLAB_LOW, SLAB_TOP
from noonwall.physics.air import GAS_CONSTANT_J_KGK as GAS_CONSTANT
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP
from noonwall.physics.air import ZERO_C_K
from noonwall.physics.convection import enclosure_film_w_m2k
from noonwall.physics.radiation import STEFAN_BOLTZMANN

if TYPE_CHECKING:
    from noonwall.engine.airstream import Now, Places, Stream
    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case

BAND_K = 0.02  # the heater gives full power this far below its setting
LEAST_J_M2K = 5.0  # a massless node gets this little
LEAST_J_K = 100.0
LEAST_LAG_S = 1.0
J_KWH = 3.6e6


def fourth(celsius: Floats | float) -> Floats:
    """Return what a black body of this temperature sends [W/m2]."""
    return np.asarray(STEFAN_BOLTZMANN * (celsius + ZERO_C_K) ** 4)


def wall_rates(
    case: Case, now: Now, left: Floats, right: Floats, mesh: Floats, room: Floats, air: Stream
) -> tuple[Floats, Floats, Floats]:
    """Return how fast all wall nodes warm [K/s]: (nl, strips, k), (nr, strips, k), (strips, k)."""
    wall, drive, t = case.wall, case.drive, now.t
    out_c, pa = drive.out_c[t], drive.pressure_pa[t]
    h_left, h_right, h_mesh = air.films
    to_left = np.broadcast_to(now.left[:, :, None], left.shape).copy()
    to_right = np.zeros_like(right)
    to_right[0] = now.right[:, None]
    warm = fourth(left)
    seen = wall.sky_form * fourth(drive.sky_c[t]) + (1.0 - wall.sky_form) * fourth(out_c)
    to_left[0] += drive.outer_film[t] * (out_c - left[0]) + wall.outer_emittance * (seen - warm[0])
    for k in range(len(wall.left_fixed)):
        joined = wall.left_fixed[k] + still_air(case, k, left, pa)
        flux = joined * (left[k] - left[k + 1]) + wall.left_emittance[k] * (warm[k] - warm[k + 1])
        to_left[k] -= flux
        to_left[k + 1] += flux
    across = wall.channel_emittance * (warm[-1] - fourth(right[0]))
    to_left[-1] -= h_left * (left[-1] - air.air) + across
    to_right[0] += across - h_right * (right[0] - air.air)
    flux = wall.right_fixed[:, None, None] * (right[:-1] - right[1:])
    to_right[:-1] -= flux
    to_right[1:] += flux
    to_right[-1] -= wall.right_film * (right[-1] - room)
    to_mesh = mesh
    if wall.mesh:
        mesh_left = wall.mesh_left_emittance * (fourth(mesh) - warm[-1])
        mesh_right = wall.mesh_right_emittance * (fourth(mesh) - fourth(right[0]))
        to_left[-1] += mesh_left
        to_right[0] += mesh_right
        to_mesh = now.mesh[:, None] - h_mesh * (mesh - air.air) - mesh_left - mesh_right
    return (
        to_left / np.maximum(wall.left_capacity, LEAST_J_M2K)[:, None, None],
        to_right / np.maximum(wall.right_capacity, LEAST_J_M2K)[:, None, None],
        to_mesh / max(wall.mesh_capacity, LEAST_J_M2K),
    )


def still_air(case: Case, link: int, left: Floats, pressure_pa: float) -> Floats:
    """Return the conductance of a closed air layer of the left chain [W/m2K], (k,)."""
    depth_m, height_m = float(case.wall.left_cavity_m[link]), case.wall.height_m
    if depth_m <= 0.0:
        return np.zeros(left.shape[2])

    def layer(a: float, b: float) -> tuple[float]:
        return (enclosure_film_w_m2k(a, b, depth_m, height_m, pressure_pa),)

    return np.asarray(each(layer, left[link].mean(axis=0), left[link + 1].mean(axis=0))[0])


def heater(case: Case, t: int, room: Floats) -> Floats:
    """Return the heater's output [W]: proportional over a narrow band below its setting."""
    wanted = np.clip((case.shop.heater_set_c - room) / BAND_K, 0.0, 1.0)
    return np.asarray(case.shop.heater_w * wanted * float(case.drive.mains[t] > 0.5))


def shop_rates(
    case: Case, now: Now, nodes: Floats, parts: Floats, from_wall: Floats, surplus: Floats
) -> tuple[Floats, Floats]:
    """Return how fast the shop's nodes (6, k) and the envelope's (parts, 2, k) warm [K/s].

    from_wall  heat that the wall's air and back give the room [W];  surplus  air they blow in [kg/s]
    """
    shop, drive, t = case.shop, case.drive, now.t
    out_c, room, window = drive.out_c[t], nodes[AIR], drive.window_w[t]
    slab = shop.slab_w_k > 0.0
    floor = shop.sun_to_floor * window if slab else 0.0
    density = drive.pressure_pa[t] / (GAS_CONSTANT * (out_c + ZERO_C_K))
    pull = shop.stack_coefficient * np.abs(room - out_c) + shop.wind_coefficient * drive.wind2[t]
    natural = density * (shop.leak_m2 * np.sqrt(pull) + shop.extra_air_m3_s)
    drawn = np.hypot(natural, surplus) - np.maximum(surplus, 0.0)
    to_contents = shop.contents_w_k * (room - nodes[CONTENTS])
    to_parts = shop.part_in_w_k[:, None] * (room - parts[:, 1])
    to_slab = shop.slab_w_k * (room - nodes[SLAB_TOP])
    gained = from_wall + now.fan_w + heater(case, t, room) + drive.gains_w[t]
    gained = gained + window * (1.0 - shop.sun_to_contents) - floor
    gained = gained + (drawn * CP + shop.light_w_k) * (out_c - room)
    rates = np.zeros_like(nodes)
    rates[AIR] = (gained - to_contents - to_parts.sum(axis=0) - to_slab) / shop.air_capacity
    rates[CONTENTS] = (to_contents + shop.sun_to_contents * window) / shop.contents_capacity
    if slab:
        down = shop.slab_mid_w_k * (nodes[SLAB_TOP] - nodes[SLAB_LOW])
        edge = shop.edge_w_k * (nodes[SLAB_LOW] - nodes[EDGE])
        core = shop.core_w_k * (nodes[SLAB_LOW] - nodes[CORE])
        rates[SLAB_TOP] = (to_slab + floor - down) / shop.slab_capacity
        rates[SLAB_LOW] = (down - edge - core) / shop.slab_capacity
        rates[EDGE] = (edge - shop.edge_w_k * (nodes[EDGE] - out_c)) / shop.edge_capacity
        rates[CORE] = (core - shop.core_w_k * (nodes[CORE] - drive.deep_c[t])) / shop.core_capacity
    through = shop.part_mid_w_k[:, None] * (parts[:, 1] - parts[:, 0])
    outward = shop.part_out_w_k[:, None] * (parts[:, 0] - out_c)
    outer = (through - outward + drive.part_sun_w[:, t, None]) / np.maximum(
        shop.part_outer_capacity, LEAST_J_K
    )[:, None]
    inner = (to_parts - through) / np.maximum(shop.part_inner_capacity, LEAST_J_K)[:, None]
    return rates, np.stack([outer, inner], axis=1)


def spots_of(
    case: Case, left: Floats, right: Floats, mesh: Floats, air: Floats, room: Floats
) -> list[Floats]:
    """Return the temperatures at the places that switches sense, near the wall's top, and of the room."""
    face = mesh[-1] if case.wall.mesh else right[0, -1]
    if case.wall.plate >= 0:
        face = left[case.wall.plate, -1]
    return [air[-1], face, left[case.wall.inner_skin, -1], room]


def wall_part(case: Case, at: Places, y: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the wall's part of the state as (nl, strips, k), (nr, strips, k), (strips, k)."""
    strips, k = case.wall.strips, y.shape[1]
    return y[at.left].reshape(-1, strips, k), y[at.right].reshape(-1, strips, k), y[at.mesh]


def stream_of(case: Case, now: Now, at: Places, y: Floats) -> Stream:
    """Return the air path of a state (length, k)."""
    left, right, mesh = wall_part(case, at, y)
    return stream(case, now, at, y, left[-1], right[0], mesh)


def slopes(case: Case, now: Now, at: Places, y: Floats) -> Floats:
    """Return how fast each state changes: the whole system of equations, y of shape (length, k)."""
    out = np.zeros_like(y)
    left, right, mesh = wall_part(case, at, y)
    nodes, parts = y[at.room], y[at.parts].reshape(-1, 2, y.shape[1])
    room = nodes[AIR]
    air = stream(case, now, at, y, left[-1], right[0], mesh)
    rates = wall_rates(case, now, left, right, mesh, room, air)
    for place, rate in zip((at.left, at.right, at.mesh), rates, strict=True):
        out[place] = rate.reshape(-1, y.shape[1])
    back = (case.wall.right_film * (right[-1] - room)).sum(axis=0) * case.wall.strip_m2
    shop, envelope = shop_rates(case, now, nodes, parts, air.to_room + back, air.surplus)
    out[at.room], out[at.parts] = shop, envelope.reshape(-1, y.shape[1])
    spots = spots_of(case, left, right, mesh, air.air, room)
    switches = case.switches
    for k in range(switches.kind.size):
        felt = spots[switches.spot[k]] - (room if switches.kind[k] == 2 else 0.0)
        sensor = at.sensors.start + k
        out[sensor] = (felt - y[sensor]) / max(float(switches.lag_s[k]), LEAST_LAG_S)
    out[at.fans] = air.fans
    out[[at.flow, at.foot, at.top, at.room_pa, at.film_air]] = air.rates
    gained = air.to_room
    if case.air.inlet_outdoors == 1:
        fresh = CP * air.surplus * (room - case.drive.out_c[now.t])
        gained = gained + np.where(air.surplus > 0.0, fresh, np.minimum(fresh, 0.0))
    given = np.stack([np.maximum(gained, 0.0), np.maximum(-gained, 0.0), heater(case, now.t, room), back])
    out[at.sums] = given / J_KWH
    return out
