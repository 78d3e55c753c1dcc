"""Solid layers cut into cells: the nodes of a build-up and what joins them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.engine.numbers import Floats
    from noonwall.model.layers import SolidLayer

CELL_S = 100.0  # a cell's own time constant aimed at: well below the time step
MOST_CELLS = 3
LEAST_R_M2K_W = 1e-4


class Chain(NamedTuple):
    """Nodes at the faces of cells; half a cell's heat sits at each of its two nodes."""

    capacity: Floats  # (n,) J/m2K
    joined: Floats  # (n-1,) W/m2K
    last_of_layer: tuple[int, ...]  # node at the far face of each layer


def cells_of(layer: SolidLayer) -> int:
    """How many cells a layer is cut into, by its time constant R x C."""
    spread = layer.resistance_m2k_w * layer.heat_capacity_j_m2k
    return min(MOST_CELLS, max(1, math.ceil(math.sqrt(spread / CELL_S))))


def chain_of(layers: Sequence[SolidLayer]) -> Chain:
    """Cut layers, first to last, into a chain of nodes."""
    capacity, joined, ends = [0.0], [], []
    for layer in layers:
        cells = cells_of(layer)
        resistance = max(layer.resistance_m2k_w, LEAST_R_M2K_W) / cells
        half = 0.5 * layer.heat_capacity_j_m2k / cells
        for _ in range(cells):
            capacity[-1] += half
            capacity.append(half)
            joined.append(1.0 / resistance)
        ends.append(len(capacity) - 1)
    return Chain(np.array(capacity), np.array(joined), tuple(ends))


class TwoNodes(NamedTuple):
    """A build-up as an outer and an inner store; films included, per square metre."""

    out_w_m2k: float
    mid_w_m2k: float
    in_w_m2k: float
    outer_capacity: float
    inner_capacity: float


def two_nodes(layers: Sequence[SolidLayer], outside_film_r: float, inside_film_r: float) -> TwoNodes:
    """Gather a build-up's heat at two places, the centres of its outer and inner half (by resistance).

    Source  lumping by the centre of heat capacity; holds the steady U exactly
    """
    total = max(sum(layer.resistance_m2k_w for layer in layers), LEAST_R_M2K_W)
    depth = 0.0
    outer = [0.0, 0.0]
    inner = [0.0, 0.0]
    for layer in layers:
        slices = 20
        for s in range(slices):
            at = depth + (s + 0.5) / slices * layer.resistance_m2k_w
            side = outer if at < 0.5 * total else inner
            side[0] += layer.heat_capacity_j_m2k / slices
            side[1] += layer.heat_capacity_j_m2k / slices * at
        depth += layer.resistance_m2k_w
    x_outer = outer[1] / outer[0] if outer[0] > 0.0 else 0.1 * total
    x_inner = inner[1] / inner[0] if inner[0] > 0.0 else 0.9 * total
    return TwoNodes(
        1.0 / (outside_film_r + x_outer),
        1.0 / max(x_inner - x_outer, LEAST_R_M2K_W),
        1.0 / (inside_film_r + total - x_inner),
        outer[0],
        inner[0],
    )
