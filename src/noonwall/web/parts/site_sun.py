"""The sun's answers on the site page: sky, months, calendar, the order of cuts with a saw, the awning."""

from __future__ import annotations

import html
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.report.site_sky import sky_data
from noonwall.report.tables import CAUTION
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import COLD, GREEN, HEAT, MONTH_NAMES, PALE, SUN, bars, chart, line
from noonwall.web.parts.form import fold
from noonwall.web.parts.laid import about, sentences, tables, words
from noonwall.web.parts.saw import Saw
from noonwall.web.parts.sky import sky_drawing
from noonwall.web.parts.sun_calendar import calendar_drawing, date_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.report.reader import Reader
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Options, Result
    from noonwall.web.parts.site_stage import Stage

TOLD = {
    "sky": "The sky from the glazing's middle and foot, with obstacles and the sun's paths",
    "carpet": "Share of the direct sun that reaches the glazing, by date and hour",
    "plan": "Plan of the site with its shadows, and the lit part of the glazing",
    "months": "What each obstacle keeps off, by month",
    "awning": "Winter sun kept against summer sun kept off, for ways to hang an awning",
}
COLOURS = (GREEN, HEAT, COLD, SUN, PALE)


def sky_card(bench: Bench, stage: Stage) -> None:
    """Show the sky before the wall at the stage's date and hour."""
    with ui.card().classes("nw-card"):
        ui.html("<h2>The sky before the wall</h2>", sanitize=False)
        place = ui.html(sanitize=False).classes("w-full")
        what_is_this(
            "What is this?",
            "What an eye in the glazing's middle sees, looking out: what stands there, and the sun's path on the "
            "chosen date (thick) and on the 21st of each month. Where the path runs behind a thing, that "
            "thing takes the sun.",
        )

    def show() -> None:
        place.set_content(sky_drawing(sky_data(bench.desk.project, stage.years_on, stage.when, bench.reader)))

    stage.on_light(show)
    show()


def year_cards(bench: Bench, stage: Stage) -> None:
    """Show the year's sun, the cuts and the awning, for the age of trees that is chosen."""
    place = ui.column().classes("w-full gap-4")
    saw, trials = Saw(bench, stage), Saw(bench, stage, "change")

    def show() -> None:
        place.clear()
        options: Options = (("years_on", float(stage.years_on)),) if stage.years_on else ()
        with place:
            with ui.card().classes("nw-card"):
                ui.html(f"<h2>The sun of a whole year{_aged(stage)}</h2>", sanitize=False)
                answer_card(bench, "sun", partial(_sun, bench, stage), options)
            _asked(bench, "cuts", f"Which saw cut gains most{_aged(stage)}", "Work out the order of cuts",
                   "Fifty to a hundred years are calculated, each with other trees gone: half a minute or so.",
                   partial(_cuts, saw), options)  # fmt: skip
            if not stage.years_on:
                _asked(bench, "awning", "An awning: winter sun or summer shade", "Work out the trade-off",
                       "Many ways to hang it are tried by the light they let through, ten of them as whole years.",
                       partial(_awning, trials), ())  # fmt: skip

    stage.on_grow(show)
    show()


def _aged(stage: Stage) -> str:
    return f", trees {stage.years_on} years on" if stage.years_on else ""


def _asked(
    bench: Bench, question: str, title: str, button: str, told: str,
    draw: Callable[[Result, Answer], None], options: Options,
) -> None:  # fmt: skip
    """Show a card whose answer takes long: asked for by a button, kept from then on."""
    with ui.card().classes("nw-card"):
        ui.html(f"<h2>{html.escape(title)}</h2>", sanitize=False)
        place = ui.column().classes("w-full gap-2")

    def ask() -> None:
        place.clear()
        with place:
            answer_card(bench, question, draw, options)

    known = bench.known(question, options)
    if known is not None and (known.answer is not None or known.running):
        ask()
        return
    with place:
        ui.label(told).classes("nw-soft")
        ui.button(button, icon="calculate", on_click=ask).props("outline").classes("nw-plain")


def _sun(bench: Bench, stage: Stage, result: Result, answer: Answer) -> None:
    words(answer.blocks)
    chart(
        sun_months(answer.more, bench.reader),
        "Sun on the glazing by month, as it stands and on an open site",
        "270px",
    )
    if answer.more["takers"]:
        ui.html("<h3>What each keeps off, by month</h3>", sanitize=False)
        chart(takers_months(answer.more, bench.reader), "Sun that each obstacle keeps off, by month")
        what_is_this(
            "How to read it",
            "Each bar is what the glazing would gain if that one thing were gone while all others stand. Two things in "
            "one line of sight hide each other: gone together they give more than the two bars added.",
        )
    ui.html("<h3>Sun calendar</h3>", sanitize=False)
    drawing = ui.html(sanitize=False).classes("w-full")
    said = ui.label()

    def show() -> None:
        if drawing.is_deleted:
            return
        calendar = answer.more["calendar"]
        drawing.set_content(calendar_drawing(calendar, stage.when.day, stage.when.minute, bench.reader))
        said.set_text(date_words(calendar, stage.when.day, bench.reader))

    stage.on_light(show)
    show()
    with fold("Pictures to keep"):
        pictures(result, answer, TOLD)
    tables(answer.blocks)


def sun_months(more: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of sun on the glazing by month."""
    return {
        "xAxis": {"type": "category", "data": [MONTH_NAMES[m - 1] for m in more["months"]]},
        "yAxis": {"type": "value", "name": reader.heat_unit},
        "series": [
            bars("reaches the glazing", more["on_wall"], SUN),
            line("on an open site", more["open_site"], COLD, "dashed"),
        ],
    }


def takers_months(more: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of what each obstacle keeps off by month."""
    return {
        "xAxis": {"type": "category", "data": list(MONTH_NAMES)},
        "yAxis": {"type": "value", "name": reader.heat_unit},
        "series": [
            bars(t["name"], t["months"], COLOURS[i % len(COLOURS)]) for i, t in enumerate(more["takers"])
        ],
    }


def _cuts(saw: Saw, result: Result, answer: Answer) -> None:
    del result
    more = answer.more
    saw.counted = f"{more['counted']}, so its figures are smaller."
    words(answer.blocks, ["pairs", "notes", "care"])
    if more["steps"]:
        chart(cuts_bars(more), "Gain of each cut in the best order, and the running total", "280px")
        ui.html("<h3>In this order</h3>", sanitize=False)
        spared = (
            "and of fuel not burned in a year"
            if more["heated"]
            else "no heater is described, so no fuel is told"
        )
        ui.label(f"Each line tells what a cut gains after all above it, {spared}.").classes("nw-soft")
        if more["turned"]:
            ui.label(
                "A later cut may gain more than an earlier one: only once the earlier is made does the sun come as "
                "far as it. Made first it would gain less."
            ).classes("nw-soft")
        saw.still()
        with ui.element("ol").classes("nw-cuts"):
            for step in more["steps"]:
                _step(saw, step)
    else:
        saw.still()
    less = [row for row in more["less"] if row["grows"]]
    if less:
        with fold("Less than felling: top it, thin it"):
            for row in less:
                _less(saw, more, row)
    what_is_this(
        "What is this, and what is normal?",
        "Heat of the heating season and electricity of the year, gained by each cut after all cuts above it. Commonly "
        "two or three cuts bring most of what can be gained. Try a cut: the whole workbench then shows the site "
        "without that tree; what it changes and its undo stand under the button.",
    )
    with fold("Hidden pairs, and how it was worked out"):
        sentences(about(answer.blocks, "pairs", "notes"))
    sentences(line for line in about(answer.blocks, "care") if line != CAUTION)
    tables(answer.blocks)


def cuts_bars(more: dict[str, Any]) -> dict[str, Any]:
    """Return the chart of gains by cut."""
    return {
        "xAxis": {"type": "category", "data": ["\n+ ".join(step["names"]) for step in more["steps"]],
                  "axisLabel": {"interval": 0, "hideOverlap": False, "width": max(40, 290 // len(more["steps"])),
                                "overflow": "break", "fontSize": 12, "lineHeight": 15}},
        "yAxis": {"type": "value", "name": more["unit"]},
        "series": [
            bars("this cut", [step["gain"] for step in more["steps"]], HEAT),
            line("all so far", [step["running"] for step in more["steps"]], COLD, "solid", showSymbol=True),
        ],
    }  # fmt: skip


def _step(saw: Saw, step: dict[str, Any]) -> None:
    names = " and ".join(step["names"])
    with ui.element("li"):
        lines = [f"Without <b>{html.escape(names)}</b>: {html.escape(step['told'])}"]
        lines += [
            f'<span class="nw-small">{html.escape(step[key])}</span>' for key in ("fuel", "why") if step[key]
        ]
        ui.html("<br>".join(lines), sanitize=False).classes("nw-grow")
        saw.button(step["names"], "out", 0.0, "Try this cut", f"{names} taken out")


def _less(saw: Saw, more: dict[str, Any], row: dict[str, Any]) -> None:
    name = row["name"]
    with ui.row().classes("w-full items-center gap-2 nw-less"):
        ui.html(f"<b>{html.escape(name)}</b>", sanitize=False).classes("nw-grow")
        if row["topped"] is not None:
            saw.button([name], "top", row["topped_m"], f"Top at {row['top_words']}: {row['topped']}",
                       f"{name} topped at {row['top_words']}")  # fmt: skip
        if row["thinned"] is not None:
            saw.button([name], "thin", more["thin"], f"Thin by {more['thin_words']}: {row['thinned']}",
                       f"{name} thinned by {more['thin_words']}")  # fmt: skip


def _awning(trials: Saw, result: Result, answer: Answer) -> None:
    words(answer.blocks, ["notes", "recipes"])
    trials.still()
    for offer in answer.more["offers"]:
        _offer(trials, offer)
    with fold("How it was worked out"):
        sentences(about(answer.blocks, "notes"))
    with fold("The trade-off as a picture"):
        pictures(result, answer, TOLD)
    tables(answer.blocks)


def _offer(trials: Saw, offer: dict[str, Any]) -> None:
    """Show a button that hangs what was found, or takes away what hangs there."""
    bench = trials.bench

    def edit(text: str) -> str:
        from noonwall.studies.awning import Design
        from noonwall.studies.hang import write_hung

        design = None if offer["design"] is None else Design(**offer["design"])
        project, system = bench.desk.project, bench.reader.system
        return write_hung(text, project, offer["name"], design, system, new=offer["new"])

    trials.offer(edit, offer["word"], offer["told"], None)
