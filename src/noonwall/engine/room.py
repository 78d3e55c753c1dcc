"""The shop: contents, envelope, slab and soil eliminated to the air node, which the heater then holds or not."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK as CP

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats, ShopNumbers

# Order of the shop's single nodes in the state.
AIR, CONTENTS, SLAB_TOP, SLAB_LOW, EDGE, CORE = range(6)
NODES = 6


@inlined
def infiltration_kg_s(room_c: float, out_c: float, wind2: float, density: float, shop: ShopNumbers) -> float:
    """Air change by leaks and doors [kg/s]: leakage area x sqrt(stack + wind), ASHRAE basic model, plus extra."""
    drive = shop.stack_coefficient * abs(room_c - out_c) + shop.wind_coefficient * wind2
    return density * (shop.leak_m2 * math.sqrt(drive) + shop.extra_air_m3_s)


@inlined
def balance_air_change(natural: float, surplus: float) -> float:
    """Outdoor air drawn in [kg/s] when a fan or the wall upsets the balance; ``surplus`` blown in is positive.

    Source  quadrature of natural and forced air change (ASHRAE Fundamentals, ventilation and infiltration chapter,
            superposition; from memory)
    """
    total = math.sqrt(natural * natural + surplus * surplus)
    return total - surplus if surplus > 0.0 else total


@inlined
def part_balance(
    step_s: float, p: int, out_c: float, parts: Floats, part_sun: Floats, shop: ShopNumbers
) -> tuple[float, float, float, float]:
    """Diagonal and right-hand side of a part's outer node and, that eliminated, of its inner node [W/K, W]."""
    g_out, g_mid = shop.part_out_w_k[p], shop.part_mid_w_k[p]
    a_outer = shop.part_outer_capacity[p] / step_s + g_out + g_mid
    b_outer = shop.part_outer_capacity[p] / step_s * parts[p, 0] + g_out * out_c + part_sun[p]
    c_in = shop.part_inner_capacity[p] / step_s
    a_inner = c_in + g_mid + shop.part_in_w_k[p] - g_mid * g_mid / a_outer
    b_inner = c_in * parts[p, 1] + g_mid * b_outer / a_outer
    return a_outer, b_outer, a_inner, b_inner


@inlined
def solve_room(
    step_s: float, old: Floats, parts: Floats, base: float, lean: float,
    out_c: float, deep_c: float, window_w: float, gains_w: float, part_sun: Floats,
    exchange_w_k: float, mains: float, shop: ShopNumbers, new: Floats, new_parts: Floats,
) -> float:  # fmt: skip
    """Solve the shop over one step; returns the heater's output [W].

    old        (6,) nodes at the step's beginning;  parts (parts, 2) outer and inner envelope nodes
    base, lean what wall and fans give the air: base + lean x room [W, W/K]
    exchange_w_k  air change with outdoors [W/K]
    part_sun   (parts,) sun absorbed outside [W]
    new, new_parts  out: nodes at the step's end
    """
    to_floor = shop.sun_to_floor * window_w if shop.slab_w_k > 0.0 else 0.0
    to_contents = shop.sun_to_contents * window_w
    diagonal = shop.air_capacity / step_s + exchange_w_k + shop.light_w_k - lean
    load = shop.air_capacity / step_s * old[AIR] + (exchange_w_k + shop.light_w_k) * out_c + base
    load += gains_w + window_w - to_floor - to_contents
    # Contents hang on the air alone.
    a_contents = shop.contents_capacity / step_s + shop.contents_w_k
    b_contents = shop.contents_capacity / step_s * old[CONTENTS] + to_contents
    diagonal += shop.contents_w_k - shop.contents_w_k**2 / a_contents
    load += shop.contents_w_k * b_contents / a_contents
    for p in range(len(shop.part_in_w_k)):
        g_in = shop.part_in_w_k[p]
        _, _, a_inner, b_inner = part_balance(step_s, p, out_c, parts, part_sun, shop)
        diagonal += g_in - g_in * g_in / a_inner
        load += g_in * b_inner / a_inner
    a_top = b_top = a_low = b_low = a_edge = b_edge = a_core = b_core = 1.0
    if shop.slab_w_k > 0.0:
        a_edge = shop.edge_capacity / step_s + 2.0 * shop.edge_w_k
        b_edge = shop.edge_capacity / step_s * old[EDGE] + shop.edge_w_k * out_c
        a_core = shop.core_capacity / step_s + 2.0 * shop.core_w_k
        b_core = shop.core_capacity / step_s * old[CORE] + shop.core_w_k * deep_c
        half = shop.slab_capacity / step_s
        a_low = half + shop.slab_mid_w_k + shop.edge_w_k + shop.core_w_k
        a_low -= shop.edge_w_k**2 / a_edge + shop.core_w_k**2 / a_core
        b_low = half * old[SLAB_LOW] + shop.edge_w_k * b_edge / a_edge + shop.core_w_k * b_core / a_core
        a_top = half + shop.slab_w_k + shop.slab_mid_w_k - shop.slab_mid_w_k**2 / a_low
        b_top = half * old[SLAB_TOP] + to_floor + shop.slab_mid_w_k * b_low / a_low
        diagonal += shop.slab_w_k - shop.slab_w_k**2 / a_top
        load += shop.slab_w_k * b_top / a_top
    room = load / diagonal
    heat = 0.0
    if shop.heater_w > 0.0 and mains > 0.5 and room < shop.heater_set_c:
        heat = min(shop.heater_w, (shop.heater_set_c - room) * diagonal)
        room += heat / diagonal
    new[AIR] = room
    new[CONTENTS] = (b_contents + shop.contents_w_k * room) / a_contents
    for p in range(len(shop.part_in_w_k)):
        a_outer, b_outer, a_inner, b_inner = part_balance(step_s, p, out_c, parts, part_sun, shop)
        new_parts[p, 1] = (b_inner + shop.part_in_w_k[p] * room) / a_inner
        new_parts[p, 0] = (b_outer + shop.part_mid_w_k[p] * new_parts[p, 1]) / a_outer
    if shop.slab_w_k > 0.0:
        new[SLAB_TOP] = (b_top + shop.slab_w_k * room) / a_top
        new[SLAB_LOW] = (b_low + shop.slab_mid_w_k * new[SLAB_TOP]) / a_low
        new[EDGE] = (b_edge + shop.edge_w_k * new[SLAB_LOW]) / a_edge
        new[CORE] = (b_core + shop.core_w_k * new[SLAB_LOW]) / a_core
    else:
        new[SLAB_TOP] = new[SLAB_LOW] = new[EDGE] = new[CORE] = room
    return heat


@inlined
def air_change_w_k(kg_s: float) -> float:
    """Heat carried per kelvin by an air flow [W/K]."""
    return kg_s * CP
