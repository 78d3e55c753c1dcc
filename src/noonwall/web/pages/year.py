"""The year: months, days, and any day looked into hour by hour."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.report.course import TEMPERATURES
from noonwall.web import questions
from noonwall.web.frame import frame, refuse
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import COLD, GREEN, HEAT, MONTH_NAMES, PALE, SUN, bars, chart, line
from noonwall.web.parts.few import few_figures
from noonwall.web.parts.laid import about, folded, sentences, tables, words
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from noonwall.report.reader import Reader
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

TOLD = {
    "year": "The year's months, the shop with and without the wall, carpets of warmth and of heat by date and hour"
}
COLOURS = (HEAT, PALE, SUN, COLD, "#7a8b99", "#26323b", "#6b7f8c", GREEN, "#8c6f4e", "#2d5f8b", "#9aa7b0")
KINDS = ("solid", "dashed", "dotted")
# Of the temperatures: the four that tell most have dashes of their own and are shown at first.
DOT_DASH = [10, 3, 2, 3]
DASHES = (
    "solid",
    "dashed",
    "dotted",
    "dashed",
    "dotted",
    DOT_DASH,
    "dashed",
    "dotted",
    "dashed",
    "dotted",
    "dashed",
)
SHOWN = ("absorber", "air, top of the gap", "shop", "outdoors")
SELDOM = ("through the wall's back",)
MADE = ("monthly figures", "typed months")


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/", title="Year - noonwall")
    def page() -> None:
        with frame(bench, "/", "The year of the wall"):
            what_is_this(
                "What is this, and what is normal?",
                "A whole year of your site's weather is run through the wall and the shop in five-minute steps. "
                "'Into the shop' is all heat the warm air brought, 'of use' the part that came while the shop was "
                "not above your comfort limit.",
                "An unshaded wall commonly brings in a third to a half of the sun that falls on its glass, least in "
                "June, because the sun then stands too high. Much less in winter means shade, a gap that is too "
                "tight, or vents that are too small.",
            )
            answer_card(bench, "year", partial(_draw, bench))


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    with ui.card().classes("nw-card"):
        ui.html("<h2>What the wall brings in a year</h2>", sanitize=False)
        ui.html(few_figures(answer.more["brought"]), sanitize=False).classes("w-full")
        if answer.more["spared"]:
            sentences([answer.more["spared"]])
        words(answer.blocks, ["checked"])
    with ui.card().classes("nw-card"):
        ui.html("<h2>Month by month</h2>", sanitize=False)
        chart(month_bars(answer.document, bench.reader), "Heat into the shop, of use and lost by month")
    with ui.card().classes("nw-card"):
        _days(bench, result, answer)
    with ui.card().classes("nw-card"):
        ui.html("<h2>Picture and figures</h2>", sanitize=False)
        pictures(result, answer, TOLD)
        tables(answer.blocks)
        folded("How this was checked", about(answer.blocks, "checked"))


def month_bars(document: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of the year's months."""
    months = document["months"]

    def heat(key: str) -> list[float]:
        return [round(reader.heat(m[key]), 1) for m in months]

    return {
        "xAxis": {"type": "category", "data": [MONTH_NAMES[m["month"] - 1] for m in months]},
        "yAxis": {"type": "value", "name": reader.heat_unit},
        "series": [
            bars("into the shop", heat("delivered_kwh"), PALE),
            bars("of use", heat("useful_kwh"), HEAT),
            bars("carried back out", heat("night_loss_kwh"), COLD),
        ],
    }


def day_bars(daily: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of the year's days, which can be zoomed and clicked."""
    return {
        "xAxis": {"type": "category", "data": daily["labels"], "axisLabel": {"margin": 14}},
        "yAxis": [
            {"type": "value", "name": f"{reader.heat_unit} a day"},
            {"type": "value", "name": reader.degree, "splitLine": {"show": False}},
        ],
        "dataZoom": [{"type": "inside"}, {"type": "slider", "height": 26, "bottom": 4}],
        "grid": {"left": 8, "right": 12, "top": 34, "bottom": 44, "containLabel": True},
        "series": [
            bars("into the shop", daily["delivered"], PALE, large=False),
            bars("carried back out", [-v for v in daily["carried_out"]], COLD),
            line("shop, high", daily["high"], HEAT, yAxisIndex=1),
            line("shop, low", daily["low"], "#2d5f8b", "dashed", yAxisIndex=1),
        ],
    }


def _days(bench: Bench, result: Result, answer: Answer) -> None:
    """Draw the days, and below them the course of the one that was picked."""
    daily = answer.more["daily"]
    ui.html("<h2>Day by day</h2>", sanitize=False)
    ui.label("Tap a day, or type its date, to see it hour by hour.").classes("nw-soft nw-noprint")
    ui.label(dated(answer.document, daily["days"][0])).classes("nw-soft")
    days = chart(day_bars(daily, bench.reader), "Heat and shop temperatures of each day of the year")
    best = max(range(len(daily["days"])), key=lambda i: float(daily["delivered"][i]))
    with ui.row().classes("items-end nw-noprint"):
        first = ui.input("First day", value=daily["days"][best]).props("type=date outlined dense")
        count = (
            ui.select({1: "1 day", 3: "3 days", 7: "a week", 31: "a month"}, value=1, label="How long")
            .props("outlined dense")
            .classes("nw-count")
        )
    place = ui.column().classes("w-full gap-2")
    hidden = {*(word for _, word in TEMPERATURES if word not in SHOWN), *SELDOM}

    async def look() -> None:
        if result.shown is None or not first.value:
            return
        worker = bench.worker("year")
        try:
            found = await worker.call(questions.course_of, result.shown, str(first.value), int(count.value))
        except (NoonwallError, FaultError, StoppedError) as error:
            refuse(str(error))
            return
        place.clear()
        with place:
            _course(found, bench.reader, hidden)

    async def picked(place: int) -> None:
        first.value = daily["days"][place]

    days.on_point_click(lambda e: picked(int(e.data_index)))
    first.on_value_change(look)
    count.on_value_change(look)
    ui.timer(0.05, look, once=True)


def dated(document: dict[str, Any], first: str) -> str:
    """Return why the days are of the year they are of, by the first of them."""
    if document["weather"]["kind"] in MADE:
        return f"The days are of a typical year made from the months; that it counts as {first[:4]} means nothing."
    return f"The days count as those of {first[:4]}, the weather file's year."


def _course(found: dict[str, Any], reader: Reader, hidden: set[str]) -> None:
    """Draw some days hour by hour; ``hidden``: names not shown, kept from one day to the next."""
    label = {
        "interval": max(1, len(found["labels"]) // 8) - 1,
        "alignMinLabel": "left",
        "alignMaxLabel": "right",
    }
    hours = {"type": "category", "data": found["labels"], "boundaryGap": False, "axisLabel": label}
    zoom = [{"type": "inside"}]
    rows = [line(s["name"], s["values"], COLOURS[i % len(COLOURS)], DASHES[i % len(DASHES)])
            for i, s in enumerate(found["temperatures"])]  # fmt: skip
    grid = {"left": 8, "right": 12, "top": 34, "bottom": 8, "containLabel": True}
    ends = [reader.moment_text(found["times"][end]) for end in (0, -1)]
    ui.html(f'<p class="nw-onpaper">Hour by hour, from {ends[0]} to {ends[1]}</p>', sanitize=False)
    ui.html("<h3>Temperatures</h3>", sanitize=False)
    ui.label("Press a name to show or hide its line.").classes("nw-soft nw-small nw-noprint")
    chart({"xAxis": hours, "yAxis": {"type": "value", "name": reader.degree, "scale": True}, "series": rows,
           "dataZoom": zoom, "grid": grid}, "Temperatures by the hour", "380px", hidden)  # fmt: skip
    ui.html("<h3>Heat, sun and heater</h3>", sanitize=False)
    rows = [line(s["name"], s["values"], COLOURS[(2, 0, 3, 8, 6)[i]], KINDS[i % 3])
            for i, s in enumerate(found["powers"])]  # fmt: skip
    chart({"xAxis": hours, "yAxis": {"type": "value", "name": found["power_unit"]}, "series": rows, "dataZoom": zoom,
           "grid": grid}, "Powers by the hour", "300px", hidden)  # fmt: skip
    ui.html("<h3>Air through the gap, fans, cover</h3>", sanitize=False)
    told = f"Told as air of {reader.degrees_text(20.0)}; below zero it runs backwards, down the gap."
    ui.html(f'<p class="nw-soft nw-small">{told}</p>', sanitize=False)
    rows = [line("air, upward", found["flow"], COLD)]
    rows += [line(s["name"], s["values"], (HEAT, GREEN)[i], "dashed", step="middle", yAxisIndex=1)
             for i, s in enumerate(found["switches"])]  # fmt: skip
    axes = [{"type": "value", "name": found["flow_unit"]},
            {"type": "value", "name": "share", "max": 1, "splitLine": {"show": False}}]  # fmt: skip
    chart({"xAxis": hours, "yAxis": axes, "series": rows, "dataZoom": zoom, "grid": grid},
          "Air flow and switches by the hour", "260px")  # fmt: skip
