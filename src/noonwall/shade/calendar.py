"""The sun calendar of a wall: first and last direct sun by date, hours, and when each obstacle bites."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.frame import Frame
from noonwall.shade.reach import Reach
from noonwall.shade.season import day_rows, days_of_year, seasons_of
from noonwall.shade.site import scene_of
from noonwall.shade.wall import sun_ways, wall_cells

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.model.project import Project
    from noonwall.shade.record import Flags, Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.sky.sun import SunCourse

LIT_SHARE = 0.2  # first and last sun: at least this share of the wall's beam gets through
BITE_H = 0.05  # less than this taken from a day does not count as a bite: three minutes
SKYLINE = "skyline"


@dataclass(frozen=True)
class Bite:
    """When an obstacle keeps sun off the wall, and how much by itself; others may shade the same hours."""

    name: str
    stretches: tuple[
        tuple[np.datetime64, np.datetime64], ...
    ]  # first and last date of each stretch of biting
    hours: Floats  # (days,) sun hours a day it takes from an otherwise open site


@dataclass(frozen=True)
class SunCalendar:
    """Direct sun on the wall by date. Times are local standard time; NaT where no sun comes."""

    date: NDArray[np.datetime64]  # (days,)
    first: NDArray[np.datetime64]  # (days,) first direct sun
    last: NDArray[np.datetime64]
    first_open: NDArray[np.datetime64]  # the same on an open site
    last_open: NDArray[np.datetime64]
    hours: Floats  # (days,) hours of direct sun, times the share of the wall it reaches
    hours_open: Floats
    share: Floats  # (n,) beam share of the whole wall, 0 while the sun is not before it
    bites: tuple[Bite, ...]


def sun_calendar(project: Project, course: SunCourse, years_on: float = 0.0) -> SunCalendar:
    """Return first and last sun, hours of sun, and when each obstacle bites, for each date of a course.

    course    whole days; a step of 5 minutes gives times to 5 minutes
    years_on  years of growth to add to the trees [a]
    """
    scene, frame = scene_of(project, years_on), Frame.of(project.wall)
    ways, day = sun_ways(frame, course), day_rows(course)
    days = int(day[-1]) + 1
    faced = np.flatnonzero((ways[:, 1] > 0.0) & (ways[:, 2] > 0.0))
    share, open_share = np.zeros(len(ways)), np.zeros(len(ways))
    open_share[faced] = course.hour_share_up[faced]
    share[faced] = beam_of(scene, frame, course, ways, faced)[:, 0] * open_share[faced]
    dates = course.start.astype("datetime64[D]") + np.arange(days)
    names = [*dict.fromkeys(scene.names), *([SKYLINE] if scene.skyline else [])]
    bites = []
    for name in names:
        taken = np.zeros(len(ways))
        alone = beam_of(scene.only(name), frame, course, ways, faced)[:, 0]
        taken[faced] = (1.0 - alone) * open_share[faced]
        hours = _daily(taken, day, days, course.step_s)
        bites.append(Bite(name, _stretches(dates, hours > BITE_H), hours))
    first, last = _ends(share > LIT_SHARE, course, day, days)
    first_open, last_open = _ends(open_share > LIT_SHARE, course, day, days)
    return SunCalendar(
        date=dates,
        first=first,
        last=last,
        first_open=first_open,
        last_open=last_open,
        hours=_daily(share, day, days, course.step_s),
        hours_open=_daily(open_share, day, days, course.step_s),
        share=share,
        bites=tuple(bites),
    )


def beam_of(
    scene: Scene, frame: Frame, course: SunCourse, ways: Floats, steps: Ints, strips: int = 1
) -> Floats:
    """Return the beam share of each strip at some steps of a course, (steps, strips).

    ways   (n, 3) of the whole course, in the wall's axes;  steps  which of them to work out
    """
    if scene.empty or len(steps) == 0:
        return np.ones((len(steps), strips))
    day = day_rows(course)
    seasons = seasons_of(scene, days_of_year(course, int(day[-1]) + 1))
    asked = Reach(scene, frame, wall_cells(frame, strips, scene))
    return asked.shares(ways[steps], seasons.states, seasons.of_day[day[steps]])


def _daily(share: Floats, day: Ints, days: int, step_s: int) -> Floats:
    hours: Floats = np.bincount(day, weights=share, minlength=days) * step_s / 3600.0
    return hours


def _ends(
    lit: Flags, course: SunCourse, day: Ints, days: int
) -> tuple[NDArray[np.datetime64], NDArray[np.datetime64]]:
    """Return the beginning of the first and the end of the last lit step of each day."""
    first = np.full(days, np.datetime64("NaT"), "datetime64[s]")
    last = first.copy()
    steps = np.flatnonzero(lit)
    if len(steps) == 0:
        return first, last
    found, where = np.unique(day[steps], return_index=True)
    ends = np.append(where[1:], len(steps)) - 1
    start, step = course.start.astype("datetime64[s]"), np.timedelta64(course.step_s, "s")
    first[found] = start + steps[where] * step
    last[found] = start + (steps[ends] + 1) * step
    return first, last


def _stretches(
    dates: NDArray[np.datetime64], bitten: Flags
) -> tuple[tuple[np.datetime64, np.datetime64], ...]:
    """Return the first and last date of each stretch of bitten days."""
    edges = np.diff(np.concatenate([[False], bitten, [False]]).astype(np.int8))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    return tuple((dates[a], dates[b]) for a, b in zip(starts, ends, strict=True))
