"""Sites to shade: the invented demo with whatever stands around it."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from noonwall.model.file import from_text
from noonwall.model.templates import demo_text
from noonwall.shade.frame import Frame
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import wall_receiver
from noonwall.shade.site import scene_of

if TYPE_CHECKING:
    from noonwall.model.project import Project


@cache
def demo() -> Project:
    project = from_text(demo_text())
    bare = project.wall.model_copy(update={"overhang": None})
    return project.model_copy(update={"wall": bare, "obstacles": (), "pv": (), "standing_points": ()})


def site(*obstacles: object, pv: tuple = (), **wall: object) -> Project:
    """Return the demo with other surroundings; ``wall`` changes the wall's measures."""
    project = demo()
    changed = project.wall.model_copy(update=wall)
    return project.model_copy(update={"wall": changed, "obstacles": tuple(obstacles), "pv": tuple(pv)})


def way(elevation_deg: float, off_normal_deg: float) -> np.ndarray:
    """Return the direction to a sun: height, and azimuth from the wall's normal, to the right looking out."""
    rise, turn = math.radians(elevation_deg), math.radians(off_normal_deg)
    return np.array([[math.cos(rise) * math.sin(turn), math.cos(rise) * math.cos(turn), math.sin(rise)]])


def reach(
    project: Project, strips: int = 8, rows: int = 24, columns: int = 8, years_on: float = 0.0
) -> Reach:
    frame = Frame.of(project.wall)
    return Reach(scene_of(project, years_on), frame, wall_receiver(frame, strips, rows, columns))


def beam(project: Project, ways: np.ndarray, day: float = 0.0, **grid: int) -> np.ndarray:
    """Return the beam share of each strip on a day of the year, (directions, strips)."""
    asked = reach(project, **grid)
    states = asked.scene.calendar(np.array([day]))
    return asked.shares(np.atleast_2d(ways), states, np.zeros(len(np.atleast_2d(ways)), np.int64))
