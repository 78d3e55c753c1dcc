"""The whole way of a newcomer: open the demo, move a tree, try a flap, compare, read readings in, look back."""

from __future__ import annotations

import gzip
from typing import TYPE_CHECKING

import pytest

from fakes.windows import LAPTOP, PHONE, end, serve
from noonwall.logs.invent import shipped_table
from noonwall.model.file import load
from noonwall.model.templates import create
from noonwall.studies import variants as ways

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from fakes.windows import Served, Window

DAYS = 45  # of readings: enough to tell a month
ROWS_A_DAY = 96
TREE = "fir 1"
LONG_MS = 180_000  # on a machine with other work


@pytest.fixture(params=[LAPTOP, PHONE], ids=["laptop", "phone"])
def width(request: pytest.FixtureRequest) -> int:
    return int(request.param)


@pytest.fixture
def fresh(chromium: Browser, tmp_path: Path) -> Iterator[Served]:
    """Serve a demo that nobody has touched; its own variants are left out, so that one comparison is quick."""
    del chromium
    file = create(tmp_path / "shed", demo=True)
    for way in load(file).variants:
        file.write_text(ways.without(file.read_text(), way.name))
    served = serve(file.parent)
    yield served
    end(served)


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """Return some weeks of invented readings in a file beside the project."""
    lines = gzip.decompress(shipped_table()).decode().splitlines()
    file = tmp_path / "logger.csv"
    file.write_text("\n".join(lines[: 2 + DAYS * ROWS_A_DAY]) + "\n")
    return file


def test_the_whole_way(width: int, fresh: Served, table: Path, window: Callable[..., Window]) -> None:
    one = window(width, served=fresh)
    file = fresh.folder / "noonwall.toml"

    page = one.go("/")
    page.wait_for_selector("text=of sun reached the glazing")
    one.shoot("newcomer-1-year")

    to(one, "Site and sun")
    move_a_tree(page, file, touch=width == PHONE)
    one.shoot("newcomer-2-site")

    to(one, "Variants")
    page.get_by_text("Type it yourself", exact=True).click()
    page.get_by_label("What is different").fill("flap")
    page.get_by_label("Its name, if you like").fill("with a flap")
    page.get_by_role("button", name="Add", exact=True).click()
    page.wait_for_selector("h3:has-text('with a flap')")
    assert 'name = "with a flap"' in file.read_text()
    page.wait_for_selector("h2:has-text('Side by side')", timeout=LONG_MS)
    one.settled()
    one.shoot("newcomer-3-variants")
    page.get_by_role("button", name="Make with a flap the project").click()
    page.wait_for_selector("text=is now part of the project")
    assert "[wall.flap]" in file.read_text()

    to(one, "Readings")
    page.set_input_files("#nw-files", str(table))
    page.get_by_role("button", name="Read it in").wait_for()
    answer_what_is_asked(page)
    one.shoot("newcomer-4-readings")
    page.get_by_role("button", name="Read it in").click()
    page.wait_for_selector("text=What was read in", timeout=LONG_MS)

    to(one, "Looking back")
    page.wait_for_selector("h2:has-text('Where the difference went')", timeout=LONG_MS)
    one.shoot("newcomer-5-lookback")
    assert one.too_wide <= 0


def to(one: Window, word: str) -> None:
    """Go to a place by the list of places, as a hand would."""
    page = one.page
    link = page.get_by_role("navigation", name="Places").get_by_role("link", name=word)
    if one.page.viewport_size["width"] == PHONE and not link.is_visible():
        page.get_by_role("button", name="Places").click()
        page.wait_for_timeout(300)
    link.click()
    page.wait_for_load_state()
    page.wait_for_selector("h1")
    assert one.too_wide <= 0, f"{word} runs over its side"


def move_a_tree(page: Page, file: Path, *, touch: bool) -> None:
    """Drag the first tree by mouse or finger until the file says that it stands elsewhere."""
    page.wait_for_function("!!window.nwSite && window.nwSite.state().serial > 0")
    before = file.read_text()
    page.get_by_role("button", name="Plan", exact=True).click()
    page.evaluate("document.querySelector('.nw-site').scrollIntoView({block: 'center'})")
    page.wait_for_timeout(300)
    x, y = page.evaluate("name => window.nwSite.screen(name)", TREE)
    if touch:
        page.touchscreen.tap(x, y)
        page.wait_for_function("name => window.nwSite.state().picked === name", arg=TREE)
        page.wait_for_timeout(300)
        x, y = page.evaluate("name => window.nwSite.screen(name)", TREE)
        hand = page.context.new_cdp_session(page)
        hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        for i in range(1, 9):
            at = [{"x": x + 5 * i, "y": y}]
            hand.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": at})
            page.wait_for_timeout(30)
        hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    else:
        page.mouse.move(x, y)
        page.mouse.down()
        for i in range(1, 12):
            page.mouse.move(x + 6 * i, y)
            page.wait_for_timeout(30)
        page.mouse.up()
    page.wait_for_selector(f"text={TREE} moved to")
    assert file.read_text() != before


def answer_what_is_asked(page: Page) -> None:
    """Take the first answer wherever the file leaves something open."""
    for _ in range(6):
        button = page.get_by_role("button", name="Read it in")
        if button.is_enabled():
            return
        page.locator("fieldset.nw-ask [role=radio]").first.click()
        page.wait_for_timeout(500)
        button.wait_for()
