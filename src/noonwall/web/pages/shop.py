"""The shop as its builder describes it: room, envelope, slab, leaks, contents, people and machines, heater, prices."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.web.frame import frame
from noonwall.web.pages.wall import layers
from noonwall.web.parts.described import assumptions, doubts, strip
from noonwall.web.parts.form import Group, Listed, Row, card, fold, group, members, optional

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

NAME = Group((Row("name", "Name of the project"), Row("note", "Note", wide=True)))
ROOM = Group(
    (Row("length", "Inside length"), Row("width", "Inside width"), Row("eaves", "Wall height to the eaves"),
     Row("volume", "Air volume", "more than floor times eaves under an open roof")),
    (Row("humidity", "Usual relative humidity"), Row("warmer_per_metre", "Warmer for each metre up")),
)  # fmt: skip
PART = Group(
    (Row("name", "What to call it"), Row("kind", "Kind"), Row("area", "Net area, openings taken off"),
     Row("r", "Resistance, without surface films"), Row("u", "Or heat loss coefficient, films included"),
     Row("azimuth", "Faces", "needed for windows")),
    (Row("solar_gain", "Window: sun that ends in the shop"), Row("absorptance", "Outside: sun it absorbs")),
)  # fmt: skip
SLAB = Group(
    (Row("kind", "Floor on the ground"), Row("thickness", "Slab thickness"),
     Row("edge_insulation", "Edge insulation"), Row("edge_insulation_depth", "It goes down (or in)")),
    (Row("edge_insulation_way", "How it lies"), Row("perimeter", "Outer edge"),
     Row("edge_loss", "Heat loss of the edge, if known")),
)  # fmt: skip
AIR = Group(
    (Row("tightness", "How tight it feels"), Row("air_changes_at_50_pa", "Blower door, at 50 Pa"),
     Row("extra_air_changes", "Added by doors, averaged over the day")),
    (Row("leakage_area", "Leakage area at 4 Pa, if known"),),
)  # fmt: skip
CONTENTS = Group(
    (Row("mass", "Mass of what stands inside", "tools, stock, machines, the boat"),
     Row("specific_heat", "Its specific heat"))
)  # fmt: skip
GAINS = Group(
    (Row("by_hour", "Heat of people, lamps, machines", "24 figures, midnight first", wide=True),
     Row("workdays_only", "Only Monday to Friday"))
)  # fmt: skip
HEATER = Group(
    (Row("setpoint", "Thermostat holds"), Row("power", "Heat at full blast"), Row("fuel", "Burns"),
     Row("price", "Price of one unit of fuel"), Row("price_unit", "The unit", "gallon, litre, therm, cord, kWh, kg")),
    (Row("efficiency", "Heat out per heat in fuel"),),
)  # fmt: skip
COMFORT = Group(
    (Row("warm_enough", "Warm enough to work"), Row("limit", "Heat beyond this is not needed"),
     Row("too_hot", "Too hot to work")),
    (Row("hours", "Hours at which a winter day is told", "such as 8; 12; 18"),),
)  # fmt: skip
MONEY = Group((Row("currency", "Currency"), Row("electricity", "Price of a kilowatt-hour")))
NEW_PART = {"name": "another part", "kind": "wall", "area": "10 m2", "r": "R-13"}


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
            Listed("shop.part", "part", NEW_PART, "Add a part", ordered=True),
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
