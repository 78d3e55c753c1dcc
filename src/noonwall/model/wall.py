"""The glazed dark wall: its place and size, and the parts it is made of."""

from __future__ import annotations

from typing import Literal

from noonwall.model.absorber import Absorber, Frame
from noonwall.model.cover import Cover, Overhang
from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.glazing import Glazing
from noonwall.model.layers import Layer
from noonwall.model.openings import Flap, SummerVent, Vents


class Wall(Record):
    """One glazed air-heating wall."""

    azimuth_deg: float = entry(
        "azimuth",
        "bearing",
        low=0.0,
        high=360.0,
        doc="way it faces, from north clockwise; south is 180, 8 degrees east of south is 172",
    )
    width_m: float = entry("width", "length", low=0.3, high=100.0, doc="glazed width")
    height_m: float = entry("height", "length", low=0.3, high=15.0, doc="glazed height")
    foot_m: float = entry(
        "foot",
        "length",
        0.3,
        low=0.0,
        high=30.0,
        doc="height of the glazing's foot above the ground in front",
        why="clear of splash and drifts",
        source=COMMON,
    )
    gap_m: float = entry(
        "gap",
        "length",
        0.09,
        low=0.01,
        high=0.6,
        doc="depth of the air gap the air flows in",
        why="the depth of a 2x4 frame",
        source=COMMON,
    )
    outlet_to: Literal["room"] = word(
        "outlet_to",
        "room",
        doc="where the top vents lead",
        source=ABSENT,
    )
    inlet_from: Literal["room", "outdoors"] = word(
        "inlet_from",
        "room",
        doc="'room' circulates shop air, 'outdoors' preheats fresh air",
        why="circulating shop air gives the warmest supply",
        source=COMMON,
    )
    leakage_area_m2_per_m: float = entry(
        "leakage",
        "leak_per_length",
        0.0001,
        low=0.0,
        high=0.02,
        doc="leak from gap to outdoors: open area for each length of the glazing's edge",
        why="an edge that is taped and screwed",
        source=COMMON,
    )
    glazing: Glazing = word("glazing", Glazing(), doc="the clear cover")
    absorber: Absorber = word("absorber", doc="the dark face")
    backing: tuple[Layer, ...] = word(
        "backing", (), doc="what stands behind the absorber, towards the room, its lining last", source=ABSENT
    )
    frame: Frame = word("frame", Frame(), doc="what holds it")
    vents: Vents = word("vents", doc="openings to the room")
    flap: Flap | None = word("flap", None, doc="one-way flap, if any", source=ABSENT)
    cover: Cover = word("cover", Cover(), doc="opaque cover and when it hangs")
    overhang: Overhang | None = word("overhang", None, doc="plain overhang above the wall", source=ABSENT)
    summer_vent: SummerVent = word(
        "summer_vent", SummerVent(), doc="openings to outdoors for the warm season"
    )

    @property
    def area_m2(self) -> float:
        """Glazed area, frame included [m²]."""
        return self.width_m * self.height_m
