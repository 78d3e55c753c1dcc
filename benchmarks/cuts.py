"""Ranking the cuts of forty obstacles over the demo's year, and what tracing only what changed spares.

Wanted: under 20 s on two cores. Peer of the second line: the same shade traced from the beginning.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from benchmarks.ratio import Ratio, best_of
from noonwall.climate.load import load_weather
from noonwall.model.file import from_text
from noonwall.model.obstacle import Tree
from noonwall.model.templates import demo_text
from noonwall.shade.frame import Frame
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in
from noonwall.studies.mended import Change, Known
from noonwall.studies.runner import processors
from noonwall.studies.trees import kinds, rank_cuts
from noonwall.studies.trial import STRIPS, Trial

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project

OBSTACLES = 40
WANTED_S = 20.0
STEP_S = 900


def forty() -> Project:
    """Return the demo with trees added all round the wall's half of the sky until there are forty obstacles."""
    project = from_text(demo_text())
    trees = []
    for number in range(OBSTACLES - len(kinds(project))):
        turn = math.radians(100.0 + 155.0 * (number * 0.618034 % 1.0))
        away = 26.0 + 34.0 * (number * 0.414214 % 1.0)
        tree = Tree(
            name=f"spruce {number + 1}", species="spruce", height_m=10.0, crown_width_m=4.0 + number % 3
        )
        place = {"east_m": away * math.sin(turn), "north_m": away * math.cos(turn)}
        trees.append(tree.model_copy(update={**place, "height_m": 10.0 + 10.0 * (number * 0.732051 % 1.0)}))
    return project.model_copy(update={"obstacles": (*project.obstacles, *trees)})


def ratios() -> list[Ratio]:
    project = forty()
    weather = load_weather(project, ".")
    rank_cuts(from_text(demo_text()), weather, step_s=3600)
    found = []
    seconds = best_of(2, lambda: found.append(rank_cuts(project, weather)))
    cuts = found[0]
    what = f"{len(cuts.costs)} obstacles ranked, {cuts.runs} years, {processors()} cores (wanted)"
    return [Ratio(what, seconds, WANTED_S, "s", at_most=1.0), _mended(project, weather)]


def _mended(project: Project, weather: Weather) -> Ratio:
    trial, scene = Trial(project, weather, STEP_S), scene_of(project)
    known, frame, course = Known(scene), Frame.of(project.wall), trial.around.course
    shade_in(scene, frame, course, STRIPS, known.tracer)
    after, change = scene.without(["fir 1"]), Change(known, ["fir 1"])

    def mended() -> None:
        shade_in(after, frame, course, STRIPS, change.tracer)

    mended()
    ours, peer = best_of(3, mended), best_of(3, lambda: shade_in(after, frame, course, STRIPS))
    return Ratio("shade of a year with one tree gone (traced anew)", ours, peer, "s", at_least=2.0)
