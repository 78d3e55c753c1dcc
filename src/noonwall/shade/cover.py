"""How much of each cell of a plane a flat shadow covers: convex outlines over a grid of rectangles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.compiled import formula, inlined

if TYPE_CHECKING:
    from noonwall.shade.record import Floats, Ints


@inlined
def span_at(corners: Floats, count: int, height: float) -> tuple[float, float]:
    """Return where a level line enters and leaves a convex outline.

    corners  (count or more, 2) outline in order;  height  of the line [m]
    Returns  (first, last); first > last when it misses
    """
    first, last = 1e30, -1e30
    for i in range(count):
        j = i + 1 if i + 1 < count else 0
        u0, v0, u1, v1 = corners[i, 0], corners[i, 1], corners[j, 0], corners[j, 1]
        if (v0 <= height) != (v1 <= height):
            u = u0 + (u1 - u0) * (height - v0) / (v1 - v0)
            first, last = min(first, u), max(last, u)
    return first, last


@inlined
def stop_light(
    corners: Floats,
    count: int,
    stops: float,
    columns: Floats,
    rows: Floats,
    spans: Floats,
    used: Ints,
    celled: Ints,
    clear: Floats,
) -> bool:
    """Take away the light that a convex shadow stops.

    corners  (count or more, 2) its outline in order [m];  stops  share of light it stops [-]
    columns  (c, 2) left and right edge of each column;  rows  (r, 2) lower and upper edge of each row [m]
    spans, used  (r, k, 2) and (r,): dark stretches of each row, apart and rising, and how many there are;
             opaque shadows as high as the row are joined to them, so that overlaps count once
    clear    (r, c) share of light left in each cell; all other shadows are taken off here
    celled   (r,) set to 1 for rows of which ``clear`` tells
    Returns  whether anything was stopped
    """
    low, high = corners[0, 1], corners[0, 1]
    for i in range(1, count):
        low, high = min(low, corners[i, 1]), max(high, corners[i, 1])
    touched = False
    for r in range(rows.shape[0]):
        bottom, top = max(rows[r, 0], low), min(rows[r, 1], high)
        if top <= bottom:
            continue
        first, last = span_at(corners, count, 0.5 * (bottom + top))
        first, last = max(first, columns[0, 0]), min(last, columns[-1, 1])
        if last <= first:
            continue
        touched = True
        share = stops * (top - bottom) / (rows[r, 1] - rows[r, 0])
        if share > 0.999999 and used[r] < spans.shape[1]:
            used[r] = join(spans, r, used[r], first, last)
        else:
            darken(columns, r, first, last, share, clear)
            celled[r] = 1
    return touched


@inlined
def join(spans: Floats, r: int, used: int, first: float, last: float) -> int:
    """Add a stretch to the dark stretches of row ``r``, joining those it meets; return how many there are."""
    i = 0
    while i < used and spans[r, i, 1] < first:
        i += 1
    j = i
    while j < used and spans[r, j, 0] <= last:
        first, last = min(first, spans[r, j, 0]), max(last, spans[r, j, 1])
        j += 1
    if j == i:
        for k in range(used, i, -1):
            spans[r, k, 0], spans[r, k, 1] = spans[r, k - 1, 0], spans[r, k - 1, 1]
    else:
        for k in range(j, used):
            spans[r, k - j + i + 1, 0], spans[r, k - j + i + 1, 1] = spans[r, k, 0], spans[r, k, 1]
    spans[r, i, 0], spans[r, i, 1] = first, last
    return used - (j - i) + 1


@inlined
def darken(columns: Floats, r: int, first: float, last: float, share: float, clear: Floats) -> None:
    """Take a share of the light off the stretch of row ``r`` between two places."""
    for c in range(columns.shape[0]):
        left, right = columns[c, 0], columns[c, 1]
        wide = min(right, last) - max(left, first)
        if wide > 0.0:
            clear[r, c] *= 1.0 - share * wide / (right - left)


@inlined
def dark_share(columns: Floats, r: int, spans: Floats, used: Ints) -> float:
    """Return the share of row ``r`` that its dark stretches cover; they lie apart and within the row."""
    dark = 0.0
    for k in range(used[r]):
        dark += spans[r, k, 1] - spans[r, k, 0]
    return float(min(1.0, dark / (columns[-1, 1] - columns[0, 0])))


@inlined
def settle(columns: Floats, r: int, spans: Floats, used: Ints, clear: Floats) -> None:
    """Take the light off all dark stretches of row ``r``, and forget them."""
    if used[r] == 0:
        return
    for c in range(clear.shape[1]):
        left, right = columns[c, 0], columns[c, 1]
        dark = 0.0
        for k in range(used[r]):
            dark += max(0.0, min(right, spans[r, k, 1]) - max(left, spans[r, k, 0]))
        clear[r, c] *= 1.0 - min(1.0, dark / (right - left))
    used[r] = 0


@formula
def hull(points: Floats, count: int, order: Ints, corners: Floats) -> int:
    """Write the convex outline of some points of a plane.

    points   (count or more, 2);  order  (count or more,) scratch
    corners  (2 count or more, 2), written: the outline in order
    Returns  how many corners it has
    *Source* monotone chain, Andrew 1979, Information Processing Letters 9, 216-219 (from memory)
    """
    for i in range(count):
        j = i
        while j > 0 and (
            points[order[j - 1], 0] > points[i, 0]
            or (points[order[j - 1], 0] == points[i, 0] and points[order[j - 1], 1] > points[i, 1])
        ):
            order[j] = order[j - 1]
            j -= 1
        order[j] = i
    size = 0
    for turn in range(2):
        floor = size + 1 if turn else 1
        for n in range(count):
            k = order[count - 1 - n] if turn else order[n]
            while size > floor and _turns_right(corners, size, points[k, 0], points[k, 1]):
                size -= 1
            corners[size, 0], corners[size, 1] = points[k, 0], points[k, 1]
            size += 1
        size -= 1
    return size


@inlined
def _turns_right(corners: Floats, size: int, u: float, v: float) -> bool:
    u0, v0 = corners[size - 2, 0], corners[size - 2, 1]
    u1, v1 = corners[size - 1, 0], corners[size - 1, 1]
    return bool((u1 - u0) * (v - v0) - (v1 - v0) * (u - u0) <= 0.0)


@inlined
def misses(corners: Floats, count: int, columns: Floats, rows: Floats) -> bool:
    """Return whether an outline's bounds lie wholly beside the grid."""
    left, right, low, high = corners[0, 0], corners[0, 0], corners[0, 1], corners[0, 1]
    for i in range(1, count):
        left, right = min(left, corners[i, 0]), max(right, corners[i, 0])
        low, high = min(low, corners[i, 1]), max(high, corners[i, 1])
    beside = right <= columns[0, 0] or left >= columns[-1, 1]
    return bool(beside or high <= rows[0, 0] or low >= rows[-1, 1])


@inlined
def passes_by(bounds: Floats, j: int, way: tuple[float, float, float], columns: Floats, rows: Floats) -> bool:
    """Return whether the shadow of body ``j``'s bounding box lies wholly beside the grid.

    bounds  (bodies, 6) least and most u, v, w [m];  way  unit vector to the light, w > 0
    """
    su, sv = way[0] / way[2], way[1] / way[2]
    near_u, far_u = bounds[j, 4] * su, bounds[j, 5] * su
    near_v, far_v = bounds[j, 4] * sv, bounds[j, 5] * sv
    beside = (
        bounds[j, 1] - min(near_u, far_u) <= columns[0, 0]
        or bounds[j, 0] - max(near_u, far_u) >= columns[-1, 1]
    )
    return bool(
        beside
        or bounds[j, 3] - min(near_v, far_v) <= rows[0, 0]
        or bounds[j, 2] - max(near_v, far_v) >= rows[-1, 1]
    )
