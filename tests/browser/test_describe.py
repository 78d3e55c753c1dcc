"""Pages of description in a real browser: an edit is written, drawn, and a new year is there at once."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

import numpy as np
import pytest

import noonwall
from noonwall.model.file import load

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from conftest import Served, Window

NEW_YEAR_S = 3.0
PAGES = ("/place", "/shop", "/wall", "/air")


def with_year(window: Window, path: str) -> Page:
    """Open a page and wait until the year stands beside its boxes, not being calculated."""
    page = window.go(path)
    page.wait_for_selector(".nw-tiles:not(.nw-faded)", timeout=60_000)
    page.wait_for_function(
        "!/Calculating/.test(document.querySelector('.nw-strip').innerText)", timeout=60_000
    )
    return page


def bare_year_s(served: Served) -> float:
    """Return how long one year takes here and now, without any page."""
    project = load(served.folder)
    noonwall.simulate(project)
    start = time.monotonic()
    noonwall.simulate(project)
    return time.monotonic() - start


def test_an_edited_wall_shows_a_new_year_within_three_seconds(laptop: Window, own_workbench: Served) -> None:
    page = with_year(laptop, "/wall")
    took = []
    for depth in ("120", "75", "12"):
        before = page.inner_text(".nw-tiles")
        gap = page.get_by_label("Depth of the air gap", exact=True)
        gap.fill(depth)
        start = time.monotonic()
        gap.press("Enter")
        page.wait_for_function(
            "before => { const t = document.querySelector('.nw-tiles'); "
            "return t.innerText !== before && !t.classList.contains('nw-faded') }",
            arg=before, timeout=60_000,
        )  # fmt: skip
        took.append(time.monotonic() - start)
        assert f"{depth} mm" in (page.text_content(".nw-drawing") or "")
    # On a machine with other work everything is slower: the line is held, or four bare years of right now.
    assert float(np.median(took)) < max(NEW_YEAR_S, 4.0 * bare_year_s(own_workbench)), took
    assert load(own_workbench.folder).wall.gap_m == pytest.approx(0.012)
    assert re.search(r"kWh, (better|worse)", page.inner_text(".nw-tiles"))
    laptop.shoot("wall-edited")


def test_by_keyboard_a_refused_value_is_seen_and_mended(laptop: Window, own_workbench: Served) -> None:
    page = with_year(laptop, "/wall")
    gap = page.get_by_label("Depth of the air gap", exact=True)
    gap.fill("9 m")
    gap.press("Tab")
    page.wait_for_selector("text=did you mean")
    assert gap.input_value() == "9 m"
    assert page.inner_text(".nw-saved") == "Not saved: Depth of the air gap"
    page.set_viewport_size({"width": 390, "height": 800})
    assert page.inner_text(".nw-saved") == "Not saved"
    last = page.get_by_role("button", name="Light or dark").bounding_box()
    assert last is not None and last["x"] + last["width"] <= 390.0
    page.set_viewport_size({"width": 1280, "height": 800})
    gap.fill("90 mm")
    gap.press("Tab")
    page.wait_for_function("() => /90 mm/.test(document.querySelector('.nw-drawing').textContent)")
    page.locator("text=did you mean").wait_for(state="detached")  # it fades
    assert load(own_workbench.folder).wall.gap_m == pytest.approx(0.09)


def test_why_is_told_without_opening_the_list(laptop: Window) -> None:
    page = with_year(laptop, "/wall")
    page.get_by_role("button", name="Glazing: what it is and why", exact=True).click()
    page.get_by_role("dialog").get_by_text("catalogue of glazings").wait_for()
    assert page.locator(".q-menu").count() == 0
    page.keyboard.press("Escape")
    page.get_by_role("dialog").wait_for(state="detached")


@pytest.mark.parametrize("path", PAGES)
def test_pages_fit_a_phone(path: str, phone: Window) -> None:
    with_year(phone, path)
    assert phone.too_wide <= 0
    phone.shoot(f"describe-{path.strip('/')}")


def test_what_is_being_typed_is_told_as_not_saved_at_once(laptop: Window, own_workbench: Served) -> None:
    """Without waiting for the box to be left; what is typed back is saved as it was."""
    page = with_year(laptop, "/wall")
    gap = page.get_by_label("Depth of the air gap", exact=True)
    was = gap.input_value()
    gap.click()
    page.locator('[id="box-wall.gap"] .nw-entered').wait_for(state="visible")
    assert "Not saved" not in page.inner_text(".nw-saved")
    gap.fill("95 mm")
    assert page.inner_text(".nw-saved") == "Not saved yet"
    gap.fill(was)
    assert "Not saved" not in page.inner_text(".nw-saved")
    gap.fill("95 mm")
    gap.press("Tab")
    page.wait_for_function("() => document.querySelector('.nw-saved').innerText === 'All changes saved'")
    assert load(own_workbench.folder).wall.gap_m == pytest.approx(0.095)
