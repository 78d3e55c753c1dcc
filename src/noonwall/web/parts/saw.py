"""A cut or an awning on trial: what it makes of the day's sun and of the year, told under its button, and its undo."""

from __future__ import annotations

import html
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.model.rearrange import write_sawn
from noonwall.report.key_figures import key_figures
from noonwall.report.site_light import day_light
from noonwall.web.frame import named, refuse
from noonwall.web.parts.described import tiles
from noonwall.web.parts.field import follow
from noonwall.web.parts.form import change

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project
    from noonwall.web.bench import Bench
    from noonwall.web.parts.site_stage import Stage


@dataclass(frozen=True)
class Tried:
    """The last thing that was tried in this window."""

    told: str
    before: Project
    year_before: dict[str, Any] | None  # the year's document, None where it was not known yet
    text: str  # of the project file with it made
    what: str  # "cut", "change"


class Saw:
    """Tries cuts or awnings from one window, and keeps the last one in sight until something else changes."""

    def __init__(self, bench: Bench, stage: Stage, what: str = "cut") -> None:
        self.bench, self.stage, self.what = bench, stage, what
        self.tried: Tried | None = None

    @property
    def on_trial(self) -> Tried | None:
        """Return the cut that was tried, while nothing has changed since."""
        tried = self.tried
        return tried if tried is not None and tried.text == self.bench.desk.text else None

    def button(self, names: list[str], way: Any, amount: float, word: str, told: str) -> None:
        """Show a button that makes a cut in the project."""
        bench = self.bench

        def edit(text: str) -> str:
            return write_sawn(text, bench.desk.project, names, way, amount, bench.reader.system)

        self.offer(edit, word, told)

    def offer(self, edit: Callable[[str], str], word: str, told: str, icon: str | None = "carpenter") -> None:
        """Show a button that makes a change of the project's text on trial, and below it what comes of that."""
        button = ui.button(word, icon=icon).props("outline no-caps").classes("nw-plain")
        named(button, f"{word}: {told}")
        place = _place()

        def try_it() -> None:
            bench, year = self.bench, self.bench.result("year")
            known = None if year.answer is None or year.old else year.answer.document
            before: list[Project] = []

            def noted(text: str) -> str:
                before[:] = [bench.desk.project]
                return edit(text)

            if change(bench, noted, told, by_name=True):
                self.tried = Tried(told, before[0], known, bench.desk.text, self.what)
                self._show_in(place)

        button.on_click(try_it)

    def still(self) -> None:
        """Show what is on trial, where its own button has gone with the list that was drawn anew."""
        if self.on_trial is not None:
            self._show_in(_place())

    def undo(self) -> None:
        """Take back what is on trial."""
        if self.on_trial is None:
            refuse("Something else was changed since; undo at the top goes back step by step.")
            return
        try:
            self.bench.desk.undo()
        except NoonwallError as error:
            refuse(str(error))

    def _show_in(self, place: ui.element) -> None:
        tried, year = self.tried, self.bench.result("year")
        if tried is None:
            return
        place.clear()
        with place, ui.element("div").classes("nw-trial"):
            said = ui.html("", sanitize=False).classes("w-full")
            sun = ui.label(_sun_words(self.stage, tried, self.bench.desk.project))
            figures = ui.html("", sanitize=False).classes("w-full")
            back = (
                ui.button(f"Undo this {tried.what}", icon="undo", on_click=self.undo)
                .props("outline")
                .classes("nw-plain")
            )
            named(back, f"Undo: {tried.told}")
        client = ui.context.client

        def show() -> None:
            if place.is_deleted or said.is_deleted:
                end()
                return
            with client:
                there = self.on_trial is tried
                said.set_content(
                    f"<p><b>{html.escape(tried.told[:1].upper() + tried.told[1:])}, on trial.</b></p>" if there
                    else f"<p>{html.escape(tried.told[:1].upper() + tried.told[1:])}: no longer on trial.</p>"
                )  # fmt: skip
                for part in (sun, figures, back):
                    part.set_visibility(there)
                if there:
                    figures.set_content(_year(self.bench, tried))

        end = year.watch(show)
        client.on_delete(end)
        follow(self.bench, said, show)


def _place() -> ui.element:
    """Return the place in which an effect is told; it is heard of because it was there before."""
    return ui.element("div").classes("nw-trial-place").props("role=status aria-live=polite")


def _sun_words(stage: Stage, tried: Tried, after: Project) -> str:
    """Return what a trial makes of the direct sun on the chosen date."""
    was, now = (day_light(project, stage.years_on, stage.when) for project in (tried.before, after))
    day = stage.bench.reader.day_text(stage.when.time)
    return (
        f"Direct sun on the glazing on a clear {day}: {was.hours:.1f} hours before, {now.hours:.1f} with the "
        f"{tried.what}, of {now.hours_open:.1f} on an open site."
    )


def _year(bench: Bench, tried: Tried) -> str:
    """Return the year's figures with the cut and what it changed in them, or that they are being calculated."""
    year = bench.result("year")
    if year.refused is not None:
        return f'<p class="nw-bad">{html.escape(year.refused)}</p>'
    if year.answer is None or year.old or year.running:
        return f"<p>Calculating the year with the {tried.what} ...</p>"
    told = (
        ""
        if tried.year_before
        else f'<p class="nw-small">The year before the {tried.what} was not calculated yet.</p>'
    )
    figures = key_figures(year.answer.document, tried.year_before, bench.reader)
    head = f'<p class="nw-small">The year with the {tried.what}, and what it changed:</p>'
    return f"{head}{tiles(figures, faded=False)}{told}"
