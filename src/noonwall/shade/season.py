"""Which season each day falls in: leaf shares and hung awnings, as few different states as will do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.sky.sun import SunCourse

DAY_S = 86400


@dataclass(frozen=True)
class Seasons:
    """The different states of a scene over some days."""

    states: Floats  # (states, seasons + hangings) rows of ``Scene.calendar``
    of_day: Ints  # (days,) state of each day


def seasons_of(scene: Scene, day_of_year: Floats, parts: int | None = None) -> Seasons:
    """Return the states a scene goes through on some days.

    day_of_year  1 January as 0, shape (days,)
    parts        round leaf shares to this many parts, for what changes little with them; None: as they are
    """
    table = scene.calendar(day_of_year)
    if parts is not None:
        table = np.round(table * parts) / parts
    if table.shape[1] == 0:
        return Seasons(np.zeros((1, 0)), np.zeros(len(day_of_year), np.int64))
    states, of_day = np.unique(table, axis=0, return_inverse=True)
    return Seasons(states, of_day.reshape(-1).astype(np.int64))


def day_rows(course: SunCourse) -> Ints:
    """Return for each step the number of whole days since the first step's midnight, shape (n,)."""
    start = course.start.astype("datetime64[s]")
    first = int((start - start.astype("datetime64[D]")).astype(np.int64))
    seconds: Ints = first + course.step_s * np.arange(len(course.up), dtype=np.int64)
    return seconds // DAY_S


def days_of_year(course: SunCourse, days: int) -> Floats:
    """Return the day of the year of each day of a course, 1 January as 0, 365 folded onto 364."""
    dates = course.start.astype("datetime64[D]") + np.arange(days)
    since = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.int64)
    number: Floats = np.minimum(since, 364).astype(np.float64)
    return number
