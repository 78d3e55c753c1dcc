"""Buildings, awnings, posts, wing walls and PV modules as solids, boards and poles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.survey import height_of, spot_of
from noonwall.shade import bodies
from noonwall.shade.frame import Frame
from noonwall.shade.scene import ALWAYS, Board, Draft, Pole, Solid
from noonwall.shade.sketch import Sketch

if TYPE_CHECKING:
    from noonwall.model.obstacle import Building, Post, WingWall
    from noonwall.model.project import Project
    from noonwall.model.pv import PvField


def draw_building(site: Sketch, owner: int, house: Building) -> None:
    """Draw a building as one convex solid."""
    spot = spot_of(site.project, house)
    ridge = house.ridge_m if house.roof != "flat" and house.ridge_m is not None else house.eaves_m
    turn = math.radians(house.faces_deg)
    corners = []
    for right, front, up in bodies.roofed(
        house.width_m, house.length_m, house.eaves_m, ridge, house.roof, house.ridge_runs
    ):
        east = spot.east_m + right * math.cos(turn) + front * math.sin(turn)
        north = spot.north_m - right * math.sin(turn) + front * math.cos(turn)
        corners.append((*site.flat(east, north), spot.ground_m + up))
    site.draft.solids.append(Solid(owner, tuple(corners)))


def draw_awning(
    site: Sketch,
    name: str,
    depth_m: float,
    above_m: float,
    side_m: float,
    *,
    gap_m: float = 0.0,
    tilt_deg: float = 0.0,
    passes: float = 0.0,
    hung: tuple[tuple[float, float], ...] = (),
) -> None:
    """Draw an awning or overhang as a board; ``hung`` holds (first, last) days of the year, empty for always.

    Raises  ProjectError when nothing of it is left
    """
    half = 0.5 * site.frame.width_m + side_m
    high = site.frame.foot_m + site.frame.height_m + above_m
    low = high - (depth_m - gap_m) * math.tan(math.radians(tilt_deg))
    if depth_m <= gap_m or half <= 0.0:
        raise ProjectError("has no surface; its depth must exceed its gap, and side may not eat its width")
    corners = ((-half, gap_m, high), (half, gap_m, high), (half, depth_m, low), (-half, depth_m, low))
    draft = site.draft
    owner = draft.owner(name)
    draft.boards.append(Board(owner, corners, 1.0 - passes, draft.hanging(hung)))


def draw_post(site: Sketch, owner: int, post: Post) -> None:
    """Draw a post."""
    spot = spot_of(site.project, post)
    height = height_of(site.project, post, post.height_m)
    middle = site.flat(spot.east_m, spot.north_m)
    site.draft.poles.append(Pole(owner, middle, spot.ground_m, spot.ground_m + height, post.width_m))


def draw_wing(site: Sketch, owner: int, wing: WingWall) -> None:
    """Draw a wing wall as an upright board."""
    at = (0.5 * site.frame.width_m + wing.away_m) * (1.0 if wing.end == "left" else -1.0)
    low, high = wing.bottom_m, wing.top_m
    corners = ((at, 0.0, low), (at, wing.depth_m, low), (at, wing.depth_m, high), (at, 0.0, high))
    site.draft.boards.append(Board(owner, corners, 1.0, ALWAYS))


def draw_modules(site: Sketch, field: PvField) -> None:
    """Draw PV modules as boards, one each."""
    plane = module_plane(site.project, field)
    owner = site.draft.owner(field.name)
    for row in range(field.rows):
        bottom = row * field.pitch_up_m
        top = bottom + field.pitch_up_m - field.row_gap_m
        for left, right in _module_spans(field):
            outline = ((left, bottom), (right, bottom), (right, top), (left, top))
            corners = tuple(plane.at(u, v) for u, v in outline)
            site.draft.boards.append(Board(owner, corners, 1.0, ALWAYS))


def _module_spans(field: PvField) -> list[tuple[float, float]]:
    """Return the left and right edge of each module of a row."""
    pitch, wide = field.pitch_along_m, field.pitch_along_m - field.column_gap_m
    half = 0.5 * (field.columns * pitch - field.column_gap_m)
    return [(c * pitch - half, c * pitch - half + wide) for c in range(field.columns)]


@dataclass(frozen=True)
class Plane:
    """A tilted plane in the wall's axes, by a point, a level and an upslope direction."""

    point: tuple[float, float, float]
    level: tuple[float, float, float]  # to the right of someone who looks out of it
    upslope: tuple[float, float, float]

    def at(self, u: float, v: float) -> tuple[float, float, float]:
        """Return the point ``u`` metres along and ``v`` metres up the slope."""
        x, y, z = (p + u * a + v * b for p, a, b in zip(self.point, self.level, self.upslope, strict=True))
        return x, y, z


def module_plane(project: Project, field: PvField) -> Plane:
    """Return the plane of a PV field; its origin is the middle of the lower edge.

    Raises  ProjectError when place or height of the lower edge is missing or given twice
    """
    site = Sketch(project, Frame.of(project.wall), Draft(), 0.0)
    spot = spot_of(project, field)
    wall = project.wall
    if (field.lower_edge_m is None) == (field.lower_edge_above_glazing_m is None):
        raise ProjectError("give either lower_edge (above the ground) or lower_edge_above_glazing")
    low = spot.ground_m + (field.lower_edge_m or 0.0)
    if field.lower_edge_above_glazing_m is not None:
        low = wall.foot_m + wall.height_m + field.lower_edge_above_glazing_m
    turn = math.radians(wall.azimuth_deg if field.azimuth_deg is None else field.azimuth_deg)
    facing = site.flat(math.sin(turn), math.cos(turn))
    level = site.flat(math.cos(turn), -math.sin(turn))
    tilt = math.radians(field.tilt_deg)
    return Plane(
        point=(*site.flat(spot.east_m, spot.north_m), low),
        level=(*level, 0.0),
        upslope=(-facing[0] * math.cos(tilt), -facing[1] * math.cos(tilt), math.sin(tilt)),
    )
