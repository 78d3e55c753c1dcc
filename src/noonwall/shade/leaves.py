"""How dense foliage is, so that a crown as a whole lets through the share of light that was measured."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

DENSEST = 60.0  # optical depth across a crown that stands for "lets nothing through"
_PLACES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_AT = 0.5 * (_PLACES + 1.0)
_COUNTS = 0.5 * _WEIGHTS


def egg_passes(depth: float) -> float:
    """Return the share of level light that an ellipsoid crown as a whole lets through.

    depth    optical depth along the longest level way, through its middle [-]
    Returns  mean of exp(-way) over its outline [-]
    *Source* Beer-Lambert law, averaged over the outline: way = longest times sqrt(1 - r²), r² even in area
    """
    if depth < 1e-6:
        return 1.0 - 2.0 / 3.0 * depth
    return 2.0 * (1.0 - (1.0 + depth) * math.exp(-depth)) / depth**2


def cone_passes(depth: float) -> float:
    """Return the share of level light that a cone crown as a whole lets through.

    depth    optical depth across its base [-]
    Returns  mean of exp(-way) over its triangular outline [-]
    *Source* Beer-Lambert law; a level cut is a disc, wide in proportion to the distance from the tip
    """
    width = _AT[:, None]
    way = width * np.sqrt(1.0 - _AT[None, :] ** 2)
    return float(2.0 * (_COUNTS[:, None] * _COUNTS[None, :] * width * np.exp(-depth * way)).sum())


@cache
def thickness(form: str, passes: float) -> float:
    """Return the optical depth across a crown that lets a share of level light through as a whole [-].

    form    "conifer" (cone) or "broadleaf" (ellipsoid);  passes  share of light [-]
    Returns depth along the longest level way; at most DENSEST
    """
    law = cone_passes if form == "conifer" else egg_passes
    if passes >= 1.0:
        return 0.0
    if passes <= law(DENSEST):
        return DENSEST
    low, high = 0.0, DENSEST
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if law(middle) > passes else (low, middle)
    return 0.5 * (low + high)


def thickness_per_m(passes: float, depth_m: float) -> float:
    """Return the light lost per metre of a closed stand that lets a share through its depth [1/m]."""
    return min(DENSEST, -math.log(max(passes, 1e-26))) / depth_m
