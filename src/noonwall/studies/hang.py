"""A design of the awning study written into a project's text, as one step: hung so, or taken away."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.edit import add_item, remove_item, set_value, set_values
from noonwall.model.obstacle import Awning
from noonwall.model.pv import PvField
from noonwall.model.rearrange import things, typed
from noonwall.shade.site import OVERHANG
from noonwall.units import by_tape

if TYPE_CHECKING:
    from noonwall.model.edit import Value
    from noonwall.model.project import Project
    from noonwall.studies.awning import Design
    from noonwall.units import System

ROOF_EDGE = "wall.overhang"


def hung_keys(project: Project, name: str, design: Design, system: System) -> dict[str, Value]:
    """Return the keys of a thing's own table that hang it so, as a builder would type them."""
    found = things(project).get(name)
    thing = None if found is None else found.thing
    depth, tilt = _by_tape(design.depth_m, system), f"{design.tilt_deg:g} deg"
    if isinstance(thing, PvField):
        return {"out": depth, "lower_edge_above_glazing": _by_tape(design.height_m, system), "tilt": tilt}
    gap = thing.gap_m if isinstance(thing, Awning) else 0.0
    fall = (design.depth_m - gap) * math.tan(math.radians(design.tilt_deg))
    keys: dict[str, Value] = {"depth": depth, "above": _by_tape(design.height_m + fall, system)}
    return keys if name == OVERHANG else keys | {"tilt": tilt}


def _by_tape(metres: float, system: System) -> str:
    """Return a length as a builder marks it out: with US units in feet and inches."""
    return by_tape(metres, system) if system == "us" else typed(metres, system)


def table_of(project: Project, name: str, *, new: bool = False) -> str:
    """Return the table of the file that holds a thing: "wall.overhang", "obstacle[2]", "obstacle" for a new one.

    Raises  ProjectError when it is no longer there
    """
    found = things(project).get(name)
    if found is not None:
        return found.key
    if name == OVERHANG and project.wall.overhang is not None:
        return ROOF_EDGE
    if new:
        return "obstacle"
    raise ProjectError(f'there is no "{name}" any more; it was taken away or renamed')


def write_hung(
    text: str, project: Project, name: str, design: Design | None, system: System, *, new: bool = False
) -> str:
    """Return the project text with a thing hung as designed, or, without a design, without it.

    new     it was not there when it was studied
    Raises  ProjectError when it is no longer there
    """
    table = table_of(project, name, new=new)
    if design is None:
        return set_value(text, table, None) if table == ROOF_EDGE else remove_item(text, table)
    keys = hung_keys(project, name, design, system)
    if table == "obstacle":
        return add_item(text, table, {"kind": "awning", "name": name, **keys})
    # Modules may have their height above the ground; the new one is above the glazing.
    values: dict[str, Value | None] = {f"{table}.lower_edge": None} if "out" in keys else {}
    return set_values(text, values | {f"{table}.{key}": value for key, value in keys.items()})
