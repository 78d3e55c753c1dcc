"""The cloudless sky: shapes for sharing out an hour's light, and cloud from the light that is left."""

from __future__ import annotations

import numpy as np

from noonwall.compiled import formula


@formula
def air_mass(elevation_deg: float) -> float:
    """Return the relative optical air mass [-].

    elevation_deg : float   apparent elevation of the sun [deg]
    *Source*     Kasten and Young 1989, Applied Optics 28, 4735
    *Valid*      0 to 90 degrees; below the horizon the value at the horizon is returned
    """
    seen = max(elevation_deg, 0.0)
    return float(1.0 / (np.sin(seen * np.pi / 180.0) + 0.50572 * (seen + 6.07995) ** -1.6364))


@formula
def clear_global(up: float) -> float:
    """Return the cloudless sky's light on the level [W/m²].

    up : float   sine of the sun's elevation [-]
    *Source*     Haurwitz 1945, as pvlib has it: 1098 cos z exp(-0.059 / cos z)
    *Valid*      any elevation; 0 when the sun is down
    """
    return float(1098.0 * up * np.exp(-0.059 / up)) if up > 1e-4 else 0.0


@formula
def clear_beam_share(elevation_deg: float) -> float:
    """Return the share of extraterrestrial beam that a cloudless sky lets through [-].

    elevation_deg : float   apparent elevation of the sun [deg]
    *Source*     Meinel and Meinel 1976: 0.7 ^ (air mass ^ 0.678) (from memory)
    *Valid*      0 to 90 degrees; 0 when the sun is down. Only its course within an hour is used.
    """
    return float(0.7 ** (air_mass(elevation_deg) ** 0.678)) if elevation_deg > 0.0 else 0.0


@formula
def cloud_from_clear_index(clear_index: float) -> float:
    """Return the share of the sky that clouds cover [-].

    clear_index : float   light on the level over that under a cloudless sky [-]
    *Source*     Kasten and Czeplak 1980, Solar Energy 24, 177: G / G_clear = 1 - 0.75 N^3.4, turned round
    *Valid*      0.25 (overcast) to 1; beyond, held to 0 and 1
    """
    dimmed = min(max((1.0 - clear_index) / 0.75, 0.0), 1.0)
    return float(dimmed ** (1.0 / 3.4))
