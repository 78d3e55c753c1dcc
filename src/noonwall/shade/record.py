"""What shading does to the wall, step by step and day by day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class WallShade:
    """Shares of each part of the sun that reach each horizontal strip of the wall; strip 0 is at the foot.

    Every share is relative to the same wall on an open site and is exactly 1 there; on an open site the
    arrays by step hold one row that stands for all.
    """

    beam_share: Floats  # (n or 1, strips) of the beam and the circumsolar part; 1 while no sun can come
    sky_view: Floats  # (days, strips) of the isotropic sky part
    horizon_view: Floats  # (days, strips) of the horizon band
    ground_share: Floats  # (n or 1, strips) of the ground-reflected light that comes from beam on the ground
    ground_sky: Floats  # (days, strips) of the ground-reflected light that comes from sky on the ground
    day: Ints  # (n,) row of the daily arrays for each step
