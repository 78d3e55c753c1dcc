"""The story: a project's surroundings and the sun's course, turned into shares of light on the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.dome import Patches, horizon_patches, sky_patches
from noonwall.shade.frame import Frame
from noonwall.shade.horizon import above_skyline
from noonwall.shade.overhang import shade_overhang
from noonwall.shade.record import Floats, Ints, WallShade

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.sky.sun import SunCourse


def wall_shade(project: Project, course: SunCourse, strips: int, years_on: float = 0.0) -> WallShade:
    """Return what overhang, obstacles and horizon leave of each part of the sun on each strip of the wall.

    project   the described site and wall
    course    sun at the middle of each of n steps
    strips    how many equal horizontal strips the wall's height is cut into
    years_on  how many years of growth to add to the trees [a]
    Returns   shares of the open site, all exactly 1 where nothing shades
    """
    del years_on
    frame = Frame.of(project.wall)
    along, out = frame.turned(course.east, course.north)
    day = day_rows(course)
    days = int(day[-1]) + 1
    beam = np.ones((len(course.up), strips))
    lit = np.flatnonzero((course.up > 0.0) & (out > 0.0))
    if project.site.horizon or project.wall.overhang is not None:
        beam[lit] = passed(project, frame, along[lit], out[lit], course.up[lit], strips)
    return WallShade(
        beam_share=beam,
        sky_view=np.tile(view(project, frame, sky_patches(), strips), (days, 1)),
        horizon_view=np.tile(view(project, frame, horizon_patches(), strips), (days, 1)),
        ground_share=np.ones((len(course.up), strips)),
        ground_sky=np.ones((days, strips)),
        day=day,
    )


def day_rows(course: SunCourse) -> Ints:
    """Return for each step the number of whole days since the first step's midnight, shape (n,)."""
    start = course.start.astype("datetime64[s]")
    first = int((start - start.astype("datetime64[D]")).astype(np.int64))
    seconds: Ints = first + course.step_s * np.arange(len(course.up), dtype=np.int64)
    return seconds // 86400


def passed(project: Project, frame: Frame, along: Floats, out: Floats, up: Floats, strips: int) -> Floats:
    """Return the share of light from each of m directions that reaches each strip, shape (m, strips)."""
    east, north = frame.world(along, out)
    share = np.repeat(above_skyline(project.site.horizon, east, north, up)[:, None], strips, axis=1)
    if project.wall.overhang is not None:
        shade_overhang(frame, project.wall.overhang, along, out, up, share)
    return share


def view(project: Project, frame: Frame, patches: Patches, strips: int) -> Floats:
    """Return the share of the patches' light that reaches each strip, shape (strips,)."""
    share = passed(project, frame, patches.along, patches.out, patches.up, strips)
    return 1.0 - patches.weight @ (1.0 - share)
