"""Ways side by side in one table; what is better or worse is told by word and sign, never by colour alone."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.web.parts.ticks import ticks_of

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

SIGNS = {
    "better": ("&#9650;", "better"),
    "worse": ("&#9660;", "worse"),
    "same": ("=", "same"),
    "base": ("", ""),
}
FEWEST = 2


def side_by_side(bench: Bench, found: dict[str, Any]) -> None:
    """Draw the table of ``report.compare_rows``, with a tick for each way; all windows share the ticks."""
    ui.html("".join(f"<p>{html.escape(line)}</p>" for line in found["findings"]), sanitize=False).classes(
        "nw-words"
    )
    names: list[str] = found["names"]
    ticks = ticks_of(bench, "ways")
    boxes: dict[str, ui.checkbox] = {}
    place = ui.element("div").classes("w-full")

    def draw() -> None:
        place.clear()
        shown = [i for i, name in enumerate(names) if i == 0 or name not in ticks.hidden]
        with place:
            ui.html(table_of(found, shown), sanitize=False)
        for name, box in boxes.items():
            box.set_value(name not in ticks.hidden)

    if len(names) > FEWEST:
        with ui.row().classes("nw-ticks").props('role=group aria-label="Ways shown in the table"') as row:
            ui.label("Show").classes("nw-soft")
            for name in names[1:]:
                boxes[name] = ui.checkbox(name, value=name not in ticks.hidden)
                boxes[name].on_value_change(lambda e, name=name: ticks.set(name, bool(e.value)))
        row.move(target_index=1)
    ticks.follow(place, draw)


def table_of(found: dict[str, Any], places: list[int]) -> str:
    """Return the table as HTML, its columns the ways at these places, everything in it escaped."""
    heads = "".join(f'<th scope="col">{_head(found, i)}</th>' for i in places)
    rows = "".join(_row(row, places) for row in found["rows"])
    return (
        '<div class="nw-table" tabindex="0" role="region" aria-label="The ways side by side">'
        f'<table class="nw-grid nw-side"><caption>Over the year. &#9650; better, &#9660; worse than as described; '
        f'= not to be told apart</caption><thead><tr><th scope="col">What</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _head(found: dict[str, Any], place: int) -> str:
    name, changes = found["names"][place], " + ".join(found["changes"][place])
    under = (
        f'<span class="nw-soft nw-small">{html.escape(changes)}</span>' if changes and changes != name else ""
    )
    return f"{html.escape(name)}{'<br>' + under if under else ''}"


def _row(row: dict[str, Any], places: list[int]) -> str:
    part = html.escape(row["opens"])
    opens = (
        f'<tr><th class="nw-part" colspan="{len(places) + 1}" scope="colgroup">{part}</th></tr>'
        if part
        else ""
    )
    cells = "".join(_cell(row["cells"][i]) for i in places)
    return f'{opens}<tr><th scope="row">{html.escape(row["title"])}</th>{cells}</tr>'


def _cell(cell: dict[str, str]) -> str:
    sign, word = SIGNS[cell["verdict"]]
    text = html.escape(cell["text"]).replace(", ", ",<br>")
    if not sign:
        return f"<td>{text}</td>"
    apart = (
        f'<br><span class="nw-{word}">{sign} {html.escape(cell["apart"])} {word}</span>'
        if cell["apart"]
        else (f'<br><span class="nw-soft">{sign} {word}</span>')
    )
    return f"<td>{text}{apart}</td>"
