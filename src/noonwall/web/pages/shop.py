"""The shop as its builder describes it: room, envelope, slab, leaks, contents, people and machines, heater, prices."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.web.frame import frame
from noonwall.web.pages.wall import layers
from noonwall.web.parts.described import assumptions, doubts, strip
from noonwall.web.parts.form import Listed, card, fold, group, members, optional
from noonwall.web.parts.trade import (
    AIR,
    COMFORT,
    CONTENTS,
    GAINS,
    HEATER,
    MONEY,
    NAME,
    NEW_PART,
    PART,
    ROOM,
    SLAB,
)  # fmt: skip

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/shop", title="Shop - noonwall")
    def page() -> None:
        with frame(bench, "/shop", "The shop"):
            strip(bench)
            doubts(bench, ("shop", "money"))
            _shop(bench)
            _inside(bench)
            assumptions(bench)


def _shop(bench: Bench) -> None:
    with card("Room", "The room that the wall heats."):
        group(bench, NAME)
        group(bench, ROOM, "shop")
    with card("Envelope", "Walls, roof, windows, doors, each once; the glazed wall's own area left out."):
        members(
            bench,
            Listed("shop.part", "part", NEW_PART, "Add a part", ordered=True, folded=True),
            lambda key, _: _part(bench, key),
            lambda row, _: part_words(row),
        )
    with card("Floor", "A slab loses most of its heat at the edge."):
        group(bench, SLAB, "shop.slab")
    with card("Leaks and doors"):
        group(bench, AIR, "shop.air")


def _part(bench: Bench, key: str) -> None:
    group(bench, PART, key)
    with fold("Its layers, instead of a resistance"):
        layers(bench, f"{key}.layer", {"material": "plywood", "thickness": "12 mm"},
               "From outside to inside. Leave resistance and coefficient open then.")  # fmt: skip


def part_words(row: dict[str, Any]) -> str:
    """Return what to call a part: "east wall: wall, 39.5 m2"."""
    size = str(row.get("area", ""))
    return (
        f"{row.get('name', 'part')}: {row.get('kind', '')}, {size.replace('m2', 'm²').replace('ft2', 'ft²')}"
    )


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
