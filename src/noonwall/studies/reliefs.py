"""What lowers the temperatures of the worst hours, each calculated: as the wall is described, and in its worst case."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.pieces import FRAME, STUDS, pieces_of
from noonwall.engine.inside import simulate_inside
from noonwall.engine.schedule import in_stretches
from noonwall.model.layers import Layer
from noonwall.studies.failures import ALL_YEAR, failed
from noonwall.studies.remedies import (
    changed,
    cover_season,
    covered,
    made,
    room_limits,
    vented_out,
    without_room_limit,
)
from noonwall.studies.runner import Tell, silent, together
from noonwall.studies.worst import STEP_S

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.assess.hot import CaseHeat
    from noonwall.engine.inside import Inside
    from noonwall.model.cases import Case
    from noonwall.model.openings import VentRow
    from noonwall.model.project import Project
    from noonwall.studies.worst import WorstYear

WOOL_M = 0.0254
METAL, CLEAR, WOOL, COVER, VENT, TALL, NO_LIMIT = (
    "frame and studs of sheet metal",
    "nothing can stand before the vents",
    "mineral wool between absorber and studs",
    "cover hung, on days without need of heat",
    "gap open to outdoors, foot and top",
    "vents twice as high",
    "no room limit on the fans",
)
SEASONAL = (COVER, VENT)  # help only while they hang or stand open, and cost the heat of those days
GONE_K = 1000.0  # counts for a piece of wood that is no longer there


@dataclass(frozen=True)
class Heat:
    """The hottest hour of what matters in one case; None for a piece that is not there or does not burn."""

    face_c: float
    frame_c: float | None
    studs_c: float | None


@dataclass(frozen=True)
class Relief:
    """One thing a builder can do, and how hot it leaves the wall."""

    name: str
    described: Heat  # with everything working
    worst: Heat  # in the case that is hottest without it


@dataclass(frozen=True)
class Reliefs:
    """What lowers a wall's hottest hours, and what they are without."""

    described: Heat
    worst: Heat
    worst_case: Case  # the hottest one
    ways: tuple[Relief, ...]  # most effective first, but last what would cost heat while it is wanted


def relief_runs(project: Project) -> int:
    """Return how many runs `relieved` takes."""
    return 2 * len(_ways(project))


def relieved(project: Project, cases: tuple[CaseHeat, ...], worst: WorstYear, tell: Tell = silent) -> Reliefs:
    """Return what each relief leaves of a wall's hottest hours, as described and in the hottest case.

    project  with its cover on dates;  cases  of the worst credible days, as described first;  worst  those days
    """
    hottest = max(cases, key=lambda one: max(heat.hottest_c for heat in one.pieces))
    before = _of_case(cases[0]), _of_case(hottest)
    ways, both = _ways(project), (cases[0].case, hottest.case)
    runs = together([_job(way, worst, case, studs) for _, way, studs in ways for case in both], tell)
    found = _without_runs(cases, hottest.case, before)
    for (name, _, _), described, broken in zip(ways, runs[::2], runs[1::2], strict=True):
        if described is not None and broken is not None:
            found.append(Relief(name, described, broken))
    late = outside_season(project, {cases[0].worst_month, hottest.worst_month})
    ordered = sorted(found, key=lambda one: (late and one.name in SEASONAL, -_gain(one, before)))
    return Reliefs(*before, hottest.case, tuple(ordered))


def _without_runs(cases: tuple[CaseHeat, ...], worst: Case, before: tuple[Heat, Heat]) -> list[Relief]:
    """Return the reliefs that the cases themselves tell: a frame of metal, vents that stay free."""
    found: list[Relief] = []
    if before[0].frame_c is not None or before[0].studs_c is not None:
        found.append(Relief(METAL, *(Heat(heat.face_c, None, None) for heat in before)))
    others = [one for one in cases if one.case != "vents blocked"]
    if worst == "vents blocked" and others:
        next_worst = max(others, key=lambda one: max(heat.hottest_c for heat in one.pieces))
        found.append(Relief(CLEAR, before[0], _of_case(next_worst)))
    return found


def _ways(project: Project) -> list[tuple[str, Project, int]]:
    """Return (name, changed project, layer behind the absorber whose hot face the studs touch)."""
    wall, rows = project.wall, taller_rows(project)
    ways = [
        (COVER, covered(project, ALL_YEAR), 0),
        (VENT, vented_out(project, ALL_YEAR), 0),
        (TALL, changed(project, wall=changed(wall, vents=changed(wall.vents, **rows))), 0),
    ]
    if wall.backing and wall.absorber.arrangement != "air behind":
        wool = made(Layer, material="mineral wool", thickness_m=WOOL_M)
        ways.append((WOOL, changed(project, wall=changed(wall, backing=(wool, *wall.backing))), 1))
    if project.fans and room_limits(project):
        ways.append((NO_LIMIT, without_room_limit(project), 0))
    return ways


def taller_rows(project: Project) -> dict[str, VentRow]:
    """Return the wall's rows of vents, twice as high where the wall has the room."""
    vents, most = project.wall.vents, 0.45 * project.wall.height_m
    rows = (("top", vents.top), ("bottom", vents.bottom))
    return {name: changed(row, height_m=min(2.0 * row.height_m, most)) for name, row in rows}


def outside_season(project: Project, months: set[int]) -> bool:
    """Return whether any of these months has its middle outside the days on which a cover hangs."""
    middles = np.array([f"2001-{month:02d}-15" for month in months], dtype="datetime64[s]")
    return not in_stretches(middles, cover_season(project)).all()


def relief_changes(name: str, project: Project) -> tuple[str, ...]:
    """Return what puts a relief into a project, as `studies.change` reads it; nothing where no key makes it.

    Wool has none: a project takes its studs to touch the absorber.
    """
    rows = taller_rows(project).items()
    known = {
        METAL: ("metal frame",),
        NO_LIMIT: ("room limit=none",),
        TALL: tuple(f"wall.vents.{row}.height={1000.0 * vent.height_m:.0f} mm" for row, vent in rows),
    }
    return known.get(name, ())


def _job(project: Project, worst: WorstYear, case: Case, studs: int) -> Callable[[], Heat | None]:
    """Return a job that finds how hot a changed wall gets in a case; None where the case means nothing to it."""

    def run() -> Heat | None:
        chosen = {name: (broken, power) for name, broken, power in failed(project)[0]}
        if case not in chosen:
            return None
        broken, power = chosen[case]
        inside = simulate_inside(changed(broken, site=worst.project.site), worst.weather, STEP_S, power)
        return _of_run(broken, inside, studs)

    return run


def _of_run(project: Project, inside: Inside, studs: int) -> Heat:
    peaks = [(piece, float(piece.of(inside).max())) for piece in pieces_of(project)]
    burning = {piece.name: c for piece, c in peaks if piece.burns}
    layers = [c for piece, c in peaks if piece.holds and piece.name not in (FRAME, STUDS)]
    face = next(c for piece, c in peaks if piece.name.startswith("absorber"))
    touched = layers[studs] if STUDS in burning and studs else burning.get(STUDS)
    return Heat(face, burning.get(FRAME), touched)


def _of_case(case: CaseHeat) -> Heat:
    burning = {heat.piece.name: heat.hottest_c for heat in case.pieces if heat.piece.burns}
    face = next(heat.hottest_c for heat in case.pieces if heat.piece.name.startswith("absorber"))
    return Heat(face, burning.get(FRAME), burning.get(STUDS))


def _gain(relief: Relief, before: tuple[Heat, Heat]) -> float:
    """Return how many kelvin a relief takes off all pieces in both cases; wood that is gone counts most."""
    total = 0.0
    for old, new in zip(before, (relief.described, relief.worst), strict=True):
        total += old.face_c - new.face_c
        for was, now in ((old.frame_c, new.frame_c), (old.studs_c, new.studs_c)):
            if was is not None:
                total += GONE_K if now is None else was - now
    return total
