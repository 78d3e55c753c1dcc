"""Shared in a network: a device comes in by its code, and then everything works as at home."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

import pytest

from fakes.windows import HEIGHTS, PATIENCE_S, PHONE, Window, end, serve
from noonwall.model.templates import create
from noonwall.web.network import own_addresses

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

pytestmark = pytest.mark.skipif(not own_addresses(), reason="this machine is in no network to share in")


def test_a_phone_comes_in_by_its_code(chromium: Browser, tmp_path: Path) -> None:
    served = serve(create(tmp_path / "shed", demo=True).parent, "--lan")
    context = chromium.new_context(viewport={"width": PHONE, "height": HEIGHTS[PHONE]})
    try:
        window = Window(context.new_page(), served.base)
        window.watch()
        page = window.page
        code = code_of(served.log, 1)
        page.goto(f"{served.base}/")
        page.wait_for_selector("text=Which code does the terminal show?")
        assert page.url.endswith("/enter")
        window.shoot("code")
        page.goto(f"{served.base}/enter#{code}")
        page.reload()
        assert page.input_value("#code") == code
        page.get_by_role("button", name="Open it on this device").click()
        page.wait_for_selector("text=of sun reached the glazing")
        assert not page.evaluate("document.cookie"), "no script reads the proof"
        assert code_of(served.log, 2) != code
        assert not window.wrong
    finally:
        context.close()
        end(served)


def code_of(log: Path, number: int) -> str:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        found = re.findall(r"Code for one device:  (\S+)", log.read_text(errors="replace"))
        if len(found) >= number:
            return str(found[number - 1])
        time.sleep(0.05)
    raise AssertionError(log.read_text(errors="replace"))
