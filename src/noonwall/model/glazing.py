"""The clear cover before the dark face."""

from __future__ import annotations

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word


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
