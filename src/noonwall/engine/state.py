"""What the kernel carries from step to step, and the room it works in."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from noonwall.engine.numbers import COLUMNS, ENTRIES
from noonwall.engine.room import NODES

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats, Ints, ShopNumbers, SwitchNumbers, WallNumbers

# Single figures of the state.
S_FLOW, S_BUOYANCY, S_FOOT, S_SLOPE, S_FAN, S_ROOM_PA, S_HEATER = range(7)
SCALARS = 7
SPOTS = 4  # gap top, absorber, glazing, room


class State(NamedTuple):
    """Temperatures in Celsius; the kernel writes into these arrays."""

    left: Floats  # (nl, strips)
    right: Floats  # (nr, strips)
    mesh: Floats  # (strips,)
    air: Floats  # (strips,) mean channel air
    room: Floats  # (6,)
    parts: Floats  # (parts, 2)
    sensor: Floats  # (k,) what each switch feels
    closed: Ints  # (k,) 1 while closed
    spot: Floats  # (4,) temperatures at the places switches sense
    scalar: Floats  # (SCALARS,)


class Scratch(NamedTuple):
    """Room to work in; nothing in it outlives a step."""

    sun_left: Floats  # (nl, strips) W/m2
    sun_right: Floats  # (strips,)
    sun_mesh: Floats  # (strips,)
    left: Floats  # (nl, strips) latest pass
    right: Floats  # (nr, strips)
    mesh: Floats  # (strips,)
    room: Floats
    parts: Floats
    own_left: Floats  # (nl, strips)
    ratio_left: Floats  # (nl, strips)
    border: Floats  # (2, strips)
    still: Floats  # (nl-1,)
    inverse_right: Floats  # (nr,)
    ratio_right: Floats  # (nr,)
    lean_right: Floats  # (nr,)
    load_right: Floats  # (nr, strips)
    far_own: Floats  # (strips,)
    cross: Floats  # (3, strips) long-wave across the channel: faces, left-mesh, mesh-right
    faces: Floats  # (strips, 9)
    air: Floats  # (strips,)
    entry: Floats  # (strips, 2)
    path: Floats  # flows and coefficients of the accepted step
    part_sun: Floats  # (parts,)
    held: Floats  # (ENTRIES + COLUMNS,) ledger and row as they were before the part under way


# Entries of ``Scratch.path``.
(
    P_FLOW, P_FOOT, P_B_IN, P_B_BACK, P_B_OUT, P_T_OUT, P_T_BACK, P_T_LEAK, P_H_LEFT, P_H_RIGHT, P_H_MESH,
    P_MEAN, P_KEPT, P_FOOT_MIX, P_TOP_MIX, P_EXCHANGE, P_HEATER, P_BUOYANCY, P_ROOM_PA, P_SLOPE, P_FAN_W,
    P_SPEED, P_SUPPLY,
) = range(23)  # fmt: skip
PATHS = 23


def start_state(
    wall: WallNumbers, shop: ShopNumbers, switches: SwitchNumbers, out_c: float, deep_c: float, room_c: float
) -> State:
    """Return a state to begin from: shop at ``room_c``, wall at the mean of shop and outdoors, soil in between."""
    mean = 0.5 * (out_c + room_c)
    room = np.full(NODES, room_c)
    room[4] = mean
    room[5] = 0.5 * (deep_c + room_c)
    parts = np.empty((len(shop.part_in_w_k), 2))
    parts[:, 0], parts[:, 1] = out_c, room_c
    k = len(switches.kind)
    return State(
        left=np.full((len(wall.left_capacity), wall.strips), mean),
        right=np.full((len(wall.right_capacity), wall.strips), mean),
        mesh=np.full(wall.strips, mean),
        air=np.full(wall.strips, mean),
        room=room,
        parts=parts,
        sensor=np.full(k, mean),
        closed=(switches.kind == 1).astype(np.int64),
        spot=np.array([mean, mean, mean, room_c]),
        scalar=np.zeros(SCALARS),
    )


def scratch_for(wall: WallNumbers, shop: ShopNumbers) -> Scratch:
    """Return working room of the right shapes."""
    nl, nr, strips, parts = (
        len(wall.left_capacity),
        len(wall.right_capacity),
        wall.strips,
        len(shop.part_in_w_k),
    )
    return Scratch(
        sun_left=np.zeros((nl, strips)),
        sun_right=np.zeros(strips),
        sun_mesh=np.zeros(strips),
        left=np.zeros((nl, strips)),
        right=np.zeros((nr, strips)),
        mesh=np.zeros(strips),
        room=np.zeros(NODES),
        parts=np.zeros((parts, 2)),
        own_left=np.zeros((nl, strips)),
        ratio_left=np.ones((nl, strips)),
        border=np.zeros((2, strips)),
        still=np.zeros(max(nl - 1, 1)),
        inverse_right=np.ones(nr),
        ratio_right=np.zeros(nr),
        lean_right=np.zeros(nr),
        load_right=np.zeros((nr, strips)),
        far_own=np.zeros(strips),
        cross=np.zeros((3, strips)),
        faces=np.zeros((strips, 9)),
        air=np.zeros(strips),
        entry=np.zeros((strips, 2)),
        path=np.zeros(PATHS),
        part_sun=np.zeros(parts),
        held=np.zeros(ENTRIES + COLUMNS),
    )
