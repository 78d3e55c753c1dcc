"""The air's way and what moves it: vents, flap, fans, switches, cover, summer vents, the circuit drawn."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.model.edit import set_value
from noonwall.model.typed import reads
from noonwall.web.frame import frame
from noonwall.web.parts.answer import answer_card, caution, pictures, what_is_this
from noonwall.web.parts.described import assumptions, doubts, section, strip
from noonwall.web.parts.field import labelled
from noonwall.web.parts.first import first_values
from noonwall.web.parts.form import Listed, card, change, group, members, optional, value_at_key
from noonwall.web.parts.laid import shown, tables, words
from noonwall.web.parts.room_limit import room_limit, starts
from noonwall.web.parts.trade import (
    CIRCUIT,
    COVER,
    FAN,
    FLAP,
    HEAT,
    KEYS,
    KINDS,
    NEW_FAN,
    OTHER,
    SHUT,
    SUMMER,
    VENTS,
    WANTED,
    WAY,
)  # fmt: skip
from noonwall.web.parts.units_note import units_note
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from noonwall.units import System
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/air", title="Fans and switches - noonwall")
    def page() -> None:
        with frame(bench, "/air", "The air's way, fans and switches"):
            strip(bench)
            units_note(bench)
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
            lambda row, i: f"{i + 1}. {fan_words(row, bench.reader.system)}",
        )
    with card("Switches", "In series unless told otherwise: every one of them can stop the fans."):
        ui.html(
            '<p><a href="#circuit">The circuit they make, drawn and checked</a>, is at the foot of the page.</p>',
            sanitize=False,
        )
        new = {"name": "room limit", "kind": "open on rise", **starts(bench, "open on rise")}
        members(
            bench,
            Listed(
                "switch", "switch", new, "Add a switch", "None: without one the fans never run.", ordered=True
            ),
            lambda key, _: _switch(bench, key),
            lambda row, i: f"{i + 1}. {row.get('name', 'switch')}",
            lambda row: row.get("kind"),
        )
        room_limit(bench)


def fan_words(row: dict[str, Any], system: System) -> str:
    """Return what to call fans: "3 of 0.1 m3/s", the flow as the reader reads it."""
    flow = reads("fan[1].flow", row["flow"], system) if "flow" in row else "a curve"
    return f"{row.get('count', 1)} of {pretty(flow)}"


def _switch(bench: Bench, key: str) -> None:
    kind = str(value_at_key(bench, f"{key}.kind") or "close on rise")
    with ui.element("div").classes("nw-field w-full"):
        chosen = labelled(ui.select(KINDS, value=kind), "This switch", "")
    chosen.on_value_change(lambda e: _turn(bench, key, kind, str(e.value)))
    group(bench, OTHER.get(kind, HEAT), key)


def _turn(bench: Bench, key: str, was: str, kind: str) -> None:
    """Make a switch one of another kind, with usual set points to start from."""
    if kind == was:
        return

    def edit(text: str) -> str:
        start = first_values(starts(bench, kind), bench.reader.system)
        fresh = {"kind": kind, **{name: start.get(name) for name in WANTED}}
        for name, value in fresh.items():
            text = set_value(text, f"{key}.{name}", value)
        return text

    change(bench, edit, f"{value_at_key(bench, f'{key}.name') or 'the switch'}: {KINDS[kind]}")


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
    shown(answer.blocks, "checked")
    words(answer.blocks)
    tables(answer.blocks, besides=("recipes", "checked"))
