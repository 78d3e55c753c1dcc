"""The ground in front of the wall: how much of it the wall sees, how much of that the sun and the sky reach.

*Departs*  The shop itself does not shade the ground here, as on the open site; obstacles reflect nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.receiver import Receiver

if TYPE_CHECKING:
    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats, Ints

OUT_EDGES_M = (0.0, 0.4, 0.9, 1.6, 2.6, 4.0, 6.0, 9.0, 14.0)
BESIDE_M = (1.5, 6.0)
FINE = 8
WHOLE_VIEW = 0.5  # view factor from an upright plane to endless level ground


def ground_receiver(frame: Frame) -> Receiver:
    """Return the level ground before the wall as a grid, each cell its own bin."""
    half = 0.5 * frame.width_m
    side = [half + more for more in BESIDE_M]
    edges_u = np.array([*(-s for s in reversed(side)), -0.5 * half, 0.5 * half, *side])
    edges_v = np.array(OUT_EDGES_M)
    columns, rows = (np.column_stack([e[:-1], e[1:]]) for e in (edges_u, edges_v))
    bins: Ints = np.arange(len(rows) * len(columns), dtype=np.int64).reshape(len(rows), len(columns))
    return Receiver(
        origin=np.zeros(3),
        axes=np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
        columns=columns,
        rows=rows,
        bins=bins,
        count=bins.size,
    )


def ground_weights(frame: Frame, strips: int, receiver: Receiver) -> Floats:
    """Return how much of the ground that each strip sees lies in each cell, shape (strips, cells).

    Each row sums to less than 1: the rest lies beyond the grid and counts as open.
    *Source*  view factor of two small areas: cos cos / (pi r²) dA, any radiation text
    """
    heights = frame.foot_m + frame.height_m * (np.arange(strips) + 0.5) / strips
    heights = np.maximum(heights, 0.05)
    starts = frame.width_m * (np.array([-0.4, -0.2, 0.0, 0.2, 0.4]))
    part = (np.arange(FINE) + 0.5) / FINE
    wide, deep = np.diff(receiver.columns)[:, 0], np.diff(receiver.rows)[:, 0]
    u = receiver.columns[:, :1] + wide[:, None] * part
    v = receiver.rows[:, :1] + deep[:, None] * part
    spot = wide[:, None] / FINE * deep[None, :] / FINE
    shape = (strips, len(starts), len(wide), FINE, len(deep), FINE)
    h = heights.reshape(-1, 1, 1, 1, 1, 1)
    across = u.reshape(1, 1, *u.shape, 1, 1) - starts.reshape(1, -1, 1, 1, 1, 1)
    out = v.reshape(1, 1, 1, 1, *v.shape)
    seen = np.broadcast_to(out * h / (np.pi * (across**2 + out**2 + h**2) ** 2), shape)
    factors = (seen.sum(axis=(3, 5)).mean(axis=1) * spot) / WHOLE_VIEW
    weights: Floats = factors.transpose(0, 2, 1).reshape(strips, -1)
    weights /= np.maximum(weights.sum(axis=1, keepdims=True), 1.0)
    return weights
