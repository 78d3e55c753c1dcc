"""Site and sun: what stands around the wall, moved by hand, and what of the sun it leaves."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING

from nicegui import run, ui

from noonwall.errors import NoonwallError
from noonwall.web.frame import frame
from noonwall.web.parts.answer import what_is_this

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

PATIENCE_S = 0.2
_once = threading.Lock()
_warm = threading.Event()


def register(bench: Bench) -> None:
    """Put the page at its address."""
    # Known before any page is sent: what a page tells of the view's own scripts stands in its head.
    from noonwall.web.parts import site_view  # noqa: F401

    @ui.page("/site", title="Site and sun - noonwall")
    def page() -> None:
        ui.add_head_html('<link rel="stylesheet" href="/static/site.css">')
        with frame(bench, "/site", "Site and sun"):
            what_is_this(
                "What is this, and what is normal?",
                "Your site as you described it. Drag a tree, pull its red balls to make it taller or wider, move the "
                "date and the hour: the glazing shows at once where the direct sun reaches it. What you let go of is "
                "saved; undo is at the top. On a phone tap a thing first, then drag it by any part, its crown too.",
                "In midwinter a good site keeps nine tenths of the sun's hours between 9 and 3. A single dense tree "
                "due south at its own height's distance takes an hour to two in December.",
            )
            place = ui.column().classes("w-full gap-4")
        if _warm.is_set():
            _fill(bench, place)
        else:
            with place, ui.row().classes("items-center").props("role=status"):
                ui.spinner(size="1.4em").props("aria-hidden=true")
                ui.label(
                    "Setting up the site; the very first time on a machine this takes about a minute ..."
                )
            ui.timer(0.01, lambda: _fill_once_warm(bench, place), once=True)


async def _fill_once_warm(bench: Bench, place: ui.column) -> None:
    while bench.preparing:  # the calculating process compiles what this one then only loads
        await asyncio.sleep(PATIENCE_S)
    await run.io_bound(warm, bench)
    if not place.is_deleted:
        place.clear()
        _fill(bench, place)


def _fill(bench: Bench, place: ui.column) -> None:
    from noonwall.web.parts.site_stage import Stage
    from noonwall.web.parts.site_sun import sky_card, year_cards
    from noonwall.web.parts.site_things import boxes_panel, things_panel

    with place:
        stage = Stage(bench)
        with ui.element("div").classes("nw-site-both"):
            stage.draw(lambda: boxes_panel(bench, stage))
            things_panel(bench, stage)
        sky_card(bench, stage)
        year_cards(bench, stage)


async def warm_later(bench: Bench) -> None:
    """Load what the page needs once the first year is calculated, so that its first visitor does not wait."""
    year = bench.result("year")
    while bench.preparing or not (year.answer or year.refused or year.stopped):
        await asyncio.sleep(PATIENCE_S)
    await run.io_bound(warm, bench)


def warm(bench: Bench) -> None:
    """Load the libraries and the compiled formulas that light on the site is worked out with."""
    from noonwall.report.site_light import Moment, day_light, sunlit
    from noonwall.report.site_scene import site_scene
    from noonwall.report.site_sky import sky_data

    with _once:
        if _warm.is_set():
            return
        project, noon = bench.desk.project, Moment(0, 720, 0.0)
        try:
            site_scene(project, 0.0, noon.day)
            sunlit(project, 0.0, noon)
            day_light(project, 0.0, noon)
            sky_data(project, 0.0, noon, bench.reader)
        except NoonwallError:
            pass  # the page itself tells what cannot be
        _warm.set()
