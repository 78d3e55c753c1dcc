"""Move, resize and cut what stands around the wall: tried on the record first, then written into the text."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from noonwall.errors import ProjectError
from noonwall.model.edit import remove_item, set_values
from noonwall.model.obstacle import Building, Post, Row, Stand, Tree
from noonwall.model.place import Placed
from noonwall.model.pv import PvField
from noonwall.model.survey import height_of, spot_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noonwall.model.edit import Value
    from noonwall.model.obstacle import Obstacle
    from noonwall.model.project import Project
    from noonwall.units import System

Size = Literal["height", "width"]
Spot = tuple[float, float]
M_PER_FT = 0.3048
NEAR_M = 3.0  # what is nearer than this is written to the centimetre
SIGHTED = ("from", "bearing", "bearing_is", "distance")


class Found(NamedTuple):
    """One thing around the wall and where it stands in the project."""

    key: str  # "obstacle[2]", "pv[1]": counted from 1
    thing: Obstacle | PvField


def things(project: Project) -> dict[str, Found]:
    """Return obstacles and modules by name."""
    found: dict[str, Found] = {
        item.name: Found(f"obstacle[{i}]", item) for i, item in enumerate(project.obstacles, start=1)
    }
    return found | {field.name: Found(f"pv[{i}]", field) for i, field in enumerate(project.pv, start=1)}


def thing_named(project: Project, name: str) -> Found:
    """Return one thing by its name.

    Raises  ProjectError when there is none
    """
    found = things(project).get(name)
    if found is None:
        raise ProjectError(f'there is no "{name}" any more; it was taken away or renamed')
    return found


def place_of(project: Project, thing: Obstacle | PvField) -> Spot | None:
    """Return east and north of a thing's middle [m]; None for what hangs on the wall, and for a slope."""
    if isinstance(thing, Row | Stand):
        points = thing.outline if isinstance(thing, Stand) and thing.outline else thing.line
        count = max(len(points), 1)
        return sum(p[0] for p in points) / count, sum(p[1] for p in points) / count
    if isinstance(thing, Placed):
        spot = spot_of(project, thing)
        return spot.east_m, spot.north_m
    return None


def typed(metres: float, system: System) -> str:
    """Return a length as a builder would type it, to a tenth of a foot or of a metre.

    >>> typed(3.66, "us"), typed(-12.34, "metric"), typed(1.618, "metric")
    ('12 ft', '-12.3 m', '1.62 m')
    """
    number = (
        round(metres / M_PER_FT, 1) if system == "us" else round(metres, 1 if abs(metres) >= NEAR_M else 2)
    )
    return f"{number + 0.0:g} {'ft' if system == 'us' else 'm'}"


def moved(project: Project, name: str, to: Spot) -> Project:
    """Return the project with one thing standing elsewhere, its height as it was.

    to      east and north of its middle [m]
    Raises  ProjectError for what has no place of its own
    """
    found = thing_named(project, name)
    return _with(project, found, found.thing.model_copy(update=_new_place(project, found.thing, to)))


def _new_place(project: Project, thing: Obstacle | PvField, to: Spot) -> dict[str, Any]:
    here = place_of(project, thing)
    if here is None:
        raise ProjectError(f'"{thing.name}" hangs on the wall; give its measures instead of a place')
    if isinstance(thing, Row | Stand):
        line = "outline" if isinstance(thing, Stand) and thing.outline else "line"
        shift = (to[0] - here[0], to[1] - here[1])
        return {line: tuple((e + shift[0], n + shift[1]) for e, n in getattr(thing, line))}
    place: dict[str, Any] = {"east_m": to[0], "north_m": to[1], "along_m": None, "out_m": None}
    place |= {"seen_from": None, "bearing_deg": None, "bearing_is": "true", "distance_m": None}
    if isinstance(thing, Tree | Post):
        place |= {"height_m": height_of(project, thing, thing.height_m)}
        place |= {"top_angle_deg": None, "foot_angle_deg": None}
    return place


def resized(project: Project, name: str, size: Size, metres: float) -> Project:
    """Return the project with one thing of another height or width.

    Raises  ProjectError for what has no such size
    """
    found = thing_named(project, name)
    return _with(project, found, found.thing.model_copy(update=_new_size(found.thing, size, metres)))


def size_of(project: Project, thing: Obstacle | PvField, size: Size) -> float | None:
    """Return a thing's height or width [m], None where it has none that can be changed by one number."""
    if size == "height":
        if isinstance(thing, Tree | Post):
            return height_of(project, thing, thing.height_m)
        return thing.high_m if isinstance(thing, Row | Stand) else _roof_m(thing)
    if isinstance(thing, Tree | Row):
        return thing.crown_width_m
    return thing.width_m if isinstance(thing, Post | Building) else None


def _roof_m(thing: Obstacle | PvField) -> float | None:
    if not isinstance(thing, Building):
        return None
    return thing.eaves_m if thing.ridge_m is None or thing.roof == "flat" else thing.ridge_m


def _new_size(thing: Obstacle | PvField, size: Size, metres: float) -> dict[str, Any]:
    if size == "width" and isinstance(thing, Tree | Row):
        return {"crown_width_m": metres}
    if size == "width" and isinstance(thing, Post | Building):
        return {"width_m": metres}
    if size == "height" and isinstance(thing, Tree | Post):
        return {"height_m": metres, "top_angle_deg": None, "foot_angle_deg": None}
    if size == "height" and isinstance(thing, Row | Stand):
        return {"high_m": metres, "low_m": metres * thing.low_m / thing.high_m}
    if size == "height" and isinstance(thing, Building):
        roof = _roof_m(thing) or thing.eaves_m
        eaves = metres * thing.eaves_m / roof
        return {"eaves_m": eaves, "ridge_m": None if thing.ridge_m is None else metres * thing.ridge_m / roof}
    raise ProjectError(f'"{thing.name}" has no such size')


def _with(project: Project, found: Found, thing: Obstacle | PvField) -> Project:
    name = "pv" if isinstance(thing, PvField) else "obstacles"
    every = tuple(thing if item is found.thing else item for item in getattr(project, name))
    return project.model_copy(update={name: every})


def write_moved(text: str, project: Project, name: str, to: Spot, system: System) -> str:
    """Return the project text with one thing moved; metres or feet replace what it was sighted by.

    Modules that were placed along and out from the wall stay described so.
    """
    found = thing_named(project, name)
    new = _new_place(project, found.thing, to)
    if isinstance(found.thing, Placed) and found.thing.along_m is not None:
        along, out = from_wall(project, to)
        new = {"along_m": along, "out_m": out}
    return set_values(text, _written(found, new, system))


def write_resized(text: str, project: Project, name: str, size: Size, metres: float, system: System) -> str:
    """Return the project text with one thing of another height or width."""
    found = thing_named(project, name)
    return set_values(text, _written(found, _new_size(found.thing, size, metres), system))


def from_wall(project: Project, place: Spot) -> Spot:
    """Return (along, out) of a place given as (east, north) [m]."""
    turn = math.radians(project.wall.azimuth_deg)
    out_east, out_north = math.sin(turn), math.cos(turn)
    return place[0] * out_north - place[1] * out_east, place[0] * out_east + place[1] * out_north


def was_sighted(project: Project, name: str) -> bool:
    """Return whether a thing's place stands as bearing and distance from a standing point."""
    thing = thing_named(project, name).thing
    return isinstance(thing, Placed) and thing.bearing_deg is not None


def _written(found: Found, new: Mapping[str, Any], system: System) -> dict[str, Value | None]:
    """Return the keys of the file that a record's new values are written to; what is not there stays away."""
    fields = type(found.thing).model_fields
    values: dict[str, Value | None] = {}
    for attribute, value in new.items():
        if value == getattr(found.thing, attribute):
            continue
        key = f"{found.key}.{fields[attribute].alias or attribute}"
        if isinstance(value, tuple):
            values[key] = [[typed(e, system), typed(n, system)] for e, n in value]
        else:
            values[key] = typed(value, system) if isinstance(value, float) else None
    return values


def write_sawn(
    text: str, project: Project, names: Sequence[str], way: Literal["out", "top", "thin"], amount: float, system: System
) -> str:  # fmt: skip
    """Return the project text with plants taken out, topped at a height [m], or thinned by a share."""
    found = [thing_named(project, name) for name in names]
    if way == "out":
        for one in sorted(found, key=lambda one: -int(one.key[one.key.index("[") + 1 : -1])):
            text = remove_item(text, one.key)
        return text
    values: dict[str, Value | None] = {}
    for key, thing in found:
        if way == "top":
            values[f"{key}.topped"] = typed(amount, system)
        else:
            left = 1.0 - getattr(thing, "thinned", 0.0)
            values[f"{key}.thinned"] = f"{100.0 * (1.0 - left * (1.0 - amount)):.0f} %"
    return set_values(text, values)


__all__ = [
    "SIGHTED",
    "Found",
    "Size",
    "Spot",
    "from_wall",
    "moved",
    "place_of",
    "resized",
    "size_of",
    "thing_named",
    "things",
    "typed",
    "was_sighted",
    "write_moved",
    "write_resized",
    "write_sawn",
]
