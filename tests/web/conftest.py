"""Pages without a browser: the demo on a desk of its own, every page registered, and somebody who looks at them.

shed, lived_shed   a folder with a copy of the demo; the second with its invented year of readings
bench              the workbench over ``shed``; it calculates in this process, each year once
user               opens pages of that bench: ``await user.open("/night")``, ``await user.should_see(...)``
bench_over         makes a bench over any folder, for tests that want another project
opened             the same as ``user`` for a bench of the test's own: ``async with opened(bench) as user``
"""

from __future__ import annotations

import os
import shutil
import sys
from contextlib import asynccontextmanager, contextmanager
from typing import TYPE_CHECKING

import httpx
import pytest

from fakes.once import years_once
from fakes.worker import NearWorker
from noonwall.logs.furnish import furnish
from noonwall.model.templates import create
from noonwall.web.bench import Bench
from noonwall.web.desk import Desk

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Iterator
    from contextlib import AbstractAsyncContextManager
    from pathlib import Path

    from nicegui.testing.user import User


@pytest.fixture(autouse=True)
def once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Calculate the same year once, however many pages ask for it."""
    years_once(monkeypatch)


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Return a folder with a copy of the demo."""
    return create(tmp_path / "shed", demo=True).parent


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo with its invented year of readings, to be copied."""
    file = create(tmp_path_factory.mktemp("lived") / "shed", demo=True)
    furnish(file)
    return file.parent


@pytest.fixture
def lived_shed(furnished: Path, tmp_path: Path) -> Path:
    """Return a folder with a copy of the demo and its invented year of readings."""
    return shutil.copytree(furnished, tmp_path / "lived-shed")


@pytest.fixture
def bench_over() -> Iterator[Callable[[Path], Bench]]:
    """Return a function that opens a folder; what it opened is closed after the test."""
    made: list[Bench] = []

    def over(folder: Path) -> Bench:
        bench = Bench(Desk(folder))
        bench.quick, bench.long = NearWorker(), NearWorker()
        made.append(bench)
        return bench

    yield over
    for bench in made:
        bench.close()


@pytest.fixture
def bench(bench_over: Callable[[Path], Bench], shed: Path) -> Bench:
    """Return the workbench over a copy of the demo."""
    return bench_over(shed)


@pytest.fixture
def opened() -> Callable[[Bench], AbstractAsyncContextManager[User]]:
    """Return what serves a bench's pages to a user, without a port."""
    return serving


@pytest.fixture
async def user(bench: Bench, caplog: pytest.LogCaptureFixture) -> AsyncIterator[User]:
    """Serve the bench's pages; a page that logs an error fails the test."""
    async with serving(bench) as user:
        yield user
    wrong = [record.getMessage() for record in caplog.get_records("call") if record.levelname == "ERROR"]
    assert not wrong, wrong


@asynccontextmanager
async def serving(bench: Bench) -> AsyncIterator[User]:
    """Register the bench's pages in a fresh server, start it, and hand out somebody who opens them."""
    from nicegui import Client, core, ui
    from nicegui.functions.download import download
    from nicegui.functions.navigate import Navigate
    from nicegui.functions.notify import notify
    from nicegui.testing.general import nicegui_reset_globals, prepare_simulation
    from nicegui.testing.user import User

    from noonwall.web.app import build

    with modules_kept(), nicegui_reset_globals():
        os.environ["NICEGUI_USER_SIMULATION"] = "true"
        try:
            prepare_simulation()
            build(bench)
            ui.run(storage_secret="of the tests")
            door = httpx.ASGITransport(core.app)
            async with (
                core.app.router.lifespan_context(core.app),
                httpx.AsyncClient(transport=door, base_url="http://localhost") as client,
            ):
                try:
                    yield User(client)
                finally:
                    # or the page library waits two seconds for windows that never say goodbye
                    for window in Client.instances.values():
                        window.outbox.stop()
        finally:
            os.environ.pop("NICEGUI_USER_SIMULATION", None)
            ui.navigate, ui.notify, ui.download = Navigate(), notify, download
            forget_pages()


def forget_pages() -> None:
    """Have the server's library let go of a closed server's pages, or each test's garbage would be looked through."""
    from fastapi.dependencies import models
    from nicegui import Client

    Client.instances.clear()
    for remembered in vars(models).values():
        if hasattr(remembered, "cache_clear"):
            remembered.cache_clear()


@contextmanager
def modules_kept() -> Iterator[None]:
    """Put modules back that the page library throws away after a test: classes must stay the same classes."""
    before = {name: module for name, module in sys.modules.items() if name.split(".")[0] == "noonwall"}
    try:
        yield
    finally:
        sys.modules.update(before)
