"""What light reaches each part of PV modules: the parts that a bypass diode can take out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.bodies import roofed
from noonwall.shade.dome import band_patches, plane_patches
from noonwall.shade.frame import Frame
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import Receiver
from noonwall.shade.scene import ALWAYS, Solid
from noonwall.shade.season import blend_of, day_rows, days_of_year, seasons_of
from noonwall.shade.site import scene_of
from noonwall.shade.wall import sun_ways
from noonwall.shade.works import module_plane

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.model.project import Project
    from noonwall.model.pv import PvField
    from noonwall.shade.reach import Tracer
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.sky.sun import SunCourse

FINE = 4  # cells along the long side of a part
MODULE_RINGS, MODULE_SPOKES = 16, 64


@dataclass(frozen=True)
class ModuleShade:
    """Shares of an open site's light on each part; parts of module 1 first, then of module 2, and so on.

    *Departs*  Ground light is dimmed by what stands between module and ground, not by shadows on the ground.
    """

    beam_share: Floats  # (n, parts) of the beam and the circumsolar part; 1 while no sun can come
    sky_view: Floats  # (days, parts) of the isotropic sky part
    horizon_view: Floats  # (days, parts) of the horizon band
    ground_view: Floats  # (days, parts) of the ground-reflected part
    day: Ints  # (n,) row of the daily arrays for each step


def module_shade(project: Project, field: PvField, course: SunCourse, years_on: float = 0.0) -> ModuleShade:
    """Return what obstacles, horizon and the shop itself leave of each part of the sun on each module part.

    project, field  the described site and one of its PV fields
    course          sun at the middle of each of n steps;  years_on  years of growth to add [a]
    """
    return module_shade_in(scene_of(project, years_on), project, field, course)


def module_shade_in(
    surrounding: Scene, project: Project, field: PvField, course: SunCourse, tracer: Tracer = Reach
) -> ModuleShade:
    """Return the same for a scene of plain shapes, to which the shop is added.

    tracer  makes the Reach that is asked for shares of light; another may remember what it has traced
    """
    frame = Frame.of(project.wall)
    scene = with_shop(surrounding, project)
    receiver = module_receiver(project, field)
    panel = tracer(scene, frame, receiver)
    ways, day = sun_ways(frame, course), day_rows(course)
    of_year = days_of_year(course, int(day[-1]) + 1)
    exact, coarse = seasons_of(scene, of_year), blend_of(scene, of_year)
    beam = np.ones((len(ways), receiver.count))
    lit = np.flatnonzero((ways @ receiver.axes[2] > 0.0) & (ways[:, 2] > 0.0))
    panel.write_shares(ways[lit], lit, exact.states, exact.of_day[day[lit]], beam)
    sky, ground = plane_patches(receiver.axes, MODULE_RINGS, MODULE_SPOKES)
    level = tracer(scene.without_slope(), frame, receiver)
    return ModuleShade(
        beam_share=beam,
        sky_view=coarse.by_day(panel.view(sky, coarse.states)),
        horizon_view=coarse.by_day(panel.view(band_patches(receiver.axes), coarse.states)),
        ground_view=coarse.by_day(level.view(ground, coarse.states)),
        day=day,
    )


def with_shop(scene: Scene, project: Project) -> Scene:
    """Return a scene with the shop's own body in it, up to the eaves, behind the wall.

    The side the wall stands on is taken to be the shorter one that the wall fits on.
    """
    sides = sorted((project.shop.length_m, project.shop.width_m))
    front = next((side for side in sides if side >= project.wall.width_m), sides[1])
    deep = sides[0] if front == sides[1] else sides[1]
    eaves = max(project.shop.eaves_m, project.wall.foot_m + project.wall.height_m)
    own = roofed(front, deep, eaves, eaves, "flat", "along front")
    moved = tuple((x, y - 0.5 * deep, z) for x, y, z in own)
    return replace(scene, solids=(*scene.solids, Solid(ALWAYS, moved)))


def module_receiver(project: Project, field: PvField) -> Receiver:
    """Return a field's plane as a grid with the gaps left out; the bins are the bypass parts."""
    plane = module_plane(project, field)
    level, upslope = np.asarray(plane.level), np.asarray(plane.upslope)
    parts = field.bypass_parts
    across, along = (parts, FINE) if field.upright else (FINE, parts)
    half = 0.5 * (field.columns * field.pitch_along_m - field.column_gap_m)
    wide, tall = field.pitch_along_m - field.column_gap_m, field.pitch_up_m - field.row_gap_m
    starts_u = np.arange(field.columns) * field.pitch_along_m - half
    columns = _cells(starts_u, wide, across)
    rows = _cells(np.arange(field.rows) * field.pitch_up_m, tall, along)
    # Modules count from the right-hand end of someone looking out: the left for who faces them.
    column = (field.columns - 1 - np.arange(field.columns)).repeat(across)
    row = np.arange(field.rows).repeat(along)
    module = row[:, None] * field.columns + column[None, :]
    within_u, within_v = np.tile(np.arange(across), field.columns), np.tile(np.arange(along), field.rows)
    part = (
        np.broadcast_to(within_u[None, :], module.shape)
        if field.upright
        else np.broadcast_to(within_v[:, None], module.shape)
    )
    return Receiver(
        origin=np.asarray(plane.point),
        axes=np.array([level, upslope, np.cross(upslope, level)]),
        columns=columns,
        rows=rows,
        bins=np.ascontiguousarray(module * parts + part, dtype=np.int64),
        count=field.modules * parts,
    )


def _cells(starts: NDArray[np.floating], size: float, count: int) -> Floats:
    """Return (left, right) of ``count`` cells in each of several stretches of one size."""
    edges = starts[:, None] + size * np.arange(count + 1) / count
    return np.column_stack([edges[:, :-1].ravel(), edges[:, 1:].ravel()])
