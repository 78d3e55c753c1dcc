"""What hangs above the glazing, as a section through the wall shows it: roof edge, awnings, module rows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.model.obstacle import Awning

if TYPE_CHECKING:
    from collections.abc import Iterator

    from noonwall.model.project import Project
    from noonwall.model.pv import PvField
    from noonwall.report.reader import Reader

MIDWINTER_DEG = 23.45  # the sun's declination then; Cooper 1969
FURTHEST = 2.5  # wall heights; what stands out further has no place on the drawing
TURNED_DEG = 30.0  # modules turned further off the wall's way are seen askew, and left out


@dataclass(frozen=True)
class Shade:
    """One thing above the glazing: points (out from the glazing, above its top) from outer to inner edge [m]."""

    name: str
    points: tuple[tuple[float, float], ...]
    solid: bool
    always: bool
    depth_m: float
    noon_rise: (
        float | None
    )  # metres of fall per metre inward of midwinter's noon sun, None if it is not before the wall

    @property
    def out_m(self) -> float:
        """How far its outer edge stands out."""
        return max(x for x, _ in self.points)

    @property
    def over_m(self) -> float:
        """How far it reaches above the glazing's top."""
        return max(z for _, z in self.points)

    @property
    def level(self) -> bool:
        """Whether it lies level."""
        return self.points[0][1] == self.points[-1][1]

    def told(self, reader: Reader) -> str:
        """Return its name and depth."""
        return f"{self.name}, {reader.feet_text(self.depth_m)}"


def shades(project: Project) -> list[Shade]:
    """Return what hangs above the glazing and has its place in a section through it."""
    furthest = FURTHEST * project.wall.height_m
    return [shade for shade in _every(project) if shade.out_m <= furthest and shade.out_m > 0.0]


def far_shades(project: Project) -> list[Shade]:
    """Return what hangs above the glazing, but stands out too far for a drawing of it."""
    drawn = shades(project)
    return [shade for shade in _every(project) if shade not in drawn and shade.out_m > 0.0]


def _every(project: Project) -> Iterator[Shade]:
    rise = _noon_rise(project)
    over = project.wall.overhang
    if over is not None and over.depth_m > 0.0:
        points = ((over.depth_m, over.above_m), (0.0, over.above_m))
        yield Shade("roof edge", points, True, True, over.depth_m, rise)
    for thing in project.obstacles:
        if isinstance(thing, Awning):
            fall = thing.depth_m * math.tan(math.radians(thing.tilt_deg))
            points = ((thing.gap_m + thing.depth_m, thing.above_m - fall), (thing.gap_m, thing.above_m))
            yield Shade(thing.name, points, True, not thing.hung, thing.depth_m, rise)
    for field in project.pv:
        yield from _modules(project, field, rise)


def _modules(project: Project, field: PvField, rise: float | None) -> Iterator[Shade]:
    wall = project.wall
    way = wall.azimuth_deg if field.azimuth_deg is None else field.azimuth_deg
    out = _out_m(project, field)
    if out is None or abs((way - wall.azimuth_deg + 180.0) % 360.0 - 180.0) > TURNED_DEG:
        return
    if field.lower_edge_above_glazing_m is not None:
        low = field.lower_edge_above_glazing_m
    elif field.lower_edge_m is not None:
        low = field.lower_edge_m + (field.ground_m or 0.0) - wall.foot_m - wall.height_m
    else:
        return
    along = field.rows * field.pitch_up_m - field.row_gap_m
    tilt = math.radians(field.tilt_deg)
    points = ((out, low), (out - along * math.cos(tilt), low + along * math.sin(tilt)))
    yield Shade(field.name, points, False, True, along, rise)


def _out_m(project: Project, field: PvField) -> float | None:
    """Return how far a module field's lower edge stands out from the wall, None where it is only sighted."""
    if field.out_m is not None:
        return field.out_m
    if field.east_m is None or field.north_m is None:
        return None
    way = math.radians(project.wall.azimuth_deg)
    return field.east_m * math.sin(way) + field.north_m * math.cos(way)


def _noon_rise(project: Project) -> float | None:
    """Return the tangent of the profile angle of midwinter's noon sun before the wall, None if it is not there."""
    height = 90.0 - abs(project.site.latitude_deg) - MIDWINTER_DEG
    noon = 180.0 if project.site.latitude_deg >= 0.0 else 0.0
    turn = math.cos(math.radians(project.wall.azimuth_deg - noon))
    return math.tan(math.radians(height)) / turn if height > 0.0 and turn > 0.2 else None
