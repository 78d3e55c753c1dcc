"""The glazed dark wall: glazing, gap, absorber, what stands behind it, vents, cover, overhang."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from noonwall.errors import ProjectError
from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.layers import Layer

Arrangement = Literal["air in front", "air behind", "mesh"]
MonthDay = str
HourPair = tuple[str, str]
DOWN_BELOW_K, DOWN_C = 3.0, 12.0  # when a cover's rule takes it down unless told; common practice, no source


class OwnSkin(Record):
    """One clear skin with the builder's own figures."""

    thickness_m: float = entry("thickness", "length", low=1e-5, high=0.05, doc="how thick")
    refractive_index: float = entry(
        "refractive_index", "number", low=1.2, high=2.0, doc="glass 1.526, polycarbonate 1.586, acrylic 1.49"
    )
    extinction_1_m: float = entry(
        "extinction",
        "number",
        low=0.0,
        high=2000.0,
        doc="sun absorbed per metre of path, 1/m: clear white glass 4, window glass 25 to 32",
    )
    emittance_out: float = entry(
        "emittance_out",
        "share",
        0.9,
        low=0.02,
        high=1.0,
        doc="long-wave emittance of the outer face",
        why="plastics and glass",
        source=COMMON,
    )
    emittance_in: float = entry(
        "emittance_in",
        "share",
        0.9,
        low=0.02,
        high=1.0,
        doc="long-wave emittance of the inner face",
        why="plastics and glass",
        source=COMMON,
    )
    conductivity_w_mk: float = entry(
        "conductivity",
        "conductivity",
        0.2,
        low=0.05,
        high=5.0,
        doc="heat conductivity: glass 1.0, plastics 0.2",
        why="polycarbonate",
        source="EN 12524:2000 (now EN ISO 10456)",
    )
    density_kg_m3: float = entry(
        "density",
        "density",
        1200.0,
        low=100.0,
        high=4000.0,
        doc="density: glass 2500, polycarbonate 1200",
        why="polycarbonate",
        source="EN 12524:2000 (now EN ISO 10456)",
    )
    specific_heat_j_kgk: float = entry(
        "specific_heat",
        "specific_heat",
        1200.0,
        low=300.0,
        high=3000.0,
        doc="specific heat: glass 750",
        why="polycarbonate",
        source="EN 12524:2000 (now EN ISO 10456)",
    )


class Glazing(Record):
    """The clear cover: a catalogue sheet, or one to three own skins."""

    kind: str = word(
        "kind",
        "twin-wall polycarbonate 10 mm",
        doc="name from the catalogue of glazings",
        why="light, tough, keeps twice the heat of single glass",
        source=COMMON,
    )
    sheets: int = word(
        "sheets",
        1,
        doc="how many such sheets one behind the other (at most three skins in all)",
        why="one sheet",
        source=COMMON,
    )
    sheet_gap_m: float = entry(
        "sheet_gap",
        "length",
        0.02,
        low=0.004,
        high=0.2,
        doc="air space between two sheets",
        why="a batten between the sheets",
        source=COMMON,
    )
    skins: tuple[OwnSkin, ...] = word(
        "skin",
        (),
        doc='own skins, outermost first, with kind = "own"; sheet_gap stands between them',
        source=ABSENT,
    )
    sheet_width_m: float = entry(
        "sheet_width",
        "length",
        1.22,
        low=0.05,
        high=15.0,
        doc="width of one sheet, from bar to bar; it moves as one piece and bows between its bars",
        why="4 ft, the usual width of sheets and spacing of bars",
        source=COMMON,
    )
    service_limit_c: float | None = entry(
        "service_limit",
        "temperature",
        None,
        low=30.0,
        high=400.0,
        doc="temperature the maker of the sheet allows in lasting use; goes before the catalogue's",
        source=ABSENT,
    )
    dirt_share: float = entry(
        "dirt",
        "share",
        0.03,
        low=0.0,
        high=0.5,
        doc="sun lost to dust, haze and age",
        why="dust outside, haze inside; rain washes an upright sheet",
        source=COMMON,
    )


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


class VentRow(Record):
    """A row of equal openings between gap and room (or outdoors)."""

    count: int = word("count", low=1, high=200, doc="how many")
    width_m: float = entry("width", "length", low=0.01, high=5.0, doc="width of one opening")
    height_m: float = entry("height", "length", low=0.01, high=2.0, doc="height of one opening")
    centre_m: float | None = entry(
        "centre",
        "length",
        None,
        low=0.0,
        high=30.0,
        doc="height of its middle above the wall's foot; default: just inside the wall's end",
        why="just inside the wall's end",
        source="geometry",
    )
    discharge: float = entry(
        "discharge",
        "share",
        0.62,
        low=0.1,
        high=1.0,
        doc="discharge coefficient of a bare opening",
        why="opening with square edges",
        source="ASHRAE Fundamentals, ventilation: 0.60 to 0.65",
    )
    screen_open_share: float = entry(
        "screen_open_share",
        "share",
        1.0,
        low=0.2,
        high=1.0,
        doc="free share of an insect screen over it; 1 for none",
        source=ABSENT,
    )

    @property
    def area_m2(self) -> float:
        """Total opening of the row [m²]."""
        return self.count * self.width_m * self.height_m


class Vents(Record):
    """The openings at the foot and at the top."""

    bottom: VentRow = word("bottom", doc="the lower row")
    top: VentRow = word("top", doc="the upper row")
    closed: tuple[tuple[MonthDay, MonthDay], ...] = word(
        "closed", (), doc="stretches of the year with the vents shut, as [from, to] in MM-DD", source=ABSENT
    )
    shut_hours: tuple[HourPair, ...] = word(
        "shut_hours",
        (),
        doc="hours in which somebody shuts them every day, as [from, to] in HH:MM standard time",
        source=ABSENT,
    )


class Flap(Record):
    """A one-way flap that lets air pass upward through the wall only."""

    row: Literal["bottom", "top"] = word(
        "row", "bottom", doc="which row it hangs in", why="cold air leaves there at night", source=COMMON
    )
    opening_pa: float = entry(
        "opening_pressure",
        "pressure",
        0.3,
        low=0.0,
        high=50.0,
        doc="pressure that just lifts it",
        why="thin film on a mesh; a metal back-draft damper needs 5 to 25 Pa",
        source=COMMON,
    )
    leak_share: float = entry(
        "leak",
        "share",
        0.03,
        low=0.0,
        high=1.0,
        doc="opening that stays when shut, as a share of the row's area",
        why="film that lies well; a warped one leaves more",
        source=COMMON,
    )
    open_share: float = entry(
        "open_share",
        "share",
        0.85,
        low=0.05,
        high=1.0,
        doc="free share of the row's area when fully open",
        why="the mesh it lies on takes the rest",
        source=COMMON,
    )
    stuck: Literal["no", "open", "shut"] = word(
        "stuck", "no", doc="a flap that no longer moves", source=ABSENT
    )


class Cover(Record):
    """An opaque cover hung over the glazing."""

    hung: tuple[tuple[MonthDay, MonthDay], ...] = word(
        "hung", (), doc="stretches of the year it hangs, as [from, to] in MM-DD", source=ABSENT
    )
    hang_above_c: float | None = entry(
        "hang_above",
        "temperature",
        None,
        low=-20.0,
        high=40.0,
        doc="rule: it is hung once the past week's mean outdoors is above this",
        source=ABSENT,
    )
    hot_days: int | None = word(
        "hot_days",
        None,
        low=1,
        high=7,
        doc="rule: it is hung once the shop got too hot on so many of the past seven days; the days are those "
        "of the same year without the cover",
        source=ABSENT,
    )
    take_down_below_c: float | None = entry(
        "take_down_below",
        "temperature",
        None,
        low=-20.0,
        high=40.0,
        doc="rule: it comes down once the past week's mean outdoors is below this",
        why="3 K below the one for hanging; 12 °C where the shop's hot days do the hanging",
        source=COMMON,
    )
    passes_share: float = entry(
        "passes",
        "share",
        0.02,
        low=0.0,
        high=1.0,
        doc="share of sun that still gets through",
        why="an opaque cloth with light at its edges",
        source=COMMON,
    )

    @property
    def by_rule(self) -> bool:
        """Whether a rule, not only dates, hangs it."""
        return self.hang_above_c is not None or self.hot_days is not None

    @property
    def down_c(self) -> float:
        """Weekly mean outdoors below which the rule takes it down [°C]."""
        if self.take_down_below_c is not None:
            return self.take_down_below_c
        return DOWN_C if self.hang_above_c is None else self.hang_above_c - DOWN_BELOW_K


class Overhang(Record):
    """A plain opaque roof edge above the wall, level, as wide as it is told to run past both ends."""

    depth_m: float = entry(
        "depth", "length", low=0.0, high=10.0, doc="how far it stands out from the glazing"
    )
    above_m: float = entry(
        "above",
        "length",
        0.1,
        low=0.0,
        high=10.0,
        doc="how far above the glazing's top it sits",
        why="trim between glazing and soffit",
        source=COMMON,
    )
    side_m: float = entry(
        "side",
        "length",
        1.0,
        low=0.0,
        high=100.0,
        doc="how far it runs past the wall at each side",
        why="a roof that runs on past the wall",
        source=COMMON,
    )


class SummerVent(Record):
    """Openings that let the gap's air go outdoors in the warm season."""

    top_area_m2: float = entry(
        "top_area", "area", 0.0, low=0.0, high=10.0, doc="opening at the top to outdoors", source=ABSENT
    )
    bottom_area_m2: float = entry(
        "bottom_area", "area", 0.0, low=0.0, high=10.0, doc="opening at the foot to outdoors", source=ABSENT
    )
    open: tuple[tuple[MonthDay, MonthDay], ...] = word(
        "open", (), doc="stretches of the year they stand open, as [from, to] in MM-DD", source=ABSENT
    )


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
        doc="leak from gap to outdoors, square metres per metre of the glazing's edge",
        why="1 cm2 for each metre of taped and screwed edge",
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
