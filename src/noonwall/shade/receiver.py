"""A flat grid of cells that receives light, and the scene's shapes turned into its axes as arrays.

The receiver's axes: ``u`` and ``v`` lie in the plane, ``w`` points off it, to the side the light comes from.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Corners, Scene

MOST_SPANS = 32  # separate dark stretches kept for a row; shadows beyond are taken off one by one
NEAR_M = 1e-6
AXES = 3


@dataclass(frozen=True)
class Receiver:
    """A grid of rectangular cells on a plane, each counted into one bin."""

    origin: Floats  # (3,) in the wall's axes [m]
    axes: Floats  # (3, 3) rows u, v, w, unit vectors in the wall's axes
    columns: Floats  # (c, 2) edges along u [m]
    rows: Floats  # (r, 2) edges along v [m]
    bins: Ints  # (r, c) which bin a cell is counted into
    count: int  # bins


class Shapes(NamedTuple):
    """All shapes in a receiver's axes, ready for the kernel."""

    upright: Floats  # (3,) the wall's up direction
    crowns: Floats  # (m, 8) u, v, w of the base; base to tip; base to cut; radius; cone; wholly ahead
    poles: Floats  # (p, 7) base u, v, w; top u, v, w; width
    boards: Floats  # (q, most, 3) corners in order
    board_sizes: Ints  # (q,) corners in use
    solids: Floats  # (s, most, 3) corners
    solid_sizes: Ints  # (s,)
    blocks: Floats  # (b, most, 3) corners
    block_sizes: Ints  # (b, 2) corners and planes in use
    planes: Floats  # (b, 12, 4)
    board_bounds: Floats  # (q, 6) least and most u, v, w of each board
    solid_bounds: Floats  # (s, 6)
    block_bounds: Floats  # (b, 6)
    slope: Floats  # (4,) normal of the sloping ground in the receiver's axes; 1 if there is one


class Bench(NamedTuple):
    """Room for the kernel to work in, so that it allocates nothing; every row clear at rest."""

    depth: Floats  # (r, c) optical depth
    clear: Floats  # (r, c) share of light left
    celled: Ints  # (r,) 1 where ``clear`` of the row has been touched
    spans: Floats  # (r, MOST_SPANS, 2) dark stretches
    used: Ints  # (r,) how many there are
    points: Floats  # (most corners, 2)
    corners: Floats  # (2 most corners + 2, 2)
    order: Ints  # (most corners,)
    middles_v: Floats  # (r,) middles of the rows
    portion: Floats  # (r, c) each cell's part of the area of its bin
    row_portion: Floats  # (r,) each row's part of the area of its bin
    row_bin: Ints  # (r,) the bin that all cells of the row are counted into; -1 if there is more than one


class Thick(NamedTuple):
    """What changes with the season, a row a state."""

    crowns: Floats  # (states, m) light lost per metre of way [1/m]
    blocks: Floats  # (states, b)
    boards: Floats  # (states, q) share of light stopped


def wall_receiver(frame: Frame, strips: int, rows: int, columns: int) -> Receiver:
    """Return the glazing as a grid whose bins are its horizontal strips, the lowest first.

    rows, columns  cells; rows must be a multiple of strips
    """
    edges_u = np.linspace(-0.5 * frame.width_m, 0.5 * frame.width_m, columns + 1)
    edges_v = np.linspace(0.0, frame.height_m, rows + 1)
    bins = np.repeat(np.arange(rows) * strips // rows, columns).reshape(rows, columns)
    return Receiver(
        origin=np.array([0.0, 0.0, frame.foot_m]),
        axes=np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]]),
        columns=_pairs(edges_u),
        rows=_pairs(edges_v),
        bins=bins.astype(np.int64),
        count=strips,
    )


def _pairs(edges: Floats) -> Floats:
    return np.column_stack([edges[:-1], edges[1:]])


def shapes_before(scene: Scene, receiver: Receiver) -> Shapes:
    """Return the scene in a receiver's axes; what lies behind its plane is left out or cut off."""
    turn, origin = receiver.axes, receiver.origin
    upright = turn[:, 2].copy()

    def seen(points: Corners) -> Floats:
        return (np.asarray(points, dtype=np.float64) - origin) @ turn.T

    crowns = np.zeros((len(scene.crowns), 8))
    for i, crown in enumerate(scene.crowns):
        crowns[i, :3] = seen(((*crown.middle, crown.base_m),))[0]
        crowns[i, 3:7] = (
            crown.tip_m - crown.base_m, crown.cut_m - crown.base_m, crown.radius_m, float(crown.cone),
        )  # fmt: skip
        reach = max(crown.radius_m, crown.tip_m - crown.base_m)
        crowns[i, 7] = float(crowns[i, 2] > reach)
    poles = np.zeros((len(scene.poles), 7))
    for i, pole in enumerate(scene.poles):
        poles[i, :6] = seen(((*pole.middle, pole.base_m), (*pole.middle, pole.top_m))).ravel()
        poles[i, 6] = pole.width_m
    boards = [_cut_flat(seen(board.corners)) for board in scene.boards]
    solids = [_cut_body(seen(solid.corners)) for solid in scene.solids]
    blocks = [_cut_body(seen(block.corners)) for block in scene.blocks]
    planes = np.zeros((len(scene.blocks), 12, 4))
    for i, block in enumerate(scene.blocks):
        sides = np.asarray(block.planes)
        planes[i, : len(sides), :3] = sides[:, :3] @ turn.T
        planes[i, : len(sides), 3] = sides[:, 3] - sides[:, :3] @ origin
    slope = np.zeros(4)
    if scene.slope is not None:
        slope[:3] = turn @ np.array([-scene.slope[0], -scene.slope[1], 1.0])
        slope[3] = 1.0
    return Shapes(
        upright=upright,
        crowns=crowns,
        poles=poles,
        boards=_padded(boards),
        board_sizes=np.array([len(b) for b in boards], np.int64),
        solids=_padded(solids),
        solid_sizes=np.array([len(s) for s in solids], np.int64),
        blocks=_padded(blocks),
        block_sizes=np.array(
            [(len(b), len(d.planes)) for b, d in zip(blocks, scene.blocks, strict=True)], np.int64
        ).reshape(-1, 2),
        planes=planes,
        slope=slope,
        board_bounds=_bounds(boards),
        solid_bounds=_bounds(solids),
        block_bounds=_bounds(blocks),
    )


def bench_for(shapes: Shapes, receiver: Receiver) -> Bench:
    """Return room to work out the light on a receiver past some shapes."""
    columns, rows, bins = receiver.columns, receiver.rows, receiver.bins
    most = max(shapes.boards.shape[1], shapes.solids.shape[1], shapes.blocks.shape[1], 4)
    area = (rows[:, 1] - rows[:, 0])[:, None] * (columns[:, 1] - columns[:, 0])[None, :]
    portion = area / np.bincount(bins.ravel(), area.ravel(), receiver.count)[bins]
    return Bench(
        depth=np.zeros(bins.shape),
        clear=np.ones(bins.shape),
        celled=np.zeros(len(rows), np.int64),
        spans=np.zeros((len(rows), MOST_SPANS, 2)),
        used=np.zeros(len(rows), np.int64),
        points=np.zeros((most, 2)),
        corners=np.zeros((2 * most + 2, 2)),
        order=np.zeros(most, np.int64),
        middles_v=0.5 * (rows[:, 0] + rows[:, 1]),
        portion=portion,
        row_portion=portion.sum(axis=1),
        row_bin=np.where((bins == bins[:, :1]).all(axis=1), bins[:, 0], -1),
    )


def _bounds(bodies: list[Floats]) -> Floats:
    table = np.zeros((len(bodies), 2 * AXES))
    for i, body in enumerate(bodies):
        if len(body):
            table[i, 0::2], table[i, 1::2] = body.min(axis=0), body.max(axis=0)
    return table


def _padded(bodies: list[Floats]) -> Floats:
    most = max((len(body) for body in bodies), default=1)
    table = np.zeros((len(bodies), max(most, 1), AXES))
    for i, body in enumerate(bodies):
        table[i, : len(body)] = body
    return table


def _cut_flat(corners: Floats) -> Floats:
    """Return the part of a flat outline that lies before the plane w = 0, in order; empty if none does."""
    kept = []
    for here, there in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if here[2] >= NEAR_M:
            kept.append(here)
        if (here[2] >= NEAR_M) != (there[2] >= NEAR_M):
            kept.append(here + (there - here) * (NEAR_M - here[2]) / (there[2] - here[2]))
    return np.asarray(kept).reshape(-1, AXES)


def _cut_body(corners: Floats) -> Floats:
    """Return corners whose hull is the part of a convex body before the plane w = 0."""
    ahead = corners[:, 2] >= NEAR_M
    kept = list(corners[ahead])
    for near in corners[~ahead]:
        kept += [near + (far - near) * (NEAR_M - near[2]) / (far[2] - near[2]) for far in corners[ahead]]
    return np.asarray(kept).reshape(-1, AXES)


def thick_of(scene: Scene, states: Floats) -> Thick:
    """Return densities and opacities for each state of the season.

    states  (n, seasons + hangings) rows of ``Scene.calendar``
    """
    count, seasons = len(states), len(scene.seasons)

    def foliage(season: int, bare: float, leaf: float) -> Floats:
        share = states[:, season] if season >= 0 else np.ones(count)
        return bare + share * (leaf - bare)

    crowns = [foliage(c.season, c.thick_bare, c.thick_leaf) for c in scene.crowns]
    blocks = [foliage(b.season, b.thick_bare, b.thick_leaf) for b in scene.blocks]
    boards = [
        b.stops * (states[:, seasons + b.hung] if b.hung >= 0 else np.ones(count)) for b in scene.boards
    ]
    return Thick(*(_columns(part, count) for part in (crowns, blocks, boards)))


def _columns(parts: list[Floats], count: int) -> Floats:
    return np.ascontiguousarray(np.column_stack(parts)) if parts else np.zeros((count, 0))
