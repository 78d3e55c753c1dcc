"""The first thing a builder sees, in a real browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fakes.windows import Window


def test_the_year_of_the_demo_is_there_in_both_widths(either: Window) -> None:
    page = either.go("/")
    page.wait_for_selector("text=Month by month")
    either.settled()
    assert page.locator("html").get_attribute("lang") == "en-US"
    assert either.too_wide <= 0
    either.shoot("year")
