"""Every page for everybody: axe-core finds nothing serious, in light on a laptop and in the dark on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import axe_playwright_python
import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from noonwall.web.frame import PLACES

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from fakes.windows import Window

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
LOOKS = ((1280, 800, False), (390, 844, True))  # width, height, dark: each width and each light once
FINDS = """async () => (await axe.run(document, {resultTypes: ['violations']})).violations
  .filter(v => ['serious', 'critical'].includes(v.impact))
  .map(v => ({id: v.id, what: v.nodes.map(n => n.html.slice(0, 200) + ' | ' + (n.failureSummary || '').slice(0, 300))}))
"""


@pytest.mark.parametrize("path", [to for _, places in PLACES for to, _, _ in places])
def test_nothing_serious_is_found(path: str, window: Callable[..., Window]) -> None:
    one = window()
    page = one.go(path)
    if path in {"/", "/shop", "/wall"}:
        one.settled()
    page.evaluate(AXE)
    for width, height, dark in LOOKS:
        wear(page, dark=dark)
        page.set_viewport_size({"width": width, "height": height})
        page.mouse.move(0, 0)
        page.wait_for_timeout(150)  # colours of a hover fade
        fits(page, f"{path} runs over its side at {width} px")
        found: list[dict[str, Any]] = page.evaluate(FINDS)
        look = f"{path} at {width} px, {'dark' if dark else 'light'}"
        assert not found, "\n".join([look, *(f"{f['id']}: {line}" for f in found for line in f["what"])])
    page.set_viewport_size({"width": 1280, "height": 800})
    wear(page, dark=False)


def fits(page: Page, complaint: str) -> None:
    """Wait until the places have slid in or out and nothing runs over the side any more."""
    try:
        page.wait_for_function("document.documentElement.scrollWidth <= window.innerWidth", timeout=8000)
    except PlaywrightTimeout:
        pytest.fail(complaint)


def wear(page: Page, *, dark: bool) -> None:
    """Put on light or dark."""
    if page.evaluate("document.body.classList.contains('body--dark')") != dark:
        page.get_by_label("Light or dark").click()
        page.wait_for_function(f"document.body.classList.contains('body--dark') === {str(dark).lower()}")
