"""Windows of a real browser and the servers they look at."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlparse

import pytest

from fakes.servers import free_port, started

if TYPE_CHECKING:
    from playwright.sync_api import ConsoleMessage, Page, Request

SHOTS = Path(__file__).parents[1] / "browser" / "shots"
PHONE, LAPTOP = 390, 1280
HEIGHTS = {PHONE: 844, LAPTOP: 800}
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-gl=angle", "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)  # fmt: skip
PATIENCE_S = 120.0


@dataclass
class Window:
    """One window of the browser, and what went wrong in it."""

    page: Page
    base: str
    wrong: list[str] = field(default_factory=list)

    def go(self, path: str = "/") -> Page:
        """Open a page and wait until its heading is there and its hands are heard."""
        self.page.goto(self.base + path)
        self.page.wait_for_selector("h1")
        self.page.wait_for_function("window.did_handshake === true")
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
        """Keep a picture of the whole page, where pictures are asked for: each takes half a second."""
        if not os.environ.get("NOONWALL_SHOTS"):
            return
        SHOTS.mkdir(exist_ok=True)
        self.page.screenshot(path=SHOTS / f"{name}-{self.page.viewport_size['width']}.png", full_page=True)

    def watch(self) -> None:
        """Note what must not happen."""
        self.page.on(
            "pageerror",
            lambda error: self.wrong.append(f"exception at {self.page.url}: {error.stack or error}"),
        )
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


def chromium_here() -> str | None:
    """Return where the browser is: as named by NOONWALL_CHROMIUM, or as Debian installs it."""
    named = os.environ.get("NOONWALL_CHROMIUM")
    return named or shutil.which("chromium") or shutil.which("chromium-browser")


def serve(folder: Path, *more: str) -> Served:
    """Start ``noonwall open`` on a folder and wait until it answers."""
    port, log = free_port(), folder.parent / f"{folder.name}.log"
    process = started(folder, port, log, *more)
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
