"""Bookkeeping of one accepted part of a step: result columns and ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.compiled import inlined
from noonwall.engine import numbers as n
from noonwall.engine.room import AIR, CONTENTS, CORE, EDGE, SLAB_LOW, SLAB_TOP
from noonwall.engine.state import (
    P_B_IN,
    P_B_OUT,
    P_EXCHANGE,
    P_FAN_W,
    P_FLOW,
    P_FOOT_MIX,
    P_H_LEFT,
    P_H_MESH,
    P_H_RIGHT,
    P_HEATER,
    P_T_BACK,
    P_T_LEAK,
    P_T_OUT,
    P_TOP_MIX,
    Scratch,
)
from noonwall.engine.step import air_to_room, node_mix
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP

if TYPE_CHECKING:
    from noonwall.engine.numbers import AirNumbers, Drive, Floats, ShopNumbers, WallNumbers


@inlined
def book_wall(
    t: int, span_s: float, work: Scratch, wall: WallNumbers, drive: Drive, ledger: Floats
) -> tuple[float, float]:
    """Book the wall's fluxes [J]; returns heat from the faces to the air and from the back to the room [W]."""
    left_last, right_last = len(wall.left_capacity) - 1, len(wall.right_capacity) - 1
    h_left, h_right, h_mesh = work.path[P_H_LEFT], work.path[P_H_RIGHT], work.path[P_H_MESH]
    joule = span_s * wall.strip_m2
    to_air, back = 0.0, 0.0
    for i in range(wall.strips):
        outer, left, right, air = work.left[0, i], work.left[left_last, i], work.right[0, i], work.air[i]
        for k in range(left_last + 1):
            ledger[n.L_SUN_SKINS if k != wall.plate else n.L_SUN_ABSORBER] += work.sun_left[k, i] * joule
        ledger[n.L_SUN_ABSORBER] += (work.sun_right[i] + work.sun_mesh[i]) * joule
        ledger[n.L_SUN_MESH] += work.sun_mesh[i] * joule
        ledger[n.L_OUT_CONVECTION] -= drive.outer_film[t] * (outer - drive.out_c[t]) * joule
        ledger[n.L_OUT_SKY] -= work.border[0, i] * (outer - drive.sky_c[t]) * joule
        ledger[n.L_OUT_GROUND] -= work.border[1, i] * (outer - drive.out_c[t]) * joule
        from_left = h_left * (left - air)
        from_right = h_right * (right - air)
        from_mesh = 0.0
        left_out = work.cross[0, i] * (left - right)
        right_in = left_out
        if wall.mesh == 1:
            from_mesh = h_mesh * (work.mesh[i] - air)
            left_out += work.cross[1, i] * (left - work.mesh[i])
            right_in += work.cross[2, i] * (work.mesh[i] - right)
        ledger[n.L_AIR_LEFT] += from_left * joule
        ledger[n.L_AIR_RIGHT] += from_right * joule
        ledger[n.L_LEFT_OUT] += left_out * joule
        ledger[n.L_RIGHT_IN] += right_in * joule
        to_air += from_left + from_right + from_mesh
        back += wall.right_film * (work.right[right_last, i] - work.room[AIR])
    ledger[n.L_AIR_FACES] += to_air * joule
    ledger[n.L_BACK] += back * joule
    return to_air * wall.strip_m2, back * wall.strip_m2


@inlined
def book_air(out_c: float, span_s: float, work: Scratch, ledger: Floats) -> float:
    """Book what the gap's air brings the room and loses outdoors, against shop air [J]; returns the former [W]."""
    path = work.path
    room = work.room[AIR]
    base, slope = air_to_room(out_c, path)
    to_room: float = base + slope * room
    up, down = max(path[P_FLOW], 0.0), max(-path[P_FLOW], 0.0)
    value, lean = path[P_FOOT_MIX], path[P_TOP_MIX]
    foot_value, foot_lean = node_mix(path[P_B_IN], max(path[P_B_OUT], 0.0), down, out_c, value, lean)
    top_value, top_lean = node_mix(path[P_T_BACK], max(-path[P_T_LEAK], 0.0), up, out_c, value, lean)
    lost = max(-path[P_B_OUT], 0.0) * (foot_value + foot_lean * room - room)
    lost += max(path[P_T_LEAK], 0.0) * (top_value + top_lean * room - room)
    lost -= (max(path[P_B_OUT], 0.0) + max(-path[P_T_LEAK], 0.0)) * (out_c - room)
    ledger[n.L_AIR_ROOM] += to_room * span_s
    ledger[n.L_GAP_OUT] -= CP * lost * span_s
    return to_room


@inlined
def book_shop(t: int, span_s: float, work: Scratch, shop: ShopNumbers, drive: Drive, ledger: Floats) -> None:
    """Book the shop's fluxes [J]."""
    room, out_c = work.room[AIR], drive.out_c[t]
    ledger[n.L_GAINS] += drive.gains_w[t] * span_s
    ledger[n.L_WINDOW] += drive.window_w[t] * span_s
    ledger[n.L_FAN] += work.path[P_FAN_W] * span_s
    ledger[n.L_HEATER] += work.path[P_HEATER] * span_s
    ledger[n.L_LIGHT] += -shop.light_w_k * (room - out_c) * span_s
    ledger[n.L_AIR_CHANGE] -= work.path[P_EXCHANGE] * (room - out_c) * span_s
    ledger[n.L_CONTENTS] += shop.contents_w_k * (room - work.room[CONTENTS]) * span_s
    ledger[n.L_SUN_CONTENTS] += shop.sun_to_contents * drive.window_w[t] * span_s
    for p in range(len(shop.part_in_w_k)):
        ledger[n.L_PART_SUN] += work.part_sun[p] * span_s
        ledger[n.L_PARTS_OUT] -= shop.part_out_w_k[p] * (work.parts[p, 0] - out_c) * span_s
        ledger[n.L_PARTS_IN] += shop.part_in_w_k[p] * (room - work.parts[p, 1]) * span_s
    if shop.slab_w_k > 0.0:
        ledger[n.L_SUN_FLOOR] += shop.sun_to_floor * drive.window_w[t] * span_s
        ledger[n.L_SLAB] += shop.slab_w_k * (room - work.room[SLAB_TOP]) * span_s
        ledger[n.L_SLAB_MID] += shop.slab_mid_w_k * (work.room[SLAB_TOP] - work.room[SLAB_LOW]) * span_s
        ledger[n.L_SLAB_EDGE] += shop.edge_w_k * (work.room[SLAB_LOW] - work.room[EDGE]) * span_s
        ledger[n.L_SLAB_CORE] += shop.core_w_k * (work.room[SLAB_LOW] - work.room[CORE]) * span_s
        ledger[n.L_EDGE_OUT] -= shop.edge_w_k * (work.room[EDGE] - out_c) * span_s
        ledger[n.L_DEEP] -= shop.core_w_k * (work.room[CORE] - drive.deep_c[t]) * span_s


@inlined
def record_part(
    t: int, span_s: float, sun_w: float, keep: bool, work: Scratch,
    wall: WallNumbers, air: AirNumbers, shop: ShopNumbers, drive: Drive, out: Floats, ledger: Floats, step_s: float,
) -> None:  # fmt: skip
    """Add one accepted part to the ledger and, when ``keep``, to its step's row."""
    to_room, back = 0.0, 0.0
    if wall.strips > 0:
        _, back = book_wall(t, span_s, work, wall, drive, ledger)
        to_room = book_air(drive.out_c[t], span_s, work, ledger)
    book_shop(t, span_s, work, shop, drive, ledger)
    if not keep:
        return

    share = span_s / step_s
    room = work.room[AIR]
    gained = to_room
    if air.inlet_outdoors == 1:
        # Fresh air is counted from outdoors: it would have to be warmed anyway.
        surplus = work.path[P_T_OUT] - work.path[P_T_BACK]
        fresh = CP * surplus * (room - drive.out_c[t])
        # Air that leaves through the wall brings nothing, even when warmer air comes in elsewhere.
        gained += fresh if surplus > 0.0 else min(fresh, 0.0)
    out[t, n.SUN] = sun_w
    out[t, n.FLOW] += work.path[P_FLOW] * share
    out[t, n.FAN_SHARE] += share if work.path[P_FAN_W] > 0.0 else 0.0
    out[t, n.FAN_W] += work.path[P_FAN_W] * share
    out[t, n.DELIVERED] += max(gained, 0.0) * share
    out[t, n.REVERSED] += max(-gained, 0.0) * share
    out[t, n.USEFUL] += max(gained, 0.0) * share if room <= shop.comfort_limit_c else 0.0
    out[t, n.BACK] += back * share
    out[t, n.BACKUP] += work.path[P_HEATER] * share
    out[t, n.ROOM], out[t, n.FLOOR], out[t, n.CONTENTS] = room, work.room[SLAB_TOP], work.room[CONTENTS]
    if wall.strips == 0:
        return
    out[t, n.GAP_BOTTOM], out[t, n.GAP_TOP] = work.air[0], work.air[wall.strips - 1]
    absorber = inner = outer = hot = -300.0
    cold = 1e4
    for i in range(wall.strips):
        face = work.mesh[i] if wall.mesh == 1 else work.right[0, i]
        if wall.plate >= 0:
            face = work.left[wall.plate, i]
        absorber = max(absorber, face)
        inner = max(inner, work.left[wall.inner_skin, i])
        cold = min(cold, work.left[wall.inner_skin, i])
        outer = max(outer, work.left[0, i])
        hot = max(hot, work.air[i])
    out[t, n.ABSORBER], out[t, n.INNER], out[t, n.OUTER], out[t, n.GAP_HOT] = absorber, inner, outer, hot
    out[t, n.INNER_COLD] = cold
    if out.shape[1] > n.COLUMNS:
        record_nodes(t, work, wall, out)


@inlined
def record_nodes(t: int, work: Scratch, wall: WallNumbers, out: Floats) -> None:
    """Write the hottest strip of every node of the wall into the row's columns beyond the usual ones."""
    column = n.COLUMNS
    for k in range(len(wall.left_capacity)):
        out[t, column] = hottest(work.left, k)
        column += 1
    for k in range(len(wall.right_capacity)):
        out[t, column] = hottest(work.right, k)
        column += 1
    if wall.mesh == 1:
        out[t, column] = work.mesh[0]
        for i in range(1, wall.strips):
            out[t, column] = max(out[t, column], work.mesh[i])


@inlined
def hottest(table: Floats, row: int) -> float:
    """Highest value of one row of a small table."""
    most: float = table[row, 0]
    for i in range(1, table.shape[1]):
        most = max(most, table[row, i])
    return most
