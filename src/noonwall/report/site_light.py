"""The sun and the glazing at a moment and through a date, as plain data and in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.reader import percent
from noonwall.report.tables import facing
from noonwall.shade.calendar import beam_of
from noonwall.shade.frame import Frame
from noonwall.shade.lit import lit_cells
from noonwall.shade.site import scene_of
from noonwall.shade.wall import sun_ways
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.sky.sun import SunCourse

ROWS, COLUMNS = 24, 48
DAY_EVERY_S = 600
MINUTE_S = 60
FIRST_DAYS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)
Point = tuple[float, float, float]
Data = dict[str, Any]


@dataclass(frozen=True)
class Moment:
    """A date of a common year and a time of day, in the site's standard time."""

    day: int  # 1 January is 0
    minute: int  # since midnight
    clock_h: float  # standard time minus UTC

    @property
    def midnight(self) -> np.datetime64:
        """Return the beginning of the date, in a common year."""
        return np.datetime64("2001-01-01T00:00:00", "s") + np.timedelta64(self.day, "D")

    @property
    def time(self) -> np.datetime64:
        """Return the moment, in a common year."""
        return self.midnight + np.timedelta64(self.minute, "m")


@dataclass(frozen=True)
class Sunlit:
    """The sun and the glazing at one moment."""

    elevation_deg: float
    azimuth_deg: float
    way: Point  # unit vector to the sun: east, north, up
    share: float | None  # of the direct sun that reaches the glazing; None while the sun is not before it
    cells: tuple[
        tuple[int, ...], ...
    ]  # percent on each cell, lowest row first, left to right as seen from outside


@dataclass(frozen=True)
class DayLight:
    """Direct sun on the glazing through one date."""

    minutes: tuple[int, ...]
    share: tuple[float, ...]  # of the direct sun that reaches the glazing
    open_share: tuple[float, ...]  # 1 while the sun is before the wall, 0 else
    hours: float  # hours of sun times the share of the glazing it reaches
    hours_open: float


def date_number(month: int, day: int) -> int:
    """Return the day of a common year, 1 January as 0."""
    return FIRST_DAYS[month - 1] + day - 1


def sunlit(project: Project, years_on: float, when: Moment) -> Sunlit:
    """Return the sun at a moment, and which part of the glazing it reaches.

    years_on  years of growth to add to the trees [a]
    """
    scene, frame = scene_of(project, years_on), Frame.of(project.wall)
    half = np.timedelta64(MINUTE_S // 2, "s")
    course = _course(project, when, when.time - half, MINUTE_S, 1)
    way = np.array([course.east[0], course.north[0], course.up[0]])
    ways = sun_ways(frame, course)
    share, cells = None, np.zeros((ROWS, COLUMNS))
    if ways[0, 1] > 0.0 and ways[0, 2] > 0.0:
        share = float(beam_of(scene, frame, course, ways, np.array([0]))[0, 0])
        cells = lit_cells(scene, frame, way, float(when.day), ROWS, COLUMNS)
    shown = np.rint(100.0 * cells[:, ::-1]).astype(int)
    return Sunlit(
        elevation_deg=float(course.elevation_deg[0]),
        azimuth_deg=float(course.azimuth_deg[0]),
        way=(float(way[0]), float(way[1]), float(way[2])),
        share=share,
        cells=tuple(tuple(row) for row in shown.tolist()),
    )


def day_light(project: Project, years_on: float, when: Moment) -> DayLight:
    """Return how much of the glazing the direct sun reaches through a date, every ten minutes."""
    scene, frame = scene_of(project, years_on), Frame.of(project.wall)
    course = _course(project, when, when.midnight, DAY_EVERY_S, 86400 // DAY_EVERY_S)
    ways = sun_ways(frame, course)
    faced = np.flatnonzero((ways[:, 1] > 0.0) & (ways[:, 2] > 0.0))
    share, open_share = np.zeros(course.steps), np.zeros(course.steps)
    open_share[faced] = course.hour_share_up[faced]
    share[faced] = beam_of(scene, frame, course, ways, faced)[:, 0] * open_share[faced]
    minutes = (np.arange(course.steps) * DAY_EVERY_S + DAY_EVERY_S // 2) // MINUTE_S
    return DayLight(
        tuple(int(m) for m in minutes),
        tuple(round(float(s), 4) for s in share),
        tuple(round(float(s), 4) for s in open_share),
        float(share.sum()) * DAY_EVERY_S / 3600.0,
        float(open_share.sum()) * DAY_EVERY_S / 3600.0,
    )


def _course(project: Project, when: Moment, start: np.datetime64, step_s: int, steps: int) -> SunCourse:
    site = project.site
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m, when.clock_h)
    return sun_course(*place, start, step_s, steps)


def course_of_day(project: Project, when: Moment) -> SunCourse:
    """Return the sun's course over a date, minute by minute, each at its full minute."""
    half = np.timedelta64(MINUTE_S // 2, "s")
    return _course(project, when, when.midnight - half, MINUTE_S, 86400 // MINUTE_S)


def sun_path(project: Project, when: Moment, reader: Reader) -> list[Data]:
    """Return the sun's way over one date: unit vectors (east, north, up), the full hours named."""
    every = 20
    course, found = course_of_day(project, when), []
    for minute in range(0, 24 * 60, every):
        if course.up[minute] > 0.0:
            way = [round(float(part[minute]), 4) for part in (course.east, course.north, course.up)]
            named = minute % 60 == 0 and (minute // 60) % 2 == 0
            found.append({"way": way, "hour": reader.hour_text(minute / 60.0) if named else ""})
    return found


def moment_data(project: Project, years_on: float, when: Moment) -> Data:
    """Return what a view shows of a moment: the sun's way, the lit cells, a short note."""
    now = sunlit(project, years_on, when)
    return {
        "way": list(now.way),
        "share": now.share,
        "cells": [list(row) for row in now.cells],
        "note": short_note(now),
    }


def short_note(now: Sunlit) -> str:
    """Return in a few words how much of the direct sun reaches the glazing."""
    if now.elevation_deg <= 0.0:
        return "sun below the horizon"
    return "sun behind the wall" if now.share is None else f"{percent(now.share)} of the direct sun"


def moment_words(when: Moment, now: Sunlit, reader: Reader) -> str:
    """Return in one sentence where the sun stands, and what of it reaches the glazing."""
    at = f"{reader.day_text(when.time)}, {clock_text(when.minute, reader)}"
    if now.elevation_deg <= 0.0:
        return f"{at}: the sun is below the horizon."
    sun = f"sun {now.elevation_deg:.0f}° high, {facing(float(round(now.azimuth_deg)))}"
    if now.share is None:
        return f"{at}: {sun}, behind the wall."
    return f"{at}: {sun}. {percent(now.share)} of the direct sun reaches the glazing."


def day_words(when: Moment, day: DayLight, reader: Reader) -> str:
    """Return in one sentence how much direct sun a date gives."""
    if day.hours_open < 0.05:
        return f"On {reader.day_text(when.time)} no direct sun comes before this wall."
    kept = percent(day.hours / day.hours_open)
    return (
        f"On {reader.day_text(when.time)} a clear sky gives the glazing {day.hours:.1f} of {day.hours_open:.1f} hours "
        f"of direct sun, {kept} of an open site."
    )


def clock_text(minute: int, reader: Reader) -> str:
    """Return a time of day: "12:30", for a US reader "12:30 pm"."""
    hour, rest = minute // 60, minute % 60
    if not reader.us:
        return f"{hour}:{rest:02d}"
    return f"{(hour - 1) % 12 + 1}:{rest:02d} {'am' if hour < 12 else 'pm'}"


def date_of(day: int) -> tuple[int, int]:
    """Return month and day of a day of a common year, 1 January as 0."""
    month = next(m for m in range(1, 13) if day < FIRST_DAYS[m])
    return month, day - FIRST_DAYS[month - 1] + 1
