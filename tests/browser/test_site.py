"""The site in a real browser: trees dragged by mouse and finger, their shade at once, the sun moved."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from conftest import Served, Window

MOVES = 24
MOST_MEDIAN_MS = 200.0  # from the hand's move to the glazing's new light
PLACE = 'east = "-0.9 m"\nnorth = "-16.5 m"'  # of the lived demo's first fir
READY = "!!window.nwSite && window.nwSite.state().serial > 0"


def ready(window: Window) -> Page:
    page = window.go("/site")
    page.wait_for_function(READY)
    return page


def quiet(page: Page) -> None:
    """Stop the long calculations: this measures hands, not studies."""
    page.wait_for_timeout(300)
    for button in page.get_by_role("button", name="Stop").all():
        button.click()


def view(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()
    page.wait_for_timeout(300)


def spot(page: Page, name: str) -> list[float]:
    return page.evaluate("name => window.nwSite.at(name)", name)


def screen(page: Page, name: str) -> list[float]:
    return page.evaluate("name => window.nwSite.screen(name)", name)


def serial(page: Page) -> int:
    return page.evaluate("window.nwSite.state().serial")


def test_a_dragged_tree_shows_its_shade_at_once_and_is_saved(laptop: Window, own_workbench: Served) -> None:
    page = ready(laptop)
    quiet(page)
    view(page, "Plan")
    page.get_by_role(
        "button", name="21 December"
    ).click()  # when the sun is low enough for a belt of small firs
    page.wait_for_selector("text=Date: 21 December")
    before, share = spot(page, "belt fir 1"), page.evaluate("window.nwSite.state().share")
    x, y = screen(page, "belt fir 1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 8, y)
    page.wait_for_function("window.nwSite.state().waits.length > 0")
    for i in range(MOVES):
        last = serial(page)
        page.mouse.move(x + 10 + 5 * i, y + i)
        page.wait_for_function("last => window.nwSite.state().serial > last", arg=last)
    waits = page.evaluate("window.nwSite.state().waits")
    assert len(waits) > MOVES / 2
    assert median(waits) < MOST_MEDIAN_MS, f"median {median(waits):.0f} ms of {len(waits)} moves"
    assert page.evaluate("window.nwSite.state().share") != share
    page.mouse.up()
    page.wait_for_selector("text=belt fir 1 moved to")
    assert PLACE not in own_workbench.folder.joinpath("noonwall.toml").read_text()
    laptop.shoot("site-plan-dragged")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("was => Math.abs(window.nwSite.at('belt fir 1')[0] - was) < 0.02", arg=before[0])
    assert PLACE in own_workbench.folder.joinpath("noonwall.toml").read_text()


@pytest.mark.usefixtures("own_workbench")
def test_a_finger_moves_only_what_is_picked(phone: Window) -> None:
    page = ready(phone)
    quiet(page)
    view(page, "Plan")
    page.evaluate("document.querySelector('.nw-site').scrollIntoView({block: 'center'})")
    page.wait_for_timeout(300)
    hand = page.context.new_cdp_session(page)
    before = spot(page, "belt fir 4")

    def swipe() -> None:
        x, y = screen(page, "belt fir 4")
        hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        for i in range(1, 9):
            point = {"x": x + 5 * i, "y": y}
            hand.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
            page.wait_for_timeout(30)
        hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        page.wait_for_timeout(400)

    swipe()
    assert spot(page, "belt fir 4") == before
    x, y = screen(page, "belt fir 4")
    page.touchscreen.tap(x, y)
    page.wait_for_function("window.nwSite.state().picked === 'belt fir 4'")
    swipe()
    page.wait_for_selector("text=belt fir 4 moved to")
    assert spot(page, "belt fir 4")[0] > before[0] + 0.5
    assert phone.too_wide <= 0
    page.get_by_role("button", name="Undo").click()


@pytest.mark.usefixtures("own_workbench")
def test_a_finger_moves_what_is_picked_by_its_crown_under_a_picture_that_stays(phone: Window) -> None:
    page = ready(phone)
    quiet(page)
    page.locator(".nw-site-line", has_text="belt fir 4").tap()
    page.locator(".nw-site-boxes h2", has_text="belt fir 4").wait_for()
    page.wait_for_timeout(900)
    seen = page.locator(".nw-site").bounding_box()
    boxes = page.locator(".nw-site-boxes").bounding_box()
    assert seen is not None and boxes is not None
    assert 60.0 < seen["y"] < seen["y"] + seen["height"] <= boxes["y"] < 500.0
    hand, before = page.context.new_cdp_session(page), spot(page, "belt fir 4")
    x, y = page.evaluate("window.nwSite.screen('belt fir 4', 0.75)")
    hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x + 9, "y": y}]})
    for i in range(1, 9):
        point = {"x": x + 9 + 3 * i, "y": y}
        hand.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
        page.wait_for_timeout(30)
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_selector("text=belt fir 4 moved to")
    assert spot(page, "belt fir 4") != before
    page.get_by_role("button", name="Undo").click()


def test_everything_goes_by_keyboard(laptop: Window, own_workbench: Served) -> None:
    page = ready(laptop)
    quiet(page)
    page.locator("button.nw-site-line", has_text="belt fir 2").focus()
    page.keyboard.press("Enter")
    box = page.get_by_label("North", exact=True)
    box.wait_for()
    box.fill("-20 m")
    box.press("Enter")
    page.wait_for_function("Math.abs(window.nwSite.at('belt fir 2')[1] + 20) < 0.01")
    date = page.get_by_label("Date", exact=True).locator("[tabindex]").first
    date.focus()
    date.press("ArrowRight")
    page.wait_for_selector("text=Date: 6 February")
    assert 'north = "-20 m"' in own_workbench.folder.joinpath("noonwall.toml").read_text()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_the_site_is_readable_in_both_widths(
    window: Callable[..., Window], workbench: Served, dark: bool
) -> None:
    for width in (390, 1280):
        one = window(width, dark=dark, served=workbench)
        page = ready(one)
        quiet(page)
        assert one.too_wide <= 0
        canvas = page.locator(".nw-site canvas")
        assert canvas.get_attribute("role") == "img"
        assert "of the direct sun reaches the glazing" in str(canvas.get_attribute("aria-label"))
        one.shoot(f"site-{'dark' if dark else 'light'}")


def test_looked_at_from_the_wall_and_in_ten_years(laptop: Window) -> None:
    page = ready(laptop)
    quiet(page)
    share = page.evaluate("window.nwSite.state().share")
    view(page, "From the wall")
    page.get_by_role("button", name="in 10 years", exact=True).click()
    page.wait_for_function("share => window.nwSite.state().share < share", arg=share)
    laptop.shoot("site-from-the-wall")


SEEN = """() => { const box = document.querySelector('.nw-site').getBoundingClientRect();
  return box.top >= 70 && box.bottom <= innerHeight + 1; }"""
IN_FRAME = """name => {
  const [x, y] = window.nwSite.screen(name), box = document.querySelector('.nw-site').getBoundingClientRect();
  return x > box.left && x < box.right && y > box.top && y < box.bottom; }"""


def test_what_is_chosen_in_the_list_comes_into_sight(laptop: Window) -> None:
    page = ready(laptop)
    quiet(page)
    for mode, nearer in (("Plan", 9), ("From the wall", 0), ("From outside", 9)):
        view(page, mode)
        for _ in range(nearer):
            page.get_by_role("button", name="Nearer", exact=True).click()
        page.wait_for_timeout(200)
        assert mode == "From the wall" or not page.evaluate(IN_FRAME, "belt fir 4")
        line = page.locator(".nw-site-line", has_text="belt fir 4")
        line.scroll_into_view_if_needed()
        assert not page.evaluate(SEEN)
        line.focus()
        page.keyboard.press("Enter")
        page.wait_for_function("window.nwSite.state().picked === 'belt fir 4'")
        page.wait_for_function(SEEN)
        page.wait_for_function(IN_FRAME, arg="belt fir 4")
        page.wait_for_selector(".nw-site-boxes h2 >> text=belt fir 4")
        assert "belt fir 4" in page.evaluate(
            "document.activeElement.innerText"
        )  # the keyboard stays in the list
        page.locator(".nw-site-line").first.click()


def test_the_list_of_a_phone_scrolls_with_its_page(phone: Window) -> None:
    page = ready(phone)
    quiet(page)
    assert page.locator(".nw-site-list").evaluate("one => one.scrollHeight <= one.clientHeight + 1")
    page.locator(".nw-site-line", has_text="belt fir 1").tap()
    title = page.locator(".nw-site-boxes h2", has_text="belt fir 1")
    title.wait_for()
    page.wait_for_timeout(900)
    box = title.bounding_box()
    assert box is not None and 70.0 < box["y"] < 500.0
