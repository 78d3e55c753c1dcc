"""The nights: what goes back out, what stops it, what settles on the glazing."""

from __future__ import annotations

import html
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.report.night_steps import STUCK
from noonwall.web.frame import frame
from noonwall.web.parts.adopting import put_in
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import COLD, FEW, HEAT, MONTH_NAMES, WRAPPED, bars, chart
from noonwall.web.parts.laid import linked, tables, words

if TYPE_CHECKING:
    from noonwall.report.reader import Reader
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

TOLD = {
    "night": "Carpet of the air's way through the wall by date and hour, and what each remedy keeps in the shop"
}


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/night", title="Nights - noonwall")
    def page() -> None:
        with frame(bench, "/night", "Nights: what goes back out"):
            what_is_this(
                "What is this, and what is normal?",
                "After sunset the gap is colder than the shop. Its air sinks, and without a flap it runs the wall "
                "backwards: shop air in at the top, cold air out at the bottom.",
                "A wall without a flap commonly loses a tenth to a half of what it brings in. A film flap keeps most "
                "of that; a flap that leaks keeps less.",
            )
            answer_card(bench, "night", partial(_draw, bench))


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    with ui.card().classes("nw-card"):
        words(answer.blocks, ["stuck"] if any(STUCK in step["told"] for step in answer.more["steps"]) else [])
    with ui.card().classes("nw-card"):
        ui.html("<h2>Carried back out, month by month</h2>", sanitize=False)
        chart(month_bars(answer.document, bench.reader), "Heat carried back out, month by month")
    with ui.card().classes("nw-card"):
        ui.html("<h2>What stops it</h2>", sanitize=False)
        chart(
            choice_bars(answer.document, bench.reader),
            "Heat carried back out and heat of use, for each thing that stops the air",
        )
        for step in answer.more["steps"]:
            with ui.element("div").classes("nw-member w-full"):
                told = linked(step["told"])
                ui.html(f"<h3>{html.escape(step['name'])}</h3><p>{told}</p>", sanitize=False)
                put_in(bench, step["word"], (step["change"],), step["name"])
    with ui.card().classes("nw-card"):
        pictures(result, answer, TOLD)
        tables(answer.blocks)


def month_bars(document: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of heat carried back out by month."""
    months = document["months"]
    return {
        "xAxis": {"type": "category", "data": [MONTH_NAMES[m["month"] - 1] for m in months]},
        "yAxis": {"type": "value", "name": reader.heat_unit},
        "series": [bars("carried back out", [round(reader.heat(m["lost_kwh"]), 1) for m in months], COLD)],
    }


def choice_bars(document: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of what each thing that stops the air loses and leaves of use."""
    choices = document["choices"]

    def heat(key: str) -> list[float]:
        return [round(reader.heat(choice[key])) for choice in choices]

    return {
        "yAxis": {
            "type": "category",
            "data": [choice["name"] for choice in choices],
            "inverse": True,
            "axisLabel": WRAPPED,
        },
        "xAxis": {"type": "value", "name": reader.heat_unit, "nameLocation": "middle", "nameGap": 26, **FEW},
        "grid": {"left": 8, "right": 20, "top": 44, "bottom": 30, "containLabel": True},
        "series": [
            bars("carried back out", heat("lost_kwh"), COLD),
            bars("of use", heat("useful_kwh"), HEAT),
        ],
    }
