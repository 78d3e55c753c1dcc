"""One file handed in: how far it is, how it is understood, what the builder corrects, and reading it in."""

from __future__ import annotations

import asyncio
import html
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.logs import reception
from noonwall.units import moments_in
from noonwall.web.frame import named
from noonwall.web.parts.answer import what_is_this
from noonwall.web.parts.column_row import ColumnRow
from noonwall.web.parts.understood import (
    as_it_stands,
    asked_of,
    doubtful_words,
    granted,
    holds,
    known_as,
    no_readings,
    on_page,
    summary,
    zone_hint,
)
from noonwall.web.tray import RefusedError
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from noonwall.report.reader import Reader
    from noonwall.web.bench import Bench
    from noonwall.web.tray import Tray

MOST_ROWS = 60  # columns with boxes of their own; the rest is told as text
ORDERS = {
    "ymd": "year, month, day",
    "dmy": "day first: 31.01.2025",
    "mdy": "month first: 01/31/2025",
}
NO_TIME = "No column with a date and a time was found in it."
EXPORT_AGAIN = (
    "Where none of them does, export the readings again from the logger's own program, with date and time in each row, "
    "and hand that file in: only so is each reading sure to stand at its hour."
)
NOR_THERE = (
    "That does not read as a date and a time, row by row. Another column, or both the date's and the clock's?"
)
ANSWERS = {
    "unit=C": "degrees Celsius",
    "unit=F": "degrees Fahrenheit",
    "unit=K": "kelvins",
    "dates=dmy": "day first",
    "dates=mdy": "month first",
    "dates=ymd": "year first",
}


class HandedIn:
    """A card that follows one file from the drop to the last reading."""

    def __init__(self, bench: Bench, tray: Tray, name: str, taken: Callable[[], Awaitable[None]]) -> None:
        self.bench, self.tray, self.name, self.taken = bench, tray, name, taken
        self.client = ui.context.client
        self.token: str | None = None
        self.words: dict[str, str] = {}  # as typed after --map: key and value
        self.guess: dict[str, Any] | None = None
        self.stop = asyncio.Event()
        self.busy = False
        self.away = False  # put away, or its window has gone, maybe before the file was here
        self.again = False  # something was corrected while the file was looked over
        with ui.card().classes("nw-card") as self.card:
            ui.html(f"<h2>{html.escape(name)}</h2>", sanitize=False)
            self.state = ui.element("div").classes("nw-state").props("role=status aria-live=polite")
            self.body = ui.column().classes("w-full gap-3")
        self.far: ui.linear_progress | None = None

    def say(self, told: str, share: float | None = None, *, can_stop: bool = False) -> None:
        """Tell how far the file is."""
        if (
            self.far is not None
            and share is not None
            and self.far.value is not None
            and not self.far.is_deleted
        ):
            self.far.set_value(share)
            return
        self.state.clear()
        self.far = None
        with self.state:
            if share is not None:
                ui.spinner(size="1.4em").props("aria-hidden=true")
            ui.label(told)
            if share is not None:
                self.far = (
                    ui.linear_progress(share, show_value=False)
                    .props('instant-feedback aria-label="How far the file is"')
                    .classes("w-32")
                )
            if can_stop:
                ui.button("Stop", on_click=self.stop.set).props("outline").classes("nw-plain")

    def refused(self, why: str) -> None:
        """Tell why the file is not taken, and let it be put away."""
        self.far = None
        self.state.clear()
        with self.state:
            ui.html(f'<span class="nw-bad">{html.escape(on_page(why))}</span>', sanitize=False)
            ui.button("Put it away", on_click=self.put_away).props("outline").classes("nw-plain")

    def put_away(self) -> None:
        """Forget the file."""
        self.stop.set()
        self.away = True
        if self.token is not None:
            self.tray.drop(self.token)
        self.card.delete()

    def gone(self) -> None:
        """Forget the file when its window has gone, unless it is being read in just now."""
        self.away = True
        if self.token is not None and not self.busy:
            self.tray.drop(self.token)

    async def here(self, token: str) -> None:
        """Look the file over, now that it is here."""
        if self.away:
            self.tray.drop(token)
            return
        self.token = token
        await self.look()

    def _written(self) -> list[str]:
        return [f"{key}={value}" for key, value in self.words.items()]

    async def look(self) -> None:
        """Look the file over with the words of the builder, again when some came meanwhile."""
        if self.busy:
            self.again = True
            return
        self.again = True
        while self.again:
            self.again = False
            found = await self._work("Looking the file over ...", reception.look_over)
            if found is not None and "no_time" in found:
                self.guess = None
                self.refused(NO_TIME if "time" not in self.words else NOR_THERE)
                self._ask_time(found["no_time"])
            elif found is not None:
                self.guess = found
                self.state.clear()
                self._show()

    def _ask_time(self, names: list[str]) -> None:
        """Let the builder say which column tells when, or which two: date and clock."""
        self.body.clear()
        with self.body, ui.element("fieldset").classes("nw-ask"):
            ui.html(
                "<legend><b>Please answer:</b> Which column tells the date and the time?</legend>",
                sanitize=False,
            )
            with ui.row().classes("w-full items-start nw-fields"):
                day = ui.select(names, label="Date and time, or the date").props("outlined options-dense")
                clock = ui.select(
                    {"": "in the same column", **{n: n for n in names}}, value="", label="The time of day"
                )
                clock.props("outlined options-dense")

                async def look() -> None:
                    if day.value:
                        await self.word(
                            "time", f"{day.value}+{clock.value}" if clock.value else str(day.value)
                        )

                ui.button("Look again", on_click=look).props("outline").classes("nw-plain")
            ui.label(EXPORT_AGAIN)

    async def read_in(self) -> None:
        """Read the file into the store."""
        found = await self._work("Reading it in and checking ...", reception.take_in)
        if found is None:
            return
        if self.token is not None:
            self.tray.drop(self.token)
        self.bench.readings_changed()  # first of all: the window may be gone by now
        self.state.clear()
        self.body.clear()
        with self.body:
            _done(found, self.bench.reader)
            ui.button("Put this note away", on_click=self.card.delete).props("outline").classes("nw-plain")
        await self.taken()
        with (
            self.client
        ):  # the file's card was as long as its columns: what came of it lies above what is in sight
            ui.run_javascript(
                f"const it = document.getElementById('c{self.card.id}'); if (it) {{ it.tabIndex = -1; "
                "it.scrollIntoView({block: 'start'}); it.focus({preventScroll: true}); }"
            )

    async def _work(self, told: str, function: Callable[..., dict[str, Any]]) -> dict[str, Any] | None:
        """Have the calculating process do something with the file; None when it was stopped or refused."""
        if self.busy or self.token is None:
            return None
        self.busy, self.stop, self.far = True, asyncio.Event(), None
        self.say(told, 0.0, can_stop=True)
        desk = self.bench.desk
        self.bench.clear_way()
        try:
            path = self.tray.path(self.token)
            found: dict[str, Any] = await self.bench.long.call(
                function, desk.folder, path, self._written(), desk.project,
                tell=lambda done, of: self.say(told, done / max(of, 1)), stop=self.stop,
            )  # fmt: skip
        except StoppedError:
            self.refused("Stopped; nothing of this file was read in.")
        except (NoonwallError, FaultError, RefusedError) as error:
            self.refused(str(error))
        else:
            return found
        finally:
            self.busy = False
        if self.guess is not None:
            self._try_again()
        return None

    def _try_again(self) -> None:
        with self.state:
            ui.button("Look again", on_click=self.look).props("outline").classes("nw-plain")

    async def word(self, key: str, value: str | None) -> None:
        """Take one correction, or with None take it back, and look again."""
        if value is None:
            self.words.pop(key, None)
        else:
            self.words[key] = value
        await self.look()

    def _show(self) -> None:
        guess = self.guess
        if guess is None:
            return
        self.body.clear()
        with self.body:
            ui.html(f"<p>{html.escape(summary(guess, self.bench.reader))}</p>", sanitize=False)
            if guess["no_readings"]:
                ui.html(no_readings(guess), sanitize=False).classes("nw-words")
            if guess["already"] is not None:
                line = f"This file was read already, as import {guess['already']}; reading it again adds nothing."
                ui.html(f'<p class="nw-tag nw-old">{html.escape(line)}</p>', sanitize=False)
            offered = {join["column"] for join in guess["joins"]}
            for question in guess["questions"]:
                if question["must"] or asked_of(question, guess) not in offered:  # the offer asks the same
                    self._question(question)
            for join in guess["joins"]:
                self._join(join)
            self._whole_file(guess)
            self._columns(guess)
            for note in guess["notes"]:
                told = moments_in(on_page(note), self.bench.reader.system)
                ui.html(f'<p class="nw-soft nw-small">{html.escape(told)}</p>', sanitize=False)
            self._last_word(guess)

    def _last_word(self, guess: dict[str, Any]) -> None:
        """Offer to read the file in, once nothing is open that would set readings in the wrong place."""
        ready = bool(guess["ready"]) and not any(holds(join, guess) for join in guess["joins"])
        taken = granted(guess)
        if taken and ready:
            ui.html(f"<p><b>Read in as it stands, this is taken for granted:</b> {html.escape('; '.join(taken))}.</p>",
                    sanitize=False)  # fmt: skip
        with ui.row():
            take = ui.button("Read it in", icon="done", on_click=self.read_in).classes("nw-strong")
            take.set_enabled(ready)
            ui.button("Put it away", on_click=self.put_away).props("outline").classes("nw-plain")
        if not ready:
            ui.label("It can be read in once the questions above are answered.").classes("nw-soft")

    def _question(self, question: dict[str, Any]) -> None:
        """Ask what the file does not settle; with two answers both stand there to be picked."""
        answers = {a: ANSWERS.get(a, a) for a in question["answers"]}
        mark = "Please answer" if question["must"] else "Please check"
        text = moments_in(question["text"], self.bench.reader.system)
        text += "" if text.endswith(("?", ".")) else "."
        with ui.element("fieldset").classes("nw-ask" if question["must"] else "nw-ask nw-lighter"):
            ui.html(
                f"<legend><b>{mark}:</b> {html.escape(text[:1].upper() + text[1:])}</legend>", sanitize=False
            )
            if len(answers) > 1:
                ui.radio(answers, on_change=lambda e: self.word(*str(e.value).split("=", 1))).props("inline")
            else:
                near = (
                    "Its zone stands below"
                    if question["answers"][0].startswith("zone=")
                    else "Its row stands below"
                )
                ui.label(f"{near}: correct it there if need be.").classes("nw-soft nw-small")
                word = as_it_stands(question, self.guess or {})
                if word is not None:
                    button = ui.button("It is right as it stands", on_click=partial(self.word, *word))
                    button.props("outline no-caps").classes("nw-plain")

    def _join(self, join: dict[str, Any]) -> None:
        """Offer the known channels that a column may go on with, each one press."""
        text = f"{join['text'][:1].upper()}{join['text'][1:]}."
        must = holds(join, self.guess or {"columns": []})
        mark = "Please answer" if must else "Please check"
        with ui.element("fieldset").classes("nw-ask" if must else "nw-ask nw-lighter"):
            ui.html(f"<legend><b>{mark}:</b> {html.escape(text)}</legend>", sanitize=False)
            with ui.row():
                for one in join["channels"]:
                    self._press(join, f"Go on with {known_as(one, self.bench.reader)}", one["spec"])
                self._press(join, f'Keep it apart, as "{join["apart_name"]}"', join["apart"])

    def _press(self, join: dict[str, Any], told: str, spec: str) -> None:
        button = ui.button(told, on_click=partial(self.word, join["key"], spec))
        button.props("outline no-caps").classes("nw-plain")

    def _whole_file(self, guess: dict[str, Any]) -> None:
        """Show what holds for the whole file, each to be corrected."""
        with ui.row().classes("w-full items-start nw-fields"):
            zone = ui.input("The clock's zone", value=guess["zone"]).props(
                f'outlined hint="{zone_hint(self.bench.desk.project.site.clock_h)}"'
            )
            named(zone, title=guess["zone_reason"])
            zone.on("change", lambda: self.word("zone", str(zone.value).strip() or None))
            zone.set_enabled(not guess["zone_is_written"])
            if guess["dates"]:
                ui.select(
                    ORDERS,
                    value=guess["dates"],
                    label="Dates are written",
                    on_change=partial(self._picked, "dates"),
                ).props("outlined options-dense")
            ui.select(
                {".": "with a point: 12.5", ",": "with a comma: 12,5"}, value=guess["decimal"], label="Decimals",
                on_change=partial(self._picked, "decimal"),
            ).props("outlined options-dense")  # fmt: skip

    async def _picked(self, key: str, event: Any) -> None:
        await self.word(key, str(event.value))

    def _columns(self, guess: dict[str, Any]) -> None:
        ui.html("<h3>Its columns</h3>", sanitize=False)
        what_is_this(
            "What do these mean?",
            "Each column is a sensor or a list kept by hand. Say what it is and in which unit it was written; give a "
            "shop thermometer its height, a sun sensor its plane (horizontal, wall, or tilt and azimuth). 'skip' "
            "leaves a column out. What you say is kept for the next file with the same heading.",
        )
        choices = reception.choices()
        asked = {join["column"] for join in guess["joins"]} | {asked_of(q, guess) for q in guess["questions"]}
        for column in guess["columns"][:MOST_ROWS]:
            open_ = column["sure"] == "sure" and column["column"] in asked
            ColumnRow({**column, "sure": "asked"} if open_ else column, choices, self.bench.reader, self.word)
        if len(guess["columns"]) > MOST_ROWS:
            rest = len(guess["columns"]) - MOST_ROWS
            ui.label(
                f"{rest} more columns are understood as `noonwall readings add --look` tells them"
            ).classes("nw-soft")


def _done(found: dict[str, Any], reader: Reader) -> None:
    """Tell what came in."""
    told = "".join(f"<p>{html.escape(moments_in(line, reader.system))}</p>" for line in found["told"])
    many = found["doubtful"]
    if not found["already"]:
        told += f"<p>{doubtful_words(many, found['older'])}</p>"
    ui.html(f'<div class="nw-words"><p class="nw-tag nw-good">read in</p>{told}</div>', sanitize=False)
