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
LEAF_PARTS = 2  # bare, half in leaf, in leaf


@dataclass(frozen=True)
class Seasons:
    """The different states of a scene over some days."""

    states: Floats  # (states, seasons + hangings) rows of ``Scene.calendar``
    of_day: Ints  # (days,) state of each day


def seasons_of(scene: Scene, day_of_year: Floats) -> Seasons:
    """Return the states a scene goes through on some days.

    day_of_year  1 January as 0, shape (days,)
    """
    table = scene.calendar(day_of_year)
    if table.shape[1] == 0:
        return Seasons(np.zeros((1, 0)), np.zeros(len(day_of_year), np.int64))
    states, of_day = np.unique(table, axis=0, return_inverse=True)
    return Seasons(states, of_day.reshape(-1).astype(np.int64))


@dataclass(frozen=True)
class Blend:
    """A few states between which the days lie, for what is slow to work out and changes little with the season."""

    states: Floats  # (states, seasons + hangings)
    low: Ints  # (days,) state a day lies above
    high: Ints  # (days,) state a day lies below
    part: Floats  # (days,) how far from low to high

    def by_day(self, values: Floats) -> Floats:
        """Return values of the states, (states, ...), for each day, (days, ...); alike states stay exact."""
        low, high = values[self.low], values[self.high]
        return low + self.part.reshape(-1, *([1] * (values.ndim - 1))) * (high - low)


def blend_of(scene: Scene, day_of_year: Floats) -> Blend:
    """Return the states with every tree bare, half in leaf or in leaf that surround each day."""
    table = scene.calendar(day_of_year)
    low, high = np.floor(table * LEAF_PARTS) / LEAF_PARTS, np.ceil(table * LEAF_PARTS) / LEAF_PARTS
    moving = high > low
    part = np.where(moving, (table - low) * LEAF_PARTS, 0.0).sum(axis=1) / np.maximum(moving.sum(axis=1), 1)
    if table.shape[1] == 0:
        nought = np.zeros(len(table), np.int64)
        return Blend(np.zeros((1, 0)), nought, nought, part)
    states, rows = np.unique(np.concatenate([low, high]), axis=0, return_inverse=True)
    rows = rows.reshape(2, -1).astype(np.int64)
    return Blend(states, rows[0], rows[1], part)


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
