"""The place and its weather: where it is, ground and snow, skyline, which weather year is used."""

from __future__ import annotations

import html
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.climate.known import known, site_values
from noonwall.model.edit import set_value, set_values
from noonwall.units import in_both
from noonwall.web.frame import frame
from noonwall.web.parts.answer import answer_card
from noonwall.web.parts.described import assumptions, doubts, strip
from noonwall.web.parts.field import follow, labelled, value_field
from noonwall.web.parts.form import card, change, fold, group, value_at_key
from noonwall.web.parts.laid import tables
from noonwall.web.parts.trade import GROUND, SKYLINE, WHERE
from noonwall.web.parts.units_note import units_note

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.units import System
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

WEATHER_FILES = (".epw", ".csv", ".tm2", ".tmy", ".txt", ".json")
MOST_FILES = 60
MADE = "made from the monthly figures of the nearest place"


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/place", title="Place and weather - noonwall")
    def page() -> None:
        with frame(bench, "/place", "The place and its weather"):
            strip(bench)
            units_note(bench)
            doubts(bench, ("site", "weather"), place=True)
            with card("Where it stands"):
                _town(bench)
                group(bench, WHERE, "site")
            with card("Weather", "The year that every answer is calculated with."):
                _weather(bench)
            with card("Ground, snow, wind"):
                group(bench, GROUND, "site")
            with card(
                "Skyline", "Hills and woods far off; trees and buildings near by stand on the site's page."
            ):
                group(bench, SKYLINE, "site")
            assumptions(bench, ("site", "weather"))


def _town(bench: Bench) -> None:
    """Let a town of the table be chosen by its name: it fills in where the site is, in one step."""
    with ui.element("div").classes("nw-field w-full"):
        note = f"{len(known())} places, by town or state; the nearest will do to begin with and fills in the boxes"
        town = labelled(ui.select(list(known()), with_input=True, clearable=True), "Begin with a town", note)

    def choose() -> None:
        if name := town.value:
            values = site_values(str(name), bench.reader.system)
            change(bench, lambda text: set_values(text, values), f"the place: {name}")
            town.set_value(None)

    town.on_value_change(choose)


def _weather(bench: Bench) -> None:
    """Show which weather is used, with its notes, and let another be chosen."""
    with ui.element("div").classes("nw-field w-full").props('id="box-weather.file"'):
        note = "a weather file that lies in the project folder is listed here"
        chosen = labelled(ui.select({"": MADE}, value=""), "Weather year", note)
    filling = [False]

    def fill() -> None:
        now = str(value_at_key(bench, "weather.file") or "")
        names = weather_files(bench.desk.folder)
        filling[0] = True
        chosen.set_options(
            {"": MADE, **{name: name for name in (*names, *([now] if now else ()))}}, value=now
        )
        filling[0] = False

    def choose() -> None:
        if not filling[0]:
            name = str(chosen.value or "")
            change(
                bench, lambda text: set_value(text, "weather.file", name or None), f"weather: {name or MADE}"
            )
            fill()

    chosen.on_value_change(choose)
    follow(bench, chosen, fill)
    with fold("Which of the possible years"):
        value_field(bench, "weather.seed", "Number of the year, when it is made from monthly figures")
    answer_card(bench, "climate", partial(_told, bench))


def _told(bench: Bench, _result: Result, answer: Answer) -> None:
    ui.html(weather_words(answer.document["weather"], bench.reader.system), sanitize=False).classes("w-full")
    tables(answer.blocks, "Month by month")


def weather_files(folder: Path) -> list[str]:
    """Return the names of files in the project folder that may be weather, in order."""
    found = (f.name for f in folder.iterdir() if f.is_file() and f.suffix.lower() in WEATHER_FILES)
    return sorted(found)[:MOST_FILES]


def weather_words(weather: dict[str, Any], system: System = "metric") -> str:
    """Return what is known of the weather in use."""
    notes = "".join(f"<li>{html.escape(in_both(str(note), system))}</li>" for note in weather["notes"])
    return (
        f"<p>In use: <b>{html.escape(str(weather['place']))}</b>, {html.escape(str(weather['kind']))}.</p>"
        f"<ul class='nw-list'>{notes}</ul>"
    )
