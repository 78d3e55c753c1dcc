"""Random numbers that are the same on every machine and with every version of the libraries."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Draws:
    """A seeded stream; built on the raw bits of PCG64, whose order numpy promises to keep."""

    def __init__(self, seed: int, stream: int) -> None:
        """Open a stream of a seed; different streams of one seed are independent."""
        self._bits = np.random.PCG64(np.random.SeedSequence([abs(int(seed)), stream]))

    def uniform(self, count: int) -> Floats:
        """Return numbers strictly between 0 and 1, shape (count,)."""
        raw = np.asarray(self._bits.random_raw(count), dtype=np.uint64)
        return np.asarray(((raw >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53)

    def normal(self, count: int) -> Floats:
        """Return numbers of the normal distribution, shape (count,)."""
        inverse = NormalDist().inv_cdf
        return np.array([inverse(u) for u in self.uniform(count).tolist()])


def persistent(shocks: Floats, memory: float) -> Floats:
    """Return a first-order autoregressive series of unit spread from independent shocks.

    shocks : shape (n,)   independent, unit normal;  memory : float   correlation from one to the next [-]
    Returns  shape (n,)   z[i] = memory z[i-1] + sqrt(1 - memory²) shocks[i]
    """
    fresh = (1.0 - memory * memory) ** 0.5
    series = np.empty(len(shocks))
    last = shocks[0]
    series[0] = last
    for i in range(1, len(shocks)):
        last = memory * last + fresh * shocks[i]
        series[i] = last
    return series
