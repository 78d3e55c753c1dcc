"""Take the pictures of docs/guide/workbench.md anew: real pages of the lived demo, in a real browser."""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))  # the tests' windows are these

from fakes.windows import ARGUMENTS, chromium_here, end, serve  # noqa: E402 - after the path
from noonwall.cli.open import demo_folder  # noqa: E402 - after the path

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

OUT = ROOT / "docs" / "guide" / "workbench"
LAPTOP, PHONE = (1120, 760), (390, 780)
COLOURS = 96
PATIENCE_MS = 300_000
# name, address, what must be there before, what to scroll to ("" for the top), window
SHOTS = (
    ("year", "/", "text=of sun reached the glazing", "", LAPTOP),
    ("day", "/", "h3:has-text('Temperatures')", "h2:has-text('Day by day')", LAPTOP),
    ("phone", "/", "text=of sun reached the glazing", "", PHONE),
    ("site", "/site", "h2:has-text('The sun of a whole year')", ".nw-site", LAPTOP),
    ("wall", "/wall", "h1", "", LAPTOP),
    ("air", "/air", "h1", "", LAPTOP),
    ("variants", "/variants", "h2:has-text('Side by side')", "h2:has-text('Side by side')", LAPTOP),
    (
        "readings",
        "/readings",
        "h2:has-text('What looks doubtful')",
        "h2:has-text('What looks doubtful')",
        LAPTOP,
    ),
    ("lookback", "/lookback", "h2:has-text('Where the difference went')", "", LAPTOP),
)


def main() -> None:
    """Do it."""
    OUT.mkdir(exist_ok=True)
    program = chromium_here()
    if program is None:
        sys.exit("no chromium here; Debian: sudo apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        served = serve(demo_folder(Path(folder)))
        browser = play.chromium.launch(executable_path=program, args=list(ARGUMENTS))
        try:
            for name, path, there, place, window in SHOTS:
                _keep(OUT / f"{name}.png", _shot(browser, served.base + path, there, place, window))
        finally:
            browser.close()
            end(served)


def _shot(browser: Browser, address: str, there: str, place: str, window: tuple[int, int]) -> bytes:
    page = browser.new_page(viewport={"width": window[0], "height": window[1]})
    page.set_default_timeout(PATIENCE_MS)
    page.goto(address)
    page.wait_for_selector(there)
    _quiet(page)
    if place:
        page.locator(place).first.evaluate(
            "e => window.scrollTo(0, e.getBoundingClientRect().top + window.scrollY - 90)"
        )
    page.wait_for_timeout(1200)
    picture = page.screenshot()
    page.close()
    return picture


def _quiet(page: Page) -> None:
    page.wait_for_function("!document.querySelector('.nw-state .q-spinner')")
    page.wait_for_timeout(500)


def _keep(file: Path, picture: bytes) -> None:
    """Write a picture in few colours, a fifth of its size."""
    with Image.open(io.BytesIO(picture)) as drawn:
        drawn.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)
    print(f"{file.relative_to(ROOT)}: {file.stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
