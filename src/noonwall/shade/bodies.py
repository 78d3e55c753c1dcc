"""From described obstacles to corners and sides: boxes, roofs, belts, woods, boards."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.scene import Corners

Flat = tuple[tuple[float, float], ...]
Planes = tuple[tuple[float, float, float, float], ...]


def area(outline: Flat) -> float:
    """Return the signed area of a flat outline, positive when it turns left [m²]."""
    total = 0.0
    for (x0, y0), (x1, y1) in zip(outline, outline[1:] + outline[:1], strict=True):
        total += x0 * y1 - x1 * y0
    return 0.5 * total


def prism(outline: Flat, low_m: float, high_m: float) -> tuple[Corners, Planes]:
    """Return corners and sides of an upright body over a convex outline.

    outline  flat corners in order, either turn [m];  low_m, high_m  heights of floor and top [m]
    Returns  corners, and sides as outward normal and distance
    """
    if area(outline) < 0.0:
        outline = outline[::-1]
    sides = [(0.0, 0.0, -1.0, -low_m), (0.0, 0.0, 1.0, high_m)]
    for (x0, y0), (x1, y1) in zip(outline, outline[1:] + outline[:1], strict=True):
        length = math.hypot(x1 - x0, y1 - y0)
        if length > 1e-9:
            nx, ny = (y1 - y0) / length, -(x1 - x0) / length
            sides.append((nx, ny, 0.0, nx * x0 + ny * y0))
    corners = [(x, y, z) for z in (low_m, high_m) for x, y in outline]
    return tuple(corners), tuple(sides)


def belt(line: Flat, depth_m: float) -> tuple[Flat, ...]:
    """Return the flat four-sided pieces of a belt along a line, mitred where the line bends.

    line  points down the middle [m], two or more, no two alike in a row;  depth_m  thickness [m]
    """
    points = np.asarray(line)
    steps = np.diff(points, axis=0)
    normals = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.hypot(*steps.T)[:, None]
    shifts = [normals[0]]
    for before, after in itertools.pairwise(normals):
        both = before + after
        shifts.append(2.0 * both / max(float(both @ both), 0.5))
    shifts.append(normals[-1])
    offset = 0.5 * depth_m * np.asarray(shifts)
    left, right = points + offset, points - offset
    return tuple(
        tuple((float(p[0]), float(p[1])) for p in (right[i], right[i + 1], left[i + 1], left[i]))
        for i in range(len(points) - 1)
    )


def triangles(outline: Flat) -> tuple[Flat, ...]:
    """Return a flat outline without crossings as triangles (itself when it is one).

    *Source*  ear clipping, any text on computational geometry
    """
    left = list(outline if area(outline) > 0.0 else outline[::-1])
    pieces = []
    while len(left) > 3:
        for i in range(len(left)):
            ear = (left[i - 1], left[i], left[(i + 1) % len(left)])
            others = [p for p in left if p not in ear]
            if area(ear) > 1e-12 and not any(_inside(p, ear) for p in others):
                pieces.append(ear)
                del left[i]
                break
        else:
            break
    pieces.append((left[0], left[1], left[2]))
    return tuple(pieces)


def _inside(point: tuple[float, float], triangle: Flat) -> bool:
    a, b, c = triangle
    return all(area((p, q, point)) >= 0.0 for p, q in ((a, b), (b, c), (c, a)))


def is_convex(outline: Flat) -> bool:
    """Return whether a flat outline turns the same way at every corner."""
    count = len(outline)
    turns = [area((outline[i - 1], outline[i], outline[(i + 1) % count])) for i in range(count)]
    return all(t >= -1e-12 for t in turns) or all(t <= 1e-12 for t in turns)


def roofed(width_m: float, length_m: float, eaves_m: float, ridge_m: float, roof: str, runs: str) -> Corners:
    """Return the corners of a building in its own axes (right, front, up from the middle of its footprint).

    width_m, length_m  along the front, and from front to back;  eaves_m, ridge_m  heights
    roof  "flat", "gable" or "shed" (rises from front to back);  runs  which way a gable's ridge runs
    """
    w, d = 0.5 * width_m, 0.5 * length_m
    foot = [(-w, -d, 0.0), (w, -d, 0.0), (w, d, 0.0), (-w, d, 0.0)]
    back = ridge_m if roof == "shed" else eaves_m
    top = [(-w, -d, back), (w, -d, back), (w, d, eaves_m), (-w, d, eaves_m)]
    if roof == "gable":
        along = runs == "along front"
        top += [(-w, 0.0, ridge_m), (w, 0.0, ridge_m)] if along else [(0.0, -d, ridge_m), (0.0, d, ridge_m)]
    return tuple(foot + top)
