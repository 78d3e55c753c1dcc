"""The strip of key figures: whole at every width, and never over what has the keyboard or was jumped to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from conftest import Served, Window

# What is cut off in the strip, or wider than its tile.
CUT = """() => [...document.querySelectorAll('.nw-tiles dt, .nw-tiles b, .nw-tiles .nw-change')].filter(one => {
  const [box, strip] = [one.getBoundingClientRect(), one.closest('.nw-strip').getBoundingClientRect()];
  const room = one.closest('.nw-tiles > div').clientWidth + 1;
  return box.left < strip.left || box.right > strip.right || Math.max(one.scrollWidth, box.width) > room;
}).map(one => one.innerText)"""
# The name of what has the keyboard, where the strip or the header lies over any of it.
HIDDEN = """() => {
  const one = document.activeElement, strip = document.querySelector('.nw-strip');
  if (!one || !one.closest('.nw-page') || one.closest('.nw-strip')) return '';
  const [box, over] = [one.getBoundingClientRect(), strip.getBoundingClientRect()];
  const under = box.top < over.bottom && box.bottom > over.top || box.top < 78;
  return under ? one.getAttribute('aria-label') || one.innerText || one.tagName : '';
}"""


def at(window: Window, path: str) -> Page:
    """Open a page and wait until the year stands in its strip."""
    page = window.go(path)
    page.wait_for_selector(".nw-tiles:not(.nw-faded)", timeout=60_000)
    return page


@pytest.mark.parametrize("width", [390, 1280])
def test_all_key_figures_are_whole(window: Callable[..., Window], own_workbench: Served, width: int) -> None:
    one = window(width, served=own_workbench)
    page = at(one, "/wall")
    assert page.locator(".nw-tiles dt").count() == 6
    # The widest that a tile can hold: US units, a change that the model hardly tells apart.
    page.evaluate("""() => document.querySelectorAll('.nw-tiles > div').forEach(tile => {
      tile.querySelector('b').textContent = '10,584 kBtu';
      tile.querySelector('.nw-change').textContent = '+1,173 kBtu, about as before'; })""")
    assert page.evaluate(CUT) == []
    assert page.locator(".nw-strip").evaluate("one => one.offsetHeight") < 160
    for narrower in (1120, 1010, 760):
        page.set_viewport_size({"width": narrower, "height": 800})
        assert page.evaluate(CUT) == [], narrower
    one.shoot(f"strip-{width}")


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("path", ["/air", "/shop"])
def test_what_has_the_keyboard_is_never_under_the_strip(
    window: Callable[..., Window], workbench: Served, width: int, path: str
) -> None:
    page = at(window(width, served=workbench), path)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    page.evaluate("[...document.querySelectorAll('.nw-page input')].at(-1).focus()")
    hidden = []
    for _ in range(45):
        page.keyboard.press("Shift+Tab")
        page.wait_for_timeout(30)
        hidden.append(page.evaluate(HIDDEN))
    assert [name for name in hidden if name] == []


@pytest.mark.parametrize("width", [390, 1280])
def test_what_is_jumped_to_lies_below_the_strip(
    window: Callable[..., Window], workbench: Served, width: int
) -> None:
    page = at(window(width, served=workbench), "/air#box-wall.vents.top.height")
    page.wait_for_function("getComputedStyle(document.documentElement).getPropertyValue('--nw-under') !== ''")
    page.wait_for_timeout(300)
    gap = """on => document.querySelector(on).getBoundingClientRect().top
      - document.querySelector('.nw-strip').getBoundingClientRect().bottom"""
    assert 0.0 <= page.evaluate(gap, '[id="box-wall.vents.top.height"]') < 400.0
    heading = page.locator(".nw-card h2", has_text="Switches").first
    heading.evaluate("one => { one.id = 'the-heading'; one.scrollIntoView(); }")
    page.wait_for_timeout(200)
    assert 0.0 <= page.evaluate(gap, "#the-heading") < 60.0
