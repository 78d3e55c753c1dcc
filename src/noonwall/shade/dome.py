"""Patches of sky or ground as a surface sees them: directions with weights, for numerical integration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.record import Floats

RINGS, SPOKES = 28, 72
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


def sky_patches(rings: int = RINGS, spokes: int = SPOKES) -> Patches:
    """Return patches of the upper quarter sphere that each send an upright wall the same light.

    The patches are equal areas of the half disc that the sky makes when projected on the wall.

    *Source*  Nusselt's unit sphere: a direction's share of isotropic light is its area projected on the
              receiving plane (any radiation text, e.g. Howell, Menguc & Siegel) (from memory)
    """
    radius, turn = _disc(rings, spokes, np.pi)
    weight = np.full(radius.shape, 1.0 / radius.size)
    return Patches(radius * np.cos(turn), np.sqrt(1.0 - radius**2), radius * np.sin(turn), weight)


def ground_patches(rings: int = RINGS // 2, spokes: int = SPOKES // 2) -> Patches:
    """Return the same for the lower quarter sphere."""
    sky = sky_patches(rings, spokes)
    return Patches(sky.along, sky.out, -sky.up, sky.weight)


def level_patches(rings: int = LEVEL_RINGS, spokes: int = LEVEL_SPOKES) -> Patches:
    """Return patches of the whole sky that each send level ground the same light."""
    radius, turn = _disc(rings, spokes, 2.0 * np.pi)
    weight = np.full(radius.shape, 1.0 / radius.size)
    return Patches(radius * np.cos(turn), radius * np.sin(turn), np.sqrt(1.0 - radius**2), weight)


def _disc(rings: int, spokes: int, whole: float) -> tuple[Floats, Floats]:
    ring = np.sqrt((np.arange(rings) + 0.5) / rings)
    spoke = whole * (np.arange(spokes) + 0.5) / spokes
    radius, turn = (part.ravel() for part in np.meshgrid(ring, spoke, indexing="ij"))
    return radius, turn


def horizon_patches(rows: int = BAND_ROWS, columns: int = BAND_COLUMNS) -> Patches:
    """Return patches of the bright band along the horizon, weighted by their incidence on an upright wall.

    *Source*  band of 6.5 degrees above the horizon: Perez, Seals, Ineichen, Stewart & Menicucci 1987,
              Solar Energy 39, 221-231 (from memory)
    """
    rise = np.radians(BAND_DEG) * (np.arange(rows) + 0.5) / rows
    turn = np.pi * ((np.arange(columns) + 0.5) / columns - 0.5)
    rise, turn = (part.ravel() for part in np.meshgrid(rise, turn, indexing="ij"))
    out = np.cos(rise) * np.cos(turn)
    weight = out * np.cos(rise)
    return Patches(np.cos(rise) * np.sin(turn), out, np.sin(rise), weight / weight.sum())
