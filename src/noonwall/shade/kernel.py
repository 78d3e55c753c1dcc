"""The compiled loop: for each direction of light, what share of it reaches each bin of a receiver.

Arrays go with a row number into the inner functions, not cut into views: a view costs more than a ray here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import formula, kernel
from noonwall.shade.chords import block_chord, cone_chord, cone_form, egg_chord, egg_form, ends, faded
from noonwall.shade.cover import hull, misses, settle, span_at, stop_light

if TYPE_CHECKING:
    from noonwall.shade.receiver import Shapes, Thick
    from noonwall.shade.record import Floats, Ints

MOST_SPANS = 32  # separate dark stretches kept for a row; shadows beyond are taken off one by one
Way = tuple[float, float, float]
Cells = tuple[int, int, int, int]


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
    middles_v = 0.5 * (rows[:, 0] + rows[:, 1])
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
            shapes.crowns, thick.crowns, state[i], upright, way, columns, middles_v, depth, clear
        )
        veiled |= block_depths(
            shapes.blocks, shapes.block_sizes, shapes.planes, thick.blocks, state[i],
            way, columns, rows, points, corners, order, depth, clear,
        )  # fmt: skip
        if dimmed:
            settle(columns, spans, used, clear)
        if not (dimmed or veiled):
            shares[place, :] = 1.0
            continue
        shares[place, :] = 0.0
        for r in range(bins.shape[0]):
            for c in range(bins.shape[1]):
                shares[place, bins[r, c]] += clear[r, c] * portion[r, c] * faded(depth[r, c])
        depth[:, :] = 0.0
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
    columns: Floats,
    middles_v: Floats,
    depth: Floats,
    clear: Floats,
) -> bool:
    """Add the optical depth of all crowns to each cell of a receiver, row by row along the cells' middles.

    crowns  ``Shapes.crowns``;  thick, state  light lost per metre, and the row in it [1/m]
    upright, way  up direction, and unit vector to the light
    columns, middles_v  edges of the cells along a row, and the middles of the rows
    depth   (r, c), added to;  clear  (r, c) light left, for cells that a shadow's end cuts
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
        first_c, end_c = cells_met(columns, low, high)
        if first_c >= end_c:
            continue
        low, high = shadow_span(mv - mw * sv, up_v, wide_v, tall, radius, cone)
        first_r, end_r = cells_within(middles_v, low, high)
        if end_r <= first_r:
            continue
        veiled = True
        cells = (first_r, end_r, first_c, end_c)
        middle = (mu, mv, mw)
        if cone and ad > 1e-9 and (1.0 + (radius / tall) ** 2) * ad * ad < 1.0 - 1e-9:
            cone_cells(
                radius,
                tall,
                min(cut, tall),
                loss,
                upright,
                way,
                middle,
                cells,
                columns,
                middles_v,
                depth,
                clear,
            )
        elif not cone and crowns[j, 7] > 0.0 and cut >= tall:
            egg_cells(radius, 0.5 * tall, loss, upright, way, middle, cells, columns, middles_v, depth, clear)
        else:
            rough_cells(crowns, j, loss, upright, way, middle, cells, columns, middles_v, depth)
    return veiled


@formula
def row_start(upright: Way, way: Way, middle: Way, v: float) -> Way:
    """Return mm, md, ma (as for ``egg_chord``) of the ray that starts at u = 0, ``v`` from the crown's middle."""
    mw = middle[2]
    return v * v + mw * mw, v * way[1] - mw * way[2], v * upright[1] - mw * upright[2]


@formula
def egg_cells(
    radius: float,
    half: float,
    loss: float,
    upright: Way,
    way: Way,
    middle: Way,
    cells: Cells,
    columns: Floats,
    middles_v: Floats,
    depth: Floats,
    clear: Floats,
) -> None:
    """Add the optical depth of a whole ellipsoid ahead; cells that its shadow's end cuts lose light by their share.

    middle  of the crown, u, v, w [m];  cells  first and end row, first and end column that its shadow meets
    """
    ad = upright[0] * way[0] + upright[1] * way[1] + upright[2] * way[2]
    lean = (way[0], upright[0])
    # The parabola of a row is quadratic in v too: three rows tell all.
    p0, p1, p2, A = egg_form(radius, half, ad, row_start(upright, way, middle, 0.0), lean)
    up0, up1, _, _ = egg_form(radius, half, ad, row_start(upright, way, middle, 1.0), lean)
    dn0, _, _, _ = egg_form(radius, half, ad, row_start(upright, way, middle, -1.0), lean)
    rise, bend, tilt = 0.5 * (up0 - dn0), 0.5 * (up0 + dn0) - p0, up1 - p1
    share = 2.0 * loss / A
    for r in range(cells[0], cells[1]):
        v = middles_v[r] - middle[1]
        q0, q1 = p0 + v * (rise + v * bend), p1 + v * tilt
        start, end = ends(q0, q1, p2)
        for c in range(cells[2], cells[3]):
            left, right = columns[c, 0] - middle[0], columns[c, 1] - middle[0]
            first, last = max(left, start), min(right, end)
            if last <= first:
                continue
            u = 0.5 * (first + last)
            whole = share * math.sqrt(max(0.0, q0 + u * (q1 + u * p2)))
            if last - first < right - left:
                clear[r, c] *= 1.0 - (last - first) / (right - left) * (1.0 - faded(whole))
            else:
                depth[r, c] += whole


@formula
def cone_cells(
    radius: float,
    height: float,
    high: float,
    loss: float,
    upright: Way,
    way: Way,
    middle: Way,
    cells: Cells,
    columns: Floats,
    middles_v: Floats,
    depth: Floats,
    clear: Floats,
) -> None:
    """Add the optical depth of a cone for climbing light flatter than its side; the rest as for ``egg_cells``."""
    ad = upright[0] * way[0] + upright[1] * way[1] + upright[2] * way[2]
    lean = (way[0], upright[0])
    p0, p1, p2, b0, b1 = cone_form(radius, height, ad, row_start(upright, way, middle, 0.0), lean)
    up0, up1, _, up_b, _ = cone_form(radius, height, ad, row_start(upright, way, middle, 1.0), lean)
    dn0, _, _, _, _ = cone_form(radius, height, ad, row_start(upright, way, middle, -1.0), lean)
    rise, bend, tilt, turn = 0.5 * (up0 - dn0), 0.5 * (up0 + dn0) - p0, up1 - p1, up_b - b0
    per_a, per_climb = 1.0 / (1.0 - (1.0 + (radius / height) ** 2) * ad * ad), 1.0 / ad
    for r in range(cells[0], cells[1]):
        v = middles_v[r] - middle[1]
        q0, q1, at, foot = (
            p0 + v * (rise + v * bend),
            p1 + v * tilt,
            b0 + v * turn,
            v * upright[1] - middle[2] * upright[2],
        )
        start, end = ends(q0, q1, p2)
        for c in range(cells[2], cells[3]):
            left, right = columns[c, 0] - middle[0], columns[c, 1] - middle[0]
            first, last = max(left, start), min(right, end)
            if last <= first:
                continue
            u = 0.5 * (first + last)
            reach = math.sqrt(max(0.0, q0 + u * (q1 + u * p2))) * per_a
            nearest, low = -(at + b1 * u) * per_a, foot + u * upright[0]
            near = max(0.0, nearest - reach, -low * per_climb)
            whole = loss * (min(nearest + reach, (high - low) * per_climb) - near)
            if whole <= 0.0:
                continue
            if last - first < right - left:
                clear[r, c] *= 1.0 - (last - first) / (right - left) * (1.0 - faded(whole))
            else:
                depth[r, c] += whole


@formula
def rough_cells(
    crowns: Floats,
    j: int,
    loss: float,
    upright: Way,
    way: Way,
    middle: Way,
    cells: Cells,
    columns: Floats,
    middles_v: Floats,
    depth: Floats,
) -> None:
    """Add one crown's depth ray by ray: crowns cut off or at the receiver's plane, and steep light on a cone."""
    tall, cut, radius = crowns[j, 3], crowns[j, 4], crowns[j, 5]
    ad = upright[0] * way[0] + upright[1] * way[1] + upright[2] * way[2]
    for r in range(cells[0], cells[1]):
        start = row_start(upright, way, middle, middles_v[r] - middle[1])
        for c in range(cells[2], cells[3]):
            u = 0.5 * (columns[c, 0] + columns[c, 1]) - middle[0]
            mm, md, ma = start[0] + u * u, start[1] + u * way[0], start[2] + u * upright[0]
            if crowns[j, 6] > 0.0:
                chord = cone_chord(radius, tall, mm, md, ma, ad, cut)
            else:
                chord = egg_chord(radius, 0.5 * tall, mm, md, ma, ad, -0.5 * tall, cut - 0.5 * tall)
            depth[r, c] += loss * chord


@formula
def cells_met(columns: Floats, low: float, high: float) -> tuple[int, int]:
    """Return (first, end) of the cells that a stretch meets; rising cells."""
    first, end = 0, len(columns)
    if columns[end - 1, 1] <= low or columns[0, 0] >= high:
        return 0, 0
    while columns[first, 1] <= low:
        first += 1
    while end > first and columns[end - 1, 0] >= high:
        end -= 1
    return first, end


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
    corners: Floats,
    order: Ints,
    depth: Floats,
    clear: Floats,
) -> bool:
    """Add the optical depth of bodies of foliage to each cell, row by row along the cells' middles."""
    veiled = False
    for j in range(blocks.shape[0]):
        if sizes[j, 0] < 3 or thick[state, j] <= 0.0:
            continue
        slide(blocks, j, sizes[j, 0], way, points)
        if misses(points, sizes[j, 0], columns, rows):
            continue
        size = hull(points, sizes[j, 0], order, corners)
        for r in range(rows.shape[0]):
            v = 0.5 * (rows[r, 0] + rows[r, 1])
            start, end = span_at(corners, size, v)
            first_c, end_c = cells_met(columns, start, end)
            veiled = veiled or end_c > first_c
            for c in range(first_c, end_c):
                left, right = max(columns[c, 0], start), min(columns[c, 1], end)
                whole = thick[state, j] * block_chord(
                    planes, j, sizes[j, 1], (0.5 * (left + right), v, 0.0), way
                )
                wide = columns[c, 1] - columns[c, 0]
                if right - left < wide:
                    clear[r, c] *= 1.0 - (right - left) / wide * (1.0 - faded(whole))
                else:
                    depth[r, c] += whole
    return veiled
