"""The server: static files, pictures, pages; started by ``noonwall open``."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

HERE = Path(__file__).parent
FORMS = {"png": "image/png", "svg": "image/svg+xml", "pdf": "application/pdf"}


def build(bench: Bench) -> None:
    """Register every page and route for one bench; call it once before the server runs."""
    from fastapi import Response
    from nicegui import app

    from noonwall.errors import NoonwallError
    from noonwall.web.pages import every_page
    from noonwall.web.worker import FaultError

    app.add_static_files("/static", HERE / "static")

    @app.get("/health")
    def health() -> dict[str, str]:
        return {"noonwall": "open"}

    @app.get("/picture/{question}/{name}.{form}")
    async def picture(question: str, name: str, form: str) -> Response:
        order = bench.result(question).shown if form in FORMS else None
        if order is None:
            return Response("no such picture", status_code=404, media_type="text/plain")
        try:
            drawn = await bench.worker(question).picture(order, name, form)
        except (NoonwallError, FaultError, KeyError):
            return Response("no such picture", status_code=404, media_type="text/plain")
        return Response(drawn, media_type=FORMS[form], headers={"cache-control": "no-cache"})

    app.on_startup(bench.quick.start)
    app.on_shutdown(bench.close)
    every_page(bench)


def run(bench: Bench, port: int, *, show: bool) -> None:
    """Serve the bench on this machine only, until stopped."""
    from nicegui import ui

    build(bench)
    ui.run(
        host="127.0.0.1", port=port, reload=False, show=show, title="noonwall", language="en-US",
        reconnect_timeout=60, show_welcome_message=False, storage_secret=os.urandom(32).hex(),
        favicon=HERE / "static" / "mark.svg",
    )  # fmt: skip
