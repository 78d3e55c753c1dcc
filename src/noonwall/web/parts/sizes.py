"""Beside the envelope: what its parts come to, what the shop's size asks for, and a button that fits them to it."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.model.envelope import fit_areas, sizes
from noonwall.report.envelope_words import fit_words, sizes_words
from noonwall.web.parts.field import follow
from noonwall.web.parts.form import change
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


def envelope_sizes(bench: Bench) -> None:
    """Show both areas, and while they differ the button that sets the walls' and the roof's."""
    told = ui.html("", sanitize=False).classes("w-full").props("role=status")
    with ui.row().classes("w-full items-center gap-2") as row:
        ui.button("Fit the areas to the sizes", icon="straighten", on_click=lambda: _fit(bench)).props(
            "outline"
        ).classes("nw-plain")
        becomes = ui.label().classes("nw-small nw-grow")

    def show() -> None:
        project, reader = bench.desk.project, bench.reader
        lines = "".join(f"<p>{html.escape(pretty(line))}</p>" for line in sizes_words(project, reader))
        now = sizes(project)
        odd = "" if now.closes and now.covers else " nw-caution"
        told.set_content(f'<div class="nw-small{odd}">{lines}</div>')
        fit = fit_words(project, reader)
        row.set_visibility(bool(fit))
        becomes.set_text(pretty(f"It sets {fit}. Undo takes it back.") if fit else "")

    follow(bench, told, show)


def _fit(bench: Bench) -> None:
    system = bench.reader.system
    words = fit_words(bench.desk.project, bench.reader)
    change(bench, lambda text: fit_areas(text, system), f"areas fitted to the sizes: {pretty(words)}")
