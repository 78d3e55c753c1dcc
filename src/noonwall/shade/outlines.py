"""Outlines for pictures: obstacles against the sky from a standpoint, and on the plan with their shadows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import repeat
from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import kernel
from noonwall.shade.cover import hull
from noonwall.shade.horizon import skyline_deg

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Crown, Pole, Scene

AROUND = 16
LEVELS = 7
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
    Returns            a silhouette for each shape; what lies behind the wall's plane is left out
    """
    eye = np.array([along_m, 0.0, height_m])
    found = []
    for name, solid, points in _bodies(scene):
        seen = points - eye
        if seen[:, 1].max() > NEAREST_M:
            seen[:, 1] = np.maximum(seen[:, 1], NEAREST_M)
            found.append(_silhouette(name, solid, seen, frame))
    return tuple(found)


def _silhouette(name: str, solid: bool, seen: Floats, frame: Frame) -> Silhouette:
    """Return the lowest and highest of a convex body at each azimuth, by upright cuts through the eye.

    seen  (k, 3) points whose hull the body is, from the eye, all before it
    """
    bearing = np.degrees(np.arctan2(seen[:, 0], seen[:, 1]))
    left, right = bearing.min(), bearing.max()
    turns = np.linspace(left, right, max(3, int((right - left) / SKY_STEP_DEG) + 2))
    aim = np.radians(turns)
    side = seen[:, :1] * np.cos(aim) - seen[:, 1:2] * np.sin(aim)
    ahead = seen[:, :1] * np.sin(aim) + seen[:, 1:2] * np.cos(aim)
    one, other = _edges(seen)
    apart = side[one] - side[other]
    crossed = (side[one] * side[other] <= 1e-9) & (np.abs(apart) > 1e-12)
    part = np.where(crossed, side[one] / np.where(crossed, apart, 1.0), 0.0)
    far = ahead[one] + part * (ahead[other] - ahead[one])
    high = seen[one, 2:] + part * (seen[other, 2:] - seen[one, 2:])
    rise = np.degrees(np.arctan2(high, far))
    low_deg = np.where(crossed, rise, np.inf).min(axis=0)
    high_deg = np.where(crossed, rise, -np.inf).max(axis=0)
    there = np.isfinite(low_deg)
    return Silhouette(name, solid, frame.azimuth_deg + turns[there], low_deg[there], high_deg[there])


def _edges(seen: Floats) -> tuple[Ints, Ints]:
    """Return the pairs of points between which a body's outline runs, as the eye sees it on an upright pane."""
    pane = seen[:, [0, 2]] / seen[:, 1:2]
    (around,) = outer(pane, np.array([0, len(pane)]))
    at = [int(np.argmin(np.abs(pane - corner).sum(axis=1))) for corner in around]
    return np.array(at, np.int64), np.roll(np.array(at, np.int64), -1)


class Plan:
    """The obstacles of a scene on the plan, ready to throw their shadows for one sun after the other."""

    def __init__(self, scene: Scene, frame: Frame) -> None:
        bodies = list(_bodies(scene))
        self.kinds = [(name, solid) for name, solid, _ in bodies]
        self.starts = np.cumsum([0, *(len(points) for _, _, points in bodies)])
        points = np.concatenate([np.zeros((0, 3)), *(points for _, _, points in bodies)])
        self.places = np.column_stack(frame.world(points[:, 0], points[:, 1]))
        self.heights = np.maximum(points[:, 2:], 0.0)
        self.footprints = outer(self.places, self.starts)

    def shapes(self, way: Floats | None = None) -> tuple[Ground, ...]:
        """Return footprints, with their shadows if the sun is up.

        way  (3,) unit vector to the sun in (east, north, up); None or below the horizon: no shadows
        """
        shadows = [np.zeros((0, 2))] * len(self.kinds)
        if way is not None and way[2] > 0.0:
            shadows = outer(self.places - self.heights / way[2] * way[:2], self.starts)
        return tuple(
            Ground(name, solid, footprint, shadow)
            for (name, solid), footprint, shadow in zip(self.kinds, self.footprints, shadows, strict=True)
        )


def skyline_points(scene: Scene, step_deg: float = 2.0) -> tuple[Floats, Floats]:
    """Return azimuth and elevation of the far skyline all round [deg]."""
    turns = np.arange(0.0, 360.0 + step_deg, step_deg)
    return turns, skyline_deg(scene.skyline, turns)


def _bodies(scene: Scene) -> Iterator[tuple[str, bool, Floats]]:
    """Yield (name, opaque, points) whose hull is each shape, in the wall's axes."""
    yield from zip((scene.names[c.owner] for c in scene.crowns), repeat(False), crown_points(scene.crowns))
    flat_sided = [(block.owner, False, block.corners) for block in scene.blocks]
    flat_sided += [(solid.owner, True, solid.corners) for solid in scene.solids if solid.owner >= 0]
    flat_sided += [(board.owner, True, board.corners) for board in scene.boards]
    for owner, opaque, corners in flat_sided:
        yield scene.names[owner], opaque, np.asarray(corners)
    yield from zip((scene.names[p.owner] for p in scene.poles), repeat(True), _pole_points(scene.poles))


def crown_points(crowns: Sequence[Crown]) -> Floats:
    """Return points on the outside of crowns, (crowns, points, 3) in the wall's axes."""
    table = np.array(
        [(*c.middle, c.base_m, c.tip_m - c.base_m, c.cut_m - c.base_m, c.radius_m, c.cone) for c in crowns]
    ).reshape(-1, 7)
    x, y, base, tall, cut, radius, cone = (column[:, None] for column in table.T)
    rise = np.maximum(cut, 0.0) * np.linspace(0.0, 1.0, LEVELS)
    egg = np.sqrt(np.maximum(0.0, 1.0 - (2.0 * rise / tall - 1.0) ** 2))
    wide = radius * np.where(cone > 0.0, 1.0 - rise / tall, egg)
    return _rings(x, y, wide, base + rise, AROUND)


def _pole_points(poles: Sequence[Pole]) -> Floats:
    table = np.array([(*p.middle, p.base_m, p.top_m, 0.5 * p.width_m) for p in poles]).reshape(-1, 5)
    x, y, wide = table[:, :1], table[:, 1:2], table[:, 4:5]
    return _rings(x, y, np.hstack([wide, wide]), table[:, 2:4], 8)


def _rings(x: Floats, y: Floats, wide: Floats, high: Floats, around: int) -> Floats:
    """Return the points of level rings: x, y (m, 1), radius and height (m, k) -> (m, k * around, 3)."""
    turn = np.linspace(0.0, 2.0 * math.pi, around, endpoint=False)
    points = np.empty((*wide.shape, around, 3))
    points[..., 0] = x[:, :, None] + wide[:, :, None] * np.cos(turn)
    points[..., 1] = y[:, :, None] + wide[:, :, None] * np.sin(turn)
    points[..., 2] = high[:, :, None]
    return points.reshape(len(wide), wide.shape[1] * around, 3)


def outer(points: Floats, starts: Ints) -> list[Floats]:
    """Return the convex outlines of clouds of points of a plane that lie one after the other.

    points  (n, 2);  starts  (clouds + 1,) where each cloud begins, and the end
    Returns (k, 2) in order for each cloud
    """
    corners, counts = np.zeros((len(points) + 2 * len(starts), 2)), np.zeros(len(starts) - 1, np.int64)
    _hulls(points, starts, corners, counts)
    return [
        corners[first + 2 * i :][:count] for i, (first, count) in enumerate(zip(starts, counts, strict=False))
    ]


@kernel
def _hulls(points: Floats, starts: Ints, corners: Floats, counts: Ints) -> None:
    most = 0
    for i in range(len(counts)):
        most = max(most, starts[i + 1] - starts[i])
    cloud, line, order = np.zeros((most, 2)), np.zeros((2 * most + 2, 2)), np.zeros(most, np.int64)
    for i in range(len(counts)):
        size = starts[i + 1] - starts[i]
        for k in range(size):
            cloud[k, 0], cloud[k, 1] = points[starts[i] + k, 0], points[starts[i] + k, 1]
        counts[i] = hull(cloud, size, order, line)
        for k in range(counts[i]):
            corners[starts[i] + 2 * i + k, 0], corners[starts[i] + 2 * i + k, 1] = line[k, 0], line[k, 1]
