"""The worst credible hours of a wall, failure by failure."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.glazing import COLDER_YEARS_K, SheetMoves, inner_sheet, sheet_moves
from noonwall.assess.hot import CaseHeat, Standing, breaches, heat_of, standings
from noonwall.engine.inside import simulate_inside
from noonwall.engine.schedule import days_of_run
from noonwall.engine.simulate import build_case, hang_by_hot_days, simulate, surroundings
from noonwall.studies.accepting import judged
from noonwall.studies.failures import failed
from noonwall.studies.reliefs import relief_runs, relieved
from noonwall.studies.remedies import changed, covered, framed
from noonwall.studies.runner import Tell, silent, together
from noonwall.studies.worst import STEP_S, WorstYear, worst_year

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.assess.pieces import Piece
    from noonwall.climate.weather import Weather
    from noonwall.engine.inside import Inside
    from noonwall.engine.simulate import Case as Numbers
    from noonwall.model.cases import Case
    from noonwall.model.limits import Limit
    from noonwall.model.project import Hot, Project
    from noonwall.studies.reliefs import Reliefs
    from noonwall.studies.remedies import Days

YEAR_STEP_S = 300  # as `noonwall year` takes it: the same hour is not told in two ways
LEAST_PASSED = 0.999  # a step with less of the sun let through has the cover up

# What is not known for sure of a wall, and how far it may be off; common practice, no source.
BLACKER, HOTTER_K, FRESH_SNOW, STILLER = 0.03, 3.0, 0.15, 0.75
# Largest distance of this model's top loss at stagnation from the handbook's formula (Duffie and Beckman 2013,
# eq. 6.4.9), one and two panes, black and selective plate: 4 %.
FORM_SHARE = 0.04


@dataclass(frozen=True)
class Doubt:
    """One thing not known for sure, and what it does to the hottest piece."""

    name: str
    kelvin: float


@dataclass(frozen=True)
class HotStudy:
    """All that is told of the worst hours."""

    cases: tuple[CaseHeat, ...]
    left_out: tuple[tuple[Case, str], ...]  # cases that mean nothing to this wall, and why
    standings: tuple[Standing, ...]  # each limit against the hottest case
    hard_standings: tuple[Standing, ...]  # the same wall with frame and studs of metal
    breaches: tuple[tuple[Case, Piece, Limit], ...]  # published limits exceeded in cases not accepted
    doubts: tuple[Doubt, ...]
    sure_k: dict[str, float]  # the model's uncertainty, by the piece's name
    worst: WorstYear
    sheet: SheetMoves | None  # None where the glazing's expansion is not known
    sheet_case: Case  # in which the sheet is hottest
    across: tuple[Case, np.datetime64]  # in which, and when, its inner skin is furthest above its outer
    reliefs: Reliefs  # what lowers the temperatures
    usual_c: float  # the absorber in a usual year as described, in the year's own steps


def hot_study(project: Project, weather: Weather, tell: Tell = silent) -> HotStudy:
    """Run the worst credible days for every failure, and a usual year beside each.

    project  the wall as it is described;  weather  a whole year
    tell     called with (runs done, runs in all)
    Raises   WeatherError for weather that is no whole year; SolveError when a solve does not close
    """
    dated = with_dated_cover(project, weather)
    worst = worst_year(dated, weather)
    chosen, left_out = failed(dated)
    doubted = _doubts(worst)
    jobs: list[Callable[[], Inside]] = []
    for _, described, power in chosen:
        jobs.append(_run(_with_site(described, worst), worst.weather, power))
        jobs.append(_run(described, weather, power))
    total = len(jobs) + len(doubted) + relief_runs(dated)
    done = together(jobs, lambda now, _: tell(now, total))
    cases = tuple(
        heat_of(dated, case, done[2 * i], done[2 * i + 1], accepted=False, only_week="week" in case)
        for i, (case, _, _) in enumerate(chosen)
    )
    cases = judged(cases, project.hot)
    hottest = max(range(len(cases)), key=lambda i: max(heat.hottest_c for heat in cases[i].pieces))
    _, broken, power = chosen[hottest]
    base = cases[hottest]
    more = together(
        [run(_with_site(broken, worst), power) for _, run in doubted],
        lambda now, _: tell(len(jobs) + now, total),
    )
    lowered = relieved(dated, cases, worst, lambda now, of: tell(total - of + now, total))
    doubts, sure = _sureness(base, done[2 * hottest], [name for name, _ in doubted], more)
    sheet, sheet_case, across = _sheet(dated, cases, done)
    return HotStudy(
        cases=cases,
        left_out=left_out,
        standings=standings(cases, sure, dated),
        hard_standings=standings(cases, sure, framed(dated)),
        breaches=breaches(cases),
        doubts=doubts,
        sure_k=sure,
        worst=worst,
        sheet=sheet,
        sheet_case=sheet_case,
        across=across,
        reliefs=lowered,
        usual_c=simulate(project, weather, min(YEAR_STEP_S, weather.step_s)).peaks.absorber_c.value_c,
    )


def with_accepted(study: HotStudy, hot: Hot) -> HotStudy:
    """Return a study with the cases accepted that a project accepts: no temperature depends on them."""
    cases = judged(study.cases, hot)
    return replace(study, cases=cases, breaches=breaches(cases))


def _run(project: Project, weather: Weather, power: bool) -> Callable[[], Inside]:
    return lambda: simulate_inside(project, weather, STEP_S, power)


def _with_site(project: Project, worst: WorstYear) -> Project:
    return changed(project, site=worst.project.site)


def with_dated_cover(project: Project, weather: Weather) -> Project:
    """Return the project with its cover's rule turned into the days on which it hangs in this weather."""
    if not project.wall.cover.by_rule:
        return project
    around = surroundings(project, weather, STEP_S)
    case = hang_by_hot_days(project, around, build_case(project, around))
    day = days_of_run(around.fine.time)
    up = np.bincount(day, case.drive.pass_share < LEAST_PASSED) > 0
    dates = np.unique(around.fine.time.astype("datetime64[D]"))
    return covered(project, stretches(dates, up))


def stretches(
    dates: np.ndarray[tuple[int], np.dtype[np.datetime64]], chosen: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> Days:
    """Return the runs of chosen days as (from, to) in MM-DD."""
    edge = np.diff(np.concatenate([[0], chosen.astype(int), [0]]))
    first, last = np.flatnonzero(edge == 1), np.flatnonzero(edge == -1) - 1
    return tuple((str(dates[a])[5:10], str(dates[b])[5:10]) for a, b in zip(first, last, strict=True))


def _doubts(worst: WorstYear) -> list[tuple[str, Callable[[Project, bool], Callable[[], Inside]]]]:
    """Return what may be off: a name, and a function that makes the run with it off."""
    hotter = replace(worst.weather, air_c=worst.weather.air_c + HOTTER_K)

    def clean(project: Project, power: bool) -> Callable[[], Inside]:
        glazing = changed(project.wall.glazing, dirt_share=0.0)
        return _run(changed(project, wall=changed(project.wall, glazing=glazing)), worst.weather, power)

    def blacker(project: Project, power: bool) -> Callable[[], Inside]:
        share = min(project.wall.absorber.absorptance + BLACKER, 0.99)
        absorber = changed(project.wall.absorber, absorptance=share)
        return _run(changed(project, wall=changed(project.wall, absorber=absorber)), worst.weather, power)

    def brighter(project: Project, power: bool) -> Callable[[], Inside]:
        site = changed(project.site, snow_albedo=min(project.site.snow_albedo + FRESH_SNOW, 0.9))
        return _run(changed(project, site=site), worst.weather, power)

    def tight(project: Project, power: bool) -> Callable[[], Inside]:
        return _run(
            changed(project, wall=changed(project.wall, leakage_area_m2_per_m=0.0)), worst.weather, power
        )

    def warmer(project: Project, power: bool) -> Callable[[], Inside]:
        return _run(project, hotter, power)

    def stiller(project: Project, power: bool) -> Callable[[], Inside]:
        return lambda: simulate_inside(project, worst.weather, STEP_S, power, adjust=_still)

    return [
        ("glazing washed clean", clean),
        (f"absorber takes {100 * BLACKER:.0f} % more of the sun", blacker),
        (f"fresh snow throws back {100 * FRESH_SNOW:.0f} % more", brighter),
        ("no leak from the gap", tight),
        (f"air outdoors {HOTTER_K:.0f} K hotter", warmer),
        (f"air at the glass takes {100 * (1.0 - STILLER):.0f} % less", stiller),
    ]


def _still(case: Numbers) -> Numbers:
    return case._replace(drive=case.drive._replace(outer_film=case.drive.outer_film * STILLER))


def _sureness(
    base: CaseHeat, run: Inside, names: list[str], runs: list[Inside]
) -> tuple[tuple[Doubt, ...], dict[str, float]]:
    """Return what each doubt does to the hottest piece, and the root of the squares' sum for every piece [K]."""
    rows = [
        [max(0.0, float(heat.piece.of(one).max()) - heat.hottest_c) for heat in base.pieces] for one in runs
    ]
    outdoors = [float(run.out_c[int(np.argmax(heat.piece.of(run)))]) for heat in base.pieces]
    over = [max(0.0, heat.hottest_c - out_c) for heat, out_c in zip(base.pieces, outdoors, strict=True)]
    warmer = np.array([*rows, [FORM_SHARE * kelvin for kelvin in over]])
    hottest = int(np.argmax([heat.hottest_c for heat in base.pieces]))
    told = [*names, f"the handbook's loss from a hot plate differs by {100 * FORM_SHARE:.0f} %"]
    doubts = tuple(Doubt(name, float(row[hottest])) for name, row in zip(told, warmer, strict=True))
    sure = {
        heat.piece.name: math.sqrt(float(np.square(warmer[:, i]).sum())) for i, heat in enumerate(base.pieces)
    }
    return doubts, sure


def _sheet(
    project: Project, cases: tuple[CaseHeat, ...], done: list[Inside]
) -> tuple[SheetMoves | None, Case, tuple[Case, np.datetime64]]:
    """Return the sheet's movement between coldest night and hottest hour, that hour's case, and when it bows most."""
    sheet = inner_sheet(project)
    span = slice(sheet.first_skin, sheet.last_skin + 1)
    means = [run.left_c[:, span].mean(axis=1) for run in done]
    hottest = max(range(len(cases)), key=lambda i: float(means[2 * i].max()))
    across = [run.left_c[:, sheet.last_skin] - run.left_c[:, sheet.first_skin] for run in done]
    bowed = max(range(len(done)), key=lambda i: float(across[i].max()))
    when = done[bowed].time[int(np.argmax(across[bowed]))]
    coldest = float(means[1].min()) - COLDER_YEARS_K
    moves = sheet_moves(project, coldest, float(means[2 * hottest].max()), float(across[bowed].max()))
    return moves, cases[hottest].case, (cases[bowed // 2].case, when)
