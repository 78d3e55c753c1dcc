"""A town chosen by name fills in where the site is, in one step that undo takes back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from fakes.worker import IdleWorker

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


async def test_a_town_fills_in_the_place(user: User, bench: Bench) -> None:
    bench.quick, bench.long = IdleWorker(), IdleWorker()
    await user.open("/place")
    before = bench.desk.text
    with user:
        town = next(
            s for s in user.find(ui.select).elements if s.props.get("aria-label") == "Begin with a town"
        )
        name = next(n for n in town.options if n.endswith(", Vermont"))
        town.set_value(name)
    site = bench.desk.project.site
    assert 42.5 < site.latitude_deg < 45.1  # Vermont: 42.7 to 45.0 N
    assert -73.5 < site.longitude_deg < -71.4
    assert bench.desk.undo() == f"the place: {name}"
    assert bench.desk.text == before
