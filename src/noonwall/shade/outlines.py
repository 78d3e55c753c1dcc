"""Outlines for pictures: obstacles against the sky from a standpoint, and on the plan with their shadows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.horizon import skyline_deg

if TYPE_CHECKING:
    from collections.abc import Iterator

    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats
    from noonwall.shade.scene import Crown, Pole, Scene

AROUND = 24
LEVELS = 12
EDGE_PARTS = 12
SKY_STEP_DEG = 1.0
NEAREST_M = 0.05


@dataclass(frozen=True)
class Silhouette:
    """One shape of an obstacle against the sky: from ``low`` to ``high`` at each azimuth."""

    name: str
    solid: bool  # opaque, or foliage
    azimuth_deg: Floats  # (k,) from north clockwise, rising, may run past 360
    low_deg: Floats  # (k,) elevation
    high_deg: Floats


@dataclass(frozen=True)
class Ground:
    """One shape of an obstacle on the plan; corners (east, north) in order, metres from the wall's foot."""

    name: str
    solid: bool
    footprint: Floats  # (k, 2)
    shadow: Floats  # (s, 2) its shadow on level ground; no rows without sun


def sky_silhouettes(scene: Scene, frame: Frame, along_m: float, height_m: float) -> tuple[Silhouette, ...]:
    """Return what stands against the sky for an eye on the wall.

    along_m, height_m  the eye: along the wall from its middle, and above the ground at its foot [m]
    Returns            a silhouette for each shape; bodies behind the wall are left out
    """
    eye = np.array([along_m, 0.0, height_m])
    found = []
    for name, solid, points in _bodies(scene):
        seen = points - eye
        seen = seen[seen[:, 1] > NEAREST_M]
        if len(seen) < 3:
            continue
        east, north = frame.world(seen[:, 0], seen[:, 1])
        azimuth = np.degrees(np.arctan2(east, north))
        middle = frame.azimuth_deg
        azimuth = middle + (azimuth - middle + 180.0) % 360.0 - 180.0
        elevation = np.degrees(np.arctan2(seen[:, 2], np.hypot(seen[:, 0], seen[:, 1])))
        found.append(_band(name, solid, azimuth, elevation))
    return tuple(found)


def _band(name: str, solid: bool, azimuth: Floats, elevation: Floats) -> Silhouette:
    """Return the lowest and highest of a cloud of outline points at each azimuth."""
    outline = np.asarray(outer(np.column_stack([azimuth, elevation])))
    left, right = outline[:, 0].min(), outline[:, 0].max()
    turns = np.linspace(left, right, max(3, int((right - left) / SKY_STEP_DEG) + 2))
    low, high = np.full(len(turns), np.inf), np.full(len(turns), -np.inf)
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if abs(x1 - x0) < 1e-9:
            continue
        on = (turns >= min(x0, x1) - 1e-9) & (turns <= max(x0, x1) + 1e-9)
        heights = y0 + (y1 - y0) / (x1 - x0) * (turns[on] - x0)
        low[on], high[on] = np.minimum(low[on], heights), np.maximum(high[on], heights)
    return Silhouette(name, solid, turns, low, high)


def plan_shapes(scene: Scene, frame: Frame, way: Floats | None = None) -> tuple[Ground, ...]:
    """Return the obstacles on the plan, with their shadows if the sun is up.

    way  (3,) unit vector to the sun in (east, north, up); None or below the horizon: no shadows
    """
    shapes = []
    for name, solid, points in _bodies(scene):
        flat = np.asarray(outer(points[:, :2]))
        east, north = frame.world(flat[:, 0], flat[:, 1])
        shadow = np.zeros((0, 2))
        if way is not None and way[2] > 0.0:
            all_east, all_north = frame.world(points[:, 0], points[:, 1])
            reach = np.maximum(points[:, 2], 0.0) / way[2]
            shadow = np.asarray(
                outer(np.column_stack([all_east - reach * way[0], all_north - reach * way[1]]))
            )
        shapes.append(Ground(name, solid, np.column_stack([east, north]), shadow))
    return tuple(shapes)


def skyline_points(scene: Scene, step_deg: float = 2.0) -> tuple[Floats, Floats]:
    """Return azimuth and elevation of the far skyline all round [deg]."""
    turns = np.arange(0.0, 360.0 + step_deg, step_deg)
    return turns, skyline_deg(scene.skyline, turns)


def _bodies(scene: Scene) -> Iterator[tuple[str, bool, Floats]]:
    """Yield (name, opaque, points) whose hull is each shape, in the wall's axes."""
    for crown in scene.crowns:
        yield scene.names[crown.owner], False, crown_points(crown)
    for block in scene.blocks:
        yield scene.names[block.owner], False, _along_edges(np.asarray(block.corners))
    for solid in scene.solids:
        if solid.owner >= 0:
            yield scene.names[solid.owner], True, _along_edges(np.asarray(solid.corners))
    for board in scene.boards:
        yield scene.names[board.owner], True, _along_edges(np.asarray(board.corners))
    for pole in scene.poles:
        yield scene.names[pole.owner], True, _pole_points(pole)


def crown_points(crown: Crown) -> Floats:
    """Return points on a crown's outside, (k, 3) in the wall's axes."""
    tall = crown.tip_m - crown.base_m
    rise = np.linspace(0.0, max(0.0, crown.cut_m - crown.base_m), LEVELS)
    if crown.cone:
        wide = crown.radius_m * (1.0 - rise / tall)
    else:
        wide = crown.radius_m * np.sqrt(np.maximum(0.0, 1.0 - (2.0 * rise / tall - 1.0) ** 2))
    turn = np.linspace(0.0, 2.0 * math.pi, AROUND, endpoint=False)
    x = crown.middle[0] + wide[:, None] * np.cos(turn)
    y = crown.middle[1] + wide[:, None] * np.sin(turn)
    z = np.repeat(crown.base_m + rise, AROUND)
    return np.column_stack([x.ravel(), y.ravel(), z])


def _pole_points(pole: Pole) -> Floats:
    turn = np.linspace(0.0, 2.0 * math.pi, 8, endpoint=False)
    x = pole.middle[0] + 0.5 * pole.width_m * np.cos(turn)
    y = pole.middle[1] + 0.5 * pole.width_m * np.sin(turn)
    return np.concatenate([np.column_stack([x, y, np.full(8, z)]) for z in (pole.base_m, pole.top_m)])


def _along_edges(corners: Floats) -> Floats:
    """Return points along all lines between corners, for straight edges bend against the sky."""
    part = np.linspace(0.0, 1.0, EDGE_PARTS)[:, None]
    lines = [a + part * (b - a) for i, a in enumerate(corners) for b in corners[i + 1 :]]
    return np.concatenate(lines)


def outer(points: Floats) -> list[tuple[float, float]]:
    """Return the convex outline of points of a plane, in order.

    *Source*  monotone chain, Andrew 1979, Information Processing Letters 9, 216-219 (from memory)
    """
    rising = sorted({(float(x), float(y)) for x, y in points})
    if len(rising) < 3:
        return rising
    chains: list[list[tuple[float, float]]] = []
    for order in (rising, rising[::-1]):
        chain: list[tuple[float, float]] = []
        for point in order:
            while len(chain) > 1 and _left(chain[-2], chain[-1], point) <= 0.0:
                chain.pop()
            chain.append(point)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
