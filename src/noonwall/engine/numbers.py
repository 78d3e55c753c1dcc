"""What the kernel reads: the described wall, air path, shop and switches as numbered floats and arrays.

Plain named tuples, because a compiled kernel takes them as they are. SI throughout, temperatures in Celsius.
Per square metre of active wall unless the name says otherwise.

A strip of the wall, cut from outdoors to the room::

    outdoors | left[0] ... left[nl-1] | channel air | right[0] ... right[nr-1] | room
               skins (plate, if the         (mesh)     absorber face ... lining
               air passes behind it)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class WallNumbers(NamedTuple):
    """The wall, strip by strip; strip 0 is at the foot."""

    strips: int  # 0: there is no wall
    strip_m2: float  # active area of one strip
    height_m: float
    gap_m: float
    channel_m2: float  # cross-section of the channel
    bottom_vent_m: float  # height of the lower vents above the ground
    top_vent_m: float
    column: Floats  # (strips,) height of each strip between the two vent rows [m]
    left_capacity: Floats  # (nl,) J/m2K
    left_fixed: Floats  # (nl-1,) conduction between neighbours W/m2K
    left_emittance: Floats  # (nl-1,) exchange emittance between neighbours, 0 if solid
    left_cavity_m: Floats  # (nl-1,) depth of the still air between neighbours, 0 if solid
    left_sun: Ints  # (nl,) row of the absorbed-share tables that heats this node, -1 none
    right_capacity: Floats  # (nr,)
    right_fixed: Floats  # (nr-1,)
    right_film: float  # last node to room air W/m2K
    right_sun: int  # row of the absorbed-share tables that heats right[0], -1 none
    outer_emittance: float
    sky_form: float  # share of the outer face's hemisphere that is sky
    channel_emittance: float  # exchange emittance across the channel (through the mesh's holes, if a mesh)
    mesh: int  # 1 if a mesh hangs in the channel
    mesh_sun: int  # row of the absorbed-share tables that heats the mesh
    mesh_capacity: float
    mesh_area: float  # wetted area per wall area
    mesh_left_emittance: float
    mesh_right_emittance: float
    inner_skin: int  # node of the left chain that is the innermost skin
    plate: int  # node of the left chain that is a plate absorber's face, -1 if the absorber is elsewhere


class AirNumbers(NamedTuple):
    """The air path. Each row has plain openings and, in some of them, fans."""

    inlet_outdoors: int  # 1: the lower vents lead outdoors
    bottom_plain_m2: float  # openings without a fan, discharge coefficient applied
    bottom_fan_m2: float  # openings with a fan, discharge coefficient applied
    top_plain_m2: float
    top_fan_m2: float
    flap_row: int  # 0 none, 1 bottom, 2 top
    flap_opening_pa: float
    flap_leak_share: float
    flap_open_share: float
    flap_stuck: int  # 0 moves, 1 open, 2 shut
    leak_m2: float  # from the channel to outdoors, half at each end, discharge applied
    summer_top_m2: float  # discharge applied
    summer_bottom_m2: float
    room_leak_m2: float  # the shop's own leakage, discharge applied
    neutral_m: float  # height at which shop and outdoor pressure agree
    turn_loss: float  # loss coefficient of the two turns on the channel's velocity head
    fan_row: Ints  # (kinds,) 1 bottom, 2 top
    fan_count: Floats  # (kinds,)
    fan_opening_m2: Floats  # (kinds,) of one fan, discharge applied
    fan_stopped_m2: Floats  # (kinds,) of one stopped fan, its drag included
    fan_points: Ints  # (kinds,) number of points on the curve
    fan_flow_m3_s: Floats  # (kinds, points) rising
    fan_pressure_pa: Floats  # (kinds, points) falling
    fan_w: Floats  # (kinds,) electric power of all of that kind
    fan_pv: Ints  # (kinds,) 1 if fed straight from a PV module
    pv_free: int  # 1 if the module's fans run without asking the switches


class ShopNumbers(NamedTuple):
    """The shop: one air node and what hangs on it. Whole-shop values, W/K and J/K."""

    air_capacity: float
    contents_capacity: float
    contents_w_k: float
    light_w_k: float  # loss through parts that store nothing
    part_out_w_k: Floats  # (parts,) outdoors to outer node
    part_mid_w_k: Floats
    part_in_w_k: Floats
    part_outer_capacity: Floats
    part_inner_capacity: Floats
    slab_w_k: float  # room to slab face, 0 if there is no slab
    slab_mid_w_k: float
    slab_capacity: float  # of each half
    edge_w_k: float  # each half of the path slab - edge soil - outdoors
    edge_capacity: float
    core_w_k: float  # each half of the path slab - soil - deep ground
    core_capacity: float
    leak_m2: float  # effective leakage area at 4 Pa
    stack_coefficient: float  # (m3/s)^2 per m4 K
    wind_coefficient: float  # (m3/s)^2 per m4 (m/s)^2
    extra_air_m3_s: float
    heater_w: float  # 0: no heater
    heater_set_c: float
    sun_to_floor: float  # shares of window sun and gains; the rest goes to the air
    sun_to_contents: float
    comfort_limit_c: float


class SwitchNumbers(NamedTuple):
    """The fans' circuit: groups in series, the switches of a group in parallel."""

    mode: int  # 0 off by hand, 1 automatic, 2 always on
    kind: Ints  # (k,) 0 close on rise, 1 open on rise, 2 difference to the room, 3 from a driver row
    spot: Ints  # (k,) 0 gap top, 1 absorber, 2 glazing, 3 room
    close_c: Floats
    open_c: Floats
    lag_s: Floats
    row: Ints  # (k,) driver row for kind 3
    group: Ints  # (k,)
    groups: int


class Drive(NamedTuple):
    """What acts from outside, step by step; arrays of n unless said."""

    step_s: float
    out_c: Floats
    sky_c: Floats
    outer_film: Floats  # wind film on the glazing W/m2K
    wind2: Floats  # local wind speed squared, for leakage
    pressure_pa: Floats
    beam: Floats  # beam and circumsolar on the open wall W/m2
    isotropic: Floats
    horizon: Floats
    ground_beam: Floats  # reflected from sunlit ground, on the open wall
    ground_sky: Floats  # reflected from ground lit by the sky, on the open wall
    take_beam: Floats  # (rows, n) share of beam that each sun-heated node takes
    take_sky: Floats  # (rows,)
    take_horizon: Floats  # (rows,)
    take_ground: Floats  # (rows,)
    beam_share: Floats  # (n or 1, strips)
    sky_view: Floats  # (days, strips)
    horizon_view: Floats  # (days, strips)
    ground_share: Floats  # (n or 1, strips) of the part from sunlit ground
    ground_view: Floats  # (days, strips) of the part from ground lit by the sky
    day: Ints  # (n,) row of sky_view
    pass_share: Floats  # share of sun let through by the cover
    vents_open: Floats  # 1 open, 0 shut by hand
    summer_open: Floats
    mains: Floats  # 1 while there is power
    fan_speed: Floats  # for fans fed by a PV module
    rows: Floats  # (m, n) 0 or 1: clocks, light levels, hand switches
    gains_w: Floats  # people, lamps, machines
    window_w: Floats  # sun through the shop's windows
    part_sun_w: Floats  # (parts, n) sun and cold sky on each storing part's outside, the share that gets in
    deep_c: Floats  # deep ground


# Columns of the kernel's result, one row a step.
ROOM, FLOOR, CONTENTS, GAP_BOTTOM, GAP_TOP, ABSORBER, INNER, OUTER = range(8)
FLOW, FAN_SHARE, FAN_STARTS, FAN_W, DELIVERED, REVERSED, BACK, BACKUP, USEFUL, SUN, GAP_HOT = range(8, 19)
INNER_COLD = 19  # coldest strip of the innermost skin; all other faces are told by their hottest strip
COLUMNS = 20
# Asked for, more columns follow: the hottest strip of each left node, of each right node, of the mesh.

# Ledger entries [J]: first what crosses the border of wall and shop, then exchanges inside.
(
    L_SUN_SKINS, L_SUN_ABSORBER, L_OUT_CONVECTION, L_OUT_SKY, L_OUT_GROUND, L_GAP_OUT,
    L_GAINS, L_WINDOW, L_FAN, L_HEATER, L_LIGHT, L_PART_SUN, L_PARTS_OUT, L_AIR_CHANGE,
    L_EDGE_OUT, L_DEEP,
) = range(16)  # fmt: skip
BORDER = 16
L_AIR_FACES, L_AIR_ROOM, L_BACK, L_LEFT_OUT, L_RIGHT_IN = range(16, 21)
L_PARTS_IN, L_CONTENTS, L_SLAB, L_SLAB_MID, L_SLAB_EDGE, L_SLAB_CORE, L_SUN_FLOOR, L_SUN_CONTENTS = range(
    21, 29
)
L_SUN_MESH, L_AIR_LEFT, L_AIR_RIGHT = range(29, 32)
ENTRIES = 32
