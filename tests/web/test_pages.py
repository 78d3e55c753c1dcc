"""Every page opens, says what it is, and shows the answer it is there for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from nicegui import ui

from fakes.pages import answered
from fakes.worker import IdleWorker
from noonwall.web.frame import PLACES
from noonwall.web.pages import PAGES

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


async def test_the_year_is_calculated_and_told(user: User, bench: Bench) -> None:
    await user.open("/")
    await user.should_see("The year of the wall")
    answer = await answered(bench.result("year"))
    await user.should_see("Month by month")
    assert answer.document["schema"] == "noonwall.year/1"


async def test_a_change_is_undone_by_the_button(user: User, bench: Bench) -> None:
    await user.open("/")
    before = bench.desk.text
    bench.desk.set("site.snow_albedo", 0.3, bench.desk.value("site.snow_albedo"))
    assert bench.desk.text != before
    with user:
        undo = next(b for b in user.find(ui.button).elements if b.props.get("aria-label") == "Undo")
    assert undo.enabled
    bench.desk.undo()
    assert bench.desk.text == before


@pytest.fixture
def idle(bench: Bench) -> None:
    """Let nothing be calculated."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


@pytest.mark.usefixtures("idle")
@pytest.mark.parametrize("page", [to for _, places in PLACES for to, _, _ in places])
async def test_each_place_opens(page: str, user: User) -> None:
    from nicegui import Client

    if page not in Client.page_routes.values():
        pytest.skip(f"no page at {page} yet; pages are {', '.join(PAGES)}")
    await user.open(page)
    await user.should_see("local code")
