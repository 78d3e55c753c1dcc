"""The air's way and what moves it: vents, flap, fans, switches, cover, summer vents, the circuit drawn."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.model.edit import set_value
from noonwall.web.frame import frame
from noonwall.web.pages.wall import VENTS
from noonwall.web.parts.answer import answer_card, caution, pictures, tables, what_is_this, words
from noonwall.web.parts.described import assumptions, doubts, section, strip
from noonwall.web.parts.form import Group, Listed, Row, card, change, group, members, optional, value_at_key

if TYPE_CHECKING:
    from noonwall.model.edit import Value
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

SPAN = "such as 05-15 to 09-15; several apart by ;"
HOURS = "such as 20:00 to 07:00; several apart by ;"
WAY = Group(
    (Row("inlet_from", "The gap takes its air from", words={"room": "the shop", "outdoors": "outdoors (fresh air)"}),),
)  # fmt: skip
SHUT = Group(
    (Row("closed", "Shut for part of the year", SPAN), Row("shut_hours", "Shut by hand every day", HOURS))
)
FLAP = Group(
    (Row("row", "Hangs in", words={"bottom": "the foot vents", "top": "the top vents"}),
     Row("leak", "Leaks when shut"), Row("open_share", "Free share when open")),
    (Row("opening_pressure", "Pressure that just lifts it"), Row("stuck", "Stuck")),
)  # fmt: skip
FAN = Group(
    (Row("count", "How many alike"), Row("row", "Sit in", words={"bottom": "the foot vents", "top": "the top vents"}),
     Row("flow", "Flow of one"), Row("pressure", "At this pressure", "0 for the free-air figure on the box"),
     Row("power", "Power of one, running"),
     Row("supply", "Fed from", words={"mains": "mains or a battery", "pv": "straight from a PV module"})),
    (Row("curve", "Its curve instead", "flow, pressure; flow, pressure", wide=True),
     Row("shutoff_pressure", "Pressure at no flow"), Row("stopped_loss", "Loss coefficient when stopped"),
     Row("voltage", "Made for"), Row("current", "Running current"),
     Row("start_ratio", "Starting over running current")),
    "Curve, voltage, currents",
)  # fmt: skip
KINDS = {
    "close on rise": "closes when warm (starts the fans)",
    "open on rise": "opens when warm (a limit)",
    "difference": "closes when warmer than the room",
    "clock": "keeps hours",
    "light": "closes in the sun",
    "by hand": "is set by hand",
}
# what a switch of each kind starts with; what the other kinds want is taken out
STARTS: dict[str, dict[str, Value]] = {
    "close on rise": {"spot": "gap top", "close": "43 C", "open": "32 C"},
    "open on rise": {"spot": "room", "close": "23 C", "open": "26 C"},
    "difference": {"spot": "gap top", "close": "8 K", "open": "3 K"},
    "clock": {"hours": [["08:00", "18:00"]]},
    "light": {"close_sun": "300 W/m2", "open_sun": "200 W/m2"},
    "by hand": {"days": [["10-01", "04-30"]]},
}
WANTED = sorted({key for start in STARTS.values() for key in start} | {"height", "lag"})
HEAT = Group(
    (Row("name", "What to call it"), Row("spot", "Feels"), Row("close", "Closes at"), Row("open", "Opens at")),
    (Row("height", "Height above the floor, in the room"), Row("lag", "Its lag"), Row("contact", "Contact rated for"),
     Row("contact_for", "That rating is for")),
    "Height, lag, contact",
)  # fmt: skip
CONTACT = (Row("contact", "Contact rated for"), Row("contact_for", "That rating is for"))
OTHER = {
    "clock": Group((Row("name", "What to call it"), Row("hours", "Closed in these hours", HOURS),
                    Row("days", "On these days", SPAN)), CONTACT, "Contact"),
    "light": Group((Row("name", "What to call it"), Row("close_sun", "Closes at sun of"),
                    Row("open_sun", "Opens again at")), CONTACT, "Contact"),
    "by hand": Group((Row("name", "What to call it"), Row("days", "Closed on these days", SPAN)), CONTACT, "Contact"),
}  # fmt: skip
CIRCUIT = Group(
    (Row("fans", "The fans are", words={"automatic": "run by the switches", "off": "switched off", "on": "always on"}),
     Row("series", "Switches in series", "names apart by ; and side by side ones by |", wide=True)),
    (Row("module_fans", "Fans on a PV module run"), Row("cable", "Cable, one way"), Row("wire", "Copper of one wire"),
     Row("wire_gauge", "Or its gauge number"), Row("most_drop", "Voltage the cable may eat")),
    "Cable and wire",
)  # fmt: skip
COVER = Group(
    (Row("hung", "Hangs from, to", SPAN), Row("hang_above", "Or once a week's mean outdoors is above"),
     Row("hot_days", "Or once the shop got too hot on days of seven"), Row("take_down_below", "Comes down below")),
    (Row("passes", "Sun that still gets through"),),
)  # fmt: skip
SUMMER = Group(
    (
        Row("top_area", "Opening at the top"),
        Row("bottom_area", "Opening at the foot"),
        Row("open", "Stand open", SPAN),
    )
)
NEW_FAN: dict[str, Value] = {"count": 1, "row": "top", "flow": "0.1 m3/s", "power": "32 W"}
KEYS = (
    "wall.vents",
    "wall.flap",
    "wall.cover",
    "wall.summer_vent",
    "wall.inlet_from",
    "fan",
    "switch",
    "circuit",
)


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/air", title="Fans and switches - noonwall")
    def page() -> None:
        with frame(bench, "/air", "The air's way, fans and switches"):
            strip(bench)
            doubts(bench, KEYS)
            with ui.element("div").classes("nw-beside"):
                section(bench)
                with ui.column().classes("nw-col"):
                    _way(bench)
            _movers(bench)
            _seasons(bench)
            _circuit(bench)
            assumptions(bench, KEYS)


def _way(bench: Bench) -> None:
    with card("The air's way"):
        group(bench, WAY, "wall")
    for row, told in (
        ("bottom", "Where the gap takes in air."),
        ("top", "Where the warm air leaves the gap."),
    ):
        with card(f"Vents at the {'foot' if row == 'bottom' else 'top'}", told):
            group(bench, VENTS, f"wall.vents.{row}")
    with card("Vents shut"):
        group(bench, SHUT, "wall.vents")


def _movers(bench: Bench) -> None:
    with card("One-way flap", "Lets air pass upward only: at night the wall would run backwards."):
        optional(
            bench, "wall.flap", {"row": "bottom"},
            ("None: at night the cold gap draws the shop's warm air in at the top and lets it out cold at the foot.",
             "Hang a flap", "Take the flap away"),
            lambda: group(bench, FLAP, "wall.flap"),
        )  # fmt: skip
    with card("Fans", "Each sits in one opening of its row and blows from gap to room."):
        members(
            bench,
            Listed("fan", "fan", NEW_FAN, "Add fans", "None: the warm air rises by itself."),
            lambda key, _: group(bench, FAN, key),
            lambda row, i: f"{i + 1}. {row.get('count', 1)} of {row.get('flow', 'a curve')}",
        )
    with card("Switches", "In series unless told otherwise: every one of them can stop the fans."):
        new = {"name": "room limit", "kind": "open on rise", **STARTS["open on rise"]}
        members(
            bench,
            Listed(
                "switch", "switch", new, "Add a switch", "None: without one the fans never run.", ordered=True
            ),
            lambda key, _: _switch(bench, key),
            lambda row, i: f"{i + 1}. {row.get('name', 'switch')}",
            lambda row: row.get("kind"),
        )


def _switch(bench: Bench, key: str) -> None:
    kind = str(value_at_key(bench, f"{key}.kind") or "close on rise")
    chosen = ui.select(KINDS, value=kind, label="It").props("outlined stack-label").classes("nw-box")
    chosen.on_value_change(lambda e: _turn(bench, key, kind, str(e.value)))
    group(bench, OTHER.get(kind, HEAT), key)


def _turn(bench: Bench, key: str, was: str, kind: str) -> None:
    """Make a switch one of another kind, with usual set points to start from."""
    if kind == was:
        return

    def edit(text: str) -> str:
        fresh = {"kind": kind, **{name: STARTS[kind].get(name) for name in WANTED}}
        for name, value in fresh.items():
            text = set_value(text, f"{key}.{name}", value)
        return text

    change(bench, edit, f"{key}: {KINDS[kind]}")


def _seasons(bench: Bench) -> None:
    with card("Cover", "An opaque cloth over the glazing in the warm season, by dates or by a rule."):
        group(bench, COVER, "wall.cover")
    with card("Summer vents", "Let the gap's air out to outdoors in the warm season."):
        group(bench, SUMMER, "wall.summer_vent")


def _circuit(bench: Bench) -> None:
    with card("The circuit", mark="circuit"):
        caution(
            "Electrical work: local code and a licensed electrician decide. This is a sketch for talking it over."
        )
        group(bench, CIRCUIT, "circuit")
        what_is_this(
            "What is this, and what is normal?",
            "The fans' circuit as it stands in the cold, and what arithmetic on its figures finds: currents, contacts, "
            "the drop along the cable, how often the switches make and break in a year.",
            "A contact rated for lamps wears out fast on motors; a few starts a day are normal, one every few minutes "
            "means that the set points lie too close together.",
        )
        answer_card(bench, "circuit", partial(_drawn, bench))


def _drawn(_bench: Bench, result: Result, answer: Answer) -> None:
    pictures(
        result,
        answer,
        {"circuit": "The circuit as a ladder: supply, switches in series and side by side, fans"},
    )
    words(answer.blocks)
    tables(answer.blocks)
