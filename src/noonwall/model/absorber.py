"""The dark face, and the frame that holds glazing and absorber."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from noonwall.errors import ProjectError
from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.layers import Layer

Arrangement = Literal["air in front", "air behind", "mesh"]


class Absorber(Record):
    """The dark face."""

    arrangement: Arrangement = word(
        "arrangement",
        "air in front",
        doc="where the air passes: in front of a solid face, behind it, or through a mesh hung in the gap",
        why="the simplest to build",
        source=COMMON,
    )
    face: str | None = word(
        "face",
        None,
        doc="name from the catalogue of dark faces: gives absorptance and emittance",
        source=ABSENT,
    )
    absorptance: float = entry(
        "absorptance",
        "share",
        0.94,
        low=0.05,
        high=1.0,
        doc="share of sun the face takes",
        why="flat black paint with some dust",
        source="catalogue of dark faces",
    )
    emittance: float = entry(
        "emittance",
        "share",
        0.90,
        low=0.02,
        high=1.0,
        doc="long-wave emittance of the face",
        why="flat black paint",
        source="catalogue of dark faces",
    )
    layers: tuple[Layer, ...] = word("layer", doc="the absorber itself, face first")
    mesh_openness: float = entry(
        "mesh_openness",
        "share",
        0.45,
        low=0.0,
        high=0.95,
        doc="share of sun that passes a mesh absorber untouched",
        why="two layers of dark insect screen",
        source=COMMON,
    )
    mesh_area_ratio: float = entry(
        "mesh_area_ratio",
        "number",
        2.0,
        low=0.5,
        high=20.0,
        doc="wetted area of the mesh per wall area",
        why="two layers of dark insect screen, both sides of the wires",
        source=COMMON,
    )
    stagnant_gap_m: float = entry(
        "stagnant_gap",
        "length",
        0.03,
        low=0.005,
        high=0.3,
        doc="still air between glazing and a solid absorber with the air behind it",
        why="a batten between glazing and absorber",
        source=COMMON,
    )

    @model_validator(mode="before")
    @classmethod
    def by_face(cls, raw: Any) -> Any:
        """Take absorptance and emittance from a named face where they are not given."""
        if not isinstance(raw, dict) or not isinstance(raw.get("face"), str):
            return raw
        from noonwall.model.catalogue import face

        try:
            named = face(raw["face"])
        except ProjectError as error:
            raise ValueError(str(error)) from None
        return {"absorptance": named.absorptance, "emittance": named.emittance} | raw


class Frame(Record):
    """What holds the glazing and divides the bays."""

    material: str = word(
        "material",
        "softwood",
        doc="name from the catalogue of materials",
        why="studs and battens of the lumber yard",
        source=COMMON,
    )
    share: float = entry(
        "share",
        "share",
        0.08,
        low=0.0,
        high=0.5,
        doc="share of the wall's area that the frame covers",
        why="verticals 38 mm wide every 1.2 m, sills, a middle rail",
        source=COMMON,
    )
    studs: str | None = word(
        "studs",
        None,
        doc="what stands behind the absorber and touches it; name from the catalogue of materials",
        why="the same as the frame",
        source=COMMON,
    )

    @property
    def stud_material(self) -> str:
        """Name of the studs' material, the frame's unless given."""
        return self.material if self.studs is None else self.studs
