"""What pages of description show beside their boxes: the year as it comes out, the section, doubts, assumptions."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.report.checks import FIRST
from noonwall.report.key_figures import change_rule, key_figures
from noonwall.report.second_look import odd, odd_place, of_weight
from noonwall.report.section_figure import section_svg
from noonwall.web.parts.field import follow
from noonwall.web.parts.trade import label_of
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.model.defaults import Assumed
    from noonwall.model.file import Problem
    from noonwall.report.key_figures import KeyFigure
    from noonwall.report.reader import Reader
    from noonwall.web.bench import Bench, Result

PAGES = (("wall.vents", "/air"), ("wall.flap", "/air"), ("wall.cover", "/air"), ("wall.summer_vent", "/air"),
         ("wall.inlet_from", "/air"), ("wall", "/wall"), ("shop", "/shop"), ("site", "/place"), ("weather", "/place"),
         ("fan", "/air"), ("switch", "/air"), ("circuit", "/air"), ("money", "/shop"))  # fmt: skip


def page_of(key: str) -> str:
    """Return the page on which a key is described, empty where none is."""
    return next(
        (page for start, page in PAGES if key == start or key.startswith((f"{start}.", f"{start}["))), ""
    )


def strip(bench: Bench) -> None:
    """Show the year's key figures, calculated anew after every change, with what the change made of them."""
    result = bench.result("year")
    client = ui.context.client
    ui.add_head_html('<script src="/static/strip.js" defer></script>')
    with ui.element("section").classes("nw-strip").props('aria-label="The year as described"'):
        shown = ui.html("", sanitize=False).classes("w-full").props('role=group aria-label="Key figures"')
        with ui.row().classes("items-center nw-strip-state").props("role=status"):
            state = ui.html("", sanitize=False)
            stop = ui.button("Stop", on_click=result.stop).props("flat dense").classes("nw-plain")
            again = ui.button("Calculate", on_click=result.ask).props("flat dense").classes("nw-plain")

    def show() -> None:
        with client:
            if result.answer is not None:
                before = result.before.document if result.before else None
                figures = key_figures(result.answer.document, before, bench.reader, bench.desk.project)
                shown.set_content(tiles(figures, faded=result.old))
            state.set_content(_state(result, bench.reader))
            stop.set_visibility(result.running)
            again.set_visibility(not result.running and (result.stopped or result.refused is not None))

    client.on_delete(result.watch(show))
    follow(bench, shown, show)


def tiles(figures: list[KeyFigure], *, faded: bool) -> str:
    """Return the year's key figures as HTML, each with what the last change made of it."""
    rows = []
    for figure in figures:
        good = {True: "nw-good", False: "nw-bad", None: "nw-soft"}[figure.better]
        word = {True: ", better", False: ", worse", None: ""}[figure.better]
        change = f'<span class="nw-change {good}">{html.escape(figure.change)}{word}</span>'
        also = f'<span class="nw-also">{html.escape(figure.also)}</span> ' if figure.also else ""
        rows.append(
            f'<div title="{html.escape(figure.told)}"><dt>{html.escape(figure.name)}</dt>'
            f"<dd><b>{html.escape(figure.value)}</b> {also}{change}</dd></div>"
        )
    return f'<dl class="nw-tiles{" nw-faded" if faded else ""}">{"".join(rows)}</dl>'


def _state(result: Result, reader: Reader) -> str:
    if result.running:
        return '<span class="nw-small">Calculating ...</span>'
    if result.refused is not None:
        return f'<span class="nw-bad nw-small">{html.escape(result.refused)}</span>'
    if result.stopped:
        return '<span class="nw-small">Stopped; the figures are old.</span>'
    told = "A year of this description."
    if result.before and result.answer:
        rule = change_rule(result.answer.document, result.before.document, reader)
        told = f"Beside the year before your last change. {rule}"
    return f'<span class="nw-small nw-soft nw-strip-quiet">{told}</span>'


def section(bench: Bench) -> None:
    """Show the section through the wall, drawn anew after every change."""
    with ui.card().classes("nw-card nw-section"):
        ui.html("<h2>Section, to scale</h2>", sanitize=False)
        picture = ui.html("", sanitize=False).classes("w-full")

        def show() -> None:
            picture.set_content(section_svg(bench.desk.project, bench.reader))

        follow(bench, picture, show)


def doubts(bench: Bench, starts: Sequence[str], *, place: bool = False) -> None:
    """Show what looks odd among the keys that start so; ``place`` holds the site against its weather too."""
    panel = ui.html("", sanitize=False).classes("w-full")

    def show() -> None:
        desk, system = bench.desk, bench.reader.system
        found = list(odd(desk.text, system))
        found += odd_place(desk.text, str(desk.folder), system) if place else []
        lines = [_doubt(problem) for problem in found if _under(problem.key, starts)]
        panel.set_content(
            '<section class="nw-caution nw-odd"><h2>Looks odd</h2><p class="nw-small">It stops nothing, but deserves '
            f"a second look.</p><ul>{''.join(lines)}</ul></section>" if lines else ""
        )  # fmt: skip
        panel.set_visibility(bool(lines))

    follow(bench, panel, show)


def _under(key: str, starts: Sequence[str]) -> bool:
    return any(key == start or key.startswith((f"{start}.", f"{start}[")) for start in starts)


def _doubt(problem: Problem) -> str:
    link = f"<a href='{page_of(problem.key)}#{_mark(problem.key)}'>{html.escape(label_of(problem.key))}</a>"
    return f"<li>{link}: {html.escape(pretty(problem.text))}</li>"


def assumptions(bench: Bench, starts: Sequence[str] = ()) -> None:
    """Show the assumptions that usually matter most, those of the keys that start so, or all."""
    panel = ui.html("", sanitize=False).classes("w-full")

    def show() -> None:
        every = of_weight(bench.desk.text, bench.reader.system)
        rows = [item for item in every if not starts or _under(item.key, starts)][:FIRST]
        panel.set_content(_assumed(rows) if rows else "")
        panel.set_visibility(bool(rows))

    with ui.card().classes("nw-card"):
        ui.html("<h2>Assumed, and of weight</h2>", sanitize=False)
        ui.html('<p class="nw-soft nw-told">Left open here; a figure of your own would move the answer most, '
                "the first usually most of all (our own judgement).</p>", sanitize=False)  # fmt: skip
        panel.move(ui.context.slot.parent)
        follow(bench, panel, show)


def _assumed(rows: Sequence[Assumed]) -> str:
    lines = []
    for item in rows:
        source = f' <span class="nw-soft nw-small">({html.escape(item.source)})</span>' if item.source else ""
        lines.append(
            f"<li><a href='{page_of(item.key)}#{_mark(item.key)}'>{html.escape(label_of(item.key))}</a>: "
            f"<b>{html.escape(pretty(item.value))}</b>, {html.escape(pretty(item.why))}{source}</li>"
        )
    return f"<ol class='nw-list'>{''.join(lines)}</ol>"


def _mark(key: str) -> str:
    return f"box-{key}"
