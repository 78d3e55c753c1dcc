"""Variants: other ways of building or running the wall, side by side with it, and one of them made real."""

from __future__ import annotations

import html
import re
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.report.way_changes import differences, season_words
from noonwall.studies import variants as ways
from noonwall.web.frame import frame, named, on_change, refuse
from noonwall.web.parts.answer import answer_card, caution, pictures, what_is_this
from noonwall.web.parts.changes import changes_list
from noonwall.web.parts.form import fold
from noonwall.web.parts.laid import tables
from noonwall.web.parts.side_by_side import side_by_side
from noonwall.web.parts.way_values import values_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Variant
    from noonwall.report.way_changes import Difference
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

# The card that came last, once it is drawn: into sight, and with the keyboard.
SHOW_LAST = """setTimeout(() => { const card = [...document.querySelectorAll('.nw-way')].at(-1); if (!card) return;
card.focus({ preventScroll: true }); card.scrollIntoView({ block: 'center' }); }, 400)"""
TOLD = {"compare": "Bars of each measure, one for each way, with its difference from the wall as described"}


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/variants", title="Variants - noonwall")
    def page() -> None:
        with frame(bench, "/variants", "Variants: other ways, side by side"):
            what_is_this(
                "What is this, and what is normal?",
                "Each variant is your project with something changed. All of them are run through the same year, "
                "so that what differs comes from the change alone. Nothing here alters your project until you "
                "press 'Make it the project'; undo takes even that back.",
                "Most changes move the year's heat by a few per cent. Closer than one per cent the model does not "
                "tell two ways apart, and says so. A flap, less shade and a good room limit are the usual winners.",
            )
            with ui.card().classes("nw-card"):
                _Adding(bench)
            cards = ui.element("div").classes("nw-ways w-full").props('role=list aria-label="Variants"')
            on_change(bench, partial(_cards, bench, cards))
            answer_card(bench, "compare", partial(_draw, bench))
            caution(
                "The hottest hours of a variant are the worst credible ones with everything working. Before you "
                "build it, make it the project and look at 'Hottest hours', where things fail."
            )


def changed(bench: Bench, edit: Callable[[str], str], told: str, done: str = "") -> bool:
    """Change the project and say whether that was done, with ``done`` or in one line why not.

    The button that was pressed may be gone afterwards: what is told is told to the window.
    """
    client = ui.context.client
    try:
        bench.desk.change(edit, told)
    except NoonwallError as error:
        with client:
            refuse(str(error))
        return False
    if done:
        with client:
            ui.notify(done, timeout=8000)
    return True


class _Adding:
    """The row in which another way is made."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self.key = bench, ""
        ui.html("<h2>Try another way</h2>", sanitize=False)
        usual = {u.word: f"{u.word}: {u.told}" for u in ways.USUAL}
        with ui.row().classes("w-full items-start nw-fields"):
            self.picked = (
                ui.select(usual, label="A usual remedy", on_change=self._pick, clearable=True)
                .props("outlined options-dense")
                .classes("nw-wide")
            )
            self.values = values_of(bench)
            told = {key: f"{label}: {value}" for key, (label, value) in self.values.items()}
            self.value = (
                ui.select(
                    told,
                    label="Or one value of the project",
                    on_change=self._take,
                    clearable=True,
                    with_input=True,
                )
                .props("outlined options-dense", remove="hide-selected fill-input")  # whole, in lines
                .classes("nw-wide")
            )
            self.becomes = ui.input("What it becomes", on_change=self._become).props("outlined")
            self.becomes.on("keydown.enter", self.add).set_visibility(False)
            self.name = ui.input("Its name, if you like").props("outlined").on("keydown.enter", self.add)
            ui.button("Add", icon="add", on_click=self.add).classes("nw-strong")
        self.hint = ui.label().classes("nw-soft nw-small").props("role=status aria-live=polite")
        self.fault = ui.label().classes("nw-bad").props("role=alert")
        example = "wall.gap=5 in" if bench.reader.us else "wall.gap=120 mm"
        with fold("Type it yourself"), ui.element("div").classes("w-full nw-fields"):
            self.changes = (
                ui.input("What is different", on_change=self._hint)
                .props(
                    f'outlined autogrow hint="such as flap, or {example}; several joined by +" hide-bottom-space'
                )
                .classes("nw-wide")
                .on("keydown.enter.prevent", self.add)
            )

    def _pick(self) -> None:
        if self.picked.value:
            word = str(self.picked.value)
            dates = cover_dates(self.bench) if word == "cover" else ""
            self._write(f"{word}={dates}" if dates else word)
            self.hint.set_text(self._picked_words(word, found=bool(dates)))

    def _picked_words(self, word: str, *, found: bool) -> str:
        example = next(u.example for u in ways.USUAL if u.word == word)
        own = f"With a figure of your own, under 'Type it yourself': {example}."
        if found:
            return f"On the dates that the page Too warm found for this place. {own}"
        said = season_words(self.bench.desk.project, (word,), self.bench.reader)
        return f"{said} {own}" if said else own

    def _take(self) -> None:
        self.key = ""
        self.becomes.set_visibility(bool(self.value.value))
        if self.value.value:
            key = str(self.value.value)
            label, value = values_of(self.bench).get(key, self.values[key])
            self.becomes.set_value(value)
            self.key = key
            self._write(f"{key}={value}")
            self.hint.set_text(
                f"{label} is {value} now: type what it becomes in this variant, then press Add."
            )
            self._mark()

    def _become(self) -> None:
        """Put what the value becomes in place of what it was, among the changes."""
        if self.key and (typed := str(self.becomes.value or "").strip()):
            pieces = [piece.strip() for piece in str(self.changes.value or "").split("+")]
            at = next((i for i, piece in enumerate(pieces) if piece.startswith(f"{self.key}=")), None)
            if at is not None:
                pieces[at] = f"{self.key}={typed}"
                self.changes.value = " + ".join(pieces)

    def _write(self, piece: str) -> None:
        refused = bool(self.fault.text)  # what was refused is not added to
        now = "" if refused else (self.changes.value or "").strip()
        self.changes.value = f"{now} + {piece}" if now else piece

    def _mark(self) -> None:
        """Put the hand on the value that was filled in, so that typing replaces it."""
        ui.run_javascript(
            f"setTimeout(() => {{ const box = document.getElementById('{self.becomes.html_id}')"
            "?.closest('.q-field')?.querySelector('input'); box?.focus(); box?.select(); }, 250)"
        )

    def _hint(self) -> None:
        self.fault.set_text("")
        if not self.changes.value:
            self.hint.set_text("")

    def add(self) -> None:
        """Add what was picked or typed as a variant, and show its card."""
        written, name = str(self.changes.value or ""), str(self.name.value or "")
        if not written.strip():
            self.fault.set_text("Pick a remedy or a value first.")
            return

        def edit(text: str) -> str:
            return ways.with_variant(text, ways.split_changes(written), name)

        try:
            self.bench.desk.change(edit, f"variant added: {name or written}")
        except NoonwallError as error:
            self.fault.set_text(_here(str(error)))
            return
        self.key = ""
        self.changes.value, self.name.value, self.picked.value, self.value.value = "", "", None, None
        called = self.bench.desk.project.variants[-1].name
        self.hint.set_text(f"Added below: {called}. The ways are set side by side anew.")
        ui.notify(f"Added: {called}. Undo takes it away.", timeout=8000)
        ui.run_javascript(SHOW_LAST)


def cover_dates(bench: Bench) -> str:
    """Return the dates that the page Too warm found for a cover, as a change has them; empty where it found none."""
    known = bench.known("comfort")
    if known is None or known.answer is None or known.old or not known.answer.document["season_found"]:
        return ""
    first, last = known.answer.document["season"][0]
    return f"{first}..{last}"


def _here(fault: str) -> str:
    """Return why a change was refused, without what the reader has just typed above it, and what to do."""
    plain = re.sub(r'^variant ".*?": ', "", fault)
    plain = plain[:1].upper() + plain[1:]
    if "No remedy is called" in plain:
        told = plain.partition("; a key has a dot")[0]
        return (
            f"{told}. For any other value pick it under 'Or one value of the project', then type the new one."
        )
    return plain


def _cards(bench: Bench, place: ui.element) -> None:
    """Draw the variants as they stand."""
    place.clear()
    with place:
        described = bench.desk.project.variants
        if not described:
            ui.label("There is no variant yet. Pick a remedy above, or type a change.").classes("nw-soft")
        for way in described:
            _card(bench, way)


def _card(bench: Bench, way: Variant) -> None:
    fault, told = "", ""
    apart: tuple[Difference, ...] = ()
    try:
        apart = differences(bench.desk.text, way, bench.reader)
        told = changes_list(apart)
    except NoonwallError as error:
        fault = str(error)
    with ui.element("div").classes("nw-way").props("role=listitem tabindex=-1"):
        ui.html(f"<h3>{html.escape(way.name)}</h3>", sanitize=False)
        if (written := " + ".join(way.change)) != way.name:
            ui.html(f'<p class="nw-soft nw-small">typed: {html.escape(written)}</p>', sanitize=False)
        ui.html(told, sanitize=False).classes("w-full")
        if said := season_words(bench.desk.project, way.change, bench.reader):
            ui.html(f'<p class="nw-soft nw-small">{html.escape(said)}</p>', sanitize=False)
        if fault:
            ui.html(f'<p class="nw-bad nw-small">Left out: {html.escape(fault)}</p>', sanitize=False)
        with ui.row().classes("nw-tools"):
            _tool("edit", f"Change {way.name}", partial(_edit, bench, way))
            _tool("content_copy", f"Copy {way.name}", partial(_copy, bench, way.name))
            _tool("delete", f"Take {way.name} away", partial(_drop, bench, way.name))
            if apart or fault:
                adopt = ui.button("Make it the project", on_click=partial(_adopt, bench, way.name))
                named(adopt, f"Make {way.name} the project").props("outline").classes("nw-plain")


def _tool(icon: str, told: str, press: Callable[[], Any]) -> None:
    named(ui.button(icon=icon, on_click=press), told, told).props("flat").classes("nw-plain")


def _copy(bench: Bench, name: str) -> None:
    changed(bench, lambda text: ways.copied(text, name), f"variant copied: {name}")


def _drop(bench: Bench, name: str) -> None:
    told, done = f"variant taken away: {name}", f"{name} is gone; undo brings it back"
    changed(bench, lambda text: ways.without(text, name), told, done)


def _adopt(bench: Bench, name: str) -> None:
    told, done = f"{name} made the project", f"{name} is now part of the project; undo takes it back"
    changed(bench, lambda text: ways.made_the_project(text, name), told, done)


def _edit(bench: Bench, way: Variant) -> None:
    """Open the window in which a variant's name and changes are typed."""
    with ui.dialog() as window, ui.card().classes("nw-card"):
        ui.html(f"<h2>{html.escape(way.name)}</h2>", sanitize=False)
        name = (
            ui.input("Name", value=way.name).props("outlined hide-bottom-space").classes("w-full nw-refusing")
        )
        written = (
            ui.textarea("What is different, one a line", value="\n".join(way.change))
            .props("outlined autogrow hide-bottom-space")
            .classes("w-full nw-refusing")
        )
        at: list[ui.input | ui.textarea] = [written]  # the box that a refusal is about

        def edit(text: str) -> str:
            at[0] = written
            text = ways.rewritten(text, way.name, ways.split_changes(str(written.value or "")))
            at[0] = name
            return ways.renamed(text, way.name, str(name.value or ""))

        def save() -> None:
            try:
                bench.desk.change(edit, f"variant changed: {way.name}")
            except NoonwallError as error:
                at[0].error = _here(str(error))
                return
            window.close()

        with ui.row():
            ui.button("Keep", on_click=save).classes("nw-strong")
            ui.button("Leave it as it was", on_click=window.close).props("outline").classes("nw-plain")
    window.on("hide", window.delete)
    window.open()


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    with ui.card().classes("nw-card"):
        ui.html("<h2>Side by side</h2>", sanitize=False)
        side_by_side(bench, answer.more)
    with ui.card().classes("nw-card"):
        ui.html("<h2>Picture</h2>", sanitize=False)
        pictures(result, answer, TOLD)
        tables(answer.blocks)
