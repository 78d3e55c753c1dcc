"""What surrounds every page: the name, undo and redo, units, light or dark, the way round, the caution."""

from __future__ import annotations

import datetime as dt
import html
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import set_value
from noonwall.report.reader import name_of
from noonwall.report.tables import CAUTION
from noonwall.units import day_words
from noonwall.web.desk import FileBesideError
from noonwall.web.parts.changes import step_words, undone_words
from noonwall.web.parts.not_yet import not_yet
from noonwall.web.unsaved import unsaved_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from nicegui.events import KeyEventArguments

    from noonwall.web.bench import Bench
    from noonwall.web.desk import Step

# Where a builder can go: part, then (path, word, what it answers).
PLACES = (
    ("What you describe", (
        ("/place", "Place and weather", "where it is, snow, the weather year"),
        ("/site", "Site and sun", "what stands in the sun's way"),
        ("/shop", "Shop", "the room, its envelope, slab, heater"),
        ("/wall", "Wall", "glazing, gap, absorber, vents"),
        ("/air", "Fans and switches", "the air's way and the circuit"),
    )),
    ("What it does", (
        ("/", "Year", "month by month, day by day"),
        ("/night", "Nights", "what goes back out"),
        ("/warm", "Too warm", "spring, summer, autumn"),
        ("/hot", "Hottest hours", "when something fails"),
    )),
    ("What to choose", (("/variants", "Variants", "side by side"),)),
    ("What it did", (
        ("/readings", "Readings", "what your loggers wrote"),
        ("/lookback", "Looking back", "expected against measured"),
    )),
)  # fmt: skip

MARK = (
    '<svg width="34" height="34" viewBox="0 0 34 34" aria-hidden="true"><rect x="3" y="16" width="28" height="15" '
    'fill="#22303a"/><path d="M3 31 V16 M10 31 V16 M17 31 V16 M24 31 V16 M31 31 V16" stroke="#fbf8f2" '
    'stroke-width="1.5"/><path d="M7 14 a10 10 0 0 1 20 0 z" fill="#e0a22e" stroke="#8a5a00"/></svg>'
)
HEAD = (
    '<link rel="stylesheet" href="/static/noonwall.css"><link rel="stylesheet" href="/static/boxes.css">'
    '<script src="/static/tables.js" defer></script><script src="/static/boxes.js" defer></script>'
    '<script src="/static/paper.js" defer></script>'
)
THEME = """
<script>
  // Light or dark is remembered by the browser; without a word of the builder's the system decides.
  (() => {
    const kept = localStorage.getItem('noonwall-light');
    const dark = kept ? kept === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches;
    const there = () => window.Quasar && document.querySelector('.q-layout');
    const set = () => (there() ? Quasar.Dark.set(dark) : setTimeout(set, 20));
    set();
    window.nwTurn = () => {
      Quasar.Dark.toggle();
      localStorage.setItem('noonwall-light', Quasar.Dark.isActive ? 'dark' : 'light');
    };
  })();
</script>
"""


LONGEST_TOLD = 120
FILE_EVERY_S = 2.0
Named = TypeVar("Named", bound=ui.element)


@contextmanager
def frame(bench: Bench, path: str, title: str) -> Iterator[None]:
    """Lay out one page: everything drawn inside stands between header and caution.

    path  the page's own, to mark it in the list of places;  title  its heading
    """
    ui.add_head_html(HEAD + THEME)
    ui.colors(primary="#9a3412", dark="#1a2229", dark_page="#12181d")
    rail = _rail(path)
    _header(bench, rail)
    ui.html('<a class="nw-skip" href="#main">Go to the page</a>', sanitize=False)
    with ui.element("div").props("id=main tabindex=-1").classes("w-full"), ui.column().classes("nw-page"):
        ui.html(f"<h1>{html.escape(title)}</h1>", sanitize=False)
        today = day_words(dt.datetime.now().astimezone().date(), bench.reader.system, year=True)
        told = html.escape(f"{name_of(bench.desk.project)}, {today}")
        ui.html(f"<p>{told}</p>", sanitize=False).classes("nw-onpaper")
        _file_watch(bench)
        if bench.desk.project.invented:
            ui.html('<span class="nw-tag nw-old">INVENTED example: no such shed stands anywhere</span>',
                    sanitize=False)  # fmt: skip
        not_yet(bench, on_change, refuse)
        yield
        ui.html(f'<p class="nw-caution nw-small">{html.escape(CAUTION)}</p>', sanitize=False)


def _file_watch(bench: Bench) -> None:
    """Take in what an editor writes into the file meanwhile; while that does not read, say so and keep saying it."""
    told = ui.html("", sanitize=False).classes("w-full").props("role=alert")

    def look() -> None:
        unread = False
        try:
            bench.desk.refresh()
            line = ""
        except FileBesideError as error:
            line = (
                f'<p class="nw-caution nw-bad">A file beside the project does not read: {html.escape(str(error))}. '
                "What is drawn is the last that did, and nothing is calculated until that file is mended, or another "
                "or none is named under <a href='/place'>Place and weather</a>. Other edits are kept.</p>"
            )
        except NoonwallError as error:
            unread = True
            line = (
                f'<p class="nw-caution nw-bad">The file on the disk does not read: {html.escape(str(error))}. '
                "What is shown is the last that did; nothing is written until the file is mended.</p>"
            )
        unsaved.file_unread(unread=unread)
        if told.content != line:
            told.set_content(line)

    unsaved = unsaved_in(ui.context.client)
    look()
    ui.timer(FILE_EVERY_S, look)


def _rail(path: str) -> ui.left_drawer:
    # Open where there is room, by the browser's own judgement: without a value each window would be asked for it.
    rail = ui.left_drawer(value=False, bordered=True).classes("nw-rail")
    rail.props("width=236 breakpoint=900 show-if-above")
    rows = ['<nav aria-label="Places">']
    for part, places in PLACES:
        rows.append(f'<div class="nw-part">{part}</div>')
        for to, word, what in places:
            here = ' aria-current="page"' if to == path else ""
            rows.append(f'<a href="{to}" title="{html.escape(what)}"{here}>{word}</a>')
    with rail:
        ui.html("".join([*rows, "</nav>"]), sanitize=False).classes("w-full")
    return rail


def _header(bench: Bench, rail: ui.left_drawer) -> None:
    with ui.header(elevated=False).classes("nw-top items-center no-wrap"):
        ui.button(icon="menu", on_click=rail.toggle).props('flat aria-label="Places"').classes(
            "nw-plain lt-md"
        )
        ui.html(MARK, sanitize=False)
        ui.label().bind_text_from(bench, "desk", lambda desk: name_of(desk.project)).classes(
            "ellipsis text-weight-bold nw-name"
        )
        ui.space()
        with ui.element("div").classes("nw-small nw-saved").props("role=status"):
            saved = ui.html("", sanitize=False).classes("nw-saved-now")
            ui.element("b").classes(
                "nw-bad nw-saved-yet"
            )  # boxes.js writes here while something is being typed
        undo = ui.button(icon="undo", on_click=lambda: _undo(bench))
        redo = ui.button(icon="redo", on_click=lambda: _redo(bench))
        units = ui.button(on_click=lambda: _turn_units(bench)).classes("nw-plain").props("flat no-wrap")
        for button, word in ((undo, "Undo"), (redo, "Redo")):
            button.props(f'flat aria-label="{word}"').classes("nw-plain")
        light = ui.button(icon="contrast").props('flat aria-label="Light or dark"').classes("nw-plain")
        light.on("click", js_handler="() => nwTurn()")

    def show() -> None:
        desk = bench.desk
        undo.set_enabled(desk.last is not None or bool(unsaved.waiting))
        redo.set_enabled(desk.next is not None)
        last = f"{unsaved.told}, not saved" if unsaved.waiting else _words(bench, desk.last)
        named(undo, title=_quiet(last))
        named(redo, title=_quiet(_words(bench, desk.next)))
        units.set_text("ft °F" if bench.reader.us else "m °C")
        units.props(f'aria-label="Units: {"US" if bench.reader.us else "metric"}, change"')
        saved.set_content(_saved(unsaved.told, changed=bool(desk.revision)))

    unsaved = unsaved_in(ui.context.client)
    unsaved.show = show
    on_change(bench, show)
    ui.keyboard(on_key=lambda e: _key(bench, e), ignore=["input", "select", "textarea"])


def _saved(waiting: str, *, changed: bool) -> str:
    """Return what the header says of the file; a phone shows the first words alone."""
    if waiting:
        return f'<b class="nw-bad">Not saved<span class="gt-xs">: {html.escape(waiting)}</span></b>'
    long = "All changes saved" if changed else "Saved as opened"
    return f'<span class="nw-soft"><span class="gt-xs">{long}</span><span class="lt-sm">Saved</span></span>'


def on_change(bench: Bench, show: Callable[[], None]) -> None:
    """Call ``show`` now and after each change of the project, as long as this window is open."""
    client = ui.context.client

    def again() -> None:
        with client:
            show()

    end = bench.desk.listen(again)
    client.on_delete(end)
    show()


def _undo(bench: Bench) -> None:
    """Take back what stands refused in this window's boxes; where nothing does, the last change of the project."""
    if told := unsaved_in(ui.context.client).take_back():
        ui.notify(f"Taken back, it was not saved: {told}")
        return
    if _stepped(bench.desk.undo):
        step = bench.desk.next
        ui.notify(f"Undone: {undone_words(step, bench.reader) if step else ''}")


def _redo(bench: Bench) -> None:
    if _stepped(bench.desk.redo):
        ui.notify(f"Done again: {_words(bench, bench.desk.last)}")


def _stepped(step: Callable[[], str | None]) -> bool:
    """Go one step; returns whether there was one to go."""
    try:
        return step() is not None
    except NoonwallError as error:
        refuse(str(error))
        return False


def _words(bench: Bench, step: Step | None) -> str:
    return "" if step is None else step_words(step, bench.reader)


def named(element: Named, label: str = "", title: str = "") -> Named:
    """Give an element a label for those who do not see it, and a title, as they are typed; returns the element."""
    for key, text in (("aria-label", label), ("title", title)):
        if text and element.props.get(key) != text:
            element.props[key] = text
    return element


def refuse(line: str) -> None:
    """Tell in one line why something was not done."""
    ui.notify(line, type="warning", multi_line=True, timeout=9000, close_button="OK")


def _turn_units(bench: Bench) -> None:
    other = "metric" if bench.reader.us else "us"
    try:
        bench.desk.change(
            lambda text: set_value(text, "units", other),
            f"shown in {'US' if other == 'us' else 'metric'} units",
        )
    except NoonwallError as error:
        refuse(str(error))
        return
    ui.navigate.reload()


def _key(bench: Bench, event: KeyEventArguments) -> None:
    if not (event.action.keydown and (event.modifiers.ctrl or event.modifiers.meta)):
        return
    if event.key.name in {"z", "Z"}:
        if event.modifiers.shift:
            _redo(bench)
        else:
            _undo(bench)
    elif event.key.name == "y":
        _redo(bench)


def _quiet(told: str) -> str:
    return (told or "nothing")[:LONGEST_TOLD]
