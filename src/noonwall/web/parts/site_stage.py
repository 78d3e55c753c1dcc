"""The stage of the site page: the turnable view, date and hour, years of growth, what is picked and moved."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.rearrange import moved, resized, things, was_sighted, write_moved, write_resized
from noonwall.report.site_light import (
    Moment,
    clock_text,
    date_number,
    day_light,
    day_words,
    moment_data,
    moment_words,
    sun_path,
    sunlit,
)
from noonwall.report.site_scene import place_text, rings, site_scene
from noonwall.studies.sunlight import usual_when
from noonwall.web import questions
from noonwall.web.frame import on_change, refuse
from noonwall.web.parts.complaint import plain
from noonwall.web.parts.form import change
from noonwall.web.parts.site_view import Hands, SiteView
from noonwall.web.parts.strip import day_strip
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project
    from noonwall.model.rearrange import Size
    from noonwall.web.bench import Bench
    from noonwall.web.parts.site_view import View

YEARS_ON = {0: "as now", 5: "in 5 years", 10: "in 10 years"}
DATES = ((12, 21), (2, 5), (3, 21), (6, 21))
STRIP_EVERY_S = 0.3  # while something is dragged
NOON, FIRST, LAST, STEP = 720, 180, 1320, 10  # minutes of the day
VIEWS = {"around": "From outside", "plan": "Plan", "wall": "From the wall"}


class Stage:
    """What one window shows of the site."""

    def __init__(self, bench: Bench) -> None:
        when = usual_when(bench.desk.project.site.latitude_deg)
        self.bench = bench
        self.when = Moment(date_number(when.month, when.day), NOON, bench.desk.project.site.clock_h)
        self.years_on = 0
        self.picked: str | None = None
        self._key = ""  # of the picked thing: a new name does not lose it
        self._there = tuple(things(bench.desk.project))  # what stood there before the last change
        self._strip_at = 0.0
        self.tried: Project | None = None  # as a thing is dragged, before it is let go
        self._on_pick: list[Callable[[], None]] = []
        self._on_light: list[Callable[[], None]] = []
        self._on_grow: list[Callable[[], None]] = []

    @property
    def project(self) -> Project:
        """Return the project as shown: with what is being dragged where it is now."""
        return self.tried or self.bench.desk.project

    def on_pick(self, call: Callable[[], None]) -> None:
        """Have ``call`` called when another thing is picked."""
        self._on_pick.append(call)

    def on_light(self, call: Callable[[], None]) -> None:
        """Have ``call`` called when the light is another for good: not while something is dragged."""
        self._on_light.append(call)

    def on_grow(self, call: Callable[[], None]) -> None:
        """Have ``call`` called when the trees are shown at another age."""
        self._on_grow.append(call)

    def draw(self, beside: Callable[[], None] = lambda: None) -> None:
        """Lay out toolbar, view, sentence, sliders; ``beside`` draws what belongs next to the view."""
        hands = Hands(self.pick, self._move, self._drop, self._size, self._sized)
        self._tools()
        project = self.bench.desk.project
        scene = site_scene(project, self.years_on, self.when.day)
        self.view = SiteView(
            scene, rings(scene["reach"], self.bench.reader), "The site in three dimensions", hands
        )
        self.view.classes("w-full").on("ready", self._light)
        beside()
        with ui.card().classes("nw-card nw-site-day"):
            self.done = ui.label().classes("nw-site-done").props("role=status aria-live=polite")
            self.said = ui.label().classes("nw-site-said").props("role=status aria-live=polite")
            with ui.element("div").classes("nw-site-when"):
                self._sliders()
            self.strip = ui.html(sanitize=False).classes("w-full")
            self.day = ui.label().classes("nw-soft")
        on_change(self.bench, self._changed)
        if project.site.utc_offset_h is None:
            ui.timer(0.1, self._clock, once=True)

    def _tools(self) -> None:
        with ui.row().classes("items-center gap-2 w-full nw-noprint"):
            look = ui.toggle(VIEWS, value="around").props(
                'unelevated no-caps role=group aria-label="Where to look from"'
            )
            look.on_value_change(lambda e: self._look(e.value)).classes("nw-toggle")
            for icon, word, method, by in (
                ("rotate_left", "Turn left", "turn", 20), ("rotate_right", "Turn right", "turn", -20),
                ("zoom_in", "Nearer", "zoom", 0.8), ("zoom_out", "Farther", "zoom", 1.25),
            ):  # fmt: skip
                ui.button(icon=icon, on_click=lambda m=method, b=by: self.view.run_method(m, b)).props(
                    f'flat aria-label="{word}" title="{word}"'
                ).classes("nw-plain nw-tool")
            ui.space()
            grown = ui.toggle(YEARS_ON, value=0).props(
                'unelevated no-caps role=group aria-label="How old the trees are"'
            )
            grown.classes("nw-toggle").on_value_change(lambda e: self._grow(int(e.value)))

    def _sliders(self) -> None:
        with ui.column().classes("gap-0"):
            self.date = ui.label().classes("text-weight-bold")
            self.day_slider = ui.slider(min=0, max=364, value=self.when.day).props('aria-label="Date"')
            self.day_slider.on_value_change(lambda e: self._set(replace(self.when, day=int(e.value))))
            with ui.row().classes("gap-1"):
                for month, day in DATES:
                    number = date_number(month, day)
                    ui.button(
                        self.bench.reader.day_text(Moment(number, 0, 0.0).time),
                        on_click=lambda n=number: self.day_slider.set_value(n),
                    ).props("flat dense no-caps").classes("nw-plain nw-chip")
        with ui.column().classes("gap-0"):
            self.hour = ui.label().classes("text-weight-bold")
            self.hour_slider = ui.slider(min=FIRST, max=LAST, step=STEP, value=self.when.minute)
            self.hour_slider.props('aria-label="Time of day"')
            self.hour_slider.on_value_change(lambda e: self._set(replace(self.when, minute=int(e.value))))
            with ui.row().classes("gap-1"):
                for minute in (540, 720, 900):
                    ui.button(
                        clock_text(minute, self.bench.reader),
                        on_click=lambda m=minute: self.hour_slider.set_value(m),
                    ).props("flat dense no-caps").classes("nw-plain nw-chip")

    # ---- what is shown -----------------------------------------------------------------------------------
    def _set(self, when: Moment) -> None:
        leaves = when.day != self.when.day
        self.when = when
        if leaves:
            self._scene()
        self._light()

    def _grow(self, years: int) -> None:
        self.years_on = years
        self._scene()
        self._light()
        for call in self._on_grow:
            call()

    def _look(self, view: View) -> None:
        self.view.look(view)

    def _scene(self) -> None:
        scene = site_scene(self.bench.desk.project, self.years_on, self.when.day)
        self.view.show(scene, rings(scene["reach"], self.bench.reader))

    def _dragged(self, note: str) -> None:
        """Show the light for what is being dragged; the strip follows a little more slowly."""
        told = moment_data(self.project, self.years_on, self.when)
        self.view.light(told | {"note": f"{told['note']} - {note}"})
        if time.monotonic() - self._strip_at > STRIP_EVERY_S:
            self._day()

    def _day(self) -> None:
        light = day_light(self.project, self.years_on, self.when)
        self.day.set_text(day_words(self.when, light, self.bench.reader))
        self.strip.set_content(day_strip(light, self.when.minute, self.bench.reader))
        self._strip_at = time.monotonic()

    def _light(self) -> None:
        project, reader = self.project, self.bench.reader
        told = moment_data(project, self.years_on, self.when)
        self.view.light(told | {"path": sun_path(project, self.when, reader)})
        self._day()
        self.date.set_text(f"Date: {self.bench.reader.day_text(self.when.time)}")
        self.hour.set_text(f"Time: {clock_text(self.when.minute, reader)}, standard time")
        words = moment_words(self.when, sunlit(project, self.years_on, self.when), reader)
        self.said.set_text(words)
        self.view.run_method("say", words)
        for call in self._on_light:
            call()

    def _changed(self) -> None:
        self.tried = None
        if not hasattr(self, "view"):
            return
        self.done.set_text("")
        self._scene()
        self._light()
        self._follow()

    def _follow(self) -> None:
        """Stay with the picked thing wherever a change has put it in the file; let it go where it is gone."""
        there = things(self.bench.desk.project)
        before, self._there = self._there, tuple(there)
        if self.picked is None:
            return
        if self.picked in there:
            self._key = there[self.picked].key
            return
        renamed = next((name for name, found in there.items() if found.key == self._key), None)
        alike = len(there) == len(before) and renamed is not None and renamed not in before
        self.pick(renamed if alike else None, mark=True)

    async def _clock(self) -> None:
        """Take the weather's own clock, once the calculating process has read it."""
        try:
            clock_h = await self.bench.quick.call(questions.clock_of, self.bench.result("year").order)
        except (NoonwallError, FaultError, StoppedError):
            return  # the longitude's clock stays; what is wrong with the weather is told where it is calculated
        if clock_h != self.when.clock_h:
            self.when = replace(self.when, clock_h=clock_h)
            self._light()

    # ---- hands -------------------------------------------------------------------------------------------
    def pick(self, name: str | None, *, mark: bool = False, bring: bool = False) -> None:
        """Pick a thing; ``mark``: the view does not know of it yet;  ``bring``: it is to come into sight."""
        self.picked = name
        self.done.set_text("")
        found = things(self.bench.desk.project).get(name or "")
        self._key = found.key if found else ""
        if mark:
            self.view.pick(name, bring=bring)
        for call in self._on_pick:
            call()

    def _move(self, name: str, east: float, north: float) -> None:
        self._try(lambda: moved(self.bench.desk.project, name, (east, north)),
                  f"{name}: {place_text(east, north, self.bench.reader)}")  # fmt: skip

    def _size(self, name: str, size: Size, metres: float) -> None:
        self._try(lambda: resized(self.bench.desk.project, name, size, metres),
                  f"{name}: {size} {self.bench.reader.show(metres, 'length')}")  # fmt: skip

    def _try(self, make: Callable[[], Project], note: str) -> None:
        try:
            self.tried = make()
            self._dragged(note)
        except NoonwallError as error:
            self.tried = None
            self._dragged(plain(str(error), "", self.bench.desk.text, {}))

    def _drop(self, name: str, east: float, north: float) -> None:
        project, system = self.bench.desk.project, self.bench.reader.system
        try:
            sighted = was_sighted(project, name)
        except NoonwallError as error:
            refuse(plain(str(error), "", self.bench.desk.text, {}))
            return
        instead = " (in place of bearing and distance)" if sighted else ""
        told = f"{name} moved to {place_text(east, north, self.bench.reader)}{instead}"
        # By the project as it is then: what an editor wrote meanwhile has moved the places in the list.
        self._write(
            lambda text: write_moved(text, self.bench.desk.project, name, (east, north), system), told
        )

    def _sized(self, name: str, size: Size, metres: float) -> None:
        system = self.bench.reader.system
        told = f"{name}: {size} {self.bench.reader.show(metres, 'length')}"
        self._write(
            lambda text: write_resized(text, self.bench.desk.project, name, size, metres, system), told
        )

    def _write(self, edit: Callable[[str], str], told: str) -> None:
        self.tried = None
        if change(self.bench, edit, told, by_name=True):
            self.done.set_text(f"{told}. Undo is at the top.")
            return
        self.view.run_method("back")
        self._light()
