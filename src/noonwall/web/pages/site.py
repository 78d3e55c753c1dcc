"""Site and sun: what stands around the wall, moved by hand, and what of the sun it leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.web.frame import frame
from noonwall.web.parts.answer import what_is_this

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/site", title="Site and sun - noonwall")
    def page() -> None:
        from noonwall.web.parts.site_stage import Stage
        from noonwall.web.parts.site_sun import sky_card, year_cards
        from noonwall.web.parts.site_things import things_panel

        ui.add_head_html('<link rel="stylesheet" href="/static/site.css">')
        with frame(bench, "/site", "Site and sun"):
            what_is_this(
                "What is this, and what is normal?",
                "Your site as you described it. Drag a tree, pull its red balls to make it taller or wider, move the "
                "date and the hour: the glazing shows at once where the direct sun reaches it. What you let go of is "
                "saved; undo is at the top.",
                "In midwinter a good site keeps nine tenths of the sun's hours between 9 and 3. A single dense tree "
                "due south at its own height's distance takes an hour to two in December.",
            )
            stage = Stage(bench)
            with ui.card().classes("nw-card"):
                stage.draw()
            things_panel(bench, stage)
            sky_card(bench, stage)
            year_cards(bench, stage)
