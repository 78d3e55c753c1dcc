"""How far it is from one place to another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.units import System

KM_PER_MILE = 1.609344  # by definition


def distance_km(lat1_deg: float, lon1_deg: float, lat2_deg: float, lon2_deg: float) -> float:
    """Return the distance between two places along the earth's surface [km].

    lat1_deg, lon1_deg, lat2_deg, lon2_deg   north and east positive [deg]
    *Source*  great circle (haversine) on a sphere of 6371 km
    """
    lat1, lat2 = np.radians(lat1_deg), np.radians(lat2_deg)
    half = (
        np.sin(0.5 * (lat2 - lat1)) ** 2
        + np.cos(lat1) * np.cos(lat2) * np.sin(0.5 * np.radians(lon2_deg - lon1_deg)) ** 2
    )
    return float(2.0 * 6371.0 * np.arcsin(np.sqrt(min(half, 1.0))))


def away_text(km: float, system: System) -> str:
    """Return a distance between places for reading.

    >>> away_text(92.0, "metric"), away_text(92.0, "us")
    ('92 km', '57 miles')
    """
    return f"{km / KM_PER_MILE:,.0f} miles" if system == "us" else f"{km:,.0f} km"
