"""Learning: what the readings tell of what was assumed, with its spread, and taking it into use."""

from __future__ import annotations

import asyncio
import html
from functools import partial
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.logs.learn.keep import FILE, kept_text, learned_file, put_back, read
from noonwall.logs.learn.settle import PLAIN, settled
from noonwall.web import questions
from noonwall.web.frame import named, refuse
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import chart
from noonwall.web.parts.laid import tables, words
from noonwall.web.parts.recap_charts import rest_option, spread_option
from noonwall.web.parts.second_look import SecondLook
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Options, Result

TOLD = {"learn": "Learned values with their intervals, and the error of each channel before and after"}


def learning(bench: Bench, options: Options) -> None:
    """Show the part of the page in which readings teach."""
    with ui.card().classes("nw-card"):
        ui.html("<h2>Learn from the readings</h2>", sanitize=False)
        what_is_this(
            "What is this, and what is normal?",
            "The engine is run some hundred times over the readings, with loss, leakage, mass, glazing, fans and shade "
            "moved until it fits. Two thirds of the days teach, the rest judge. It takes some minutes.",
            "A value moves by a few per cent to a third. What the readings cannot tell is left as assumed and said so. "
            "Nothing changes in your project until you take a value into use.",
        )
        result = bench.result("learn", options)
        ui.button("Learn now", icon="school", on_click=result.ask).classes("nw-strong nw-noprint")
        answer_card(bench, "learn", partial(_draw, bench), options)


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    if changed := answer.more.get("changed"):
        ui.html(f'<p class="nw-tag nw-old">{html.escape(changed)}</p>', sanitize=False)
    words(answer.blocks)
    option, height = spread_option(answer.more["values"])
    ui.html(
        "<h3>Learned against assumed, with the interval that holds nine times in ten</h3>", sanitize=False
    )
    chart(option, "Learned values in per cent of what was assumed, with intervals", f"{height}px")
    _Values(bench, result, answer)
    _rests(answer.more)
    pictures(result, answer, TOLD)
    tables(answer.blocks)


def _rests(more: dict[str, Any]) -> None:
    """Show how far each channel is off, day by day."""
    curves = {curve["channel"]: curve for curve in more["curves"]}
    if not curves:
        return
    ui.html("<h3>What is left over: calculated less measured, mean of each day</h3>", sanitize=False)
    chosen = ui.row()
    place = ui.element("div").classes("w-full")

    def draw(channel: str) -> None:
        place.clear()
        with place:
            told = f"Calculated less measured, {curves[channel]['name']}, day by day"
            chart(rest_option(curves[channel], more["degree"]), told)

    first = next(iter(curves))
    names = {key: curve["name"] for key, curve in curves.items()}
    with chosen:
        picked = ui.select(names, value=first, label="Channel", on_change=lambda e: draw(str(e.value)))
        picked.props("outlined dense options-dense").classes("nw-span")
    draw(first)


class _Values:
    """The learned values one under the other, each to be taken into use or left."""

    def __init__(self, bench: Bench, result: Result, answer: Answer) -> None:
        self.bench, self.result, self.client = bench, result, ui.context.client
        self.exact = {value["key"]: value for value in answer.document["values"]}
        self.told = [v["key"] for v in answer.more["values"] if v["told"] and not v["at_bound"]]
        self.using, self.seen = in_use(bench), bench.learned
        self.own = False  # whether this window is the one that changes what is in use
        self.before: tuple[str | None, set[str]] | None = None  # learned.toml as it was, and what was in use
        self.after: str | None = None  # learned.toml as the last change left it
        ui.html("<h3>Take into use</h3>", sanitize=False)
        what_is_this(
            "What does this do?",
            "A ticked value corrects year, nights, warmth, hottest hours, variants and recap from then on; it lies "
            "beside the project in learned.toml, and your own figures stay as they are. Where the project has a plain "
            "key for it, you can also write it there for good; undo takes that back.",
        )
        with ui.row():
            every = ui.button("Use all that the readings tell ...", on_click=self.look_again)
            every.classes("nw-strong").set_enabled(bool(self.told))
            ui.button("Use none", on_click=lambda: self.use(set())).props("outline").classes("nw-plain")
            self.back = ui.button("Undo: what was in use before", icon="undo", on_click=self.undo)
            self.back.props("outline").classes("nw-plain").set_visibility(False)
        self.rows = ui.element("div").classes("w-full")
        self.values = answer.more["values"]
        self.draw()
        self.end = result.watch(self._elsewhere)
        self.client.on_delete(self.end)

    def _elsewhere(self) -> None:
        """Show what another window has taken into use, or left."""
        if self.rows.is_deleted:
            self.end()
        elif not self.own and self.bench.learned != self.seen:
            self.using, self.seen, self.before = in_use(self.bench), self.bench.learned, None
            self.back.set_visibility(False)
            self.draw()

    def draw(self) -> None:
        """Draw the rows as they stand."""
        self.rows.clear()
        with self.rows:
            for value in self.values:
                self._row(value)

    def _row(self, value: dict[str, Any]) -> None:
        key, unit = value["key"], f" {value['unit']}" if value["unit"] else ""
        found = (
            f"learned <b>{value['learned']}{unit}</b>, {value['interval']}"
            if value["told"]
            else ("the readings cannot tell; left as assumed")
        )
        bound = '<br><span class="nw-bad">at the end of what was searched: something else is amiss</span>'
        with ui.element("div").classes("nw-finding"):
            ui.html(
                f"<p><b>{html.escape(value['title'])}</b><br>assumed {value['assumed']}{unit}; {found}"
                f"{bound if value['at_bound'] else ''}</p>",
                sanitize=False,
            )
            if value["told"]:
                with ui.row().classes("items-center"):
                    self._taken(key, value["title"], settle=not value["at_bound"])

    def _taken(self, key: str, title: str, *, settle: bool) -> None:
        """Draw what can be done with one value; written for good it may be only where nothing is amiss with it."""
        if key in PLAIN and settle:
            write = ui.button("Write into the project", on_click=partial(self.write, key))
            named(write, f"Write {title} into the project").props("outline").classes("nw-plain")
        named(
            ui.checkbox("in use", value=key in self.using, on_change=partial(self._tick, key)), f"use {title}"
        )

    async def _tick(self, key: str, event: Any) -> None:
        wanted = bool(event.value)
        if wanted != (key in self.using):
            await self._change(lambda using: {*using, key} if wanted else using - {key})

    def look_again(self) -> None:
        """Show all that the readings tell beside what was assumed, before it is taken into use."""
        shown = self.result.shown
        values = [value for value in self.values if value["key"] in self.told]
        if shown is not None and values:
            with self.client:
                SecondLook(self.bench, shown, values, lambda: self.use(set(self.told)))

    def undo(self) -> None:
        """Bring back what was in use before the last change."""
        if self.before is None:
            return
        text, keys = self.before
        try:
            if kept_text(self.bench.desk.folder) != self.after:
                self._cannot_go_back()
                return
            put_back(self.bench.desk.folder, text)
        except NoonwallError as error:
            with self.client:
                refuse(str(error))
            return
        self.before = None
        self._now_used(keys)
        self.back.set_visibility(False)

    def _cannot_go_back(self) -> None:
        self.before = None
        self.back.set_visibility(False)
        self._now_used(in_use(self.bench))
        with self.client:
            refuse(
                f"{FILE} was written anew since, by a command or in another window, and was left so: there is "
                "nothing to go back to. Tick what is to be used, or press Use none."
            )

    async def use(self, keys: set[str]) -> bool:
        """Take these values into use, and no others."""
        return await self._change(lambda _using: keys)

    async def _change(self, way: Callable[[set[str]], set[str]]) -> bool:
        """Change what is in use, one window after the other.

        way   makes of what is in use by then what is to be; another window may have changed it since it was drawn here
        """
        async with _one_by_one(self.bench):
            if self.result.shown is None:
                return False
            using = in_use(self.bench)
            keys = way(using)
            try:
                before = (kept_text(self.bench.desk.folder), using)
                if keys:
                    await self.bench.long.call(questions.keep_learned, self.result.shown, tuple(sorted(keys)))
                self.after = kept_text(self.bench.desk.folder)
            except (NoonwallError, FaultError, StoppedError) as error:
                with self.client:
                    refuse(str(error))
                self.draw()
                return False
            self.before = before
            self._now_used(keys)
            self.back.set_visibility(True)
            return True

    def _now_used(self, keys: set[str]) -> None:
        """Calculate with these from now on, and say so."""
        self.using, self.own = set(keys), True
        self.bench.use_learned(bool(keys))
        self.own, self.seen = False, self.bench.learned
        self.draw()
        told = (
            "none of what was learned"
            if not keys
            else f"{len(keys)} learned value{'s' if len(keys) > 1 else ''}"
        )
        with self.client:
            ui.notify(f"From now on calculated with {told}")

    async def write(self, key: str) -> None:
        """Write one value into the project's own text; it is then no correction any more."""
        exact = self.exact[key]
        title = str(exact["title"])
        if key in in_use(self.bench) and not await self._change(lambda using: using - {key}):
            return
        try:
            self.bench.desk.change(
                lambda text: settled(text, key, exact["assumed"], exact["learned"]), f"learned: {title}"
            )
        except NoonwallError as error:
            with self.client:
                refuse(str(error))
            return
        with self.client:
            ui.notify(f"{title}: written into the project; undo takes it back", timeout=8000)


def in_use(bench: Bench) -> set[str]:
    """Return which learned values are calculated with now."""
    return kept_keys(bench) if bench.learned else set()


_LOCKS: WeakKeyDictionary[Bench, asyncio.Lock] = WeakKeyDictionary()


def _one_by_one(bench: Bench) -> asyncio.Lock:
    """Return what keeps two windows from changing what is in use at the same time."""
    return _LOCKS.setdefault(bench, asyncio.Lock())


def kept_keys(bench: Bench) -> set[str]:
    """Return which learned values lie beside the project."""
    folder = bench.desk.folder
    try:
        return {item.key for item in read(folder)} if learned_file(folder).exists() else set()
    except NoonwallError:
        return set()
