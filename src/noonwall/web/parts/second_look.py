"""A second look before learned values are taken into use: old beside learned, and what they do to a year's heat."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.web import questions
from noonwall.web.frame import named
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Sequence

    from noonwall.web.asked import Order
    from noonwall.web.bench import Bench

TITLE = "Take these into use?"


class SecondLook:
    """A window with what would change; its one button takes it into use, everything else leaves it."""

    def __init__(
        self,
        bench: Bench,
        order: Order,
        values: Sequence[dict[str, Any]],
        use: Callable[[], Awaitable[object]],
    ) -> None:
        self.bench, self.order, self.use = bench, order, use
        self.keys = tuple(sorted(value["key"] for value in values))
        with ui.dialog() as self.dialog, ui.card().classes("nw-card"):
            ui.html(f"<h2>{TITLE}</h2>", sanitize=False)
            ui.html(values_table(values), sanitize=False).classes("w-full")
            self.heat = ui.element("div").classes("w-full").props("role=status aria-live=polite")
            with self.heat, ui.row().classes("items-center"):
                ui.spinner(size="1.4em").props("aria-hidden=true")
                ui.label("Calculating what they do to the year's heat ...")
            with ui.row():
                many = f"Use these {len(values)} values" if len(values) != 1 else "Use this value"
                self.take = ui.button(many, on_click=self.taken).classes("nw-strong")
                ui.button("Leave it as it is", on_click=self.dialog.close).props("outline autofocus").classes(
                    "nw-plain"
                )
        named(self.dialog, TITLE)
        self.dialog.on("hide", self.dialog.delete)
        self.dialog.open()
        ui.timer(0.05, self.look, once=True)

    async def look(self) -> None:
        """Calculate the year with and without them, and show both; what cannot be calculated cannot be used."""
        in_use = bool(self.bench.learned)
        try:
            rows = await self.bench.long.call(questions.heat_with, self.order, self.keys, in_use)
        except (NoonwallError, FaultError, StoppedError) as error:
            if not self.heat.is_deleted:
                self._show(f'<p class="nw-bad">{html.escape(str(error))}</p>')
                self.take.set_enabled(False)
            return
        if not self.heat.is_deleted:
            self._show(heat_table(rows))

    def _show(self, text: str) -> None:
        self.heat.clear()
        with self.heat:
            ui.html(text, sanitize=False).classes("w-full")

    async def taken(self) -> None:
        """Take them into use."""
        self.take.set_enabled(False)
        self.dialog.close()
        await self.use()


def values_table(values: Sequence[dict[str, Any]]) -> str:
    """Return learned values beside assumed ones with their spread, everything in it escaped."""
    rows = "".join(
        f'<tr><th scope="row">{html.escape(v["title"])}{", " if v["unit"] else ""}{html.escape(v["unit"])}</th>'
        f"<td>{html.escape(v['assumed'])}</td><td>&rarr; <b>{html.escape(v['learned'])}</b></td>"
        f"<td>{html.escape(v['interval'])}</td></tr>"
        for v in values
    )
    return _table(
        "Old and learned values; the span holds nine times in ten", ("what", "old", "learned", "span"), rows
    )


def heat_table(rows: Sequence[tuple[str, str, str, str]]) -> str:
    """Return the year's heat with and without what was learned, everything in it escaped."""
    body = "".join(
        f'<tr><th scope="row">{html.escape(what)}</th><td>{html.escape(now)}</td><td>&rarr; <b>{html.escape(then)}'
        f"</b></td><td>{html.escape(more)}</td></tr>"
        for what, now, then, more in rows
    )
    return _table(
        "What they do to the heat of a year of the project's weather",
        ("a year", "now", "with these", "more"),
        body,
    )


def _table(caption: str, heads: Sequence[str], body: str) -> str:
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    return (
        f'<div class="nw-table" tabindex="0" role="region" aria-label="{caption}"><table class="nw-grid"><caption>'
        f"{caption}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )
