"""The shop as its builder describes it: room, envelope, slab, leaks, contents, people and machines, heater, prices."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.model.edit import add_item, set_values
from noonwall.model.typed import reads
from noonwall.web.frame import frame
from noonwall.web.pages.wall import layers
from noonwall.web.parts.described import assumptions, doubts, strip
from noonwall.web.parts.first import first_values
from noonwall.web.parts.form import Listed, button, card, group, members, optional, redrawn, value_at_key
from noonwall.web.parts.sizes import envelope_sizes
from noonwall.web.parts.trade import (
    AIR,
    COMFORT,
    CONTENTS,
    GAINS,
    HEATER,
    LAYERED_PART,
    MONEY,
    NAME,
    NEW_LAYER,
    NEW_PART,
    PART,
    ROOM,
    SLAB,
)
from noonwall.web.parts.units_note import units_note
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from noonwall.units import System
    from noonwall.web.bench import Bench


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/shop", title="Shop - noonwall")
    def page() -> None:
        with frame(bench, "/shop", "The shop"):
            strip(bench)
            units_note(bench)
            doubts(bench, ("shop", "money"))
            _shop(bench)
            _inside(bench)
            assumptions(bench)


def _shop(bench: Bench) -> None:
    with card("Room", "The room that the wall heats."):
        group(bench, NAME)
        group(bench, ROOM, "shop")
    with card("Envelope", "Walls, roof, windows, doors, each once; the glazed wall's own area left out."):
        envelope_sizes(bench)
        members(
            bench,
            Listed("shop.part", "part", NEW_PART, "Add a part", ordered=True, folded=True),
            lambda key, _: _part(bench, key),
            lambda row, _: part_words(row, bench.reader.system),
        )
    with card("Floor", "A slab loses most of its heat at the edge."):
        group(bench, SLAB, "shop.slab")
    with card("Leaks and doors"):
        group(bench, AIR, "shop.air")


def _part(bench: Bench, key: str) -> None:
    """Draw the boxes of a part, which tells its loss by one figure or by its layers."""
    has_layers = partial(value_at_key, bench, f"{key}.layer")
    redrawn(bench, lambda: bool(has_layers()), lambda: _insulation(bench, key, layered=bool(has_layers())))


def _insulation(bench: Bench, key: str, *, layered: bool) -> None:
    if layered:
        group(bench, LAYERED_PART, key)
        layers(bench, f"{key}.layer", NEW_LAYER, "From outside to inside.")
        button(
            bench, "Give one resistance instead", partial(one_figure, key=key), f"{key}: one figure", "undo"
        )
        return
    group(bench, PART, key)
    edit = partial(by_layers, key=key, system=bench.reader.system)
    button(bench, "Describe its layers instead", edit, f"{key}: layers", "edit")


def by_layers(text: str, key: str, system: System = "metric") -> str:
    """Return the project's text with a first layer in place of a part's resistance."""
    without = set_values(text, {f"{key}.r": None, f"{key}.u": None})
    return add_item(without, f"{key}.layer", first_values(NEW_LAYER, system))


def one_figure(text: str, key: str) -> str:
    """Return the project's text with a usual resistance in place of a part's layers."""
    return set_values(text, {f"{key}.layer": None, f"{key}.r": "R-13"})


def part_words(row: dict[str, Any], system: System) -> str:
    """Return what to call a part: "east wall: wall, 39.5 m2", its area as the reader reads it."""
    size = reads("shop.part[1].area", row.get("area"), system)
    return f"{row.get('name', 'part')}: {row.get('kind', '')}, {pretty(size)}"


def _inside(bench: Bench) -> None:
    with card("What stands inside", "It takes up heat by day and gives it back at night."):
        group(bench, CONTENTS, "shop.contents")
    with card("People, lamps, machines"):
        group(bench, GAINS, "shop.gains")
    with card("Backup heater"):
        optional(
            bench, "shop.heater", {"setpoint": "5 C", "power": "9 kW"},
            ("No heater: the shop gets as cold as it gets.", "Add a heater", "Take the heater away"),
            lambda: group(bench, HEATER, "shop.heater"),
        )  # fmt: skip
    with card("Warm enough, too hot"):
        group(bench, COMFORT, "shop.comfort")
    with card("Prices"):
        group(bench, MONEY, "money")
