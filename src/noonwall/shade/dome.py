"""Patches of sky as a wall sees them: directions with weights, for numerical integration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.record import Floats

RINGS = 40
SPOKES = 96
BAND_DEG = 6.5
BAND_ROWS = 4
BAND_COLUMNS = 180


@dataclass(frozen=True)
class Patches:
    """Directions in the wall's axes and how much each counts; the weights sum to 1."""

    along: Floats  # (m,)
    out: Floats
    up: Floats
    weight: Floats


def sky_patches(rings: int = RINGS, spokes: int = SPOKES) -> Patches:
    """Return patches of the upper quarter sphere that each send a vertical wall the same light.

    The patches are equal areas of the half disc that the sky makes when projected on the wall.

    Source  Nusselt's unit sphere: a direction's share of isotropic light is its area projected on the
            receiving plane (any radiation text, e.g. Howell, Menguc & Siegel, view factors) (from memory)
    """
    ring = np.sqrt((np.arange(rings) + 0.5) / rings)
    spoke = np.pi * (np.arange(spokes) + 0.5) / spokes
    radius, turn = (part.ravel() for part in np.meshgrid(ring, spoke, indexing="ij"))
    weight = np.full(radius.shape, 1.0 / radius.size)
    return Patches(radius * np.cos(turn), np.sqrt(1.0 - radius**2), radius * np.sin(turn), weight)


def horizon_patches(rows: int = BAND_ROWS, columns: int = BAND_COLUMNS) -> Patches:
    """Return patches of the bright band along the horizon, weighted by their incidence on a vertical wall.

    Source  band of 6.5 degrees above the horizon: Perez, Seals, Ineichen, Stewart & Menicucci 1987,
            Solar Energy 39, 221-231 (from memory)
    """
    rise = np.radians(BAND_DEG) * (np.arange(rows) + 0.5) / rows
    turn = np.pi * ((np.arange(columns) + 0.5) / columns - 0.5)
    rise, turn = (part.ravel() for part in np.meshgrid(rise, turn, indexing="ij"))
    out = np.cos(rise) * np.cos(turn)
    weight = out * np.cos(rise)
    return Patches(np.cos(rise) * np.sin(turn), out, np.sin(rise), weight / weight.sum())
