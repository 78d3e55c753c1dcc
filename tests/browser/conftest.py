"""Real pages in a real browser, in a process of their own: ``pytest tests/browser``.

workbench        address of a server over the lived demo, one for all tests: look at it, do not change the project
own_workbench    the same for one file of tests, which may change what it likes; ``own_workbench.folder`` is on disk
phone, laptop    a window of 390 x 844 and of 1280 x 800, closed and judged after the test
window           makes further windows: ``window(width, dark=True)``

A window fails its test for an error on the console, an exception of a page, or a request that leaves this machine.
``window.shoot("name")`` keeps a picture in tests/browser/shots when NOONWALL_SHOTS=1.
"""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from fakes.windows import (
    ARGUMENTS,
    HEIGHTS,
    LAPTOP,
    PATIENCE_S,
    PHONE,
    Served,
    Window,
    chromium_here,
    end,
    serve,
)
from noonwall.logs.furnish import furnish
from noonwall.model.templates import create

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the lived demo, to be copied."""
    file = create(tmp_path_factory.mktemp("lived") / "shed", demo=True)
    furnish(file)
    return file.parent


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start the browser once; without one every test of this folder is passed over, and says so."""
    program = chromium_here()
    if program is None:
        pytest.skip("no chromium here; Debian: sudo apt-get install chromium, or NOONWALL_CHROMIUM=its path")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program, args=list(ARGUMENTS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def workbench(
    chromium: Browser, furnished: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Served]:
    """Return a workbench over the lived demo that all tests look at and none changes."""
    del chromium
    served = serve(shutil.copytree(furnished, tmp_path_factory.mktemp("shared") / "shed"))
    yield served
    end(served)


@pytest.fixture(scope="module")
def own_workbench(
    chromium: Browser, furnished: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Served]:
    """Return a workbench over the lived demo for one file of tests, to be changed at will."""
    del chromium
    served = serve(shutil.copytree(furnished, tmp_path_factory.mktemp("own") / "shed"))
    yield served
    end(served)


@pytest.fixture(scope="session")
def desks(chromium: Browser) -> Iterator[dict[int, BrowserContext]]:
    """Return one profile per width, so that the pages' scripts are fetched once."""
    made = {
        width: chromium.new_context(
            viewport={"width": width, "height": height}, has_touch=width == PHONE, locale="en-US"
        )
        for width, height in HEIGHTS.items()
    }
    yield made
    for context in made.values():
        context.close()


@pytest.fixture
def window(
    desks: dict[int, BrowserContext], request: pytest.FixtureRequest
) -> Iterator[Callable[..., Window]]:
    """Return a function that opens windows; each is judged after the test.

    It takes the width (390 or 1280), ``dark``, and the ``workbench`` to look at, otherwise the test's own one.
    """
    opened: list[Window] = []

    def open_one(width: int = LAPTOP, *, dark: bool = False, served: Served | None = None) -> Window:
        name = "own_workbench" if "own_workbench" in request.fixturenames else "workbench"
        served = served or request.getfixturevalue(name)
        page = desks[width].new_page()
        page.set_default_timeout(PATIENCE_S * 1e3 / 2)
        look = "dark" if dark else "light"
        page.add_init_script(f"localStorage.setItem('noonwall-light', '{look}')")
        opened.append(Window(page, served.base))
        opened[-1].watch()
        return opened[-1]

    yield open_one
    wrong = [line for one in opened for line in one.wrong]
    for one in opened:
        one.page.close()
    assert not wrong, "\n".join(wrong)


@pytest.fixture
def phone(window: Callable[..., Window]) -> Window:
    """Return a window as wide as a phone."""
    return window(PHONE)


@pytest.fixture
def laptop(window: Callable[..., Window]) -> Window:
    """Return a window as wide as a small laptop."""
    return window(LAPTOP)


@pytest.fixture(params=[PHONE, LAPTOP], ids=["phone", "laptop"])
def either(request: pytest.FixtureRequest, window: Callable[..., Window]) -> Window:
    """Return a window of each width in turn."""
    return window(request.param)
