"""The pieces of a wall that get hot: what each is made of, and which node of the calculation stands for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from noonwall.engine.layers import chain_of
from noonwall.model.catalogue import glazing_of, known, material, resolve_layer, search
from noonwall.model.limits import GAP_AIR, ROOM_FACE, Limit, limits_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.engine.inside import Inside
    from noonwall.engine.numbers import Floats
    from noonwall.model.layers import Layer, SolidLayer
    from noonwall.model.project import Project

FRAME, STUDS = "frame beside the absorber", "studs behind the absorber"
Side = Literal["left", "right", "mesh", "gap"]
SKIN_NAMES = {1: ("glazing",), 2: ("glazing, outer skin", "glazing, inner skin")}
THREE_SKINS = ("glazing, outer skin", "glazing, middle skin", "glazing, inner skin")


@dataclass(frozen=True)
class Piece:
    """One piece of the wall."""

    name: str  # "absorber, back"
    material: str  # name in a catalogue, or "own layer"
    side: Side
    node: int
    burns: bool
    holds: bool  # a stud, frame or layer whose hottest face touches the named node, taken as hot as that node
    limits: tuple[Limit, ...]

    @property
    def label(self) -> str:
        """Its name with what it is made of, where the name does not tell."""
        told = not self.holds or self.material in self.name
        return self.name if told else f"{self.name.split(' ')[0]} ({self.material})"

    def of(self, inside: Inside) -> Floats:
        """Return its hottest strip's temperature at every step [C], shape (n,)."""
        if self.side == "gap":
            return inside.gap_c
        if self.side == "mesh":
            if inside.mesh_c is None:
                raise ValueError("a run without a mesh has no mesh piece")
            return inside.mesh_c
        return (inside.left_c if self.side == "left" else inside.right_c)[:, self.node]


def pieces_of(project: Project) -> tuple[Piece, ...]:
    """Return the pieces of a project's wall, from outdoors to the room.

    Layers behind the absorber are told by the face turned to the sun, where they are hottest. Frame and studs
    are no nodes of the calculation: the frame is taken as hot as the absorber's face beside it, studs as hot
    as the absorber's back (or the board behind a mesh) that they touch. In truth they are somewhat cooler.
    """
    wall = project.wall
    skins = _skins(project)
    absorber = [resolve_layer(layer) for layer in wall.absorber.layers]
    backing = [resolve_layer(layer) for layer in wall.backing]
    face, back, right = _absorber(project, absorber, backing, len(skins))
    found = [*skins, Piece("air in the gap", "air", "gap", 0, False, False, _air_limits(project)), face]
    if wall.frame.share > 0.0:
        found.append(_held(FRAME, wall.frame.material, face.side, face.node))
    if back is not None:
        found.append(back)
    touched = back.node if back is not None and wall.absorber.arrangement == "air in front" else 0
    if wall.backing:
        found.append(_held(STUDS, wall.frame.stud_material, "right", touched))
    found += _layers(backing, wall.backing, right, touched)
    last = len(chain_of(right).capacity) - 1
    inner = (backing or absorber)[-1]
    limits = limits_of(ROOM_FACE)
    found.append(
        Piece("wall's face in the room", inner.name, "right", last, inner.combustible, False, limits)
    )
    return tuple(found)


def _air_limits(project: Project) -> tuple[Limit, ...]:
    """Return what the gap's air may reach: the least that a maker gives for a fan, else the usual."""
    told = [fan.hottest_air_c for fan in project.fans if fan.hottest_air_c is not None]
    if not told:
        return limits_of(GAP_AIR)
    least = min(told)
    own = Limit(
        "fans, their maker's figure",
        (GAP_AIR,),
        least,
        "service",
        f"the fan's maker allows air of {least:g} °C",
        "the maker's sheet, as typed in the project",
        "maker",
    )
    usual = limits_of(GAP_AIR)
    if len(told) == len(project.fans):  # what is left is the cable
        words = "most plain PVC cable is rated for 60 to 75 °C; what lies in the gap must bear its air"
        usual = tuple(replace(one, name="plain cable", told=words) for one in usual)
    return tuple(sorted((own, *usual), key=lambda one: one.value_c))


def _skins(project: Project) -> list[Piece]:
    glazing = project.wall.glazing
    spec = glazing_of(glazing)
    count = len(spec.skins)
    names = SKIN_NAMES.get(count, THREE_SKINS)
    stuff = glazing.kind if not known("glazing", glazing.kind) else search("glazing", glazing.kind)
    limits = limits_of(stuff)
    if glazing.service_limit_c is not None:
        own = Limit(
            "glazing, its maker's figure",
            (stuff,),
            glazing.service_limit_c,
            "lasting",
            f"the sheet's maker allows {glazing.service_limit_c:g} °C in lasting use",
            "the maker's sheet, as typed in the project",
            "maker",
        )
        limits = (own, *(one for one in limits if one.nature != "lasting"))
    burns = "glass" not in stuff
    return [Piece(names[k], stuff, "left", k, burns, False, limits) for k in range(count)]


def _absorber(
    project: Project, absorber: list[SolidLayer], backing: list[SolidLayer], skins: int
) -> tuple[Piece, Piece | None, list[SolidLayer]]:
    """Return the absorber's face and back (None for a mesh), and the layers of the right chain."""
    first, last = absorber[0], absorber[-1]
    arrangement = project.wall.absorber.arrangement
    if arrangement == "mesh":
        mesh = Piece("absorber mesh", first.name, "mesh", 0, first.combustible, False, limits_of(first.name))
        return mesh, None, backing
    ends = chain_of(absorber).last_of_layer
    side: Side = "left" if arrangement == "air behind" else "right"
    start = skins if arrangement == "air behind" else 0
    face = Piece("absorber, face", first.name, side, start, first.combustible, False, limits_of(first.name))
    back = Piece(
        "absorber, back", last.name, side, start + ends[-1], last.combustible, False, limits_of(last.name)
    )
    return face, back, [*absorber, *backing] if arrangement == "air in front" else backing


def _layers(
    backing: Sequence[SolidLayer], told: Sequence[Layer], right: Sequence[SolidLayer], touched: int
) -> list[Piece]:
    """Return each layer behind the absorber by its face turned to the sun."""
    ends = chain_of(right).last_of_layer
    before = len(right) - len(backing)
    found = []
    for i, layer in enumerate(backing):
        node = touched if i == 0 else ends[before + i - 1]
        name = layer.name if layer.name != "own layer" else f"layer {i + 1} behind the absorber"
        limits = limits_of(layer.name) if told[i].material else ()
        found.append(
            Piece(f"{name}, its hot face", layer.name, "right", node, layer.combustible, True, limits)
        )
    return found


def _held(name: str, stuff: str, side: Side, node: int) -> Piece:
    """Return a frame or stud that touches a node."""
    own = material(stuff)
    return Piece(name, own.name, side, node, own.combustible, True, limits_of(own.name))
