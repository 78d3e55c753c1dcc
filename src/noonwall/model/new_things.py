"""What a newly set up tree, shed or awning starts with: usual sizes, before the wall, to be dragged and typed over."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from noonwall.errors import ProjectError
from noonwall.model.rearrange import place_of, things, typed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.model.edit import Value
    from noonwall.model.project import Project
    from noonwall.units import System

SIZES: Mapping[str, tuple[str, Mapping[str, tuple[float, float] | str | int]]] = {
    # word: (stem of its name, keys; lengths as (metres, feet): round figures in both)
    "conifer": ("conifer", {"kind": "tree", "form": "conifer", "height": (10, 30), "crown_width": (4, 12)}),
    "broadleaf": ("tree", {"kind": "tree", "form": "broadleaf", "height": (9, 30), "crown_width": (6, 20)}),
    "row": ("row", {"kind": "row", "form": "conifer", "spacing": (5, 16), "height_low": (7, 22),
                    "height_high": (9, 30), "crown_width": (4, 12)}),
    "stand": ("stand", {"kind": "stand", "form": "conifer", "depth": (4, 12), "height_low": (6, 20),
                        "height_high": (8, 26)}),
    "building": ("building", {"kind": "building", "roof": "gable", "width": (6, 20), "length": (5, 16),
                              "eaves": (2.5, 8), "ridge": (4, 13)}),
    "post": ("post", {"kind": "post", "width": (0.25, 1), "height": (8, 26)}),
    "wing wall": ("wing wall", {"kind": "wing wall", "end": "left", "depth": (1, 3), "top": (2.5, 8)}),
    "awning": ("awning", {"kind": "awning", "depth": (0.6, 2), "above": (0.2, 0.5)}),
    "slope": ("slope", {"kind": "slope", "rise": "5 deg", "uphill": "0 deg"}),
    "modules": ("modules", {"columns": 3, "tilt": "45 deg", "lower_edge": (1, 3)}),
}  # fmt: skip
LINED, UNPLACED = ("row", "stand"), ("wing wall", "awning", "slope")
OUT_M, LONG_M, BESIDE_M, TRIES = 10.0, 10.0, 3.0, 12
MODULES_OUT_M = 4.0


def new_thing(project: Project, what: str, system: System) -> tuple[str, dict[str, Value]]:
    """Return the list a new thing goes to, and its keys and values.

    what    a word of ``SIZES``;  system  units its lengths are written in
    Raises  ProjectError for another word
    """
    if what not in SIZES:
        raise ProjectError(f'nothing to set up is called "{what}"; there is {", ".join(SIZES)}')
    stem, sizes = SIZES[what]
    item: dict[str, Value] = {}
    if "kind" in sizes:
        item["kind"] = str(sizes["kind"])
    item["name"] = free_name(project, stem)
    item |= _place(project, what, system)
    item |= {key: _written(value, system) for key, value in sizes.items() if key != "kind"}
    return ("pv" if what == "modules" else "obstacle"), item


def _written(value: tuple[float, float] | str | int, system: System) -> Value:
    if isinstance(value, tuple):
        return f"{value[1]:g} ft" if system == "us" else f"{value[0]:g} m"
    return value


def free_name(project: Project, stem: str) -> str:
    """Return a name that nothing has yet.

    stem  "tree": the first is "tree 1"
    """
    taken = {*things(project), *(point.name for point in project.standing_points)}
    return next(name for number in range(1, 10**6) if (name := f"{stem} {number}") not in taken)


def _place(project: Project, what: str, system: System) -> dict[str, Any]:
    """Return where a new thing stands: straight out from the wall, beside what stands there."""
    if what in UNPLACED:
        return {}
    if what == "modules":
        return {"along": typed(0.0, system), "out": typed(MODULES_OUT_M, system)}
    turn = math.radians(project.wall.azimuth_deg)
    out, along = (math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))
    there = [at for _, thing in things(project).values() if (at := place_of(project, thing)) is not None]
    spots = [
        (OUT_M * out[0] + side * along[0], OUT_M * out[1] + side * along[1])
        for number in range(TRIES)
        for side in (BESIDE_M * number, -BESIDE_M * number)
    ]
    spot = next((s for s in spots if all(math.dist(s, at) > BESIDE_M for at in there)), spots[0])
    if what in LINED:
        ends = [
            (spot[0] + part * along[0], spot[1] + part * along[1]) for part in (-0.5 * LONG_M, 0.5 * LONG_M)
        ]
        return {"line": [[typed(e, system), typed(n, system)] for e, n in ends]}
    return {"east": typed(spot[0], system), "north": typed(spot[1], system)}


__all__ = ["SIZES", "free_name", "new_thing"]
