"""The wall as its builder describes it: size, glazing, gap, absorber, what stands behind, vents, frame, shading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.web.frame import frame
from noonwall.web.parts.described import assumptions, doubts, section, strip
from noonwall.web.parts.form import Group, Listed, Row, card, fold, group, members, optional

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

SIZE = Group(
    (
        Row("width", "Glazed width"),
        Row("height", "Glazed height"),
        Row("foot", "Foot above the ground"),
        Row("azimuth", "Faces", "south is 180; \"8 deg east of south\" reads too"),
    )
)  # fmt: skip
GLAZING = Group(
    (
        Row("kind", "Glazing"),
        Row("sheets", "Sheets, one behind the other"),
        Row("sheet_width", "Width of one sheet"),
    ),
    (
        Row("sheet_gap", "Air space between two sheets"),
        Row("service_limit", "Lasting heat the maker allows"),
        Row("dirt", "Sun lost to dirt and age"),
    ),
)
SKIN = Group(
    (Row("thickness", "Thickness"), Row("refractive_index", "Refractive index"), Row("extinction", "Extinction, 1/m")),
    (Row("emittance_out", "Emittance, outer face"), Row("emittance_in", "Emittance, inner face"),
     Row("conductivity", "Conductivity"), Row("density", "Density"), Row("specific_heat", "Specific heat")),
)  # fmt: skip
GAP = Group(
    (Row("gap", "Depth of the air gap"),),
    (Row("leakage", "Leak to outdoors along the glazing's edge"),),
)
ARRANGEMENTS = {
    "air in front": "air between glazing and a solid face",
    "air behind": "air behind a solid face",
    "mesh": "air through a dark mesh hung in the gap",
}
ABSORBER = Group(
    (Row("arrangement", "Where the air passes", words=ARRANGEMENTS), Row("face", "Face, from the catalogue")),
    (Row("absorptance", "Share of sun the face takes"), Row("emittance", "Long-wave emittance of the face"),
     Row("stagnant_gap", "Still air behind the glazing, air behind only"),
     Row("mesh_openness", "Sun that passes the mesh untouched"),
     Row("mesh_area_ratio", "Wetted area of the mesh per wall area")),
    "Figures of the face and the mesh",
)  # fmt: skip
LAYER = Group(
    (Row("material", "Material"), Row("thickness", "Thickness"), Row("r", "Resistance, if known directly")),
    (Row("conductivity", "Conductivity"), Row("density", "Density"), Row("specific_heat", "Specific heat"),
     Row("combustible", "Burns")),
    "Own figures",
)  # fmt: skip
VENTS = Group(
    (Row("count", "How many"), Row("width", "Width of one"), Row("height", "Height of one")),
    (Row("centre", "Middle above the wall's foot"), Row("screen_open_share", "Free share of an insect screen"),
     Row("discharge", "Discharge coefficient")),
)  # fmt: skip
FRAME = Group(
    (Row("material", "Frame of"), Row("share", "Share of the wall it covers"),
     Row("studs", "Studs behind the absorber")),
)  # fmt: skip
OVERHANG = Group(
    (Row("depth", "Stands out from the glazing"), Row("above", "Above the glazing's top"),
     Row("side", "Runs past the wall at each side")),
)  # fmt: skip


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/wall", title="Wall - noonwall")
    def page() -> None:
        with frame(bench, "/wall", "The wall"):
            strip(bench)
            doubts(bench, ("wall",))
            with ui.element("div").classes("nw-beside"):
                section(bench)
                with ui.column().classes("nw-col"):
                    _size(bench)
            _build_up(bench)
            _openings(bench)
            assumptions(bench, ("wall",))


def _size(bench: Bench) -> None:
    with card("Size and place"):
        group(bench, SIZE, "wall")
    with card("Air gap", "Between glazing and dark face; the warm air rises in it."):
        group(bench, GAP, "wall")


def _build_up(bench: Bench) -> None:
    with card("Glazing", "The clear cover, from outdoors."):
        group(bench, GLAZING, "wall.glazing")
        with fold("Own skins, with figures of your own"):
            members(
                bench,
                Listed(
                    "wall.glazing.skin", "skin",
                    {"thickness": "4 mm", "refractive_index": 1.526, "extinction": 15},
                    "Add a skin", 'Only read when the glazing is "own". Outermost first.', ordered=True,
                ),
                lambda key, _: group(bench, SKIN, key),
                lambda row, i: f"Skin {i + 1}: {row.get('thickness', '')}",
            )  # fmt: skip
    with card("Dark face", "What takes the sun. Its layers stand face first."):
        group(bench, ABSORBER, "wall.absorber")
        layers(bench, "wall.absorber.layer", {"material": "cement board", "thickness": "12 mm"})
    with card("Behind the dark face", "Towards the room: insulation, boards, the room's lining last."):
        layers(bench, "wall.backing", {"material": "mineral wool", "thickness": "140 mm"},
               "Nothing: the dark face is the room's own wall.")  # fmt: skip
    with card("Frame", "What holds the glazing and divides the bays."):
        group(bench, FRAME, "wall.frame")


def _openings(bench: Bench) -> None:
    for row, told in (
        ("bottom", "Where the gap takes in air."),
        ("top", "Where the warm air leaves the gap."),
    ):
        with card(f"Vents at the {'foot' if row == 'bottom' else 'top'}", told):
            group(bench, VENTS, f"wall.vents.{row}")
    with card("Roof edge above the wall"):
        optional(
            bench, "wall.overhang", {"depth": "400 mm"},
            ("None described. A plain roof edge shades the summer sun; awnings and modules stand on the site's page.",
             "Add a roof edge", "Take the roof edge away"),
            lambda: group(bench, OVERHANG, "wall.overhang"),
        )  # fmt: skip


def layers(bench: Bench, key: str, first: dict[str, Any], empty: str = "") -> None:
    """Show the layers of a build-up, each with its boxes."""
    members(
        bench,
        Listed(key, "layer", first, "Add a layer", empty, ordered=True),
        lambda at, _: group(bench, LAYER, at),
        lambda row, i: f"{i + 1}. {layer_words(row)}",
    )


def layer_words(row: dict[str, Any]) -> str:
    """Return what to call a layer: "cement board, 12 mm"."""
    said = [str(row[key]) for key in ("material", "thickness") if key in row]
    return ", ".join(said) or f"resistance {row.get('r', 'of its own')}"
