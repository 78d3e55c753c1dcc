"""From what a builder measured - bearing, distance, angles - to metres from the wall's foot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.obstacle import Post, Slope, Tree

if TYPE_CHECKING:
    from noonwall.model.place import Placed, Sighted, StandingPoint
    from noonwall.model.project import Project
    from noonwall.model.site import Site


@dataclass(frozen=True)
class Spot:
    """A place in metres from the middle of the wall's foot: east, north, and its ground's height."""

    east_m: float
    north_m: float
    ground_m: float


def height_by_tangent(distance_m: float, top_deg: float, foot_deg: float) -> float:
    """Return the height of a thing sighted from a level distance.

    distance_m  level distance [m];  top_deg  angle up to the top [deg]
    foot_deg    angle down to the foot, positive when the foot lies below the eye [deg]
    Returns     D (tan top + tan foot) [m]
    *Source*    tangent method of forest measuring, any handbook of the trade
    >>> round(height_by_tangent(20.0, 35.0, 4.0), 2)
    15.4
    """
    return distance_m * (math.tan(math.radians(top_deg)) + math.tan(math.radians(foot_deg)))


def declination_deg(site: Site, point: StandingPoint) -> float:
    """Return the magnetic declination, east positive: the site's own, or by the World Magnetic Model.

    Raises  ProjectError when the site names none and the standing point no usable day
    """
    if site.declination_deg is not None:
        return site.declination_deg
    if point.surveyed is None:
        raise ProjectError(
            f'a bearing by compass from "{point.name}" needs the magnetic declination: give '
            "site.magnetic_declination, or the day of the readings as the standing point's surveyed"
        )
    return modelled_declination_deg(site, point.surveyed)


def modelled_declination_deg(site: Site, day: str) -> float:
    """Return the declination of a place on a day (YYYY-MM-DD), east positive [deg].

    *Source*  World Magnetic Model (NOAA NCEI and British Geological Survey), coefficients of package pygeomag
    Raises    ProjectError for no day, or a day outside the models' years
    """
    from pygeomag import GeoMag  # type: ignore[import-untyped]

    try:
        when = date.fromisoformat(day)
    except ValueError:
        raise ProjectError(f'"{day}" is no day; write YYYY-MM-DD, such as "2026-03-21"') from None
    year = when.year + (when.timetuple().tm_yday - 1) / 365.25
    try:
        model = GeoMag(base_year=year)
        found = model.calculate(site.latitude_deg, site.longitude_deg, site.elevation_m / 1000.0, year)
    except (ValueError, OSError):
        raise ProjectError(
            f"no magnetic model here for {when.year}; give site.magnetic_declination"
        ) from None
    return float(found.d)


def point_named(project: Project, name: str) -> StandingPoint:
    """Return the standing point of a name.

    Raises  ProjectError when there is none
    """
    for point in project.standing_points:
        if point.name == name:
            return point
    known = ", ".join(f'"{p.name}"' for p in project.standing_points) or "none"
    raise ProjectError(
        f'no standing point "{name}" (there is {known}); add a [[standing_point]] of that name'
    )


def ground_at(project: Project, east_m: float, north_m: float) -> float:
    """Return the ground's height above the ground at the wall's foot: level, or on the slope [m]."""
    for item in project.obstacles:
        if isinstance(item, Slope):
            uphill = math.radians(item.uphill_deg)
            away = east_m * math.sin(uphill) + north_m * math.cos(uphill)
            return away * math.tan(math.radians(item.rise_deg))
    return 0.0


def spot_of(project: Project, placed: Placed) -> Spot:
    """Return where something stands.

    Raises  ProjectError when no place, or more than one, is given
    """
    ways = {
        "east and north": (placed.east_m, placed.north_m),
        "along and out": (placed.along_m, placed.out_m),
        "bearing and distance": (placed.bearing_deg, placed.distance_m),
    }
    begun = [name for name, pair in ways.items() if pair[0] is not None or pair[1] is not None]
    if not begun:
        raise ProjectError("has no place; give east and north, along and out, or from, bearing and distance")
    if len(begun) > 1:
        raise ProjectError(f"has two places ({begun[0]}; {begun[1]}); keep one of them")
    if None in ways[begun[0]]:
        raise ProjectError(f"gives half a place; {begun[0]} belong together")
    if begun[0] == "bearing and distance":
        east, north = _sighted(project, placed)
    elif begun[0] == "along and out":
        east, north = _from_wall(project.wall.azimuth_deg, placed.along_m or 0.0, placed.out_m or 0.0)
    else:
        east, north = placed.east_m or 0.0, placed.north_m or 0.0
    ground = placed.ground_m
    if ground is None:
        ground = _foot_by_angle(project, placed)
    return Spot(east, north, ground_at(project, east, north) if ground is None else ground)


def _from_wall(azimuth_deg: float, along_m: float, out_m: float) -> tuple[float, float]:
    turn = math.radians(azimuth_deg)
    out_east, out_north = math.sin(turn), math.cos(turn)
    return along_m * out_north + out_m * out_east, out_m * out_north - along_m * out_east


def _sighted(project: Project, placed: Placed) -> tuple[float, float]:
    if placed.seen_from is None:
        raise ProjectError(
            "has a bearing but no standing point; name one with from, and describe it as [[standing_point]]"
        )
    point = point_named(project, placed.seen_from)
    bearing = placed.bearing_deg or 0.0
    if placed.bearing_is == "magnetic":
        bearing += declination_deg(project.site, point)
    turn, distance = math.radians(bearing), placed.distance_m or 0.0
    return point.east_m + distance * math.sin(turn), point.north_m + distance * math.cos(turn)


def _foot_by_angle(project: Project, placed: Placed) -> float | None:
    """Return the ground's height by the angle down to the foot, None without such an angle."""
    if not isinstance(placed, Tree | Post) or placed.foot_angle_deg is None or placed.seen_from is None:
        return None
    point = point_named(project, placed.seen_from)
    drop = (placed.distance_m or 0.0) * math.tan(math.radians(placed.foot_angle_deg))
    return point.ground_m + point.eye_m - drop


def height_of(project: Project, sighted: Sighted, height_m: float | None) -> float:
    """Return a thing's height: as told, or by the angles it was sighted at [m].

    Raises  ProjectError when neither is given, or both, or the angles make no height
    """
    if (height_m is None) == (sighted.top_angle_deg is None):
        which = (
            "no height; give height or top_angle" if height_m is None else "height and top_angle; keep one"
        )
        raise ProjectError(f"has {which}")
    if height_m is not None:
        return height_m
    if sighted.seen_from is None or sighted.distance_m is None:
        raise ProjectError("has a top_angle but no standing point and distance to take it from")
    point = point_named(project, sighted.seen_from)
    if sighted.foot_angle_deg is None:
        spot = spot_of(project, sighted)
        up = sighted.distance_m * math.tan(math.radians(sighted.top_angle_deg or 0.0))
        height = point.ground_m + point.eye_m + up - spot.ground_m
    else:
        height = height_by_tangent(sighted.distance_m, sighted.top_angle_deg or 0.0, sighted.foot_angle_deg)
    if height < 0.05:
        raise ProjectError(f"the angles make a height of {height:.2f} m; the top lies below the foot")
    return height
