"""How deep, how high, how steep: what an awning or a row of modules leaves of winter and keeps off in summer.

Many designs are tried by the light they let through, thinned to some hundred directions; those that no other
beats in both are the trade-off curve. Some of them, evenly along the curve, are calculated as whole years.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.modules import field_year
from noonwall.errors import ProjectError, WeatherError
from noonwall.model.obstacle import Awning
from noonwall.model.pv import PvField
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import wall_receiver
from noonwall.shade.season import day_rows, days_of_year, seasons_of
from noonwall.shade.site import OVERHANG, scene_of
from noonwall.studies.overlap import Light, cell_by_cell, rays_to
from noonwall.studies.runner import silent, together
from noonwall.studies.trial import Trial

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Scene
    from noonwall.studies.runner import Tell
    from noonwall.studies.trial import Yield

WINTER_NORTH, SUMMER_NORTH = (11, 12, 1, 2, 3), (6, 7, 8)
WINTER_SOUTH, SUMMER_SOUTH = (5, 6, 7, 8, 9), (12, 1, 2)
STEP_S = 900
KEEP = 0.9
POINTS = 10
ROWS, COLUMNS = 24, 4
NEAR_SHARE = (
    0.01  # designs as near as this in winter and summer count as equal: the one with more electricity
)
FREE_M = 0.03  # the upper edge of modules stays this far off the wall
NEW = "awning"
M_PER_FT = 0.3048
DEPTHS_M = tuple(round(0.2 * step, 1) for step in range(1, 13))
HEIGHTS_M = (-0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0, 1.5)
DEPTHS_FT = (0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0)
HEIGHTS_FT = (-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0)
BRACKET_M = 6.0 * M_PER_FT  # what stands out farther wants posts of its own; common practice, no source
AWNING_TILTS_DEG = (0.0, 15.0, 30.0, 45.0)
MODULE_TILTS_DEG = (10.0, 20.0, 30.0, 45.0, 60.0, 75.0)
Months = tuple[int, ...]


@dataclass(frozen=True)
class Design:
    """One way to hang it."""

    depth_m: float  # how far its outer edge stands out from the wall
    height_m: float  # outer edge above the glazing's top; negative: below it
    tilt_deg: float  # modules: slope of their plane; awning: fall of the outer edge below the inner


@dataclass(frozen=True)
class Bounds:
    """Within what designs were sought: what hangs there now is always inside."""

    most_out_m: float  # no edge stands out farther
    most_up_m: float  # no awning's upper edge, no modules' lower one, hangs higher above the glazing's top


@dataclass(frozen=True)
class Point:
    """A design with what a calculated year says of it."""

    design: Design
    winter_kept: float  # sun on the glazing from November to March, of that without it
    summer_blocked: float  # sun from June to August kept off, of that without it
    given: Yield
    enough: bool  # whether it keeps what was asked


@dataclass(frozen=True)
class Curve:
    """The trade-off."""

    name: str  # what is hung: a PV field, an awning, the overhang, or a new awning
    modules: bool
    keep: float  # share of winter's sun asked for
    winter: Months
    summer: Months
    without: Yield  # nothing hung there
    now: Point | None  # as described; None when it is not there yet
    points: tuple[Point, ...]  # most winter sun first
    tried: int  # designs tried
    within: Bounds


def awning_curve(
    project: Project,
    weather: Weather,
    keep: float = KEEP,
    name: str | None = None,
    years_on: float = 0.0,
    points: int = POINTS,
    tell: Tell = silent,
    step_s: int = STEP_S,
    *,
    feet: bool = False,
) -> Curve:
    """Return what can be had of winter sun and summer shade at once.

    keep    share of the sun from November to March asked for (May to September in the south)
    name    of a PV field or an awning; None: modules over the glazing, else the awning, else a new one
    points  of the curve to calculate;  tell  called with (years calculated, of how many);  step_s  their step [s]
    feet    designs in whole and half feet, else in decimetres
    Raises  ProjectError for a name that is neither; WeatherError for weather without winter or summer
    """
    thing = _thing(project, name)
    trial = Trial(project, weather, step_s, years_on)
    within = _bounds(project, thing)
    designs = tuple(_designs(project, thing, within, feet))
    light = _Seasons(project, trial, thing.name, years_on)
    if not all(np.isin(months, trial.month + 1).any() for months in (light.winter, light.summer)):
        raise WeatherError("the weather covers no winter or no summer; an awning is weighed with both")
    winter, summer = (
        np.array(part) for part in zip(*(light.kept(hung(project, thing, d)) for d in designs), strict=True)
    )
    chosen = _along(designs, winter, summer, _electric(trial, thing, designs), points, keep)
    described = _described(project, thing)
    wanted = [*chosen, *([described] if described else [])]

    def year(design: Design | None) -> Yield:
        changed = hung(project, thing, design)
        return Trial(changed, weather, step_s, years_on).given(scene_of(changed, years_on))

    jobs = [partial(year, design) for design in wanted]
    without, *given = together([partial(year, None), *jobs], tell)

    def point(design: Design, given: Yield) -> Point:
        kept = _sum(given, light.winter) / max(_sum(without, light.winter), 1e-9)
        left = _sum(given, light.summer) / max(_sum(without, light.summer), 1e-9)
        return Point(design, kept, 1.0 - left, given, kept >= keep)

    told = [point(design, year) for design, year in zip(wanted, given, strict=True)]
    return Curve(
        name=thing.name,
        modules=isinstance(thing, PvField),
        keep=keep,
        winter=light.winter,
        summer=light.summer,
        without=without,
        now=told.pop() if described else None,
        points=tuple(sorted(told, key=lambda point: -point.winter_kept)),
        tried=len(designs),
        within=within,
    )


def hung(project: Project, thing: PvField | Awning, design: Design | None) -> Project:
    """Return the project with the thing hung as designed, or, without a design, without it."""
    wall = project.wall.model_copy(update={"overhang": None}) if thing.name == OVERHANG else project.wall
    pv = tuple(field for field in project.pv if field.name != thing.name)
    others = tuple(item for item in project.obstacles if item.name != thing.name)
    if design is not None and isinstance(thing, PvField):
        pv = (*pv, _module_field(thing, design))
    elif design is not None and isinstance(thing, Awning):
        fall = (design.depth_m - thing.gap_m) * math.tan(math.radians(design.tilt_deg))
        values = {"depth_m": design.depth_m, "above_m": design.height_m + fall, "tilt_deg": design.tilt_deg}
        others = (*others, thing.model_copy(update=values))
    return project.model_copy(update={"wall": wall, "pv": pv, "obstacles": others})


def _module_field(field: PvField, design: Design) -> PvField:
    place = dict.fromkeys(("east_m", "north_m", "seen_from", "bearing_deg", "distance_m", "lower_edge_m"))
    return field.model_copy(
        update={
            **place,
            "along_m": field.along_m or 0.0,
            "out_m": design.depth_m,
            "lower_edge_above_glazing_m": design.height_m,
            "tilt_deg": design.tilt_deg,
        }
    )


def _thing(project: Project, name: str | None) -> PvField | Awning:
    """Return what is to be hung: what is named, or what hangs there, or a plain awning."""
    hang = project.wall.overhang
    overhang = None if hang is None or hang.depth_m <= 0.0 else hang
    over = [
        field
        for field in project.pv
        if field.out_m is not None and field.azimuth_deg in {None, project.wall.azimuth_deg}
    ]
    awnings = [item for item in project.obstacles if isinstance(item, Awning)]
    things: list[PvField | Awning] = [*over, *awnings]
    found = {thing.name: thing for thing in things}
    if overhang is not None:
        found[OVERHANG] = Awning(
            name=OVERHANG, depth_m=overhang.depth_m, above_m=overhang.above_m, side_m=overhang.side_m
        )
    if name is None:
        return next(iter(found.values()), Awning(name=_new_name(project), depth_m=1.0))
    if name not in found:
        known = ", ".join(f'"{known}"' for known in found) or "none"
        raise ProjectError(f'no awning and no modules along the wall are called "{name}"; there is {known}')
    return found[name]


def _new_name(project: Project) -> str:
    taken = {item.name for item in (*project.obstacles, *project.pv)}
    return next(name for name in (NEW, *(f"{NEW} {n}" for n in range(2, 1000))) if name not in taken)


def _described(project: Project, thing: PvField | Awning) -> Design | None:
    """Return how the thing hangs now, None for a new one."""
    if isinstance(thing, PvField):
        top = project.wall.foot_m + project.wall.height_m
        high = thing.lower_edge_above_glazing_m
        high = (thing.lower_edge_m or 0.0) - top if high is None else high
        return Design(thing.out_m or 0.0, high, thing.tilt_deg)
    if thing.name != OVERHANG and thing not in project.obstacles:
        return None
    fall = (thing.depth_m - thing.gap_m) * math.tan(math.radians(thing.tilt_deg))
    return Design(thing.depth_m, thing.above_m - fall, thing.tilt_deg)


def _bounds(project: Project, thing: PvField | Awning) -> Bounds:
    """Return how far out and up a builder gets: on brackets, and no higher than the wall, or as far as it hangs now."""
    wall = project.wall
    bounds = Bounds(
        min(BRACKET_M, wall.height_m), max(0.0, project.shop.eaves_m - wall.foot_m - wall.height_m)
    )
    now = _described(project, thing)
    if now is None:
        return bounds
    return Bounds(max(bounds.most_out_m, now.depth_m), max(bounds.most_up_m, _top(thing, now)))


def _up_the_slope(field: PvField) -> float:
    return field.rows * field.pitch_up_m - field.row_gap_m


def _top(thing: PvField | Awning, design: Design) -> float:
    """Return the height above the glazing's top of what holds a design: an awning's upper edge, modules' lower [m]."""
    if isinstance(thing, PvField):
        return design.height_m
    fall = (design.depth_m - thing.gap_m) * math.tan(math.radians(design.tilt_deg))
    return design.height_m + max(0.0, fall)


def _grid(thing: PvField | Awning, feet: bool) -> Iterator[Design]:
    """Yield what is tried; an overhang is the roof's own edge: level, and not before the glazing."""
    edge = thing.name == OVERHANG
    tilts = MODULE_TILTS_DEG if isinstance(thing, PvField) else (0.0,) if edge else AWNING_TILTS_DEG
    depths, heights = (DEPTHS_FT, HEIGHTS_FT) if feet else (DEPTHS_M, HEIGHTS_M)
    unit = M_PER_FT if feet else 1.0
    for depth, height, tilt in product(depths, heights, tilts):
        if height >= 0.0 or not edge:
            yield Design(round(depth * unit, 4), round(height * unit, 4), tilt)


def _designs(project: Project, thing: PvField | Awning, within: Bounds, feet: bool) -> Iterator[Design]:
    """Yield all designs that can be built: off the wall and the ground, over the glazing's foot, within the bounds."""
    for design in _grid(thing, feet):
        if -design.height_m > 0.5 * project.wall.height_m:
            continue
        if design.depth_m > within.most_out_m + 1e-6 or _top(thing, design) > within.most_up_m + 1e-6:
            continue
        if isinstance(thing, PvField):
            up = _up_the_slope(thing)
            if design.depth_m - up * math.cos(math.radians(design.tilt_deg)) < FREE_M:
                continue
        elif design.depth_m <= thing.gap_m:
            continue
        yield design


class _Seasons:
    """Light of winter and summer past a design, ready to be asked again and again."""

    def __init__(self, project: Project, trial: Trial, name: str, years_on: float) -> None:
        north = project.site.latitude_deg >= 0.0
        self.winter, self.summer = (WINTER_NORTH, SUMMER_NORTH) if north else (WINTER_SOUTH, SUMMER_SOUTH)
        self.trial, self.name = trial, name
        self.cells = cell_by_cell(wall_receiver(trial.frame, ROWS, ROWS, COLUMNS))
        others = scene_of(project, years_on).without([name])
        self.faces = [self._face(months) for months in (self.winter, self.summer)]
        self.behind = [self._shares(others, *face[:2]) for face in self.faces]

    def kept(self, project: Project) -> tuple[float, float]:
        """Return the share of winter's and of summer's light that a design leaves."""
        alone = scene_of(project).only(self.name)
        left = []
        for (ways, step, energy), behind in zip(self.faces, self.behind, strict=True):
            through = self._shares(replace(alone, skyline=()), ways, step)
            left.append(
                float(energy @ (through * behind).mean(axis=1))
                / max(float(energy @ behind.mean(axis=1)), 1e-9)
            )
        return left[0], left[1]

    def _face(self, months: Months) -> tuple[Floats, Ints, Floats]:
        counts = np.isin(self.trial.month + 1, months)
        rays = rays_to(
            self.trial, self.cells, Light(self.trial.around.plane, counts.astype(np.float64), counts)
        )
        some = rays.energy > 0.0
        return rays.ways[some], rays.step[some], rays.energy[some]

    def _shares(self, scene: Scene, ways: Floats, step: Ints) -> Floats:
        course = self.trial.around.course
        day = day_rows(course)
        seasons = seasons_of(scene, days_of_year(course, int(day[-1]) + 1))
        return Reach(scene, self.trial.frame, self.cells).shares(
            ways, seasons.states, seasons.of_day[day[step]]
        )


def _electric(trial: Trial, thing: PvField | Awning, designs: Sequence[Design]) -> Floats:
    """Return the electricity of each design on an open site [kWh]; 0 for an awning."""
    if not isinstance(thing, PvField):
        return np.zeros(len(designs))
    course, fine = trial.around.course, trial.around.fine
    by_tilt = {
        tilt: field_year(trial.project, _module_field(thing, Design(9.0, 0.0, tilt)), course, fine).open_kwh
        for tilt in {design.tilt_deg for design in designs}
    }
    return np.array([by_tilt[design.tilt_deg] for design in designs])


def _along(
    designs: Sequence[Design], winter: Floats, summer: Floats, electric: Floats, count: int, keep: float
) -> list[Design]:
    """Return designs evenly along the curve that no other design beats in winter and in summer.

    winter, summer  share of light left by each design;  electric  what tells equal ones apart
    keep            share of winter's light asked for: the design that just leaves it is always among them
    """
    curve = [
        i for i in range(len(designs))
        if not np.any((winter >= winter[i]) & (summer <= summer[i]) & ((winter > winter[i]) | (summer < summer[i])))
    ]  # fmt: skip
    wanted = np.linspace(winter[curve].max(), winter[curve].min(), count)
    chosen = []
    enough = [i for i in curve if winter[i] >= keep + NEAR_SHARE]
    if enough:
        chosen.append(designs[min(enough, key=lambda i: (summer[i], -winter[i]))])
    for share in wanted[: count - len(chosen)] if count > 1 else ():
        i = min(curve, key=lambda i: (abs(winter[i] - share), summer[i]))
        equal = np.flatnonzero((winter >= winter[i] - NEAR_SHARE) & (summer <= summer[i] + NEAR_SHARE))
        best = int(equal[np.argmax(electric[equal] + 1e-6 * (winter[equal] - summer[equal]))])
        chosen.append(designs[best])
    return list(dict.fromkeys(chosen))


def _sum(given: Yield, months: Months) -> float:
    return sum(given.sun_kwh[month - 1] for month in months)
