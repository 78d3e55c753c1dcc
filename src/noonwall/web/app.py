"""The server: its door, static files, pictures, pages; started by ``noonwall open``."""

from __future__ import annotations

import logging
import os
import tempfile
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.web.network import EVERYWHERE, LOOPBACK

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.web.bench import Bench, Options
    from noonwall.web.codes import Codes

HERE = Path(__file__).parent
FORMS = {"png": "image/png", "svg": "image/svg+xml", "pdf": "application/pdf"}


@dataclass(frozen=True)
class Shared:
    """How the workbench is shared in a network."""

    codes: Codes
    addresses: tuple[str, ...]
    admitted: Callable[[str], None]  # called with the address of each device that came in


def build(bench: Bench, shared: Shared | None = None, cookie: str = "noonwall") -> None:
    """Register the door and every page and route for one bench; call it once before the server runs."""
    from fastapi import Response
    from nicegui import app

    from noonwall.errors import NoonwallError
    from noonwall.web.door import OWN_NAMES, Door
    from noonwall.web.pages import every_page
    from noonwall.web.worker import FaultError

    names = OWN_NAMES | frozenset(shared.addresses if shared else ())
    app.add_middleware(
        Door,
        names=names,
        codes=shared.codes if shared else None,
        admitted=shared.admitted if shared else None,
        cookie=cookie,
    )
    app.config.quasar_config["loadingBar"]["skipHijack"] = (
        True  # a bar without a name at every file that is fetched
    )
    app.add_static_files("/static", HERE / "static")

    @app.get("/health")
    def health() -> dict[str, str]:
        return {"noonwall": "open"}

    @app.get("/picture/{question}/{name}.{form}")
    async def picture(
        question: str,
        name: str,
        form: str,
        years_on: float = 0.0,
        first: str = "",
        last: str = "",
        night: int = 0,
    ) -> Response:
        options: Options = (("years_on", years_on),) if years_on else ()
        options += tuple((k, v) for k, v in (("first", first), ("last", last)) if v)
        result = bench.known(question, options)
        order = result.shown if result is not None and form in FORMS else None
        if order is None:
            return Response("no such picture", status_code=404, media_type="text/plain")
        try:
            drawn = await bench.worker(question).picture(order, name, form, night=night == 1)
        except (NoonwallError, FaultError, KeyError):
            return Response("no such picture", status_code=404, media_type="text/plain")
        return Response(drawn, media_type=FORMS[form], headers={"cache-control": "no-cache"})

    app.on_startup(bench.quick.start)
    app.on_shutdown(bench.close)
    every_page(bench)


def run(
    bench: Bench,
    port: int,
    *,
    shared: Shared | None = None,
    ready: Callable[[], None] | None = None,
) -> None:
    """Serve the bench until stopped: on this machine only, or with ``shared`` in its networks.

    ready  called when the server is about to listen
    """
    # The page library would keep what it stores in the folder one stands in; nothing is stored there.
    os.environ.setdefault(
        "NICEGUI_STORAGE_PATH", str(Path(tempfile.gettempdir()) / f"noonwall-{os.getpid()}")
    )
    from nicegui import app, ui

    from noonwall.web.pages.site import warm_later

    # A second Ctrl-C cuts the farewell short; the server would print where it was then.
    logging.getLogger("uvicorn.error").addFilter(lambda record: "CancelledError" not in record.getMessage())
    build(bench, shared, f"noonwall-{port}")
    app.on_startup(bench.begin)
    app.on_startup(partial(warm_later, bench))
    if ready is not None:
        app.on_startup(ready)
    ui.run(
        host=EVERYWHERE if shared else LOOPBACK, port=port, reload=False, show=False, title="noonwall",
        language="en-US", reconnect_timeout=60, show_welcome_message=False,
        favicon=HERE / "static" / "mark.svg", proxy_headers=False, server_header=False, timeout_graceful_shutdown=2,
    )  # fmt: skip
