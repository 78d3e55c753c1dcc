"""The compiled loop: for each direction of light, what share of it reaches each bin of a receiver.

Arrays go with a row number into the inner functions, not cut into views: a view costs more than a ray here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import formula, kernel
from noonwall.shade.chords import block_chord, cone_chord, cone_row, egg_chord, egg_row
from noonwall.shade.cover import hull, misses, settle, stop_light

if TYPE_CHECKING:
    from noonwall.shade.receiver import Shapes, Thick
    from noonwall.shade.record import Floats, Ints

MOST_SPANS = 32  # separate dark stretches kept for a row; shadows beyond are taken off one by one
DARK = 40.0  # optical depth beyond which no light is left
Way = tuple[float, float, float]


@kernel
def light_shares(
    ways: Floats,
    places: Ints,
    state: Ints,
    shapes: Shapes,
    thick: Thick,
    columns: Floats,
    rows: Floats,
    bins: Ints,
    shares: Floats,
) -> None:
    """Write the share of light from each direction that reaches each bin of a receiver.

    ways     (n, 3) unit vectors to the light in the receiver's axes, w > 0
    places   (n,) row of ``shares`` that each direction's answer goes to
    state    (n,) row of ``thick`` for each direction
    columns, rows, bins   the receiver's cells;  shares  (n or more, bins), written
    """
    depth, clear = np.zeros(bins.shape), np.ones(bins.shape)
    spans, used = np.zeros((len(rows), MOST_SPANS, 2)), np.zeros(len(rows), np.int64)
    middles_u, middles_v = 0.5 * (columns[:, 0] + columns[:, 1]), 0.5 * (rows[:, 0] + rows[:, 1])
    portion = cell_portions(columns, rows, bins, shares.shape[1])
    upright = (shapes.upright[0], shapes.upright[1], shapes.upright[2])
    slope = shapes.slope
    most = max(shapes.boards.shape[1], shapes.solids.shape[1], shapes.blocks.shape[1], 4)
    points, corners, order = np.zeros((most, 2)), np.zeros((2 * most + 2, 2)), np.zeros(most, np.int64)
    for i in range(ways.shape[0]):
        way = (ways[i, 0], ways[i, 1], ways[i, 2])
        place = places[i]
        if slope[3] > 0.0 and slope[0] * way[0] + slope[1] * way[1] + slope[2] * way[2] <= 0.0:
            shares[place, :] = 0.0
            continue
        dimmed = solid_shadows(
            shapes.solids, shapes.solid_sizes, way, columns, rows, points, corners, order, spans, used, clear
        )
        dimmed |= board_shadows(
            shapes.boards,
            shapes.board_sizes,
            thick.boards,
            state[i],
            way,
            columns,
            rows,
            corners,
            spans,
            used,
            clear,
        )
        dimmed |= pole_shadows(shapes.poles, upright, way, columns, rows, corners, spans, used, clear)
        veiled = crown_depths(
            shapes.crowns, thick.crowns, state[i], upright, way, middles_u, middles_v, depth
        )
        veiled |= block_depths(
            shapes.blocks, shapes.block_sizes, shapes.planes, thick.blocks, state[i],
            way, columns, rows, points, depth,
        )  # fmt: skip
        if dimmed:
            settle(columns, spans, used, clear)
        if not (dimmed or veiled):
            shares[place, :] = 1.0
            continue
        shares[place, :] = 0.0
        for r in range(bins.shape[0]):
            for c in range(bins.shape[1]):
                passed = clear[r, c] * portion[r, c]
                if depth[r, c] > 0.0:
                    passed *= math.exp(-depth[r, c]) if depth[r, c] < DARK else 0.0
                shares[place, bins[r, c]] += passed
        if veiled:
            depth[:, :] = 0.0
        if dimmed:
            clear[:, :] = 1.0


@formula
def cell_portions(columns: Floats, rows: Floats, bins: Ints, count: int) -> Floats:
    """Return each cell's part of the area of its bin, shape (r, c)."""
    whole, portion = np.zeros(count), np.zeros(bins.shape)
    for r in range(bins.shape[0]):
        for c in range(bins.shape[1]):
            portion[r, c] = (rows[r, 1] - rows[r, 0]) * (columns[c, 1] - columns[c, 0])
            whole[bins[r, c]] += portion[r, c]
    for r in range(bins.shape[0]):
        for c in range(bins.shape[1]):
            portion[r, c] /= whole[bins[r, c]]
    return portion


@formula
def crown_depths(
    crowns: Floats,
    thick: Floats,
    state: int,
    upright: Way,
    way: Way,
    middles_u: Floats,
    middles_v: Floats,
    depth: Floats,
) -> bool:
    """Add the optical depth of all crowns to each cell of a receiver, ray by ray from the cells' middles.

    crowns  ``Shapes.crowns``;  thick, state  light lost per metre, and the row in it [1/m]
    upright, way  up direction, and unit vector to the light;  middles_u, middles_v  of the cells
    depth   (r, c), added to
    Returns whether anything was added
    """
    veiled = False
    du, dv, dw = way
    su, sv = du / dw, dv / dw
    ad = upright[0] * du + upright[1] * dv + upright[2] * dw
    up_u, up_v = upright[0] - upright[2] * su, upright[1] - upright[2] * sv
    wide_u, wide_v = 1.0 + su * su, 1.0 + sv * sv
    for j in range(crowns.shape[0]):
        loss = thick[state, j]
        if loss <= 0.0:
            continue
        tall, cut, radius, cone = crowns[j, 3], crowns[j, 4], crowns[j, 5], crowns[j, 6] > 0.0
        lift = 0.0 if cone else 0.5 * tall
        mu, mv = crowns[j, 0] + lift * upright[0], crowns[j, 1] + lift * upright[1]
        mw = crowns[j, 2] + lift * upright[2]
        low, high = shadow_span(mu - mw * su, up_u, wide_u, tall, radius, cone)
        first_c, end_c = cells_within(middles_u, low, high)
        if first_c >= end_c:
            continue
        low, high = shadow_span(mv - mw * sv, up_v, wide_v, tall, radius, cone)
        first_r, end_r = cells_within(middles_v, low, high)
        veiled = veiled or end_r > first_r
        plain = crowns[j, 7] > 0.0 and cut >= tall
        if cone:
            plain = ad > 1e-9 and (1.0 + (radius / tall) ** 2) * ad * ad < 1.0 - 1e-9
        for r in range(first_r, end_r):
            v = middles_v[r] - mv
            rest = (v * v + mw * mw, v * dv - mw * dw, v * upright[1] - mw * upright[2])
            span = (r, first_c, end_c)
            lean = (du, upright[0])
            if not plain:
                _rough_row(crowns, j, loss, ad, rest, lean, mu, span, middles_u, depth)
            elif cone:
                cone_row(radius, tall, min(cut, tall), loss, ad, rest, lean, mu, span, middles_u, depth)
            else:
                egg_row(radius, 0.5 * tall, loss, ad, rest, lean, mu, span, middles_u, depth)
    return veiled


@formula
def _rough_row(
    crowns: Floats,
    j: int,
    loss: float,
    ad: float,
    rest: tuple[float, float, float],
    lean: tuple[float, float],
    middle: float,
    span: tuple[int, int, int],
    places: Floats,
    depth: Floats,
) -> None:
    """Add one crown's depth on a row of cells ray by ray: cut, at the receiver's plane, or steep light."""
    tall, cut, radius = crowns[j, 3], crowns[j, 4], crowns[j, 5]
    for c in range(span[1], span[2]):
        u = places[c] - middle
        mm, md, ma = rest[0] + u * u, rest[1] + u * lean[0], rest[2] + u * lean[1]
        if crowns[j, 6] > 0.0:
            chord = cone_chord(radius, tall, mm, md, ma, ad, cut)
        else:
            chord = egg_chord(radius, 0.5 * tall, mm, md, ma, ad, -0.5 * tall, cut - 0.5 * tall)
        depth[span[0], c] += loss * chord


@formula
def cells_within(middles: Floats, low: float, high: float) -> tuple[int, int]:
    """Return (first, end) of the cells whose middles lie between two places; rising middles."""
    first, end = 0, len(middles)
    if middles[end - 1] <= low or middles[0] >= high:
        return 0, 0
    while middles[first] <= low:
        first += 1
    while end > first and middles[end - 1] >= high:
        end -= 1
    return first, end


@formula
def shadow_span(
    middle: float, along: float, stretch: float, tall: float, radius: float, cone: bool
) -> tuple[float, float]:
    """Return the two ends of a crown's shadow along one axis of the plane.

    middle   shadow of the ellipsoid's middle, or of the cone's base [m]
    along    shadow of one metre upright, on this axis [m]
    stretch  squared length of the axis's slanted measure [-]
    tall, radius  of the crown [m];  cone  whether it is one
    *Source* support function of an ellipsoid, and of a disc and a point
    """
    if cone:
        disc = radius * math.sqrt(max(0.0, stretch - along * along))
        tip = along * tall
        return middle + min(tip, -disc), middle + max(tip, disc)
    half = 0.5 * tall
    reach = math.sqrt(max(0.0, radius * radius * stretch + (half * half - radius * radius) * along * along))
    return middle - reach, middle + reach


@formula
def slide(bodies: Floats, j: int, count: int, way: Way, points: Floats) -> None:
    """Write where the corners of body ``j`` throw their shadows on the plane; points (count or more, 2)."""
    su, sv = way[0] / way[2], way[1] / way[2]
    for k in range(count):
        points[k, 0] = bodies[j, k, 0] - bodies[j, k, 2] * su
        points[k, 1] = bodies[j, k, 1] - bodies[j, k, 2] * sv


@formula
def solid_shadows(
    solids: Floats,
    sizes: Ints,
    way: Way,
    columns: Floats,
    rows: Floats,
    points: Floats,
    corners: Floats,
    order: Ints,
    spans: Floats,
    used: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that solid bodies stop; ``clear`` (r, c) is the answer, the rest scratch."""
    dimmed = False
    for j in range(solids.shape[0]):
        if sizes[j] < 3:
            continue
        slide(solids, j, sizes[j], way, points)
        if misses(points, sizes[j], columns, rows):
            continue
        size = hull(points, sizes[j], order, corners)
        if size > 2 and stop_light(corners, size, 1.0, columns, rows, spans, used, clear):
            dimmed = True
    return dimmed


@formula
def board_shadows(
    boards: Floats,
    sizes: Ints,
    stops: Floats,
    state: int,
    way: Way,
    columns: Floats,
    rows: Floats,
    corners: Floats,
    spans: Floats,
    used: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that flat boards stop; ``stops`` (states, boards), ``state`` the row that holds."""
    dimmed = False
    for j in range(boards.shape[0]):
        if sizes[j] < 3 or stops[state, j] <= 0.0:
            continue
        slide(boards, j, sizes[j], way, corners)
        if not misses(corners, sizes[j], columns, rows) and stop_light(
            corners, sizes[j], stops[state, j], columns, rows, spans, used, clear
        ):
            dimmed = True
    return dimmed


@formula
def pole_shadows(
    poles: Floats,
    upright: Way,
    way: Way,
    columns: Floats,
    rows: Floats,
    corners: Floats,
    spans: Floats,
    used: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that poles stop, each as a strip as wide as the pole, turned to the light."""
    su, sv = way[0] / way[2], way[1] / way[2]
    cu = upright[1] * way[2] - upright[2] * way[1]
    cv = upright[2] * way[0] - upright[0] * way[2]
    cw = upright[0] * way[1] - upright[1] * way[0]
    size = math.sqrt(cu * cu + cv * cv + cw * cw)
    if size < 1e-9:
        return False
    wide_u, wide_v = (cu - cw * su) / size, (cv - cw * sv) / size
    dimmed = False
    for j in range(poles.shape[0]):
        half = 0.5 * poles[j, 6]
        top_v = poles[j, 4] - poles[j, 5] * sv
        if top_v + half * abs(wide_v) < rows[0, 0] and upright[1] > 0.9:
            continue
        if poles[j, 2] <= 0.0 or poles[j, 5] <= 0.0:
            continue
        low_u, low_v = poles[j, 0] - poles[j, 2] * su, poles[j, 1] - poles[j, 2] * sv
        top_u = poles[j, 3] - poles[j, 5] * su
        corners[0, 0], corners[0, 1] = low_u - half * wide_u, low_v - half * wide_v
        corners[1, 0], corners[1, 1] = low_u + half * wide_u, low_v + half * wide_v
        corners[2, 0], corners[2, 1] = top_u + half * wide_u, top_v + half * wide_v
        corners[3, 0], corners[3, 1] = top_u - half * wide_u, top_v - half * wide_v
        if not misses(corners, 4, columns, rows) and stop_light(
            corners, 4, 1.0, columns, rows, spans, used, clear
        ):
            dimmed = True
    return dimmed


@formula
def block_depths(
    blocks: Floats,
    sizes: Ints,
    planes: Floats,
    thick: Floats,
    state: int,
    way: Way,
    columns: Floats,
    rows: Floats,
    points: Floats,
    depth: Floats,
) -> bool:
    """Add the optical depth of bodies of foliage to each cell, ray by ray from the cells' middles."""
    veiled = False
    for j in range(blocks.shape[0]):
        if sizes[j, 0] < 3 or thick[state, j] <= 0.0:
            continue
        slide(blocks, j, sizes[j, 0], way, points)
        if misses(points, sizes[j, 0], columns, rows):
            continue
        veiled = True
        for r in range(rows.shape[0]):
            v = 0.5 * (rows[r, 0] + rows[r, 1])
            for c in range(columns.shape[0]):
                u = 0.5 * (columns[c, 0] + columns[c, 1])
                depth[r, c] += thick[state, j] * block_chord(planes, j, sizes[j, 1], (u, v, 0.0), way)
    return veiled
