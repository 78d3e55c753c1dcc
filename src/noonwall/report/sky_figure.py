"""The sky as the wall sees it: obstacles as silhouettes, the sun's paths, the hours."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from noonwall.report import ink
from noonwall.report.labels import Labels, Names, around
from noonwall.report.reader import name_of
from noonwall.report.site_look import PATH, PATH_NOW, haloed, heading, legend, look, site_of
from noonwall.report.tables import facing
from noonwall.shade.outlines import sky_silhouettes, skyline_points
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from collections.abc import Iterable

    from matplotlib.axes import Axes

    from noonwall.model.project import Project
    from noonwall.report.labels import Place
    from noonwall.report.reader import Reader
    from noonwall.report.site_look import Site
    from noonwall.shade.record import Floats
    from noonwall.sky.sun import SunCourse
    from noonwall.studies.sunlight import Sunlight

SKYLINE = "#d9d4cb"
DAY = 21  # of each month, on which a path is drawn
PATHS = ((6, "Jun"), (5, "May, Jul"), (4, "Apr, Aug"), (3, "Mar, Sep"), (2, "Feb, Oct"),
         (1, "Jan, Nov"), (12, "Dec"))  # fmt: skip
STEP_S = 300
HEADROOM_DEG = 9.0
HALF_DEG = 90.0
OBLIQUITY_DEG = 23.44
LEFT = 0.062
NAME_PT, HOUR_PT, DATE_PT, SUN_PT = 8.0, 7.5, 7.0, 7.0


def sky_picture(found: Sunlight, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw the sky as seen from the glazing's middle and from its foot."""
    site, wall = site_of(project, found.years_on, found.moment.time), project.wall
    eyes = (
        ("From the glazing's middle", wall.foot_m + 0.5 * wall.height_m),
        ("From the middle of the glazing's foot", wall.foot_m),
    )
    with ink.drawing():
        figure = ink.blank((11.0, 11.4))
        grid = figure.add_gridspec(2, 1, left=LEFT, right=0.985, top=0.895, bottom=0.075, hspace=0.17)
        for row, (where, height_m) in enumerate(eyes):
            axes = figure.add_subplot(grid[row])
            _sky(axes, site, found, height_m, reader)
            axes.set_title(f"{where}, {reader.show(height_m, 'length')} above the ground")
        grown = f", trees grown on for {found.years_on:g} years" if found.years_on > 0.0 else ""
        day = reader.day_text(found.moment.time)
        line = f"{name_of(project)}{grown}, as on {day}, whose path is thick; hours are standard time."
        heading(figure, LEFT, 0.955, f"The sky before the wall, facing {facing(wall.azimuth_deg)}", line)
        legend(figure, site, 0.018)
        return ink.rendered(figure, form)


def _sky(axes: Axes, site: Site, found: Sunlight, height_m: float, reader: Reader) -> None:
    middle = site.frame.azimuth_deg
    axes.set_xlim(middle - HALF_DEG, middle + HALF_DEG)
    if site.scene.skyline:
        turns, rise = skyline_points(site.scene)
        for shift in (-360.0, 0.0, 360.0):
            axes.fill_between(turns + shift, 0.0, rise, color=SKYLINE, linewidth=0, zorder=2)
    if site.scene.slope is not None:
        _slope(axes, site, middle)
    marks: dict[str, tuple[float, float]] = {}
    for shape in sky_silhouettes(site.scene, site.frame, 0.0, height_m):
        if shape.high_deg.max() <= 0.0:
            continue
        _fill(axes, site.kinds.get(shape.name, ""), shape.azimuth_deg, shape.low_deg, shape.high_deg)
        top = int(np.argmax(shape.high_deg))
        if shape.name not in marks or shape.high_deg[top] > marks[shape.name][1]:
            marks[shape.name] = (float(shape.azimuth_deg[top]), float(shape.high_deg[top]))
    ceiling = min(90.0, 90.0 - abs(site.project.site.latitude_deg) + OBLIQUITY_DEG) + HEADROOM_DEG
    axes.set_ylim(0.0, ceiling)
    _sky_axes(axes, middle)
    words = Words(axes, reader)
    courses = _paths(axes, site.project, found, words)
    _hours(axes, courses, middle, words)
    _names(marks, words)
    _label_paths(courses, middle, words, us=reader.us)


def _slope(axes: Axes, site: Site, middle: float) -> None:
    """Draw ground that rises before the wall."""
    turns = np.linspace(middle - HALF_DEG, middle + HALF_DEG, 91)
    along, out = site.frame.turned(np.sin(np.radians(turns)), np.cos(np.radians(turns)))
    rise = site.scene.slope or (0.0, 0.0)
    high = np.degrees(np.arctan(rise[0] * along + rise[1] * out))
    axes.fill_between(turns, 0.0, np.maximum(high, 0.0), color=SKYLINE, linewidth=0, zorder=2)


def _fill(axes: Axes, kind: str, turns: Floats, low: Floats, high: Floats) -> None:
    face, edge, hatch, layer = look(kind)
    shape = axes.fill_between(turns, np.maximum(low, -1.0), np.maximum(high, -1.0), zorder=layer, alpha=0.86)
    shape.set(facecolor=face, edgecolor=edge, hatch=hatch, linewidth=0.8)


class Words:
    """Writes words into one picture of the sky so that none lies on another."""

    def __init__(self, axes: Axes, reader: Reader) -> None:
        self.hour = reader.hour_text
        self.axes, box = axes, axes.get_window_extent()
        self._point = axes.get_figure(root=True).dpi / 72.0  # type: ignore[union-attr]
        self._foot = (box.x0, box.y1)
        self.labels = Labels(box.width / self._point, box.height / self._point)

    def at(self, turn: float, high: float) -> tuple[float, float]:
        """Return a direction of the sky in points from the picture's upper left corner."""
        x, y = self.axes.transData.transform((turn, high))
        return (float(x) - self._foot[0]) / self._point, (self._foot[1] - float(y)) / self._point

    def put(self, words: str, size: float, spots: Iterable[Place], colour: str = ink.INK) -> bool:
        """Write words at the first free place; returns whether there was one."""
        spot = self.labels.put(words, size, spots)
        if spot is None:
            return False
        left = {"start": "left", "middle": "center", "end": "right"}[spot[2]]
        haloed(
            self.axes,
            words,
            (0.0, 1.0),
            (spot[0], -spot[1]),
            (left, "baseline"),
            size,
            colour,
            "axes fraction",
        )
        return True


def _names(marks: dict[str, tuple[float, float]], words: Words) -> None:
    names = Names(marks)
    for name in sorted(marks, key=lambda name: -marks[name][1]):
        x, y = words.at(*marks[name])
        spots = [
            *around((x, max(y, 14.0)), NAME_PT, 3.0),
            *((x, max(y, 0.0) + far, "middle") for far in (24.0, 36.0)),
        ]
        if words.put(names.short(name), NAME_PT, spots):
            names.said(name)


def _day_course(project: Project, clock_h: float, month: int, day: int) -> SunCourse:
    site = project.site
    start = np.datetime64(f"2001-{month:02d}-{day:02d}T00:00:00", "s")
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h)
    return sun_course(*place, start - np.timedelta64(STEP_S // 2, "s"), STEP_S, 86400 // STEP_S)


def _turned(azimuth_deg: Floats, middle: float) -> Floats:
    """Return azimuths as a run around the wall's own."""
    turned: Floats = middle + (azimuth_deg - middle + 180.0) % 360.0 - 180.0
    return turned


def _paths(axes: Axes, project: Project, found: Sunlight, words: Words) -> list[SunCourse]:
    """Draw the sun's paths on the 21st of each month, and the chosen day with its sun; returns the months' courses."""
    middle, courses = project.wall.azimuth_deg, []
    for month, _ in PATHS:
        courses.append(_day_course(project, found.utc_offset_h, month, DAY))
        _path(axes, courses[-1], middle, PATH, 0.9)
    month, day = (int(part) for part in str(found.moment.time.astype("datetime64[D]"))[5:].split("-"))
    _path(axes, _day_course(project, found.utc_offset_h, month, day), middle, PATH_NOW, 2.4)
    if found.moment.elevation_deg > 0.0:
        at = float(_turned(np.array([found.moment.azimuth_deg]), middle)[0])
        axes.plot(
            [at], [found.moment.elevation_deg], "o", ms=11, mfc="#ffd95a", mec=PATH_NOW, mew=1.6, zorder=8
        )
        x, y = words.at(at, found.moment.elevation_deg)
        words.labels.keep((x - SUN_PT, y - SUN_PT, x + SUN_PT, y + SUN_PT))
    return courses


def _path(axes: Axes, course: SunCourse, middle: float, colour: str, width: float) -> None:
    turns = np.where(course.elevation_deg > 0.0, _turned(course.azimuth_deg, middle), np.nan)
    axes.plot(turns, course.elevation_deg, color=colour, linewidth=width, zorder=7)


def _label_paths(courses: list[SunCourse], middle: float, words: Words, *, us: bool) -> None:
    """Name each path where it enters the picture, or where it leaves; the lowest one first where it leaves."""
    for course, (_, label) in zip(courses, PATHS, strict=True):
        turns, rise = _turned(course.azimuth_deg, middle), course.elevation_deg
        inside = np.flatnonzero((rise > 0.3) & (abs(turns - middle) < HALF_DEG - 1.0))
        if len(inside) == 0:
            continue
        left, right = (
            words.at(float(turns[end]), float(rise[end]))
            for end in (inside[np.argmin(turns[inside])], inside[np.argmax(turns[inside])])
        )
        spots: list[Place] = [(left[0] + 3.0, left[1] + off, "start") for off in (-2.0, 8.0, -11.0)]
        leaving: list[Place] = [(right[0] - 4.0, right[1] + off, "end") for off in (-2.0, 8.0, -11.0)]
        told = f"{label} {DAY}" if us else f"{DAY} {label}"
        words.put(told, DATE_PT, leaving + spots if label == PATHS[-1][1] else spots + leaving, "#7a5208")


def _hours(axes: Axes, courses: list[SunCourse], middle: float, words: Words) -> None:
    per_hour = 3600 // STEP_S
    for hour in range(3, 22):
        step = hour * per_hour
        points = [
            (
                float(_turned(course.azimuth_deg[step : step + 1], middle)[0]),
                float(course.elevation_deg[step]),
            )
            for course in courses
        ]
        up = [point for point in points if point[1] > 0.0 and abs(point[0] - middle) < HALF_DEG]
        if not up:
            continue
        turns, rises = zip(*up, strict=True)
        axes.plot(turns, rises, ".", color=PATH, ms=4.0, linewidth=0.7, linestyle=(0, (1, 2)), zorder=7)
        if abs(up[0][0] - middle) < HALF_DEG - 2.0:
            words.put(words.hour(float(hour)), HOUR_PT, around(words.at(*up[0]), HOUR_PT, 4.0))


def _sky_axes(axes: Axes, middle: float) -> None:
    winds = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
    first, last = math.ceil((middle - HALF_DEG) / 15.0), math.floor((middle + HALF_DEG) / 15.0)
    ticks = [15.0 * number for number in range(first, last + 1)]
    words = [f"\n{winds[int(tick % 360.0 // 45)]}" if tick % 45.0 == 0.0 else "" for tick in ticks]
    axes.set_xticks(
        ticks, labels=[f"{tick % 360.0:.0f}°{word}" for tick, word in zip(ticks, words, strict=True)]
    )
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:.0f}°")
    ink.tidy(axes)
    axes.set_ylabel("above the horizon")
