"""A room limit on the page of fans: what a new one starts with, and what it makes of the wall's worst hour."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.report.hot_steps import ROOM_LIMIT, limits_heat_wall
from noonwall.report.room_limit import limit_told, set_points
from noonwall.web.frame import on_change
from noonwall.web.parts.trade import STARTS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from noonwall.model.edit import Value
    from noonwall.web.bench import Bench, Result

LINK = 'What else can fail stands on the page <a href="/hot">Hottest hours</a>.'


def starts(bench: Bench, kind: str) -> Mapping[str, Value]:
    """Return what a switch of a kind starts with; a limit with the set points that the page Too warm tries."""
    if kind != "open on rise":
        return STARTS[kind]
    return {**STARTS[kind], **set_points(bench.desk.project, bench.reader)}


def room_limit(bench: Bench) -> None:
    """Show, while a room limit stops the fans, what the wall pays for it in its worst hour."""
    panel = ui.html("", sanitize=False).classes("w-full").props("role=status")
    result, client = bench.result("limit"), ui.context.client
    ends: list[Callable[[], None]] = []

    def tell() -> None:
        with client:
            panel.set_content(f'<p class="nw-caution">{html.escape(_told(bench, result))} {LINK}</p>')

    def show() -> None:
        there = limits_heat_wall(bench.desk.project)
        panel.set_visibility(there)
        if there and not ends:
            ends.append(result.watch(tell))
            tell()
        elif not there and ends:
            ends.pop()()

    client.on_delete(lambda: ends.pop()() if ends else None)
    on_change(bench, show)


def _told(bench: Bench, result: Result) -> str:
    """Return what the room limit makes of the wall, with its figures once they are there."""
    found = result.answer.document if result.answer and not result.old else {}
    if found.get("with_limit_c") is not None:
        return limit_told(found["with_limit_c"], found["without_limit_c"], bench.reader)
    waits = " By how much is being calculated ..." if result.running else ""
    return f"{ROOM_LIMIT}{waits}"
