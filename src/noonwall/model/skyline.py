"""A skyline that stands in a file of its own: azimuth and elevation, one point a line."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.disk import read_text
from noonwall.model.surroundings import skyline_faults

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.model.project import Project

MOST_POINTS = 3600
LOWEST_DEG, HIGHEST_DEG = -10.0, 90.0

Skyline = tuple[tuple[float, float], ...]


def read_skyline(path: Path) -> Skyline:
    """Read a skyline.

    path     text with two columns, azimuth from north clockwise and elevation [deg]; comma, semicolon, tab or
             blanks between them; a first line of words and lines that begin with # are passed over
    returns  (azimuth, elevation) pairs in rising azimuth
    raises   ProjectError, one line with file and line
    """
    points: dict[float, float] = {}
    for number, line in enumerate(read_text(path).splitlines(), start=1):
        cells = _cells(line)
        if not cells or (not points and not _is_number(cells[0])):
            continue
        azimuth, elevation = _point(cells, f"{path.name}:{number}")
        if azimuth % 360.0 in points:
            raise ProjectError(
                f"{path.name}:{number}: azimuth {azimuth:g} deg is there twice; keep one of them"
            )
        points[azimuth % 360.0] = elevation
        if len(points) > MOST_POINTS:
            raise ProjectError(f"{path.name}: more than {MOST_POINTS} points; a point a degree is plenty")
    pairs = tuple(sorted(points.items()))
    if not pairs:
        raise ProjectError(f"{path.name}: no points; a line is azimuth, elevation, such as 180, 12.5")
    for fault in skyline_faults(pairs):
        raise ProjectError(f"{path.name}: {fault}")
    return pairs


def _cells(line: str) -> list[str]:
    text = line.split("#", 1)[0].strip()
    separator = next((s for s in (";", "\t", ",") if s in text), None)
    return next(csv.reader([text], delimiter=separator), []) if separator else text.split()


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _point(cells: list[str], place: str) -> tuple[float, float]:
    numbers = [float(cell) for cell in cells if _is_number(cell)]
    if len(cells) != 2 or len(numbers) != 2:
        raise ProjectError(f"{place}: wanted two numbers, azimuth and elevation, such as 180, 12.5")
    azimuth, elevation = numbers
    if not 0.0 <= azimuth <= 360.0:
        raise ProjectError(
            f"{place}: azimuth {azimuth:g} is outside 0-360 deg; it counts from north clockwise"
        )
    if not LOWEST_DEG <= elevation < HIGHEST_DEG:
        raise ProjectError(
            f"{place}: elevation {elevation:g} is outside {LOWEST_DEG:g} to {HIGHEST_DEG:g} deg"
        )
    return azimuth, elevation


def with_skyline(project: Project, folder: Path) -> Project:
    """Return a project with the skyline in place of its file's name; one that names no file stays as it is.

    folder  where a relative file name counts from
    raises  ProjectError when the file does not read as a skyline
    """
    name = project.site.horizon_file
    if name is None:
        return project
    site = project.site.model_copy(update={"horizon": read_skyline(folder / name), "horizon_file": None})
    return project.model_copy(update={"site": site})
