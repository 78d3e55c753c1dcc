"""Crowns before a grid of cells: how deep the foliage is between each cell and the light.

Arrays go with a row number into the inner functions, not cut into views: a view costs more than a ray here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import formula, inlined
from noonwall.shade.chords import cone_chord, cone_form, egg_chord, egg_form, ends, faded

if TYPE_CHECKING:
    from noonwall.shade.record import Floats

Way = tuple[float, float, float]
Cells = tuple[int, int, int, int]


@inlined
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
