"""The compiled loop: for each direction of light, what share of it reaches each bin of a receiver.

Arrays go with a row number into the inner functions, not cut into views: a view costs more than a ray here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined, lean_kernel
from noonwall.shade.chords import block_chord, faded
from noonwall.shade.cover import dark_share, hull, misses, passes_by, settle, span_at, stop_light
from noonwall.shade.crowns import cells_met, crown_depths

if TYPE_CHECKING:
    from noonwall.shade.receiver import Bench, Shapes, Thick
    from noonwall.shade.record import Floats, Ints

Way = tuple[float, float, float]


@lean_kernel
def light_shares(
    ways: Floats,
    places: Ints,
    state: Ints,
    shapes: Shapes,
    thick: Thick,
    columns: Floats,
    rows: Floats,
    bins: Ints,
    bench: Bench,
    shares: Floats,
) -> None:
    """Write the share of light from each direction that reaches each bin of a receiver.

    ways     (n, 3) unit vectors to the light in the receiver's axes, w > 0
    places   (n,) row of ``shares`` that each direction's answer goes to
    state    (n,) row of ``thick`` for each direction
    columns, rows, bins   the receiver's cells;  bench  room to work in
    shares   (n or more, bins), written
    """
    upright = (shapes.upright[0], shapes.upright[1], shapes.upright[2])
    slope = shapes.slope
    for i in range(ways.shape[0]):
        way = (ways[i, 0], ways[i, 1], ways[i, 2])
        place = places[i]
        if slope[3] > 0.0 and slope[0] * way[0] + slope[1] * way[1] + slope[2] * way[2] <= 0.0:
            for b in range(shares.shape[1]):
                shares[place, b] = 0.0
            continue
        dimmed = solid_shadows(
            shapes.solids, shapes.solid_sizes, shapes.solid_bounds, way, columns, rows, bench.points,
            bench.corners, bench.order, bench.spans, bench.used, bench.celled, bench.clear,
        )  # fmt: skip
        dimmed |= board_shadows(
            shapes.boards, shapes.board_sizes, shapes.board_bounds, thick.boards, state[i], way, columns, rows,
            bench.corners, bench.spans, bench.used, bench.celled, bench.clear,
        )  # fmt: skip
        dimmed |= pole_shadows(
            shapes.poles, upright, way, columns, rows, bench.corners, bench.spans, bench.used, bench.celled,
            bench.clear,
        )  # fmt: skip
        veiled = crown_depths(
            shapes.crowns, thick.crowns, state[i], upright, way, columns, bench.middles_v, bench.depth,
            bench.clear,
        )  # fmt: skip
        veiled |= block_depths(
            shapes.blocks, shapes.block_sizes, shapes.block_bounds, shapes.planes, thick.blocks, state[i],
            way, columns, rows, bench.points, bench.corners, bench.order, bench.depth, bench.clear,
        )  # fmt: skip
        untouched = not (dimmed or veiled)
        for b in range(shares.shape[1]):
            shares[place, b] = 1.0 if untouched else 0.0
        if untouched:
            continue
        for r in range(bins.shape[0]):
            if bench.row_bin[r] >= 0 and not veiled and bench.celled[r] == 0:
                shares[place, bench.row_bin[r]] += bench.row_portion[r] * (
                    1.0 - dark_share(columns, r, bench.spans, bench.used)
                )
                bench.used[r] = 0
            else:
                settle(columns, r, bench.spans, bench.used, bench.clear)
                gather(r, bins, bench.portion, bench.depth, bench.clear, place, shares)
                bench.celled[r] = 0


@inlined
def gather(
    r: int, bins: Ints, portion: Floats, depth: Floats, clear: Floats, place: int, shares: Floats
) -> None:
    """Add what the cells of row ``r`` receive to their bins, and clear them for the next direction."""
    for c in range(bins.shape[1]):
        shares[place, bins[r, c]] += clear[r, c] * portion[r, c] * faded(depth[r, c])
        depth[r, c] = 0.0
        clear[r, c] = 1.0


@inlined
def slide(bodies: Floats, j: int, count: int, way: Way, points: Floats) -> None:
    """Write where the corners of body ``j`` throw their shadows on the plane; points (count or more, 2)."""
    su, sv = way[0] / way[2], way[1] / way[2]
    for k in range(count):
        points[k, 0] = bodies[j, k, 0] - bodies[j, k, 2] * su
        points[k, 1] = bodies[j, k, 1] - bodies[j, k, 2] * sv


@inlined
def solid_shadows(
    solids: Floats,
    sizes: Ints,
    bounds: Floats,
    way: Way,
    columns: Floats,
    rows: Floats,
    points: Floats,
    corners: Floats,
    order: Ints,
    spans: Floats,
    used: Ints,
    celled: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that solid bodies stop; ``clear`` (r, c) is the answer, the rest scratch."""
    dimmed = False
    for j in range(solids.shape[0]):
        if sizes[j] < 3 or passes_by(bounds, j, way, columns, rows):
            continue
        slide(solids, j, sizes[j], way, points)
        if misses(points, sizes[j], columns, rows):
            continue
        size = hull(points, sizes[j], order, corners)
        if size > 2 and stop_light(corners, size, 1.0, columns, rows, spans, used, celled, clear):
            dimmed = True
    return dimmed


@inlined
def board_shadows(
    boards: Floats,
    sizes: Ints,
    bounds: Floats,
    stops: Floats,
    state: int,
    way: Way,
    columns: Floats,
    rows: Floats,
    corners: Floats,
    spans: Floats,
    used: Ints,
    celled: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that flat boards stop; ``stops`` (states, boards), ``state`` the row that holds."""
    dimmed = False
    for j in range(boards.shape[0]):
        if sizes[j] < 3 or stops[state, j] <= 0.0 or passes_by(bounds, j, way, columns, rows):
            continue
        slide(boards, j, sizes[j], way, corners)
        if not misses(corners, sizes[j], columns, rows) and stop_light(
            corners, sizes[j], stops[state, j], columns, rows, spans, used, celled, clear
        ):
            dimmed = True
    return dimmed


@inlined
def pole_shadows(
    poles: Floats,
    upright: Way,
    way: Way,
    columns: Floats,
    rows: Floats,
    corners: Floats,
    spans: Floats,
    used: Ints,
    celled: Ints,
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
            corners, 4, 1.0, columns, rows, spans, used, celled, clear
        ):
            dimmed = True
    return dimmed


@inlined
def block_depths(
    blocks: Floats,
    sizes: Ints,
    bounds: Floats,
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
        if sizes[j, 0] < 3 or thick[state, j] <= 0.0 or passes_by(bounds, j, way, columns, rows):
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
