"""Too warm: when, what each remedy does about it, and when to hang the cover."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.web.frame import frame
from noonwall.web.parts.adopting import put_in
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import COLD, GREEN, HEAT, MONTH_NAMES, PALE, SUN, bars, chart
from noonwall.web.parts.laid import sentences, tables, words

if TYPE_CHECKING:
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

TOLD = {"comfort": "Carpets of the hours too hot by date and hour, one for each way of keeping the shop cool"}
NAMES = {"as described": "as it stands"}
COLOURS = (HEAT, COLD, SUN, GREEN, "#6b7f8c", PALE)


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/warm", title="Too warm - noonwall")
    def page() -> None:
        with frame(bench, "/warm", "Too warm: spring, summer, autumn"):
            what_is_this(
                "What is this, and what is normal?",
                "Hours in which the shop is above your own limit, with each way of keeping it cool, and the heat "
                "that each of them gives up while you would want it.",
                "Switching the fans off does not stop the wall: warm air keeps rising through open vents. An opaque "
                "cover takes the heat away at its source.",
            )
            answer_card(bench, "comfort", partial(_draw, bench))


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    offer = answer.more["cover"]
    with ui.card().classes("nw-card"):
        words(answer.blocks, ["cover"] if offer else [])
    if offer:
        _cover(bench, offer)
    with ui.card().classes("nw-card"):
        ui.html("<h2>Hours too hot</h2>", sanitize=False)
        chart(month_bars(answer.document), "Hours too hot by month, for each way of keeping cool")
    with ui.card().classes("nw-card"):
        pictures(result, answer, TOLD)
        tables(answer.blocks, opened=True)


def _cover(bench: Bench, offer: dict[str, Any]) -> None:
    """Show the cover's dates against what the project has, and the button that takes them over."""
    with ui.card().classes("nw-card"):
        ui.html("<h2>When to hang the cover</h2>", sanitize=False)
        sentences(offer["told"])
        if offer["word"]:
            with ui.row():
                put_in(bench, offer["word"], (offer["change"],), offer["done"])


def month_bars(document: dict[str, Any]) -> dict[str, Any]:
    """Return the chart of hours too hot by month and remedy."""
    return {
        "xAxis": {"type": "category", "data": list(MONTH_NAMES)},
        "yAxis": {"type": "value", "name": "h"},
        "series": [
            bars(
                NAMES.get(choice["name"], choice["name"]),
                [round(m["too_hot_h"], 1) for m in choice["months"]],
                COLOURS[i % len(COLOURS)],
            )
            for i, choice in enumerate(document["choices"])
        ],
    }
