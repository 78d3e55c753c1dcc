"""The far skyline: elevation by azimuth, joined by straight lines, going round."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.record import Flags, Floats

Skyline = tuple[tuple[float, float], ...]


def skyline_deg(pairs: Skyline, azimuth_deg: Floats) -> Floats:
    """Return the skyline's elevation at each azimuth.

    pairs        (azimuth, elevation) in degrees, rising azimuth, north clockwise; empty: a flat horizon
    azimuth_deg  any shape [deg]
    Returns      same shape [deg]; linear between pairs, across north too
    """
    if not pairs:
        return np.zeros_like(azimuth_deg)
    points = np.asarray(pairs, dtype=np.float64)
    return np.interp(azimuth_deg, points[:, 0], points[:, 1], period=360.0)


def below_skyline(pairs: Skyline, east: Floats, north: Floats, up: Floats) -> Flags:
    """Return whether a climbing direction (unit vector) is hidden by the skyline; shapes pass through."""
    azimuth = np.degrees(np.arctan2(east, north)) % 360.0
    elevation = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    return (up > 0.0) & (elevation < skyline_deg(pairs, azimuth))
