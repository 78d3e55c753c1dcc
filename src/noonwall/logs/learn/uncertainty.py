"""How well the readings tell each parameter, with hours that resemble their neighbours counted as such."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats

NINETY = 1.6449  # standard deviations to each side that hold 90 % of a normal distribution
ALIKE = 0.85  # correlation from which two parameters are told to go together


@dataclass(frozen=True)
class Spread:
    """Standard deviations (parameters,) and correlations (parameters, parameters) on the search's axes."""

    sd: Floats
    alike: Floats

    def only(self, count: int, told: NDArray[np.bool_], before: Floats) -> Spread:
        """Return that of the first ``count``; what is not told keeps the spread it had beforehand."""
        return Spread(np.where(told, self.sd[:count], before), self.alike[:count, :count])


def told_of(jacobian: Floats, z: Floats, before: Floats, count: int, untold: float) -> NDArray[np.bool_]:
    """Return which of the first ``count`` axes the readings tell, shape (count,).

    jacobian : (lessons, axes)  slopes of the weighed differences;  z, before : (axes,)  end of the search, beliefs
    untold   spread over spread beforehand from which an axis is not told
    An axis is not told when its spread hardly shrank and its end lies within that spread of what was assumed. The
    least told is put back and held fast, then the others are asked anew: of several that can stand for each other
    those stay that are told once the rest is taken for granted.
    """
    free, z = np.ones(len(before), dtype=bool), z.copy()
    curvature = jacobian.T @ jacobian + np.diag(1.0 / before**2)
    while True:
        covariance = np.zeros_like(curvature)
        covariance[np.ix_(free, free)] = np.linalg.inv(curvature[np.ix_(free, free)])
        sd = np.sqrt(np.diag(covariance))
        share = np.where(np.abs(z) < sd, sd / before, 0.0)[:count]
        worst = int(np.argmax(share))
        if share[worst] < untold:
            return free[:count]
        z = z - covariance[:, worst] / covariance[worst, worst] * z[worst]
        free[worst] = False


def spread_of(jacobian: Floats, rest: Floats, before: Floats, block: NDArray[np.int64]) -> Spread:
    """Return the spread of the parameters at the end of a search.

    jacobian : (lessons, axes)  slopes of the weighed differences;  rest : (lessons,) those differences
    before   : (axes,)  spread beforehand;  block : (lessons,) stretch of days each belongs to
    Returns  the larger of two estimates, axis by axis: Laplace's, from the curvature at the end, and the one
             whose middle is the real scatter of the slopes' sums over whole stretches of days
    *Source* Huber 1967, Proc. 5th Berkeley Symp. 1, 221; Liang and Zeger 1986, Biometrika 73, 13 (both from
             memory): an estimate that stays true when neighbours are correlated in unknown ways
    """
    belief = np.diag(1.0 / before**2)
    curvature = jacobian.T @ jacobian + belief
    laplace = np.linalg.inv(curvature)
    number = block - block.min()
    sums = np.zeros((int(number.max()) + 1, jacobian.shape[1]))
    np.add.at(sums, number, jacobian * rest[:, None])
    stretches = len(np.unique(number))
    sums = sums - sums.sum(axis=0) / stretches * (np.bincount(number) > 0)[:, None]
    scatter = sums.T @ sums * stretches / max(stretches - 1, 1)
    robust = laplace @ (scatter + belief) @ laplace
    covariance = np.where(np.diag(robust) > np.diag(laplace), 1.0, 0.0)
    sd = np.sqrt(np.maximum(np.diag(laplace), np.diag(robust)))
    chosen = robust if covariance.mean() > 0.5 else laplace
    root = np.sqrt(np.diag(chosen))
    return Spread(np.minimum(sd, before), chosen / np.outer(root, root))
