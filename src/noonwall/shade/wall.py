"""The story: a project's surroundings and the sun's course, turned into shares of light on the wall."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from noonwall.compiled import kernel
from noonwall.shade.dome import LEVEL_RINGS, LEVEL_SPOKES, band_patches, plane_patches
from noonwall.shade.frame import Frame
from noonwall.shade.ground import ground_receiver, ground_weights
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import Receiver, wall_receiver
from noonwall.shade.record import WallShade
from noonwall.shade.season import blend_of, day_rows, days_of_year, seasons_of
from noonwall.shade.site import scene_of

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.shade.dome import Patches
    from noonwall.shade.reach import Tracer
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.shade.season import Seasons
    from noonwall.sky.sun import SunCourse

FEWEST_ROWS = 24
FEWEST_COLUMNS = 8
WIDEST_COLUMN_M = 1.2
MOST_COLUMNS = 64
DOWN_RINGS, DOWN_SPOKES = 12, 48
CROWN_PART = 0.35  # a column is at most this part of the narrowest crown wide
BEAM_EVERY_S = 300
GROUND_EVERY_S = 1800.0  # the ground's light is worked out this often and joined by straight lines


def wall_shade(project: Project, course: SunCourse, strips: int, years_on: float = 0.0) -> WallShade:
    """Return what overhang, obstacles, modules and horizon leave of each part of the sun on each strip.

    project   the described site and wall
    course    sun at the middle of each of n steps
    strips    how many equal horizontal strips the wall's height is cut into
    years_on  how many years of growth to add to the trees [a]
    Returns   shares of the open site, all exactly 1 where nothing shades
    Raises    ProjectError when an obstacle's place or height does not come out
    """
    return shade_in(scene_of(project, years_on), Frame.of(project.wall), course, strips)


def shade_in(scene: Scene, frame: Frame, course: SunCourse, strips: int, tracer: Tracer = Reach) -> WallShade:
    """Return the same for a scene of plain shapes.

    tracer  makes the Reach that is asked for shares of light; another may remember what it has traced
    """
    day = day_rows(course)
    days = int(day[-1]) + 1
    if scene.empty:
        return WallShade(
            beam_share=np.ones((1, strips)),
            sky_view=np.ones((days, strips)),
            horizon_view=np.ones((days, strips)),
            ground_share=np.ones((1, strips)),
            ground_sky=np.ones((days, strips)),
            day=day,
        )
    wall = tracer(scene, frame, wall_cells(frame, strips, scene))
    ways = sun_ways(frame, course)
    of_year = days_of_year(course, days)
    exact, coarse = seasons_of(scene, of_year), blend_of(scene, of_year)
    beam = _beam_lit(wall, ways, course.step_s, exact, day, strips)
    sky, _ = plane_patches(wall.receiver.axes)
    seen = _ground_seen(scene, wall, sky, coarse.states, tracer)
    seen_by_day = coarse.by_day(seen)
    yard = tracer(scene, frame, ground_receiver(frame))
    weights = ground_weights(frame, strips, yard.receiver)
    dome, _ = plane_patches(yard.receiver.axes, LEVEL_RINGS, LEVEL_SPOKES)
    sky_on_ground = 1.0 - (1.0 - yard.view(dome, coarse.states)) @ weights.T
    return WallShade(
        beam_share=beam,
        sky_view=coarse.by_day(wall.view(sky, coarse.states)),
        horizon_view=coarse.by_day(wall.view(band_patches(wall.receiver.axes), coarse.states)),
        ground_share=_ground_lit(yard, ways, course.step_s, exact, day, weights, seen_by_day),
        ground_sky=coarse.by_day(sky_on_ground * seen),
        day=day,
    )


def wall_cells(frame: Frame, strips: int, scene: Scene | None = None) -> Receiver:
    """Return the glazing as a grid of cells, coarser where the scene allows it without loss.

    Foliage is sampled at the cells' middles. One opaque shadow is exact, however large the cells; where several
    overlap, only a fine grid tells which part of a cell they share.
    """
    columns = max(FEWEST_COLUMNS, math.ceil(frame.width_m / WIDEST_COLUMN_M))
    rows = strips * math.ceil(FEWEST_ROWS / strips)
    if scene is None or scene.crowns or scene.blocks:
        crowns = scene.crowns if scene else ()
        narrowest = min((2.0 * crown.radius_m for crown in crowns), default=frame.width_m)
        columns = max(columns, min(MOST_COLUMNS, math.ceil(frame.width_m / (CROWN_PART * narrowest))))
        return wall_receiver(frame, strips, rows, columns)
    if len(scene.boards) + len(scene.solids) + len(scene.poles) <= 1:
        return wall_receiver(frame, strips, strips, 1)
    return wall_receiver(frame, strips, rows, columns)


def sun_ways(frame: Frame, course: SunCourse) -> Floats:
    """Return the unit vectors to the sun in the wall's axes, shape (n, 3)."""
    along, out = frame.turned(course.east, course.north)
    return np.column_stack([along, out, course.up])


def _ground_seen(scene: Scene, wall: Reach, sky: Patches, states: Floats, tracer: Tracer) -> Floats:
    """Return how much ground each strip sees per ground seen on an open, level site, (states, strips)."""
    _, down = plane_patches(wall.receiver.axes, DOWN_RINGS, DOWN_SPOKES)
    if scene.slope is None:
        return wall.view(down, states)
    # A slope in front takes sky and gives ground of the same brightness.
    rise = sky.up - scene.slope[0] * sky.along - scene.slope[1] * sky.out
    hidden = float(sky.weight[rise <= 0.0].sum())
    return hidden + tracer(scene.without_slope(), wall.frame, wall.receiver).view(down, states)


def _beam_lit(wall: Reach, ways: Floats, step_s: int, seasons: Seasons, day: Ints, strips: int) -> Floats:
    """Return the share of beam that reaches each strip, (n, strips); 1 while the sun is not before the wall.

    Steps finer than five minutes are joined by straight lines: in that time the sun moves a degree and a quarter.
    """
    share = np.ones((len(ways), strips))
    lit = np.flatnonzero((ways[:, 1] > 0.0) & (ways[:, 2] > 0.0))
    every = max(1, BEAM_EVERY_S // step_s)
    if every == 1 or len(lit) < MOST_COLUMNS:
        wall.write_shares(ways[lit], lit, seasons.states, seasons.of_day[day[lit]], share)
        return share
    picked = _picked(lit, every)
    known = wall.shares(ways[lit[picked]], seasons.states, seasons.of_day[day[lit[picked]]])
    joined(lit, picked, known, day, np.ones((int(day[-1]) + 1, strips)), share)
    return share


def _picked(lit: Ints, every: int) -> Ints:
    """Return which of the lit steps to work out: one in ``every``, and both ends of each stretch of light."""
    ends = np.flatnonzero(np.diff(lit) > 1)
    return np.unique(np.concatenate([np.arange(0, len(lit), every), ends, ends + 1, [len(lit) - 1]]))


def _ground_lit(
    yard: Reach, ways: Floats, step_s: int, seasons: Seasons, day: Ints, weights: Floats, seen: Floats
) -> Floats:
    """Return the light from sunlit ground per light on an open site, (n, strips); 1 at night.

    ways, day  sun by step, and the day it is on;  weights  (strips, cells) of the ground grid
    seen       (days, strips) how much ground each strip sees
    """
    lit = np.flatnonzero(ways[:, 2] > 0.0)
    share = np.ones((len(ways), weights.shape[0]))
    if len(lit) == 0:
        return share
    picked = _picked(lit, max(1, round(GROUND_EVERY_S / step_s)))
    chosen = lit[picked]
    cells = yard.shares(ways[chosen], seasons.states, seasons.of_day[day[chosen]])
    joined(lit, picked, 1.0 - (1.0 - cells) @ weights.T, day, seen, share)
    return share


@kernel
def joined(lit: Ints, picked: Ints, known: Floats, day: Ints, seen: Floats, share: Floats) -> None:
    """Join known values by straight lines, times what is seen of the ground.

    lit     (m,) steps to fill;  picked  (k,) which of them are known, first and last among them
    known   (k, strips);  day  (n,) row of ``seen``;  seen  (days, strips)
    share   (n, strips), written at ``lit``
    """
    for k in range(len(picked)):
        here, there = picked[k], picked[k + 1] if k + 1 < len(picked) else picked[k] + 1
        start, way = lit[here], max(1, (lit[there] if there < len(lit) else lit[here] + 1) - lit[here])
        for i in range(here, there):
            part = (lit[i] - start) / way
            row = day[lit[i]]
            for j in range(share.shape[1]):
                rise = known[k + 1, j] - known[k, j] if part > 0.0 else 0.0
                share[lit[i], j] = (known[k, j] + part * rise) * seen[row, j]
