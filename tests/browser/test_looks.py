"""What only a browser can tell of the looks: hints at wide tables, dark pictures and white paper, nothing cut off."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from conftest import Served, Window

CUT = """() => [...document.querySelectorAll('.nw-box input, .nw-box textarea, .nw-box .ellipsis, .q-btn')]
  .filter(e => e.offsetWidth > 20 && getComputedStyle(e).overflowX !== 'visible' && e.scrollWidth > e.clientWidth + 1)
  .map(e => e.value || e.textContent)"""
OPEN = "document.querySelectorAll('details').forEach(one => { one.open = true; })"
OVERLAPS = """() => { const found = [];
  for (const sky of document.querySelectorAll('svg.nw-sky[aria-label^="The sky"]')) {
    const words = [...sky.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
    words.forEach(([one, a], i) => words.slice(i + 1).forEach(([other, b]) => {
      if (a.width && a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3)
        found.push(one + ' on ' + other); }));
  } return found; }"""


def test_a_wide_table_says_that_more_lies_at_its_side(phone: Window) -> None:
    page = phone.go("/variants")
    phone.settled()
    table = page.locator(".nw-table", has=page.locator(".nw-side"))
    table.wait_for()
    page.wait_for_selector(".nw-more-told:visible")
    assert "nw-more" in str(table.get_attribute("class")).split()
    assert table.get_attribute("tabindex") == "0" and table.get_attribute("aria-label")
    table.evaluate("one => { one.scrollLeft = one.scrollWidth; }")
    page.wait_for_function("!document.querySelector('.nw-table:has(.nw-side)').classList.contains('nw-more')")
    assert phone.too_wide <= 0


def test_a_dark_page_shows_dark_pictures_and_prints_white_ones(window: Callable[..., Window]) -> None:
    one = window(1280, dark=True)
    page = one.go("/")
    one.settled()
    page.locator("img.nw-by-night").first.scroll_into_view_if_needed()
    page.wait_for_function("document.querySelector('img.nw-by-night').naturalWidth > 100")
    assert page.locator("img.nw-by-day").first.is_hidden()
    figures = page.locator(".nw-figures .nw-grid").first
    assert figures.is_hidden()
    page.emulate_media(media="print")
    figures.wait_for(state="visible")  # what is folded away is opened for paper
    assert page.locator("img.nw-by-day").first.is_visible()
    assert page.locator("img.nw-by-night").first.is_hidden()
    colour = "getComputedStyle(document.body).getPropertyValue('--{}').trim()"
    inks = [page.evaluate(colour.format(name)) for name in ("ink", "sun", "good", "bad", "night", "ember")]
    assert inks == ["#000", "#8a5a00", "#1d6b3f", "#9b1c1c", "#1f4f7a", "#9a3412"]  # no pale ink on paper
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert figures.is_visible()
    assert not any(button.is_visible() for button in page.locator(".nw-page .q-btn").all())
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert figures.is_hidden()


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_is_cut_off_in_boxes(window: Callable[..., Window], workbench: Served, width: int) -> None:
    page = window(width, served=workbench).go("/shop")
    for path in ("/shop", "/wall", "/air"):
        page.goto(workbench.base + path)
        page.wait_for_function("window.did_handshake === true")
        page.wait_for_selector(".nw-box")
        page.evaluate(OPEN)
        page.wait_for_timeout(300)
        assert page.evaluate(CUT) == []


@pytest.mark.parametrize("width", [390, 1280])
def test_words_of_the_sky_lie_beside_each_other(window: Callable[..., Window], width: int) -> None:
    page = window(width).go("/site")
    page.wait_for_selector("svg.nw-sky", state="attached")
    page.wait_for_timeout(500)
    assert page.evaluate(OVERLAPS) == []
