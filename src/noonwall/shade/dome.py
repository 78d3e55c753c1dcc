"""Patches of sky or ground as a surface sees them: directions with weights, for numerical integration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.record import Floats

RINGS, SPOKES = 28, 144
LEVEL_RINGS, LEVEL_SPOKES = 10, 36
BAND_DEG = 6.5
BAND_ROWS, BAND_COLUMNS = 4, 90


@dataclass(frozen=True)
class Patches:
    """Directions in the wall's axes and how much each counts; the weights sum to 1."""

    along: Floats  # (m,)
    out: Floats
    up: Floats
    weight: Floats


def plane_patches(axes: Floats, rings: int = RINGS, spokes: int = SPOKES) -> tuple[Patches, Patches]:
    """Return the sky and the ground before a plane as patches that each send it the same light.

    axes     (3, 3) rows u, v, w of the plane, unit vectors in the wall's axes, w off the plane
    Returns  (sky, ground), each with weights that sum to 1, or without patches when the plane sees none of it
    *Source* Nusselt's unit sphere: a direction's share of isotropic light is its area projected on the
             receiving plane (any radiation text, e.g. Howell, Menguc & Siegel) (from memory)
    """
    radius, turn = _disc(rings, spokes, 2.0 * np.pi)
    off = np.sqrt(1.0 - radius**2)
    ways = np.column_stack([radius * np.cos(turn), radius * np.sin(turn), off]) @ axes
    # Along the horizon itself rounding would decide; a level plane sees sky alone, an upright one halves.
    above = ways[:, 2] > 0.0
    return _even(ways[above]), _even(ways[~above])


def _even(ways: Floats) -> Patches:
    count = len(ways)
    return Patches(ways[:, 0], ways[:, 1], ways[:, 2], np.full(count, 1.0 / max(count, 1)))


def _disc(rings: int, spokes: int, whole: float) -> tuple[Floats, Floats]:
    ring = np.sqrt((np.arange(rings) + 0.5) / rings)
    spoke = whole * (np.arange(spokes) + 0.5) / spokes
    radius, turn = (part.ravel() for part in np.meshgrid(ring, spoke, indexing="ij"))
    return radius, turn


def band_patches(axes: Floats, rows: int = BAND_ROWS, columns: int = BAND_COLUMNS) -> Patches:
    """Return patches of the bright band along the horizon, weighted by their incidence on a plane.

    axes     as for ``plane_patches``
    *Source* band of 6.5 degrees above the horizon: Perez, Seals, Ineichen, Stewart & Menicucci 1987,
             Solar Energy 39, 221-231 (from memory)
    """
    rise = np.radians(BAND_DEG) * (np.arange(rows) + 0.5) / rows
    turn = 2.0 * np.pi * (np.arange(2 * columns) + 0.5) / (2 * columns)
    rise, turn = (part.ravel() for part in np.meshgrid(rise, turn, indexing="ij"))
    ways = np.column_stack([np.cos(rise) * np.sin(turn), np.cos(rise) * np.cos(turn), np.sin(rise)])
    weight = np.maximum(ways @ axes[2], 0.0) * np.cos(rise)
    before = weight > 0.0
    weight = weight[before] / weight.sum()
    return Patches(ways[before, 0], ways[before, 1], ways[before, 2], weight)
