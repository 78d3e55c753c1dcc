"""A demo year against a compiled solar position of the whole year's minutes, the work of a well-known peer.

Peer: pvlib's NREL solar position algorithm compiled by numba, one thread, 525,600 instants.
"""

from __future__ import annotations

import warnings

import noonwall
from benchmarks.ratio import Ratio, best_of
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text

INSTANTS = 525_600


def peer_seconds() -> float:
    import pandas as pd
    from pvlib import solarposition

    warnings.simplefilter("ignore")
    minutes = pd.date_range("2001-01-01", periods=INSTANTS, freq="min", tz="Etc/GMT+5")

    def run() -> None:
        solarposition.spa_python(minutes, 46.1, -67.8, 150.0, how="numba", numthreads=1)

    run()
    return best_of(3, run)


def ratios() -> list[Ratio]:
    project = from_text(demo_text(), "demo")
    noonwall.simulate(project)
    five = best_of(3, lambda: noonwall.simulate(project, step_s=300))
    one = best_of(3, lambda: noonwall.simulate(project, step_s=60))
    peer = peer_seconds()
    return [
        Ratio("demo year, 5-minute steps / sun position of 525,600 min", five, peer, "s", at_most=0.5),
        Ratio("demo year, 1-minute steps / the same", one, peer, "s", at_most=2.0),
    ]
