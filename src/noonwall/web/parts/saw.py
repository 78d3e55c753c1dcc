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
from noonwall.web.bench import Result
from noonwall.web.frame import named, refuse
from noonwall.web.parts.field import follow
from noonwall.web.parts.form import change

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.web.bench import Bench
    from noonwall.web.parts.site_stage import Stage


class Year:
    """The year of a project as it was before something was tried, calculated where it was not known."""

    def __init__(self, bench: Bench, text: str) -> None:
        now = bench.result("year")
        self.known = None if now.answer is None or now.old else now.answer.document
        self.result = Result(bench, "year", (), text)

    @property
    def document(self) -> dict[str, Any] | None:
        """Return the year's document, None while it is not known."""
        if self.known is not None or self.result.answer is None:
            return self.known
        return self.result.answer.document

    def follow(self, call: Callable[[], None]) -> Callable[[], None]:
        """Have it calculated, and ``call`` called as that goes on; returns what ends it."""
        if self.document is not None:
            return lambda: None
        end = self.result.watch(call)

        def leave() -> None:
            end()
            if self.result.running and not self.result.watched:
                self.result.leave()

        return leave


@dataclass(frozen=True)
class Tried:
    """The last thing that was tried in this window."""

    told: str
    before: Project
    year_before: Year  # the year without it
    text: str  # of the project file with it made
    what: str  # "cut", "change"


class Saw:
    """Tries cuts or awnings from one window, and keeps the last one in sight until something else changes."""

    def __init__(self, bench: Bench, stage: Stage, what: str = "cut") -> None:
        self.bench, self.stage, self.what = bench, stage, what
        self.tried: Tried | None = None
        self.counted = ""  # what the figures beside the buttons count, where it is not the year

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
            bench = self.bench
            before: list[tuple[Project, Year]] = []

            def noted(text: str) -> str:
                before[:] = [(bench.desk.project, Year(bench, text))]
                return edit(text)

            if change(bench, noted, told, by_name=True):
                project, year = before[0]
                self.tried = Tried(told, project, year, bench.desk.text, self.what)
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
            named(back, f"Undo this {tried.what}: {tried.told}")
        client = ui.context.client
        ends: list[Callable[[], None]] = []
        asked: list[Year] = []

        def end() -> None:
            while ends:
                ends.pop()()

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
                    figures.set_content(_year(self.bench, tried, self.counted))
            if not there:
                end()
            elif not asked and not (year.running or year.old or year.answer is None):
                asked.append(tried.year_before)
                ends.append(tried.year_before.follow(show))  # after the year that every page waits for

        ends.append(year.watch(show))
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


def _year(bench: Bench, tried: Tried, counted: str) -> str:
    """Return the year before the trial and with it, or which of the two is being calculated."""
    year, before = bench.result("year"), tried.year_before
    refused = year.refused or (None if before.document is not None else before.result.refused)
    if refused is not None:
        return f'<p class="nw-bad">{html.escape(refused)}</p>'
    if year.answer is None or year.old or year.running:
        far = "" if before.document is not None else ", 1 of 2"
        return f"<p>Calculating the year with the {tried.what}{far} ...</p>"
    if before.document is None:
        return f"<p>Calculating the year before the {tried.what}, 2 of 2, to set the two side by side ...</p>"
    return _before_and_after(before.document, year.answer.document, tried.what, counted, bench.reader)


def _before_and_after(
    before: dict[str, Any], after: dict[str, Any], what: str, counted: str, reader: Reader
) -> str:
    """Return two years side by side as HTML; ``counted`` says what the list on the page counts otherwise."""
    rows = []
    for was, now in zip(key_figures(before, None, reader), key_figures(after, before, reader), strict=True):
        good = {True: "nw-good", False: "nw-bad", None: "nw-soft"}[now.better]
        word = {True: ", better", False: ", worse", None: ""}[now.better]
        rows.append(
            f'<tr><th scope="row">{html.escape(now.name)}</th><td>{html.escape(was.value)}</td>'
            f'<td>{html.escape(now.value)}<br><span class="{good}">{html.escape(now.change)}{word}</span></td></tr>'
        )
    return (
        f'<div class="nw-table" tabindex="0" role="region" aria-label="The year before the {what} and with it">'
        f'<table class="nw-grid"><caption>The whole year, January to December. {html.escape(counted)}</caption><thead>'
        f'<tr><th scope="col">In the year</th><th scope="col">before</th><th scope="col">with the {what}</th>'
        f"</tr></thead><tbody>{''.join(rows)}</tbody></table></div>"
    )
