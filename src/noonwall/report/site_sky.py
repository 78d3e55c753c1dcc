"""The sky before the wall as plain data: silhouettes, the sun's paths, the hours; at any date and hour."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.site_light import FIRST_DAYS, MINUTE_S, course_of_day
from noonwall.report.site_look import site_of
from noonwall.shade.outlines import sky_silhouettes, skyline_points

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.report.site_light import Moment
    from noonwall.shade.record import Floats

HALF_DEG = 90.0
OBLIQUITY_DEG = 23.44
HEADROOM_DEG = 6.0
EVERY_MIN = 10
DAY = 21  # of each month, on which a path is drawn
PATHS = ((12, "Dec"), (1, "Jan, Nov"), (2, "Feb, Oct"), (3, "Mar, Sep"), (4, "Apr, Aug"),
         (5, "May, Jul"), (6, "Jun"))  # fmt: skip
WINDS = {0: "N", 45: "NE", 90: "E", 135: "SE", 180: "S", 225: "SW", 270: "W", 315: "NW"}
Data = dict[str, Any]


def sky_data(project: Project, years_on: float, when: Moment, reader: Reader) -> Data:
    """Return the sky as an eye in the glazing's middle sees it, angles in degrees.

    Returns  middle (azimuth the wall faces), ceiling, shapes (name, kind, outline of [bearing from the middle,
             elevation]), paths (label, points, whether the chosen date's), hours, sun, winds
    """
    site = site_of(project, years_on, when.time)
    middle, wall = site.frame.azimuth_deg, project.wall
    eye = wall.foot_m + 0.5 * wall.height_m
    shapes = [
        {
            "name": shape.name,
            "kind": site.kinds.get(shape.name, ""),
            "outline": _outline(shape.azimuth_deg - middle, shape.low_deg, shape.high_deg),
        }
        for shape in sky_silhouettes(site.scene, site.frame, 0.0, eye)
        if len(shape.high_deg) and shape.high_deg.max() > 0.0
    ]
    ceiling = min(90.0, 90.0 - abs(project.site.latitude_deg) + OBLIQUITY_DEG) + HEADROOM_DEG
    return {
        "middle": middle,
        "ceiling": ceiling,
        "ground": _ground(site.scene, site.frame),
        "shapes": sorted(shapes, key=lambda shape: shape["kind"] == "modules"),
        "paths": _paths(project, when, middle, reader),
        "hours": _hours(project, when, middle, reader),
        "sun": _sun(project, when, middle),
        "winds": [
            [off, word] for turn, word in WINDS.items() if abs(off := _turned(turn, middle)) < HALF_DEG - 3.0
        ],
        "told": f"The sky as seen from the glazing's middle on {reader.day_text(when.time)}",
    }


def _turned(azimuth_deg: float, middle: float) -> float:
    return (azimuth_deg - middle + 180.0) % 360.0 - 180.0


def _outline(turns: Floats, low: Floats, high: Floats) -> list[list[float]]:
    """Return an outline from left to right along the top, and back along the bottom."""
    turns = (turns + 180.0) % 360.0 - 180.0
    upper = np.column_stack([turns, np.maximum(high, 0.0)])
    lower = np.column_stack([turns, np.maximum(low, 0.0)])[::-1]
    return [[round(float(a), 2), round(float(e), 2)] for a, e in np.concatenate([upper, lower])]


def _ground(scene: Any, frame: Any) -> list[list[float]]:
    """Return skyline and rising ground as one outline; empty when the horizon is level."""
    turns = np.arange(-HALF_DEG, HALF_DEG + 1.0, 2.0)
    high = np.zeros(len(turns))
    if scene.skyline:
        known, rise = skyline_points(scene)
        high = np.interp((turns + frame.azimuth_deg) % 360.0, known, rise)
    if scene.slope is not None:
        angle = np.radians(turns + frame.azimuth_deg)
        along, out = frame.turned(np.sin(angle), np.cos(angle))
        high = np.maximum(high, np.degrees(np.arctan(scene.slope[0] * along + scene.slope[1] * out)))
    if high.max() <= 0.0:
        return []
    ends = [[HALF_DEG, 0.0], [-HALF_DEG, 0.0]]
    return [*([float(t), round(float(h), 2)] for t, h in zip(turns, high, strict=True)), *ends]


def _path(project: Project, when: Moment, middle: float) -> list[list[float]]:
    course = course_of_day(project, when)
    points = []
    for minute in range(0, len(course.up), EVERY_MIN):
        turn = _turned(float(course.azimuth_deg[minute]), middle)
        if course.elevation_deg[minute] > 0.0 and abs(turn) <= HALF_DEG:
            points.append([round(turn, 2), round(float(course.elevation_deg[minute]), 2)])
    return points


def _paths(project: Project, when: Moment, middle: float, reader: Reader) -> list[Data]:
    rows = [
        {"label": f"{label} {DAY}" if reader.us else f"{DAY} {label}", "now": False,
         "points": _path(project, replace(when, day=FIRST_DAYS[month - 1] + 20), middle)}
        for month, label in PATHS
    ]  # fmt: skip
    return [*rows, {"label": reader.day_text(when.time), "now": True, "points": _path(project, when, middle)}]


def _hours(project: Project, when: Moment, middle: float, reader: Reader) -> list[Data]:
    course, found = course_of_day(project, when), []
    for hour in range(24):
        minute = hour * 3600 // MINUTE_S
        turn = _turned(float(course.azimuth_deg[minute]), middle)
        if course.elevation_deg[minute] > 0.0 and abs(turn) < HALF_DEG - 2.0:
            found.append({"at": [round(turn, 2), round(float(course.elevation_deg[minute]), 2)],
                          "text": reader.hour_text(float(hour))})  # fmt: skip
    return found


def _sun(project: Project, when: Moment, middle: float) -> list[float] | None:
    course = course_of_day(project, when)
    turn, high = (
        _turned(float(course.azimuth_deg[when.minute]), middle),
        float(course.elevation_deg[when.minute]),
    )
    return [round(turn, 2), round(high, 2)] if high > 0.0 and abs(turn) <= HALF_DEG else None
