"""Global light split into beam and diffuse where a file or a made year has only the sum."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
LOWEST_UP = 0.065  # sine of the elevation below which beam is not trusted: as pvlib's splits have it
LOW_SUN_UP = 0.0523  # 3 degrees: below, all light counts as diffuse


def diffuse_share(clearness: Floats) -> Floats:
    """Return the diffuse share of an hour's light on the level [-].

    clearness : shape (n,)   light over extraterrestrial light on the level [-]
    *Source*     Erbs, Klein and Duffie 1982, Solar Energy 28, 293, equation 1
    *Valid*      0 to 1
    """
    k = clearness
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.8, middle, 0.165))


def split_global(ghi: Floats, up: Floats, extra: Floats) -> tuple[Floats, Floats]:
    """Split light on the level into beam and diffuse.

    ghi : shape (n,)   light on the level [W/m²]
    up, extra : shape (n,)   sine of the sun's elevation [-], extraterrestrial light facing the sun [W/m²]
    Returns    beam facing the sun and diffuse on the level [W/m²], shape (n,) each; they add up to ghi
    *Source*   `diffuse_share`; with the sun below 3 degrees all light is taken as diffuse
    """
    level = extra * np.maximum(up, LOWEST_UP)
    diffuse = np.where(up > LOW_SUN_UP, diffuse_share(np.clip(ghi / level, 0.0, 1.0)), 1.0) * ghi
    beam = np.where(up > LOW_SUN_UP, (ghi - diffuse) / np.maximum(up, LOW_SUN_UP), 0.0)
    return beam, diffuse
