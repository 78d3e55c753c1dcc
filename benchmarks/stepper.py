"""The compiled stepping against scipy's stiff integrator, per simulated day.

Peer: scipy.integrate.solve_ivp (BDF) on an independent right-hand side of the same equations
(noonwall.engine.reference), restarted at every step of the weather and at every switch event.
"""

from __future__ import annotations

import numpy as np

from benchmarks.ratio import Ratio, best_of
from noonwall.climate.load import load_weather
from noonwall.engine.reference import integrate
from noonwall.engine.simulate import begin, build_case, copy_state, run, surroundings
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text

STEP_S = 300
DAY_STEPS = 86400 // STEP_S


def ratios() -> list[Ratio]:
    """Take the January day with the most sun: fans run, air flows both ways."""
    project = from_text(demo_text(), "demo")
    around = surroundings(project, load_weather(project, "."), STEP_S)
    case = build_case(project, around)
    january = around.plane.beam[: 31 * DAY_STEPS].reshape(31, DAY_STEPS).sum(axis=1)
    first = int(np.argmax(january)) * DAY_STEPS
    state = begin(case)
    run(case, state, 0, first)
    ours = best_of(9, lambda: run(case, copy_state(state), first, first + DAY_STEPS, keep=False))
    peer = best_of(1, lambda: integrate(case, copy_state(state), first, first + DAY_STEPS))
    return [Ratio("one sunny day, compiled steps / scipy BDF", ours, peer, "s", at_least=200.0)]
