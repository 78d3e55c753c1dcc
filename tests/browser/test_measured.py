"""A builder compares ways, hands readings in, looks back and asks about a claim: in real windows of both widths."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

    from fakes.windows import Window

LONG_MS = 120_000
pytestmark = pytest.mark.usefixtures("own_workbench")


def probes(place: int) -> str:
    """Four days of two thermometers; the second may be Celsius or Fahrenheit. Another place, another heading."""
    rows = [
        f"2025-03-{1 + i // 24:02d} {i % 24:02d}:00,{58 + (i % 24) / 4:.1f},{60 + 7 * ((i % 24) / 12):.1f}"
        for i in range(4 * 24)
    ]
    return "\n".join([f"Time (UTC),Bench,Top of gap {place}", *rows]) + "\n"


def test_ways_stand_side_by_side(either: Window) -> None:
    page = either.go("/variants")
    page.get_by_role("heading", name="Side by side", exact=True).wait_for(timeout=LONG_MS)
    table = page.locator("table.nw-side")
    assert table.locator("thead th").count() == 5
    page.get_by_role("checkbox", name="room limit").click()
    page.wait_for_function("document.querySelectorAll('table.nw-side thead th').length === 4")
    assert "better" in table.inner_text() and "▲" in table.inner_text()
    assert either.too_wide <= 0
    either.shoot("variants")
    page.get_by_role("checkbox", name="room limit").click()  # ticks are every window's, the other width's too
    page.wait_for_function("document.querySelectorAll('table.nw-side thead th').length === 5")


def test_a_way_is_added_by_keyboard_and_made_the_project(laptop: Window) -> None:
    page = laptop.go("/variants")
    page.get_by_text("Type it yourself", exact=True).click()
    page.get_by_label("What is different").fill("wall.gap=120 mm")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Make wall.gap=120 mm the project").click()
    page.get_by_text("is now part of the project").wait_for()
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("button", name="Make wall.gap=120 mm the project").wait_for()
    page.get_by_role("button", name="Take wall.gap=120 mm away").click()
    page.get_by_text("undo brings it back").wait_for()


def test_a_file_is_handed_in_asked_about_and_taken_back(either: Window, tmp_path: Path) -> None:
    file = tmp_path / "probe two.csv"
    page = either.go("/readings")
    file.write_text(probes(page.viewport_size["width"]), encoding="utf-8")
    page.locator("#nw-files").set_input_files(file)
    page.get_by_text("Please answer").first.wait_for(timeout=LONG_MS)
    assert page.get_by_role("button", name="Read it in").is_disabled()
    either.shoot("readings-asked")
    page.get_by_text("degrees Fahrenheit", exact=True).click()
    page.get_by_text("degrees Fahrenheit", exact=True).wait_for(state="detached")
    apart = page.get_by_role("button", name="Keep it apart")
    for left in range(apart.count() - 1, -1, -1):
        apart.first.click()
        apart.nth(left).wait_for(state="detached")
    page.wait_for_function("!document.body.innerText.includes('Please answer')")
    page.get_by_role("button", name="Read it in").click()
    page.get_by_text("Put this note away").wait_for(timeout=LONG_MS)
    page.get_by_text("probe two.csv", exact=False).last.wait_for()
    assert either.too_wide <= 0
    either.shoot("readings-read")
    buttons = page.get_by_role("button", name="Take import")
    buttons.last.click()
    asked = page.get_by_role("dialog")
    asked.get_by_text("probe two.csv").wait_for()
    page.wait_for_function("document.activeElement.innerText.includes('Keep it')")
    either.shoot("readings-take-back")
    page.keyboard.press("Enter")  # keeps it
    asked.wait_for(state="hidden")
    assert buttons.count() == 2
    buttons.last.click()
    asked.get_by_role("button", name="Take it back").click()
    page.get_by_text("is taken back").wait_for(timeout=LONG_MS)
    assert buttons.count() == 1


def test_another_kind_of_file_is_refused_in_one_line(laptop: Window, tmp_path: Path) -> None:
    file = tmp_path / "sheet.xlsx"
    file.write_bytes(b"PK\3\4")
    page = laptop.go("/readings")
    page.locator("#nw-files").set_input_files(file)
    page.get_by_text("is no table of text").wait_for()


def test_the_readings_are_looked_into(laptop: Window) -> None:
    page = laptop.go("/readings?day=2025-02-08")
    page.locator(".nw-chart svg").wait_for(timeout=LONG_MS)
    first = page.get_by_label("From")
    assert first.input_value() == "2025-02-08"
    page.get_by_role("button", name="Later").click()
    page.wait_for_function(
        "[...document.querySelectorAll('input[type=date]')].some(i => i.value === '2025-02-15')"
    )
    zoomed(page)


def zoomed(page: Page) -> None:
    """Zoom with the wheel, and wait until finer readings are there."""
    before = page.get_by_text("readings of the").inner_text()
    page.locator(".nw-chart").hover()
    page.keyboard.down("Control")
    page.mouse.wheel(0, -300)
    page.keyboard.up("Control")
    page.wait_for_function("(was) => !document.body.innerText.includes(was)", arg=before)


def test_the_difference_is_told_link_by_link(either: Window) -> None:
    page = either.go("/lookback?first=2025-02-01&last=2025-02-20")
    page.get_by_role("heading", name="Where the difference went").wait_for(timeout=LONG_MS)
    link = page.locator("details.nw-link").first
    link.locator("summary").click()
    assert link.get_attribute("open") is not None
    page.get_by_label("Heat over these days").fill("90000 kWh")
    page.get_by_role("button", name="Hold it").click()
    page.get_by_text("it breaks the energy balance").wait_for(timeout=LONG_MS)
    page.get_by_role("button", name="Days", exact=True).click()
    page.wait_for_function("!document.querySelector('table.nw-dated')")
    assert either.too_wide <= 0
    either.shoot("lookback")


@pytest.mark.parametrize("dark", [False, True])
def test_a_bar_opens_its_link(window: Callable[..., Window], dark: bool) -> None:
    page = window(dark=dark).go("/lookback?first=2025-02-01&last=2025-02-20")
    page.get_by_role("heading", name="Where the difference went").wait_for(timeout=LONG_MS)
    page.evaluate("nwOpenLink('rest')")
    assert page.locator("details#link-rest").get_attribute("open") is not None
