"""Heat in the wall: each strip eliminated to its two channel faces, then the air marched strip by strip.

For one time step (backward Euler) every strip is a chain of nodes on either side of the channel. Elimination
from outdoors inward, and from the room outward, leaves two (with a mesh three) balances a strip; they are linear
in the strip's inlet air and in the room's temperature, so the march along the flow carries both and the room can
be solved exactly afterwards.
"""

from __future__ import annotations

import math

from noonwall.compiled import formula
from noonwall.engine.numbers import Floats, WallNumbers
from noonwall.physics.air import GAS_CONSTANT_J_KGK as GAS_CONSTANT
from noonwall.physics.air import GRAVITY_M_S2 as GRAVITY
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP
from noonwall.physics.air import ZERO_C_K as ZERO_C
from noonwall.physics.radiation import linear_radiation_w_m2k


@formula
def eliminate_right(step_s: float, wall: WallNumbers, pivot: Floats, lean_on_room: Floats) -> float:
    """Pivots of the right chain, the same in every strip; returns how right[0] leans on the room [W/m2K].

    pivot, lean_on_room  (nr,) out: eliminated diagonal and room coefficient [W/m2K]
    """
    last = len(wall.right_capacity) - 1
    diagonal = wall.right_capacity[last] / step_s + wall.right_film
    lean = wall.right_film
    for k in range(last, 0, -1):
        g = wall.right_fixed[k - 1]
        pivot[k] = diagonal + g
        lean_on_room[k] = lean
        lean = lean * g / pivot[k]
        diagonal = wall.right_capacity[k - 1] / step_s + g - g * g / pivot[k]
    pivot[0] = diagonal
    lean_on_room[0] = lean
    return lean


@formula
def load_right(step_s: float, wall: WallNumbers, pivot: Floats, old: Floats, strip: int, sun: float, load: Floats) -> None:
    """Right-hand sides of one strip's right chain; load[(nr,)] out, eliminated, room part left out."""
    last = len(wall.right_capacity) - 1
    load[last] = wall.right_capacity[last] / step_s * old[last, strip]
    for k in range(last, 0, -1):
        load[k - 1] = wall.right_capacity[k - 1] / step_s * old[k - 1, strip]
        load[k - 1] += wall.right_fixed[k - 1] * load[k] / pivot[k]
    load[0] += sun


@formula
def eliminate_left(
    step_s: float, wall: WallNumbers, old: Floats, guess: Floats, strip: int, sun: Floats, still: Floats,
    film: float, out_c: float, sky_c: float, pivot: Floats, load: Floats, link: Floats, border: Floats,
) -> None:  # fmt: skip
    """Eliminate one strip's left chain from outdoors to the channel face.

    old, guess   (nl, strips) temperatures at the step's beginning and at the latest pass
    sun          (nl,) absorbed sun [W/m2];  still (nl-1,) still-air links [W/m2K]
    pivot, load, link, border  out: (nl, strips) eliminated diagonals, right-hand sides, (nl-1, strips) links,
                               (2, strips) long-wave coefficients to sky and ground [W/m2K]
    """
    outer_k = guess[0, strip] + ZERO_C
    sky = wall.outer_emittance * wall.sky_form * linear_radiation_w_m2k(1.0, outer_k, sky_c + ZERO_C)
    ground = wall.outer_emittance * (1.0 - wall.sky_form) * linear_radiation_w_m2k(1.0, outer_k, out_c + ZERO_C)
    border[0, strip] = sky
    border[1, strip] = ground
    diagonal = wall.left_capacity[0] / step_s + film + sky + ground
    right = wall.left_capacity[0] / step_s * old[0, strip] + (film + ground) * out_c + sky * sky_c + sun[0]
    for k in range(len(wall.left_fixed)):
        g = wall.left_fixed[k] + still[k]
        if wall.left_emittance[k] > 0.0:
            g += linear_radiation_w_m2k(
                wall.left_emittance[k], guess[k, strip] + ZERO_C, guess[k + 1, strip] + ZERO_C
            )
        link[k, strip] = g
        pivot[k, strip] = diagonal + g
        load[k, strip] = right
        ratio = g / pivot[k, strip]
        diagonal = wall.left_capacity[k + 1] / step_s + g - g * ratio
        right = wall.left_capacity[k + 1] / step_s * old[k + 1, strip] + sun[k + 1] + right * ratio
    last = len(wall.left_capacity) - 1
    pivot[last, strip] = diagonal
    load[last, strip] = right


@formula
def channel_faces(
    a_left: float, b_left: float, a_right: float, b_right: float, lean: float, cross: float,
    h_left: float, h_right: float, still_share: float, out: Floats,
) -> None:  # fmt: skip
    """Solve one strip's two faces; ``out[0:3]`` left and ``out[3:6]`` right as value, per inlet, per room kelvin.

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
    out[0] = (b_left * m22 + m12 * b_right) * inverse
    out[1] = (inlet_left * m22 + m12 * inlet_right) * inverse
    out[2] = m12 * lean * inverse
    out[3] = (b_right * m11 + m12 * b_left) * inverse
    out[4] = (inlet_right * m11 + m12 * inlet_left) * inverse
    out[5] = m11 * lean * inverse


@formula
def channel_faces_mesh(
    a_left: float, b_left: float, a_right: float, b_right: float, lean: float, a_mesh: float, b_mesh: float,
    cross: float, cross_left: float, cross_right: float,
    h_left: float, h_right: float, h_mesh: float, still_share: float, out: Floats,
) -> None:  # fmt: skip
    """As ``channel_faces`` with a mesh in the stream; ``out[6:9]`` is the mesh.

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
        out[j] = (left * m22 + m12 * right) * inverse
        out[3 + j] = (right * m11 + m12 * left) * inverse
        out[6 + j] = (mesh + m_lm * out[j] + m_rm * out[3 + j]) / m_mm


@formula
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
        face = faces[i]
        left_value = face[0] + face[1] * value
        left_lean = face[2] + face[1] * lean
        right_value = face[3] + face[4] * value
        right_lean = face[5] + face[4] * lean
        wall_value = w_left * left_value + w_right * right_value
        wall_lean = w_left * left_lean + w_right * right_lean
        if wall.mesh == 1:
            wall_value += w_mesh * (face[6] + face[7] * value)
            wall_lean += w_mesh * (face[8] + face[7] * lean)
        air[i] = mean * (value + lean * room_c) + (1.0 - mean) * (wall_value + wall_lean * room_c)
        value = kept * value + (1.0 - kept) * wall_value
        lean = kept * lean + (1.0 - kept) * wall_lean
    return value, lean, mean, kept


@formula
def column_buoyancy_pa(air: Floats, room_c: float, pressure_pa: float, wall: WallNumbers) -> float:
    """Pressure the channel's column adds between the vent rows against the shop's still air [Pa]."""
    room = 1.0 / (room_c + ZERO_C)
    total = 0.0
    for i in range(wall.strips):
        total += wall.column[i] * (room - 1.0 / (air[i] + ZERO_C))
    return total * GRAVITY * pressure_pa / GAS_CONSTANT
