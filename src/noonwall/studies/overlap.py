"""How shadows overlap: what light any set of obstacles keeps off wall and modules, in a blink.

A year's sun is thinned to the hours of every seventh day, sky and ground to some directions; what each obstacle
by itself lets through to each cell of the wall is kept. Any set of them together lets through the product. That
is near enough to choose which cuts are worth a whole calculated year, and it is quick enough for all pairs.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from noonwall.engine.year import J_PER_KWH
from noonwall.shade.dome import band_patches, plane_patches
from noonwall.shade.modules import module_receiver, with_shop
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import wall_receiver
from noonwall.shade.season import day_rows, days_of_year, seasons_of
from noonwall.shade.wall import sun_ways
from noonwall.sky.plane import on_plane

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from noonwall.shade.receiver import Receiver
    from noonwall.shade.record import Flags, Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.sky.plane import PlaneSun
    from noonwall.studies.trial import Trial

Singles = NDArray[np.float32]
DAYS, HOURS = 7, 24
BEARINGS = 24
SOURCES = BEARINGS + 1  # the sun by its bearing, and sky and ground together
RINGS, SPOKES = 8, 32
ROWS, COLUMNS = 8, 8
PANEL_ROWS, PANEL_COLUMNS = 4, 8
LEAST_SHARE = 1e-6


class Overlap:
    """The light that each of some obstacles keeps off, ready to be put together in any way."""

    def __init__(self, trial: Trial, scene: Scene, after: Scene, names: Sequence[str]) -> None:
        """Trace the obstacles one by one.

        scene, after  everything as it stands, and with all the obstacles ``names`` cut
        """
        self.names = tuple(names)
        around, project, frame = trial.around, trial.project, trial.frame
        in_season = np.isin(trial.month + 1, trial.season)
        cells = cell_by_cell(wall_receiver(frame, ROWS, ROWS, COLUMNS))
        area: Floats = np.where(in_season, frame.width_m * frame.height_m, 0.0)
        light = Light(around.plane, area, in_season)
        self.wall = _Face(trial, (scene, after), names, cells, light)
        self.panels = []
        for field in project.pv:
            azimuth = project.wall.azimuth_deg if field.azimuth_deg is None else field.azimuth_deg
            plane = on_plane(around.course, around.fine, field.tilt_deg, azimuth)
            area = np.full(len(in_season), field.modules * field.long_m * field.short_m)
            both = (with_shop(scene, project), with_shop(after, project))
            panel = _coarse(module_receiver(project, field))
            self.panels.append(_Face(trial, both, names, panel, Light(plane, area, in_season)))

    def light_kwh(self, cut: Collection[str]) -> tuple[Floats, Floats]:
        """Return the light that gets through, shape (SOURCES,) each [kWh].

        cut      names of the obstacles that are cut, the others stand
        Returns  on the wall in the heating season, and on all modules over all months: direct light by the
                 sun's bearing, then light of sky and ground
        """
        places = [self.names.index(name) for name in cut]
        panels: Floats = sum((panel.light(places) for panel in self.panels), np.zeros(SOURCES))
        return self.wall.light(places), panels


class Light(NamedTuple):
    """Light on an open receiver, step by step."""

    plane: PlaneSun
    area_m2: Floats  # (n,) receiver's area, 0 where the light does not count
    in_season: Flags  # (n,) whether trees are bare, nearly enough


class Rays(NamedTuple):
    """Directions of light with what each stands for."""

    ways: Floats  # (m, 3) in the wall's axes
    step: Ints  # (m,) a step of its season
    energy: Floats  # (m,) [kWh]
    source: Ints  # (m,) which entry of the answer it counts into


class _Face:
    """One receiver: rays with the energy each stands for, and depths obstacle by obstacle."""

    def __init__(
        self,
        trial: Trial,
        scenes: tuple[Scene, Scene],
        names: Sequence[str],
        cells: Receiver,
        light: Light,
    ) -> None:
        course, (scene, after) = trial.around.course, scenes
        rays = rays_to(trial, cells, light)
        self.energy, self.source = rays.energy, rays.source
        day = day_rows(course)
        seasons = seasons_of(scene, days_of_year(course, int(day[-1]) + 1))
        states = seasons.of_day[day[rays.step]]

        def depth(part: Scene) -> Singles:
            shares = Reach(part, trial.frame, cells).shares(rays.ways, seasons.states, states)
            return -np.log(np.maximum(shares, LEAST_SHARE)).astype(np.float32)

        def alone(whole: Scene, name: str) -> Singles:
            return depth(replace(whole.only(name), skyline=()))

        # In single precision: a hundredth of a percent is enough to choose by, and two hundred trees fit.
        self.depth, self.less = depth(scene.without(names)), []
        for name in names:
            standing = alone(scene, name)
            self.depth += standing
            self.less.append(standing - alone(after, name))

    def light(self, cut: Sequence[int]) -> Floats:
        """Return the energy that gets through once the obstacles of these places are cut, by source [kWh]."""
        depth = self.depth.copy()
        for place in cut:
            depth -= self.less[place]
        through = np.exp(-depth).mean(axis=1, dtype=np.float64) * self.energy
        by_source: Floats = np.bincount(self.source, weights=through, minlength=SOURCES).astype(np.float64)
        return by_source


def rays_to(trial: Trial, cells: Receiver, light: Light) -> Rays:
    """Return some hundred directions that stand for all light on a receiver."""
    both = _direct(trial, cells, light), _diffuse(trial, cells, light)
    return Rays(*(np.concatenate(pair) for pair in zip(*both, strict=True)))


def _direct(trial: Trial, cells: Receiver, light: Light) -> Rays:
    """Return the sun's directions in each hour of every middle day."""
    course = trial.around.course
    steps, energy = _sample(trial, (light.plane.beam + light.plane.circumsolar) * light.area_m2)
    ways = sun_ways(trial.frame, course)[steps]
    lit = (ways @ cells.axes[2] > 0.0) & (ways[:, 2] > 0.0) & (energy > 0.0)
    source = (course.azimuth_deg[steps] / 360.0 * BEARINGS).astype(np.int64) % BEARINGS
    return Rays(ways[lit], steps[lit], energy[lit], source[lit])


def _diffuse(trial: Trial, cells: Receiver, light: Light) -> Rays:
    """Return directions of sky, horizon and ground, once in the heating season and once out of it."""
    sky, ground = plane_patches(cells.axes, RINGS, SPOKES)
    parts = (
        (sky, light.plane.isotropic),
        (band_patches(cells.axes, 2, 30), light.plane.horizon),
        (ground, light.plane.ground),
    )
    found = []
    for season in (light.in_season, ~light.in_season):
        if not season.any():
            continue
        step = int(np.flatnonzero(season)[np.count_nonzero(season) // 2])
        for patches, power in parts:
            kwh = float((power * light.area_m2)[season].sum()) * trial.around.course.step_s / J_PER_KWH
            ways = np.column_stack([patches.along, patches.out, patches.up])
            here = np.full(len(ways), step)
            found.append(Rays(ways, here, kwh * patches.weight, np.full(len(ways), BEARINGS)))
    return Rays(*(np.concatenate(column) for column in zip(*found, strict=True)))


def _sample(trial: Trial, power_w: Floats) -> tuple[Ints, Floats]:
    """Return a step in each hour of every middle day, and the energy of all the steps it stands for [kWh]."""
    day = day_rows(trial.around.course)
    hour = trial.around.fine.time.astype("datetime64[h]").astype(np.int64) % HOURS
    block = day // DAYS
    cell = block * HOURS + hour
    energy = np.bincount(cell, weights=power_w) * trial.around.course.step_s / J_PER_KWH
    middle = np.minimum(block * DAYS + DAYS // 2, day[-1])
    chosen = np.flatnonzero(day == middle)
    found, first, many = np.unique(cell[chosen], return_index=True, return_counts=True)
    return chosen[first + many // 2], energy[found]


def cell_by_cell(receiver: Receiver) -> Receiver:
    """Return a receiver whose bins are its cells."""
    rows, columns = receiver.bins.shape
    bins = np.arange(rows * columns, dtype=np.int64).reshape(rows, columns)
    return replace(receiver, bins=bins, count=bins.size)


def _coarse(receiver: Receiver) -> Receiver:
    """Return the same plane as a few large cells, gaps and all."""
    edges = [
        np.linspace(part.min(), part.max(), count + 1)
        for part, count in ((receiver.columns, PANEL_COLUMNS), (receiver.rows, PANEL_ROWS))
    ]
    columns, rows = (np.column_stack([edge[:-1], edge[1:]]) for edge in edges)
    bins = np.zeros((PANEL_ROWS, PANEL_COLUMNS), dtype=np.int64)
    return cell_by_cell(replace(receiver, columns=columns, rows=rows, bins=bins))
