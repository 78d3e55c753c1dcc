"""Heat in the wall: each strip eliminated to its two channel faces, then the air marched strip by strip.

For one time step (backward Euler) every strip is a chain of nodes on either side of the channel. Elimination
from outdoors inward, and from the room outward, leaves two (with a mesh three) balances a strip; they are linear
in the strip's inlet air and in the room's temperature, so the march along the flow carries both and the room can
be solved exactly afterwards.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined
from noonwall.physics.air import GAS_CONSTANT_J_KGK as GAS_CONSTANT
from noonwall.physics.air import GRAVITY_M_S2 as GRAVITY
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP
from noonwall.physics.air import ZERO_C_K as ZERO_C
from noonwall.physics.radiation import linear_radiation_w_m2k

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats, WallNumbers


@inlined
def eliminate_right(
    step_s: float, wall: WallNumbers, inverse: Floats, ratio: Floats, lean_on_room: Floats
) -> float:
    """Eliminate the right chain, the same in every strip; returns the face's own diagonal [W/m2K].

    inverse       (nr,) out: one over the eliminated diagonal [m2K/W]
    ratio         (nr,) out: how far a node follows its neighbour towards the face [-]
    lean_on_room  (nr,) out: how far it follows the room [-]; at 0 the face's coefficient on the room [W/m2K]
    """
    last = len(wall.right_capacity) - 1
    diagonal: float = wall.right_capacity[last] / step_s + wall.right_film
    lean = wall.right_film
    for k in range(last, 0, -1):
        g = wall.right_fixed[k - 1]
        inverse[k] = 1.0 / (diagonal + g)
        ratio[k] = g * inverse[k]
        lean_on_room[k] = lean * inverse[k]
        lean = lean * ratio[k]
        diagonal = wall.right_capacity[k - 1] / step_s + g - g * ratio[k]
    lean_on_room[0] = lean
    return diagonal


@inlined
def load_right(
    step_s: float, wall: WallNumbers, inverse: Floats, ratio: Floats, old: Floats, sun: Floats, load: Floats
) -> None:
    """Right-hand sides of all strips' right chains, room part left out.

    load  (nr, strips) out: what each node has of its own [C]; in row 0 the face's right-hand side [W/m2]
    """
    last = len(wall.right_capacity) - 1
    per_s = 1.0 / step_s
    for i in range(wall.strips):
        right = wall.right_capacity[last] * per_s * old[last, i]
        for k in range(last, 0, -1):
            load[k, i] = right * inverse[k]
            right = wall.right_capacity[k - 1] * per_s * old[k - 1, i] + ratio[k] * right
        load[0, i] = right + sun[i]


@inlined
def far_end(
    wall: WallNumbers, ratio: Floats, lean_on_room: Floats, load: Floats, own: Floats
) -> tuple[float, float]:
    """How the last node of the right chain follows face and room [-, -]; own (strips,) out: the rest [C]."""
    last = len(wall.right_capacity) - 1
    follow, lean = 1.0, 0.0
    for k in range(1, last + 1):
        follow = ratio[k] * follow
        lean = lean_on_room[k] + ratio[k] * lean
    for i in range(wall.strips):
        value = 0.0
        for k in range(1, last + 1):
            value = load[k, i] + ratio[k] * value
        own[i] = value
    return follow, lean


@inlined
def eliminate_left(
    step_s: float, wall: WallNumbers, old: Floats, guess: Floats, strip: int, sun: Floats, still: Floats,
    film: float, out_c: float, sky_c: float, own: Floats, ratio: Floats, border: Floats,
) -> None:  # fmt: skip
    """Eliminate one strip's left chain from outdoors to the channel face.

    old, guess   (nl, strips) temperatures at the step's beginning and at the latest pass
    sun          (nl, strips) absorbed sun [W/m2];  still (nl-1,) still-air links [W/m2K]
    own, ratio   out: (nl, strips) what each node has of its own [C] and how far it follows its neighbour
                 towards the channel [-]; in the last row the face's right-hand side and diagonal
    border       out: (2, strips) long-wave coefficients to sky and ground [W/m2K]
    """
    outer_k = guess[0, strip] + ZERO_C
    sky = wall.outer_emittance * wall.sky_form * linear_radiation_w_m2k(1.0, outer_k, sky_c + ZERO_C)
    ground = (
        wall.outer_emittance * (1.0 - wall.sky_form) * linear_radiation_w_m2k(1.0, outer_k, out_c + ZERO_C)
    )
    border[0, strip] = sky
    border[1, strip] = ground
    per_s = 1.0 / step_s
    diagonal = wall.left_capacity[0] * per_s + film + sky + ground
    right = (
        wall.left_capacity[0] * per_s * old[0, strip] + (film + ground) * out_c + sky * sky_c + sun[0, strip]
    )
    for k in range(len(wall.left_fixed)):
        g = wall.left_fixed[k] + still[k]
        if wall.left_emittance[k] > 0.0:
            g += linear_radiation_w_m2k(
                wall.left_emittance[k], guess[k, strip] + ZERO_C, guess[k + 1, strip] + ZERO_C
            )
        inverse = 1.0 / (diagonal + g)
        ratio[k, strip] = g * inverse
        own[k, strip] = right * inverse
        right = (
            wall.left_capacity[k + 1] * per_s * old[k + 1, strip] + sun[k + 1, strip] + right * g * inverse
        )
        diagonal = wall.left_capacity[k + 1] * per_s + g - g * g * inverse
    last = len(wall.left_capacity) - 1
    ratio[last, strip] = diagonal
    own[last, strip] = right


@inlined
def channel_faces(
    a_left: float, b_left: float, a_right: float, b_right: float, lean: float, cross: float,
    h_left: float, h_right: float, still_share: float, out: Floats, i: int,
) -> None:  # fmt: skip
    """Solve one strip's two faces; ``out[i, 0:3]`` left and ``out[i, 3:6]`` right as value, per inlet, per room kelvin.

    still_share  how far the strip's mean air keeps its inlet temperature (1 in a fast stream, 0 in still air)
    """
    total = h_left + h_right
    mixed = 1.0 - still_share
    w_left = h_left / total
    w_right = h_right / total
    m11 = a_left + h_left + cross - mixed * h_left * w_left
    m12 = cross + mixed * h_left * w_right
    m22 = a_right + h_right + cross - mixed * h_right * w_right
    inverse = 1.0 / (m11 * m22 - m12 * m12)
    inlet_left = still_share * h_left
    inlet_right = still_share * h_right
    out[i, 0] = (b_left * m22 + m12 * b_right) * inverse
    out[i, 1] = (inlet_left * m22 + m12 * inlet_right) * inverse
    out[i, 2] = m12 * lean * inverse
    out[i, 3] = (b_right * m11 + m12 * b_left) * inverse
    out[i, 4] = (inlet_right * m11 + m12 * inlet_left) * inverse
    out[i, 5] = m11 * lean * inverse


@inlined
def channel_faces_mesh(
    a_left: float, b_left: float, a_right: float, b_right: float, lean: float, a_mesh: float, b_mesh: float,
    cross: float, cross_left: float, cross_right: float,
    h_left: float, h_right: float, h_mesh: float, still_share: float, out: Floats, i: int,
) -> None:  # fmt: skip
    """As ``channel_faces`` with a mesh in the stream; ``out[i, 6:9]`` is the mesh.

    The mesh's balance is eliminated first, which leaves two faces again.
    """
    total = h_left + h_right + h_mesh
    mixed = 1.0 - still_share
    w_left, w_right, w_mesh = h_left / total, h_right / total, h_mesh / total
    m_mm = a_mesh + h_mesh + cross_left + cross_right - mixed * h_mesh * w_mesh
    m_lm = cross_left + mixed * h_left * w_mesh
    m_rm = cross_right + mixed * h_right * w_mesh
    m_ll = a_left + h_left + cross + cross_left - mixed * h_left * w_left
    m_rr = a_right + h_right + cross + cross_right - mixed * h_right * w_right
    m_lr = cross + mixed * h_left * w_right
    i_left, i_right, i_mesh = still_share * h_left, still_share * h_right, still_share * h_mesh
    m11 = m_ll - m_lm * m_lm / m_mm
    m22 = m_rr - m_rm * m_rm / m_mm
    m12 = m_lr + m_lm * m_rm / m_mm
    inverse = 1.0 / (m11 * m22 - m12 * m12)
    for j in range(3):
        left = b_left if j == 0 else (i_left if j == 1 else 0.0)
        right = b_right if j == 0 else (i_right if j == 1 else lean)
        mesh = b_mesh if j == 0 else (i_mesh if j == 1 else 0.0)
        left += m_lm * mesh / m_mm
        right += m_rm * mesh / m_mm
        out[i, j] = (left * m22 + m12 * right) * inverse
        out[i, 3 + j] = (right * m11 + m12 * left) * inverse
        out[i, 6 + j] = (mesh + m_lm * out[i, j] + m_rm * out[i, 3 + j]) / m_mm


@inlined
def march(
    flow: float, inlet: float, inlet_lean: float, room_c: float, conductance: float,
    faces: Floats, h_left: float, h_right: float, h_mesh: float, wall: WallNumbers,
    air: Floats, entry: Floats,
) -> tuple[float, float, float, float]:  # fmt: skip
    """March the air through the strips along the flow, given each strip's solved faces.

    inlet, inlet_lean  inlet air = inlet + inlet_lean x room [C, -]
    faces   (strips, 9) from ``channel_faces``;  air (strips,) out: mean air at room_c
    entry   (strips, 2) out: inlet of each strip as value and lean on the room
    Returns (outlet value, outlet lean, share of inlet kept in the mean, share kept at the strip's end)
    """
    if abs(flow) > 1e-9:
        units = conductance / (abs(flow) * CP)
        kept = math.exp(-units) if units < 50.0 else 0.0
        mean = (1.0 - kept) / units
    else:
        kept, mean = 0.0, 0.0
    total = h_left + h_right + h_mesh
    w_left, w_right, w_mesh = h_left / total, h_right / total, h_mesh / total
    value, lean = inlet, inlet_lean
    for n in range(wall.strips):
        i = n if flow >= 0.0 else wall.strips - 1 - n
        entry[i, 0], entry[i, 1] = value, lean
        left_value = faces[i, 0] + faces[i, 1] * value
        left_lean = faces[i, 2] + faces[i, 1] * lean
        right_value = faces[i, 3] + faces[i, 4] * value
        right_lean = faces[i, 5] + faces[i, 4] * lean
        wall_value = w_left * left_value + w_right * right_value
        wall_lean = w_left * left_lean + w_right * right_lean
        if wall.mesh == 1:
            wall_value += w_mesh * (faces[i, 6] + faces[i, 7] * value)
            wall_lean += w_mesh * (faces[i, 8] + faces[i, 7] * lean)
        air[i] = mean * (value + lean * room_c) + (1.0 - mean) * (wall_value + wall_lean * room_c)
        value = kept * value + (1.0 - kept) * wall_value
        lean = kept * lean + (1.0 - kept) * wall_lean
    return value, lean, mean, kept


@inlined
def column_buoyancy_pa(air: Floats, room_c: float, pressure_pa: float, wall: WallNumbers) -> float:
    """Pressure the channel's column adds between the vent rows against the shop's still air [Pa]."""
    room = 1.0 / (room_c + ZERO_C)
    total = 0.0
    for i in range(wall.strips):
        total += wall.column[i] * (room - 1.0 / (air[i] + ZERO_C))
    return total * GRAVITY * pressure_pa / GAS_CONSTANT
