"""The list of places: there where there is room, else behind its button."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fakes.windows import Window


def shown(window: Window) -> bool:
    box = window.page.locator(".nw-rail").bounding_box()
    return box is not None and box["x"] >= 0.0


def test_the_places_stand_beside_the_page_where_there_is_room(laptop: Window) -> None:
    page = laptop.go("/night")
    page.wait_for_function("document.querySelector('.nw-rail').getBoundingClientRect().x >= 0")
    page.wait_for_timeout(800)  # an answer of the server would have closed it by now
    assert shown(laptop)
    assert page.locator("main").count() == 1


def test_a_phone_opens_and_closes_them_by_the_button(phone: Window) -> None:
    page = phone.go("/night")
    page.wait_for_timeout(500)
    assert not shown(phone)
    page.get_by_role("button", name="Places", exact=True).click()
    page.wait_for_function("document.querySelector('.nw-rail').getBoundingClientRect().x >= 0")
    page.get_by_role("link", name="Wall", exact=True).click()
    page.wait_for_url("**/wall")
    assert not shown(phone)
