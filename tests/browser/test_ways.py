"""The page of variants in a real browser: what is picked is read whole, on a phone and on a laptop."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from conftest import Served, Window

# What is picked in the lists and runs out of its box, and boxes that run out of their card.
CUT = """() => {
  const cut = [...document.querySelectorAll('.nw-fields .q-field__native > span')].filter(one =>
    one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflow !== 'visible');
  const card = document.querySelector('.nw-fields').closest('.nw-card').getBoundingClientRect();
  const out = [...document.querySelectorAll('.nw-fields .q-field')].filter(one =>
    one.getBoundingClientRect().right > card.right);
  return [...cut, ...out].map(one => one.innerText);
}"""


@pytest.mark.parametrize("width", [390, 1280])
def test_what_is_picked_is_read_whole(window: Callable[..., Window], workbench: Served, width: int) -> None:
    one = window(width, served=workbench)
    page = one.go("/variants")
    page.get_by_label("Or one value of the project").click()
    page.get_by_role("option").filter(has_text="Leak to outdoors along").click()
    page.get_by_label("A usual remedy").click()
    page.get_by_role("option").filter(has_text="shutters").click()
    page.wait_for_timeout(400)
    assert page.locator(
        ".nw-fields span", has_text="Leak to outdoors along the glazing's edge (wall):"
    ).is_visible()
    assert page.evaluate(CUT) == []
    assert one.too_wide <= 0
    one.shoot(f"ways-{width}")
