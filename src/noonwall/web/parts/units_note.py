"""What a page of boxes says once where the file is written in other units than the reader's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.model.convert import written_in
from noonwall.web.parts.field import tables_of

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

CALLED = {"metric": "metric", "us": "US"}


def units_note(bench: Bench) -> None:
    """Show which units the file is written in and which the boxes show, where these differ."""
    tables = {key: value for key, value in tables_of(bench).items() if key != "units"}
    written, read = written_in(tables), bench.reader.system
    if written == read:
        return
    ui.html(
        f'<p class="nw-soft nw-small">The file is written in {CALLED[written]} units; the boxes show it in '
        f"{CALLED[read]} ones, rounded. What you do not change stays in the file as it is; go into a box to see how "
        "the file has it.</p>", sanitize=False,
    )  # fmt: skip
