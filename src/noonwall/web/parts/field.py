"""Boxes of a form: each shows one value as typed in the project file, writes it there, tells what is assumed.

A quantity is shown in the reader's units: as typed where it was typed in these, else converted; the file's own writing
is told below a box while somebody is in it. What nobody has typed over is never written back.

A refused value stays in its box with the reason below; it is tried again together with the next change, so that
two values that only fit as a pair can be typed one after the other. A value refused because the file was changed
elsewhere is tried again only when it is entered again in its own box.
"""

from __future__ import annotations

import html
import re
from abc import ABC, abstractmethod
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar
from weakref import WeakKeyDictionary

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.edit import set_value
from noonwall.model.file import parse_toml
from noonwall.model.typed import assumed_by_key, beside, choices, faced, is_flag, shown, spot, typed
from noonwall.units import in_inches
from noonwall.web.desk import ChangedElsewhereError, Setting
from noonwall.web.parts.beside import beside_words, inside_words, unit_of
from noonwall.web.parts.complaint import named, plain
from noonwall.web.parts.first import noted
from noonwall.web.parts.reason import reason_dialog, taken_for
from noonwall.web.unsaved import unsaved_in

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from nicegui import Client

    from noonwall.model.defaults import Assumed
    from noonwall.model.edit import Value
    from noonwall.model.typed import Spot
    from noonwall.units import System
    from noonwall.web.bench import Bench

OPEN = ""
LETTER_PX, ROOM_PX, UNIT_PX, SHORT = (
    7.4,
    190.0,
    88.0,
    12,
)  # of the narrowest box: what is longer goes below it
Face = TypeVar("Face", ui.input, ui.select)
_pending: WeakKeyDictionary[Client, dict[str, Box]] = WeakKeyDictionary()
_labels: WeakKeyDictionary[Client, dict[str, str]] = WeakKeyDictionary()  # of the boxes of a page, by key


class Place(ui.element):
    """Where a box stands; it tells when the box leaves the page."""

    gone: Callable[[], None] | None = None

    def _handle_delete(self) -> None:
        if self.gone is not None:
            self.gone()
        super()._handle_delete()


@lru_cache(maxsize=4)
def _tables(text: str) -> dict[str, Any]:
    return parse_toml(text)


@lru_cache(maxsize=4)
def _assumed(text: str, system: System) -> dict[str, Assumed]:
    return assumed_by_key(text, system)


def tables_of(bench: Bench) -> dict[str, Any]:
    """Return the project file's tables as typed; only to be read."""
    return _tables(bench.desk.text)


def spot_of(bench: Bench, key: str) -> Spot:
    """Return what is known of a key as the project stands."""
    return spot(key, tables_of(bench))


def assumed_at(bench: Bench, key: str) -> Assumed | None:
    """Return what is taken for a value left open, None when it is given or has no say."""
    return _assumed(bench.desk.text, bench.reader.system).get(key)


def follow(bench: Bench, element: ui.element, show: Callable[[], None]) -> None:
    """Call ``show`` now and after each change of the project, as long as an element is on its page."""
    client = ui.context.client

    def again() -> None:
        if element.is_deleted:
            end()
            return
        with client:
            show()

    end = bench.desk.listen(again)
    client.on_delete(end)
    show()


class Box(ABC):
    """One value of the project on a page; the face of it is a text box or a list to choose from."""

    def __init__(self, bench: Bench, key: str, label: str, note: str = "") -> None:
        self.bench, self.key, self.label, self.note = bench, key, label, note
        self.client = ui.context.client
        _labels.setdefault(self.client, {})[key] = label
        self.was: Value | None = None  # what the file said when the box was last filled
        self.system = bench.reader.system  # the units that it was filled in
        self.busy = False
        self.overtaken = False  # whether what stands here was refused since another window was first
        self.place: Place
        self.input: ui.input | ui.select

    def fill(self, where: Spot) -> None:
        """Show what the file says."""
        self.was, self.system = where.raw, self.bench.reader.system
        self.overtaken = False
        self.forget()
        self.put(where)

    @abstractmethod
    def put(self, where: Spot) -> None:
        """Put the value into the face."""

    @abstractmethod
    def wanted(self, where: Spot) -> Value | None:
        """Return the value that the face asks for."""

    @abstractmethod
    def touched(self, where: Spot) -> bool:
        """Whether the face shows something that is not in the file."""

    def follow(self) -> None:
        """Take in changes of the file, unless something here is not written yet."""
        try:
            where = spot_of(self.bench, self.key)
        except NoonwallError:
            return  # its member of a list is gone; the list is drawn anew
        if self.busy:
            return
        if where.raw == self.was and self.touched(where):
            self.dress(where)
        elif where.raw != self.was and self.touched(where._replace(raw=self.was)):
            self.forget()
            now = faced(where, self.bench.reader.system) or "left open"
            self.complain(f"was changed to {now} elsewhere; what you typed is not in use")
        else:
            self.take_back()

    @abstractmethod
    def dress(self, where: Spot) -> None:
        """Show unit, what is assumed, and so on; after each change of the project."""

    def write(self) -> None:
        """Write what the face asks for into the project, or say why not."""
        where = spot_of(self.bench, self.key)
        if not self.touched(where._replace(raw=self.was)):
            self.complain(None)
            self.forget()
            self.dress(where)
            return
        try:
            value = self.wanted(where)
        except NoonwallError as error:
            self.complain(str(error))
            return
        self._send(value)

    def clear(self) -> None:
        """Take the value out of the file, so that it is left open."""
        self._send(None)

    def _send(self, value: Value | None) -> None:
        self.busy = True
        try:
            self._set(value)
        finally:
            self.busy = False

    def _set(self, value: Value | None) -> None:
        desk = self.bench.desk
        waiting = [box for key, box in _pending.get(self.client, {}).items() if key != self.key]
        try:
            if not (waiting and self._set_with(value, waiting)):
                desk.set(self.key, value, self.was)
        except ChangedElsewhereError as error:
            self.was = desk.value(self.key)
            self.overtaken = True
            self.forget()
            self.complain(self._plain(str(error)))
            return
        except NoonwallError as error:
            self.complain(self._plain(str(error)))
            _pending.setdefault(self.client, {})[self.key] = self
            return
        self.take_back()

    def take_back(self) -> None:
        """Show what the file says, and nothing else."""
        where = spot_of(self.bench, self.key)
        self.fill(where)
        self.dress(where)
        self.complain(None)

    def _set_with(self, value: Value | None, waiting: list[Box]) -> bool:
        """Try a value together with those that were refused alone; False when that will not do either."""
        desk = self.bench.desk
        try:
            all_of = [(self, value), *((box, box.wanted(spot_of(self.bench, box.key))) for box in waiting)]
            if any(desk.value(box.key) != box.was for box, _ in all_of):
                return False

            def edit(text: str) -> str:
                for box, wanted in all_of:
                    text = set_value(text, box.key, wanted)
                return text

            for box in waiting:
                box.busy = True
            told = ", ".join(box.key for box, _ in all_of)
            desk.change(edit, told, tuple(Setting(box.key, box.was, wanted) for box, wanted in all_of))
        except NoonwallError:
            return False
        finally:
            for box in waiting:
                box.busy = False
        for box in waiting:
            box.take_back()
        return True

    def forget(self) -> None:
        """No longer try this box's refused value with others."""
        pending = _pending.get(self.client, {})
        if pending.get(self.key) is self:
            del pending[self.key]

    def gone(self) -> None:
        """Leave nothing behind when the box leaves its page."""
        self.forget()
        unsaved_in(self.client).settled(self)

    def complain(self, line: str | None) -> None:
        """Show one line below the box, or take it away; the header tells that what stands here is not saved."""
        self.input.error = line
        if line is None:
            unsaved_in(self.client).settled(self)
        else:
            unsaved_in(self.client).refused(self, self.label, self.take_back)

    def _plain(self, line: str) -> str:
        return plain(line, self.key, self.bench.desk.text, _labels.get(self.client, {}))

    def explain(self) -> None:
        """Open the window that tells what this value is, and why it is what it is."""
        where = spot_of(self.bench, self.key)
        item = assumed_at(self.bench, self.key)
        reason_dialog(
            self.label, where, item, self.bench.reader, self.clear if where.raw is not None else None
        )


class TextBox(Box):
    """A value that is typed."""

    def __init__(self, bench: Bench, key: str, label: str, note: str = "") -> None:
        super().__init__(bench, key, label, note)
        with Place("div").classes("nw-field").props(f'id="box-{key}"') as self.place:
            self.input = labelled(ui.input(), label, note).mark(key)
            if _wordy(spot_of(bench, key)):  # words run on to further lines, so that none is cut off
                self.input.props("autogrow rows=1 input-class=nw-words-box")
                self.input.on("keydown.enter", js_handler="(e) => e.preventDefault()")
            with self.input.add_slot("append"):
                self.unit = ui.label().classes("nw-unit")
                _why(self)
            self.entered = ui.label().classes("nw-entered nw-small")  # shown while somebody is in the box
            self.input.props(f'aria-describedby="c{self.entered.id}"')
        self.place.gone = self.gone
        self.place.on("focusout", self._left)  # the field itself keeps the focus while its help button has it
        self.input.on("keydown.enter", self.write)
        self.input.on_value_change(self._typed)
        follow(bench, self.place, self.follow)

    def _typed(self) -> None:
        self.overtaken = False

    def _left(self) -> None:
        """Write what was typed, unless it was refused already and nobody has touched it since."""
        if not self.overtaken:
            self.write()

    def put(self, where: Spot) -> None:
        """Put the value in as typed in the file, or in the reader's units."""
        self.input.set_value(faced(where, self.system))

    def touched(self, where: Spot) -> bool:
        """Whether something else is typed than what stood here in the units of then."""
        return " ".join(str(self.input.value or "").split()) != faced(where, self.system)

    def wanted(self, where: Spot) -> Value | None:
        """Return what is typed, a number alone with the unit beside the box."""
        return typed(str(self.input.value or ""), where, beside(where, self.bench.reader.system).unit)

    def dress(self, where: Spot) -> None:
        """Show the unit once, what is taken while the box is empty, and what is told to who is in it."""
        taken = taken_for(where, assumed_at(self.bench, self.key), self.bench.reader)
        self.unit.set_text(beside_words(where, self.bench, taken))
        self.entered.set_text(inside_words(where, self.bench, self.unit.text))
        fits = LETTER_PX * len(taken) <= ROOM_PX - min(LETTER_PX * len(self.unit.text) + 8.0, UNIT_PX)
        self.input.props["placeholder"] = taken if fits else re.split("[:,;]", taken)[0][:SHORT]
        note = noted(self.note, self.bench.reader.system)
        told = (note, "" if fits or where.raw is not None else taken)
        self.input.props["hint"] = "; ".join(text for text in told if text) or None
        self.input.update()
        self.input.classes(**{"add" if where.raw is None else "remove": "nw-open"})

    def complain(self, line: str | None) -> None:
        """Show one line below the box; beside what was refused stands the unit that a number alone got."""
        super().complain(line)
        if line is not None:
            where = spot_of(self.bench, self.key)
            self.unit.set_text(unit_of(where, self.bench))
            self.entered.set_text("")


class ChoiceBox(Box):
    """A value that is chosen from a list."""

    def __init__(
        self, bench: Bench, key: str, label: str, note: str = "", words: Mapping[str, str] | None = None
    ) -> None:
        super().__init__(bench, key, label, note)
        self.words = words
        with Place("div").classes("nw-field").props(f'id="box-{key}"') as self.place:
            self.select = ui.select({OPEN: ""}, value=OPEN)
            self.input = labelled(self.select, label, note).mark(key)
            with self.input.add_slot("append"):
                _why(self)
        self.place.gone = self.gone
        self.input.on_value_change(self._chosen)
        follow(bench, self.place, self.follow)

    def _chosen(self) -> None:
        if not self.busy:
            self.write()

    def put(self, where: Spot) -> None:
        """Choose the word of the file."""
        busy, self.busy = self.busy, True
        self.select.set_options(self._options(where), value=_word(where))
        self.busy = busy

    def _options(self, where: Spot) -> dict[str, str]:
        every = ("yes", "no") if is_flag(where) else choices(where)
        told = {word: self._told(word) for word in every}
        if _word(where) not in (*told, OPEN):
            told[_word(where)] = self._told(_word(where))
        if where.facts.default is ...:
            return told
        item = assumed_at(self.bench, self.key)
        taken = taken_for(where, item, self.bench.reader, told)
        return {OPEN: taken, **told}

    def _told(self, word: str) -> str:
        """Return a word as the list tells it, a trade name's thickness in the reader's units too."""
        return (self.words or {}).get(word) or in_inches(word, self.bench.reader.system)

    def touched(self, where: Spot) -> bool:
        """Whether another word is chosen."""
        return str(self.input.value or OPEN) != _word(where)

    def wanted(self, where: Spot) -> Value | None:
        """Return the chosen word."""
        return typed(str(self.input.value or OPEN), where, "")

    def dress(self, where: Spot) -> None:
        """Mark a choice that is left open."""
        self.input.classes(**{"add" if where.raw is None else "remove": "nw-open"})


def value_field(bench: Bench, key: str, label: str | None = None, note: str = "") -> TextBox:
    """Show a box for one value: a quantity in any unit, a text, a count, a list.

    key    "wall.gap", "fan[1].flow";  label  what to call it, the key's last word unless given
    note   a few words that stay below the box
    """
    return TextBox(bench, key, label or named(key), note)


def choice_field(
    bench: Bench, key: str, label: str | None = None, note: str = "", words: Mapping[str, str] | None = None
) -> ChoiceBox:
    """Show a list to choose one value from: the words its key may hold, a catalogue's names, yes and no.

    words  how to tell some of the words, where the file's own word says too little
    """
    return ChoiceBox(bench, key, label or named(key), note, words)


def field(
    bench: Bench,
    key: str,
    label: str | None = None,
    note: str = "",
    words: Mapping[str, str] | None = None,
    *,
    wide: bool = False,
) -> Box:
    """Show the box that suits a key; a ``wide`` one takes the form's whole width."""
    where = spot_of(bench, key)
    if words or is_flag(where) or (choices(where) and "tuple" not in str(where.field.annotation)):
        return choice_field(bench, key, label, note, words)
    box = value_field(bench, key, label, note)
    box.place.classes("nw-wide" if wide else "")
    return box


def _wordy(where: Spot) -> bool:
    """Whether a box holds words or a list rather than one number."""
    kind = str(where.field.annotation)
    return where.kind is None and where.facts.kind_if is None and ("str" in kind or "tuple" in kind)


def labelled(box: Face, label: str, note: str) -> Face:
    """Put a box's label above it, in full, and a few words below it; returns the box."""
    html_id = f"c{box.id}"
    place = ui.html(f'<label for="{html_id}">{html.escape(label)}</label>', sanitize=False).classes(
        "nw-label"
    )
    place.move(target_index=0)
    box.props("outlined dense").classes("nw-box")
    box.props["for"] = html_id
    box.props["aria-label"] = label
    if note:
        box.props["hint"] = note
    return box


def _why(box: Box) -> None:
    button = ui.button(icon="help_outline").props("flat round").classes("nw-plain nw-why")
    button.props["aria-label"] = f"{box.label}: what it is and why"
    button.on("click.stop", box.explain)


def _word(where: Spot) -> str:
    return OPEN if where.raw is None else shown(where)
