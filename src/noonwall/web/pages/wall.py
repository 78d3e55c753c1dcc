"""The wall as its builder describes it: size, glazing, gap, absorber, what stands behind, vents, frame, shading."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.model.edit import add_item, set_values
from noonwall.model.typed import reads
from noonwall.web.frame import frame
from noonwall.web.parts.described import assumptions, doubts, section, strip
from noonwall.web.parts.first import first_values
from noonwall.web.parts.form import Listed, button, card, group, members, optional, redrawn, value_at_key
from noonwall.web.parts.trade import (
    ABSORBER,
    FRAME,
    GAP,
    GLAZING,
    LAYER,
    NEW_SKIN,
    OVERHANG,
    OWN_GLAZING,
    SIZE,
    SKIN,
    VENTS,
)
from noonwall.web.parts.units_note import units_note

if TYPE_CHECKING:
    from noonwall.units import System
    from noonwall.web.bench import Bench


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/wall", title="Wall - noonwall")
    def page() -> None:
        with frame(bench, "/wall", "The wall"):
            strip(bench)
            units_note(bench)
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
        redrawn(bench, lambda: bool(value_at_key(bench, "wall.glazing.skin")), lambda: _glazing(bench))
    with card("Dark face", "What takes the sun. Its layers stand face first."):
        group(bench, ABSORBER, "wall.absorber")
        layers(bench, "wall.absorber.layer", {"material": "cement board", "thickness": "12 mm"})
    with card("Behind the dark face", "Towards the room: insulation, boards, the room's lining last."):
        layers(bench, "wall.backing", {"material": "mineral wool", "thickness": "140 mm"},
               "Nothing: the dark face is the room's own wall.")  # fmt: skip
    with card("Frame", "What holds the glazing and divides the bays."):
        group(bench, FRAME, "wall.frame")


def _glazing(bench: Bench) -> None:
    """Draw the boxes of a sheet of the catalogue, or of skins of the builder's own."""
    if not value_at_key(bench, "wall.glazing.skin"):
        group(bench, GLAZING, "wall.glazing")
        button(
            bench,
            "Describe skins of your own",
            partial(own_skins, system=bench.reader.system),
            "own skins",
            "edit",
        )
        return
    group(bench, OWN_GLAZING, "wall.glazing")
    members(
        bench,
        Listed("wall.glazing.skin", "skin", NEW_SKIN, "Add a skin", ordered=True),
        lambda key, _: group(bench, SKIN, key),
        lambda row, i: f"Skin {i + 1} from outdoors: {thickness(row, bench.reader.system)}",
    )
    button(bench, "Back to a sheet of the catalogue", catalogue_sheet, "a sheet of the catalogue", "undo")


def own_skins(text: str, system: System = "metric") -> str:
    """Return the project's text with a first skin of the builder's own in place of a catalogue's sheet."""
    text = set_values(text, {"wall.glazing.kind": "own", "wall.glazing.sheets": None})
    return add_item(text, "wall.glazing.skin", first_values(NEW_SKIN, system))


def catalogue_sheet(text: str) -> str:
    """Return the project's text with the usual sheet of the catalogue in place of own skins."""
    return set_values(text, {"wall.glazing.kind": None, "wall.glazing.skin": None})


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
        lambda row, i: f"{i + 1}. {layer_words(row, bench.reader.system)}",
    )


def thickness(row: dict[str, Any], system: System) -> str:
    """Return a layer's or a skin's thickness as the reader reads it."""
    return reads("wall.backing[1].thickness", row.get("thickness"), system)


def layer_words(row: dict[str, Any], system: System) -> str:
    """Return what to call a layer: "cement board, 12 mm"."""
    said = [word for word in (str(row.get("material", "")), thickness(row, system)) if word]
    return ", ".join(said) or f"resistance {row.get('r', 'of its own')}"
