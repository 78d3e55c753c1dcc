"""Forms made of boxes: groups with what is seldom needed folded away, tables that may be absent, lists of members."""

from __future__ import annotations

import html
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import add_item, path_of, remove_item, set_value
from noonwall.model.members import copy_member, move_member
from noonwall.web.frame import refuse
from noonwall.web.parts.complaint import plain
from noonwall.web.parts.field import field, follow, tables_of
from noonwall.web.parts.first import first_values
from noonwall.web.parts.trade import label_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from noonwall.model.edit import Value
    from noonwall.web.bench import Bench
    from noonwall.web.parts.rows import Group, Row


@contextmanager
def card(title: str, told: str = "", mark: str = "") -> Iterator[None]:
    """Lay out one part of a page under its title; ``mark`` is its place for links."""
    with ui.card().classes("nw-card").props(f"id={mark}" if mark else ""):
        ui.html(f"<h2>{html.escape(title)}</h2>", sanitize=False)
        if told:
            ui.html(f'<p class="nw-soft nw-told">{html.escape(told)}</p>', sanitize=False)
        yield


def group(bench: Bench, boxes: Group, at: str = "") -> None:
    """Show a group of boxes; ``at`` is the key they stand under, such as "wall.vents.bottom"."""
    _boxes(bench, boxes.rows, at)
    if boxes.seldom:
        with fold(boxes.fold):
            _boxes(bench, boxes.seldom, at)


@contextmanager
def fold(title: str) -> Iterator[None]:
    """Fold away what is seldom needed."""
    with ui.element("details").classes("nw-fold w-full"):
        with ui.element("summary"):
            ui.label(title)
        yield


def _boxes(bench: Bench, rows: Sequence[Row], at: str) -> None:
    with ui.element("div").classes("nw-form"):
        for row in rows:
            key = f"{at}.{row.key}" if at else row.key
            field(bench, key, row.label, row.note, row.words, wide=row.wide)


def redrawn(bench: Bench, shape: Callable[[], object], draw: Callable[[], None]) -> None:
    """Draw something now, and anew whenever what ``shape`` returns is another after a change."""
    place = ui.column().classes("w-full gap-3")
    last: list[object] = [object()]

    def show() -> None:
        now = shape()
        if now != last[0]:
            last[0] = now
            place.clear()
            with place:
                draw()

    follow(bench, place, show)


def optional(
    bench: Bench,
    key: str,
    first: Mapping[str, Value],
    words: tuple[str, str, str],
    draw: Callable[[], None],
) -> None:
    """Show a table that may be absent: a button that puts it there, or its boxes and a button that takes it away.

    first  key and value of what it starts with;  words  said while absent, to put it there, to take it away
    """
    absent, put, take = words

    def there() -> bool:
        return value_at_key(bench, key) is not None

    def show() -> None:
        if not there():
            ui.html(f'<p class="nw-soft">{html.escape(absent)}</p>', sanitize=False)
            begun = first_values(first, bench.reader.system)
            button(bench, put, partial(_put, key, begun), f"{label_of(key)}: put there", "add")
            return
        draw()
        button(bench, take, lambda text: set_value(text, key, None), f"{label_of(key)}: taken away", "remove")

    redrawn(bench, there, show)


def _put(key: str, first: Mapping[str, Value], text: str) -> str:
    for name, value in first.items():
        text = set_value(text, f"{key}.{name}", value)
    return text


@dataclass(frozen=True)
class Listed:
    """How a list of tables is shown and lengthened."""

    key: str  # "fan", "wall.backing"
    noun: str  # "fan", "layer"
    first: Mapping[str, Value]  # what a new member starts with
    add: str  # word on the button
    empty: str = ""  # said while there is none
    ordered: bool = False  # whether its members may be moved up and down
    folded: bool = False  # whether only their titles show until one is opened


def members(
    bench: Bench,
    what: Listed,
    draw: Callable[[str, int], None],
    title: Callable[[dict[str, Any], int], str],
    shape: Callable[[dict[str, Any]], object] = lambda _: None,
) -> None:
    """Show a list of tables, each with its boxes, a copy and a remove button, and a button that adds one.

    draw   draws the boxes of one: called with its key, "fan[1]", and its number from 0
    title  what to call one, from its table as typed and its number from 0
    shape  what of a table decides which boxes it has
    """

    def rows() -> list[dict[str, Any]]:
        found = value_at_key(bench, what.key)
        return found if isinstance(found, list) else []

    unfolded: set[int] = set()

    def add() -> None:
        unfolded.add(len(rows()))
        first = first_values(what.first, bench.reader.system)
        if "name" in first:
            first["name"] = free_name(str(first["name"]), [str(row.get("name")) for row in rows()])
        change(bench, lambda text: add_item(text, what.key, first), f"{what.noun} added")

    def show() -> None:
        if not rows() and what.empty:
            ui.html(f'<p class="nw-soft">{html.escape(what.empty)}</p>', sanitize=False)
        for i in range(len(rows())):
            inner = partial(draw, f"{what.key}[{i + 1}]", i)
            _member(bench, what, i, title, inner, unfolded, movable=len(rows()) > 1)
        ui.button(what.add, icon="add", on_click=add).props("outline").classes("nw-plain")

    redrawn(bench, lambda: [shape(row) for row in rows()], show)


def free_name(name: str, taken: Sequence[str]) -> str:
    """Return a name that nothing in a list has yet: "room limit", "room limit 2"."""
    numbers = (f"{name} {i}" for i in range(2, len(taken) + 3))
    return name if name not in taken else next(one for one in numbers if one not in taken)


def _member(
    bench: Bench, what: Listed, i: int, title: Callable[[dict[str, Any], int], str], draw: Callable[[], None],
    unfolded: set[int], *, movable: bool,
) -> None:  # fmt: skip
    """Draw one member: its title and what may be done with it, its boxes; or its title alone, to be opened."""
    key = f"{what.key}[{i + 1}]"

    def named(heading: ui.html) -> None:
        def show() -> None:
            row = value_at_key(bench, key)
            if isinstance(row, dict):
                heading.set_content(f"<h3>{html.escape(title(row, i))}</h3>")

        follow(bench, heading, show)

    if not what.folded:
        with ui.element("div").classes("nw-member").props(f'role=group aria-label="{what.noun} {i + 1}"'):
            with ui.row().classes("w-full items-center no-wrap gap-0"):
                named(ui.html("", sanitize=False).classes("nw-grow"))
                _tools(bench, what, i, movable=movable)
            draw()
        return
    with ui.element("details").classes("nw-member nw-fold") as place:
        place.props("open" if i in unfolded else "")
        with ui.element("summary"):
            named(ui.html("", sanitize=False))
        with ui.column().classes("w-full gap-2"):
            draw()
            with ui.row().classes("gap-2"):
                _tools(bench, what, i, movable=movable)
    place.on("toggle", lambda e: (unfolded.add if e.args else unfolded.discard)(i),
             js_handler="(e) => emit(e.target.open)")  # fmt: skip


def _tools(bench: Bench, what: Listed, i: int, *, movable: bool) -> None:
    key, name = f"{what.key}[{i + 1}]", f"{what.noun} {i + 1}"

    def button(icon: str, word: str, edit: Callable[[str], str], told: str) -> None:
        ui.button(icon=icon, on_click=lambda: change(bench, edit, f"{name}: {told}")).props(
            f'flat aria-label="{word} {name}"'
        ).classes("nw-plain nw-tool")

    if what.ordered and movable:
        up = i > 0
        button("arrow_upward" if up else "arrow_downward", "Move up" if up else "Move down",
               lambda text: move_member(text, key, -1 if up else 1), "moved")  # fmt: skip
    button("content_copy", "Copy", lambda text: copy_member(text, key), "copied")
    button("delete_outline", "Remove", lambda text: remove_item(text, key), "removed")


def button(bench: Bench, word: str, edit: Callable[[str], str], told: str, icon: str) -> None:
    """Show a button that changes the project."""
    ui.button(word, icon=icon, on_click=lambda: change(bench, edit, told)).props("outline").classes(
        "nw-plain"
    )


def change(bench: Bench, edit: Callable[[str], str], told: str, *, by_name: bool = False) -> bool:
    """Change the project, or tell in one line why not; returns whether it was done.

    by_name  the edit finds what it changes by its name: a list that another program has just changed does no harm
    """
    try:
        shown = bench.desk.revision
        bench.desk.take_in()
        if bench.desk.revision != shown and not by_name:
            refuse(
                "Another program has just changed the file; the page shows it now. Look again, then press again."
            )
            return False
        bench.desk.change(edit, told)
    except NoonwallError as error:
        refuse(plain(str(error), "", bench.desk.text, {}))
        return False
    return True


def value_at_key(bench: Bench, key: str) -> Any:
    """Return what stands at a key of the project file as typed, a table or list too; None where nothing does."""
    here: Any = tables_of(bench)
    for step in path_of(key):
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here
