"""How much of each cell of a plane a flat shadow covers: convex outlines over a grid of rectangles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.compiled import formula

if TYPE_CHECKING:
    from noonwall.shade.record import Floats, Ints


@formula
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


@formula
def add_cover(corners: Floats, count: int, columns: Floats, rows: Floats, cover: Floats) -> bool:
    """Add the share of each cell that a convex outline covers.

    corners  (count or more, 2) outline in order [m]
    columns  (c, 2) left and right edge of each column;  rows  (r, 2) lower and upper edge of each row [m]
    cover    (r, c), added to in place: exact across each row's middle line, rows cut at the outline's ends
    Returns  whether anything was added
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
        if last <= first:
            continue
        share = (top - bottom) / (rows[r, 1] - rows[r, 0])
        for c in range(columns.shape[0]):
            left, right = columns[c, 0], columns[c, 1]
            wide = min(right, last) - max(left, first)
            if wide > 0.0:
                cover[r, c] += share * wide / (right - left)
                touched = True
    return touched


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


@formula
def _turns_right(corners: Floats, size: int, u: float, v: float) -> bool:
    u0, v0 = corners[size - 2, 0], corners[size - 2, 1]
    u1, v1 = corners[size - 1, 0], corners[size - 1, 1]
    return bool((u1 - u0) * (v - v0) - (v1 - v0) * (u - u0) <= 0.0)


@formula
def misses(corners: Floats, count: int, columns: Floats, rows: Floats) -> bool:
    """Return whether an outline's bounds lie wholly beside the grid."""
    left, right, low, high = corners[0, 0], corners[0, 0], corners[0, 1], corners[0, 1]
    for i in range(1, count):
        left, right = min(left, corners[i, 0]), max(right, corners[i, 0])
        low, high = min(low, corners[i, 1]), max(high, corners[i, 1])
    beside = right <= columns[0, 0] or left >= columns[-1, 1]
    return bool(beside or high <= rows[0, 0] or low >= rows[-1, 1])


@formula
def dim(clear: Floats, cover: Floats, stops: float) -> None:
    """Take covered light away from each cell, and wipe the cover clean for the next shape."""
    for r in range(clear.shape[0]):
        for c in range(clear.shape[1]):
            clear[r, c] *= 1.0 - stops * min(1.0, cover[r, c])
            cover[r, c] = 0.0
