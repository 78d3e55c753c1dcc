"""On top of every page, while a new project has the template's figures: which ones, and where to give one's own."""

from __future__ import annotations

import html
from functools import partial
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import set_value
from noonwall.model.mine import still_template
from noonwall.report.not_yet import not_yet_lead, price_asked

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.mine import Portion
    from noonwall.web.bench import Bench

PAGES = {"place": "/place", "room": "/shop", "envelope": "/shop", "wall": "/wall"}


def not_yet(
    bench: Bench, on_change: Callable[[Bench, Callable[[], None]], None], refuse: Callable[[str], None]
) -> None:
    """Show what is still the template's, anew after every change, until nothing is.

    on_change  calls what shows it, now and after each change;  refuse  tells why something was not done
    """
    place = (
        ui.element("section").classes("nw-caution nw-notyet w-full").props('aria-label="Not your shop yet"')
    )
    last: list[object] = [object()]

    def show() -> None:
        project = bench.desk.project
        now = (still_template(project), price_asked(project))
        place.set_visibility(bool(now[0]))
        if now == last[0]:
            return
        last[0] = now
        place.clear()
        with place:
            _told(bench, now[0], now[1], refuse)

    on_change(bench, show)


def _told(bench: Bench, left: tuple[Portion, ...], fuel: str, refuse: Callable[[str], None]) -> None:
    links = ", ".join(
        f"<a href='{PAGES[portion.name]}#box-{portion.key}'>{html.escape(portion.told)}</a>"
        for portion in left
    )
    ui.html(
        f"<p><b>{html.escape(not_yet_lead(bench.desk.project))}</b> Still the template's: {links}.</p>"
        + (
            f"<p>No price of {html.escape(fuel)} yet: <a href='/shop#box-shop.heater.price'>give it</a>, and what "
            "the wall saves is told in money too.</p>"
            if fuel
            else ""
        ),
        sanitize=False,
    )
    with ui.element("details").classes("nw-fold w-full"):
        with ui.element("summary"):
            ui.label("My shop has just these figures")
        with ui.row().classes("gap-2"):
            for portion in left:
                word = f"{portion.told[0].upper()}{portion.told[1:]}: it is so"
                ui.button(word, on_click=partial(_mine, bench, portion, refuse)).props("outline").classes(
                    "nw-plain"
                )


def _mine(bench: Bench, portion: Portion, refuse: Callable[[str], None]) -> None:
    """Write down that a portion's figures are the builder's own."""

    def edit(text: str) -> str:
        own = [*bench.desk.project.mine, portion.name]
        return set_value(text, "mine", list(dict.fromkeys(own)))

    try:
        bench.desk.change(edit, f"{portion.told}: told to be your shop's own")
    except NoonwallError as error:
        refuse(str(error))
