"""The worst credible hours: how hot each piece gets, failure by failure, against published limits."""

from __future__ import annotations

import html
import time
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.report.phrases import listed
from noonwall.studies.accepting import write_accepted
from noonwall.units import in_both
from noonwall.web.frame import frame, named
from noonwall.web.parts.adopting import put_in
from noonwall.web.parts.answer import answer_card, caution, pictures, what_is_this
from noonwall.web.parts.chart import COLD, FEW, HEAT, WRAPPED, bars, chart
from noonwall.web.parts.few import few_figures
from noonwall.web.parts.form import change, fold
from noonwall.web.parts.laid import about, sentences, shown, tables, words
from noonwall.web.parts.wording import together

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.report.reader import Reader
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Result

TOLD = {
    "hot": "Bars of the hottest hour of each piece against the limits of its material, and the failures as a table"
}


SMOULDER = (
    "Wood that stays hot for years can begin to smoulder at far lower temperatures than fresh wood. Keep "
    "wood out of the hot zone; fire separation is for the local code and licensed trades to decide."
)
DESCRIBED = "as described"
FIRST = 3  # reliefs that stand unfolded
# Above a published limit, above a figure from memory: class and sign of the cell.
MARKS = {"published": (' class="nw-over"', " *"), "memory": (' class="nw-perhaps"', " †")}


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/hot", title="Hottest hours - noonwall")
    def page() -> None:
        with frame(bench, "/hot", "The hottest hours, and when something fails"):
            caution(SMOULDER)
            what_is_this(
                "What is this, and what is normal?",
                "Each piece of the wall in the worst credible hours of each month: clear sky, no wind, a hot day, "
                "snow in front where the month can have it, with one thing failing at a time.",
                "The worst month of an upright wall is seldom July: the low sun of February with snow in front "
                "strikes it squarely. A limit stands beside each figure with its source.",
            )
            answer_card(bench, "hot", partial(_draw, bench))


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    with ui.card().classes("nw-card"):
        if not answer.fit:
            ui.html('<span class="nw-tag nw-bad">A published limit is exceeded in a case you have not '
                    "marked as accepted</span>", sanitize=False)  # fmt: skip
        _accepted(answer.more["accepted"])
        ui.html(few_figures(answer.more["lead"]), sanitize=False).classes("w-full")
        elsewhere = ["days", "sheet", "sure", "unsure", "accepting", "accepted"]
        words(answer.blocks, [*elsewhere, *(["combustible"] if answer.more["over"] else [])])
    _steps(bench, answer)
    with ui.card().classes("nw-card"):
        ui.html("<h2>Hottest hour of each piece</h2>", sanitize=False)
        chart(peak_bars(answer.document, bench.reader), "Hottest hour of each piece, by failure", "620px")
    with ui.card().classes("nw-card"):
        ui.html("<h2>Failure by failure</h2>", sanitize=False)
        with fold("The table: each piece in each failure"):
            ui.html(failure_table(answer.document, bench.reader), sanitize=False).classes("w-full")
        _sources(answer.document, bench.reader)
    with ui.card().classes("nw-card"):
        ui.html("<h2>The glazing: room to grow, and how far it bows</h2>", sanitize=False)
        with fold("What to leave on the day it is set, and how to hold it"):
            shown(answer.blocks, "sheet")
    with ui.card().classes("nw-card"):
        pictures(result, answer, TOLD)
        already = ["failures", "sources", "recipes", "sheet"]
        tables(answer.blocks, also=["days", "sure"], besides=already)


def _steps(bench: Bench, answer: Answer) -> None:
    """Show what is above its limit with what lowers it, and the cases that somebody may live with."""
    steps = answer.more
    if steps["over"]:
        with ui.card().classes("nw-card"):
            ui.html("<h2>Above a published limit: what to do</h2>", sanitize=False)
            ui.html(listing(steps["over"]), sanitize=False)
            sentences(about(answer.blocks, "combustible"))
            ui.html("<h3>What lowers it, each by itself</h3>", sanitize=False)
            first, more = steps["reliefs"][:FIRST], steps["reliefs"][FIRST:]
            for relief in first:
                _relief(bench, relief)
            if more:
                with fold(f"{len(more)} more: {', '.join(relief['name'] for relief in more)}"):
                    for relief in more:
                        _relief(bench, relief)
    if steps["unsure"]:
        with ui.card().classes("nw-card"):
            ui.html("<h2>Above a figure that is no published limit</h2>", sanitize=False)
            ui.html(listing(steps["unsure"]), sanitize=False)
    if steps["cases"]:
        with ui.card().classes("nw-card"):
            _accepting(bench, steps["cases"])


def listing(lines: Sequence[str]) -> str:
    """Return lines as a list in HTML, escaped."""
    return f"<ul class='nw-list'>{''.join(f'<li>{html.escape(together(line))}</li>' for line in lines)}</ul>"


def _relief(bench: Bench, relief: dict[str, Any]) -> None:
    with ui.element("div").classes("nw-member w-full"):
        name = relief["name"][:1].upper() + relief["name"][1:]
        ui.html(f"<h3>{html.escape(name)}</h3><p>{html.escape(together(relief['told']))}</p>", sanitize=False)
        if relief["changes"]:
            with ui.row():
                put_in(bench, "Put it into the project", tuple(relief["changes"]), relief["name"])
        elif relief["by_hand"]:
            told = html.escape(relief["by_hand"])
            told = told.replace("page Too warm", '<a href="/warm">page Too warm</a>')
            ui.html(f'<p class="nw-soft">{told}</p>', sanitize=False)


def _accepted(lines: Sequence[str]) -> None:
    """Show what was accepted, in every visit anew: a tick puts no warning out of sight."""
    for line in lines:
        ui.html(f'<p class="nw-member"><b>{html.escape(together(line))}</b></p>', sanitize=False).classes(
            "w-full"
        )


def _accepting(bench: Bench, cases: Sequence[dict[str, Any]]) -> None:
    """Show a tick for each failure with something above a limit, and the button that keeps the ticks."""
    ui.html("<h2>Cases you have thought about and live with</h2>", sanitize=False)
    ui.html('<p class="nw-soft nw-told">A tick changes no temperature: it only says that you know of it. It counts for '
            "the pieces named beside it, with today's date; another piece, or another material, asks anew. In the "
            "project file it stands under [hot]. Whether a wall may be built so is for the local code and licensed "
            "trades to say.</p>", sanitize=False)  # fmt: skip
    ticks = {}
    failing = [case for case in cases if case["case"] != DESCRIBED and not case["accepted"]]
    for case in cases:
        if case not in failing:
            ticks[case["case"]] = _tick(case)
    if failing:
        with (
            fold(f"{len(failing)} failures with something above a published limit"),
            ui.column().classes("gap-0"),
        ):
            ticks |= {case["case"]: _tick(case) for case in failing}
    drawn = {case["case"]: bool(case["accepted"]) for case in cases}
    pieces = {case["case"]: list(case["pieces"]) for case in cases}

    def keep() -> None:
        turned = {case: bool(tick.value) for case, tick in ticks.items() if bool(tick.value) != drawn[case]}
        usual = next((case for case in cases if case["case"] == DESCRIBED and turned.get(DESCRIBED)), None)
        if usual is None:
            written(turned)
            return
        _ask_first(usual["told"], lambda: written(turned), lambda: left(turned))

    def left(turned: dict[str, bool]) -> None:
        ticks[DESCRIBED].set_value(False)
        others = {case: yes for case, yes in turned.items() if case != DESCRIBED}
        if others:
            written(others)

    def written(turned: dict[str, bool]) -> None:
        now = {case: pieces[case] if yes else None for case, yes in turned.items()}
        yes = listed([case for case, ticked in turned.items() if ticked])
        told = f"lived with: {yes}" if yes else f"no longer lived with: {listed(list(turned)) or 'no case'}"
        day = time.strftime("%Y-%m-%d")
        if turned and change(bench, lambda text: write_accepted(text, now, day), told):
            drawn.update(turned)

    with ui.row():
        ui.button("Keep the ticks", icon="check", on_click=keep).props("outline").classes("nw-plain")


def _tick(case: dict[str, Any]) -> ui.checkbox:
    return ui.checkbox(together(f"{case['case']}: {case['told']}"), value=case["accepted"])


def _ask_first(told: str, yes: Callable[[], None], no: Callable[[], None]) -> None:
    """Ask before normal working is accepted: nothing has to fail for it to come."""

    def answered(then: Callable[[], None]) -> None:
        then()
        dialog.close()

    with ui.dialog() as dialog, ui.card().classes("nw-card nw-dialog"):
        ui.html("<h2>This is normal working, not a failure</h2>", sanitize=False)
        ui.label(together(f"With everything working as described: {told}.")).classes("text-weight-bold")
        ui.label(SMOULDER)
        ui.label(
            "Accepting it makes nothing cooler. It stays on this page as accepted by you, with today's date."
        )
        with ui.row():
            ui.button("Leave the warning", on_click=lambda: answered(no)).classes("nw-strong")
            ui.button("I know it, accept it", on_click=lambda: answered(yes)).props("outline").classes(
                "nw-plain"
            )
    named(dialog, "Accept normal working?")
    dialog.on("hide", dialog.delete)
    dialog.open()


def peak_bars(document: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return the chart of each piece as described and in its worst case."""
    cases = document["cases"]
    pieces = [piece["piece"] for piece in cases[0]["pieces"]]

    def degrees(celsius: float) -> float:
        return round(reader.degrees(celsius), 0)

    described = [degrees(piece["hottest_c"]) for piece in cases[0]["pieces"]]
    worst = [max(degrees(c["pieces"][i]["hottest_c"]) for c in cases) for i in range(len(pieces))]
    return {
        "yAxis": {"type": "category", "data": pieces, "inverse": True, "axisLabel": WRAPPED},
        "xAxis": {"type": "value", "name": reader.degree, "nameLocation": "middle", "nameGap": 26, **FEW},
        "grid": {"left": 8, "right": 44, "top": 44, "bottom": 30, "containLabel": True},
        "series": [
            bars("as described", described, COLD),
            bars("in the worst case", worst, HEAT, label={"show": True, "position": "right"}),
        ],
    }


def failure_table(document: dict[str, Any], reader: Reader) -> str:
    """Return the pieces against the failures; what is above a limit is marked by sign and frame."""
    cases = document["cases"]
    head = "".join(f'<th scope="col">{html.escape(case["case"])}</th>' for case in cases)
    rows = []
    for i, piece in enumerate(cases[0]["pieces"]):
        cells = []
        for case in cases:
            one = case["pieces"][i]
            kind, mark = MARKS.get(one["above"], ("", ""))
            cells.append(f"<td{kind}>{reader.degrees_cell(one['hottest_c'])}{mark}</td>")
        rows.append(f'<tr><th scope="row">{html.escape(piece["piece"])}</th>{"".join(cells)}</tr>')
    return (
        f'<div class="nw-table" tabindex="0" role="region" aria-label="failures"><table class="nw-grid"><caption>'
        f"Hottest hour, {reader.degree}; * above a published limit of the material; † above a figure from memory, "
        f"not published</caption>"
        f'<thead><tr><th scope="col">piece</th>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table></div>'
    )


def _sources(document: dict[str, Any], reader: Reader) -> None:
    """Show each limit with its source, folded away until asked for."""
    degrees = reader.degrees_text
    rows = "".join(
        f"<li>{html.escape(row['piece'])}: {html.escape(row['limit'])}, {degrees(row['limit_c'])}{_unseen(row)}; "
        f"hottest {degrees(row['hottest_c'])} ({html.escape(row['case'])}). "
        f"{html.escape(in_both(row['told'], reader.system))} <em>{html.escape(row['source'])}</em></li>"
        for row in document["limits"]
    )
    ui.html('<details class="nw-help nw-figures"><summary>The limits and their sources</summary>'
            f'<ul class="nw-list">{rows}</ul></details>', sanitize=False).classes("w-full")  # fmt: skip


def _unseen(row: dict[str, Any]) -> str:
    return " † (from memory, not a published limit)" if row["seen"] == "memory" else ""
