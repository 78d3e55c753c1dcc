"""Real pages in a real browser, in a process of their own: ``pytest tests/browser``.

workbench        address of a server over the lived demo, one for all tests: look at it, do not change the project
own_workbench    the same for one file of tests, which may change what it likes; ``own_workbench.folder`` is on disk
phone, laptop    a window of 390 x 844 and of 1280 x 800, closed and judged after the test
window           makes further windows: ``window(width, dark=True)``

A window fails its test for an error on the console, an exception of a page, or a request that leaves this machine.
``window.shoot("name")`` keeps a picture in tests/browser/shots.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlparse

import pytest

from noonwall.logs.furnish import furnish
from noonwall.model.templates import create

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request

SHOTS = Path(__file__).parent / "shots"
PHONE, LAPTOP = 390, 1280
HEIGHTS = {PHONE: 844, LAPTOP: 800}
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-gl=angle", "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)  # fmt: skip
PATIENCE_S = 60.0


@dataclass
class Window:
    """One window of the browser, and what went wrong in it."""

    page: Page
    base: str
    wrong: list[str] = field(default_factory=list)

    def go(self, path: str = "/") -> Page:
        """Open a page and wait until its heading is there."""
        self.page.goto(self.base + path)
        self.page.wait_for_selector("h1")
        return self.page

    def settled(self) -> Page:
        """Wait until nothing is being calculated on the page any more."""
        self.page.wait_for_function(
            "!document.querySelector('.nw-state .q-spinner')", timeout=PATIENCE_S * 1e3
        )
        return self.page

    @property
    def too_wide(self) -> int:
        """Return by how many pixels the page runs over its side."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - window.innerWidth"))

    def shoot(self, name: str) -> None:
        """Keep a picture of the whole page."""
        SHOTS.mkdir(exist_ok=True)
        self.page.screenshot(path=SHOTS / f"{name}-{self.page.viewport_size['width']}.png", full_page=True)

    def watch(self) -> None:
        """Note what must not happen."""
        self.page.on("pageerror", lambda error: self.wrong.append(f"exception: {error}"))
        self.page.on("console", self._console)
        self.page.on("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.wrong.append(f"console: {message.text} ({message.location.get('url', '')})")

    def _request(self, request: Request) -> None:
        address = urlparse(request.url)
        if address.scheme not in {"data", "blob"} and address.hostname not in {"127.0.0.1", "localhost"}:
            self.wrong.append(f"off this machine: {request.url}")


@dataclass(frozen=True)
class Served:
    """A running workbench."""

    base: str
    folder: Path
    process: subprocess.Popen[bytes]
    log: Path


def free_port() -> int:
    """Return a port that nothing listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def serve(folder: Path, *more: str) -> Served:
    """Start ``noonwall open`` on a folder and wait until it answers."""
    port, log = free_port(), folder.parent / f"{folder.name}.log"
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("NICEGUI_", "PYTEST_"))}
    words = [
        sys.executable,
        "-m",
        "noonwall",
        "open",
        str(folder),
        "--port",
        str(port),
        "--no-browser",
        *more,
    ]
    with log.open("wb") as out:
        process = subprocess.Popen(words, env=clean, stdout=out, stderr=subprocess.STDOUT, cwd=folder.parent)
    served = Served(f"http://127.0.0.1:{port}", folder, process, log)
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and process.poll() is None:
        try:
            with urllib.request.urlopen(f"{served.base}/health", timeout=5):
                return served
        except urllib.error.HTTPError:
            return served
        except OSError:
            time.sleep(0.05)
    end(served)
    pytest.fail(f"the server did not start:\n{log.read_text()}")


def end(served: Served) -> None:
    """Stop a workbench."""
    served.process.terminate()
    try:
        served.process.wait(10)
    except subprocess.TimeoutExpired:
        served.process.kill()
        served.process.wait()


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the lived demo, to be copied."""
    file = create(tmp_path_factory.mktemp("lived") / "shed", demo=True)
    furnish(file)
    return file.parent


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start the browser once; without one every test of this folder is passed over, and says so."""
    program = (
        os.environ.get("NOONWALL_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    )
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
