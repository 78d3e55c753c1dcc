"""Looking back: expected against measured, where the difference went, and what the readings teach."""

from __future__ import annotations

import html
import re
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.logs import reception
from noonwall.report.claim_words import refuse_other_than_a_year
from noonwall.report.heat_typed import claim_examples, heat_typed
from noonwall.report.recap_words import anew
from noonwall.web import questions
from noonwall.web.frame import frame, named
from noonwall.web.parts.answer import answer_card, pictures, what_is_this
from noonwall.web.parts.chart import chart
from noonwall.web.parts.laid import tables
from noonwall.web.parts.learned import learning
from noonwall.web.parts.recap_charts import chain_option, rows_option
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from noonwall.report.reader import Reader
    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Options, Result

TOLD = {"recap": "The chain from the typical year to what was measured, the months, the sun calendar"}
OPEN_LINK = (
    "<script>window.nwOpenLink = (key) => { const it = document.getElementById('link-' + key); "
    "if (it) { for (let up = it; up; up = up.parentElement.closest('details')) "
    "up.open = true; it.scrollIntoView({block: 'center'}); it.querySelector('summary').focus(); } };"
    "</script>"
)
KINDS = {"months": "Months", "seasons": "Seasons", "days": "Days"}
VERDICTS = {"refused": "nw-bad", "doubtful": "nw-old", "possible": "nw-good"}


def register(bench: Bench) -> None:
    """Put the page at its address."""

    @ui.page("/lookback", title="Looking back - noonwall")
    def page(first: str = "", last: str = "", was: str = "", every: str = "") -> None:
        bench.notice_readings()
        stretches = _stretches(bench)
        if len(stretches) > 1 and not (first or last or every):
            first, last = stretches[-1]
        ui.add_head_html(OPEN_LINK)  # before the page is sent: a script that comes later is not run
        days: Options = tuple((k, v[:10]) for k, v in (("first", first), ("last", last)) if v)
        options: Options = (*days, ("was", True)) if was else days
        with frame(bench, "/lookback", "Looking back: expected against measured"):
            what_is_this(
                "What is this, and what is normal?",
                "What your readings say came in, held against what the engine makes of the weather that really was, "
                "with your assumptions. The difference is split into links: weather, cover, shade, shop, fans, "
                "reversed air, and a rest. They add up exactly.",
                "Heat from thermometers and a fan's rating is known to about a fifth to a third. A difference smaller "
                "than that error proves nothing, and is called so.",
            )
            _period(first[:10], last[:10], stretches, bench.reader)
            answer_card(bench, "recap", partial(_draw, bench), options)
            learning(bench, days)


def _stretches(bench: Bench) -> list[tuple[str, str]]:
    """Return the days read without a longer break; what keeps them from being told is told where they are asked for."""
    try:
        return reception.periods(bench.desk.folder, bench.desk.project.site)
    except NoonwallError:
        return []


def _period(first: str, last: str, stretches: list[tuple[str, str]], reader: Reader) -> None:
    """Show the days that are looked back over; others are another page."""
    if len(stretches) > 1:
        ui.label("There are longer times without any reading. Look back over:").classes("nw-soft nw-noprint")
        with ui.row().classes("nw-noprint"):
            for one, other in reversed(stretches):
                query = urlencode({"first": one, "last": other})
                button = ui.button(
                    reader.period_text(one, other), on_click=partial(ui.navigate.to, f"/lookback?{query}")
                )
                button.props("outline no-caps").classes("nw-plain")
                if (first, last) == (one, other):
                    button.props("aria-current=true icon=check")
            whole = ui.button("All that was read", on_click=partial(ui.navigate.to, "/lookback?every=1"))
            whole.props("outline no-caps").classes("nw-plain")
    with ui.row().classes("items-end nw-noprint"):
        begin = ui.input("From", value=first).props("type=date outlined dense stack-label")
        end = ui.input("To", value=last).props("type=date outlined dense stack-label")

        def look() -> None:
            chosen = {k: v for k, v in (("first", begin.value), ("last", end.value)) if v}
            ui.navigate.to(f"/lookback?{urlencode(chosen)}" if chosen else "/lookback")

        ui.button("Look at these days", on_click=look).props("outline").classes("nw-plain")
        if (first or last) and len(stretches) < 2:
            ui.button("All that was read", on_click=lambda: ui.navigate.to("/lookback")).props(
                "outline"
            ).classes("nw-plain")


def _draw(bench: Bench, result: Result, answer: Answer) -> None:
    more = answer.more
    period = answer.document["period"]
    with ui.card().classes("nw-card"):
        ui.html(f"<h2>{bench.reader.period_text(period['from'], period['to'])}</h2>", sanitize=False)
        warned = more["warning"]
        for line in warned:
            ui.html(f'<p class="nw-tag nw-old">{html.escape(line)}</p>', sanitize=False)
        _which(answer.document, result.options, bench.reader)
        first, *rest = more["answer"][len(warned) :]
        ui.html(f'<p class="nw-lead">{html.escape(first)}</p>', sanitize=False)
        before = None if result.before is None else result.before.document
        if moved := anew(before, answer.document, bench.reader):
            ui.html(f'<p class="nw-tag nw-old">{html.escape(moved)}</p>', sanitize=False)
        ui.html("".join(f"<p>{html.escape(line)}</p>" for line in rest), sanitize=False).classes("nw-words")
    with ui.card().classes("nw-card"):
        _chain(more)
    with ui.card().classes("nw-card"):
        _rows(more)
    with ui.card().classes("nw-card"):
        _Claim(bench, result)
    with ui.card().classes("nw-card"):
        ui.html("<h2>Picture and figures</h2>", sanitize=False)
        pictures(result, answer, TOLD)
        tables(answer.blocks)


def _which(document: dict[str, Any], options: Options, reader: Reader) -> None:
    """Offer the project as it stands and as it was when these readings were read in, where they differ."""
    if not document["project_changed"]:
        return
    day = reader.day_text(document["project_kept"], year=True)
    chosen = {k: str(v) for k, v in options if k != "was"}

    def go(event: Any) -> None:
        query = urlencode({**chosen, "was": "1"} if event.value else chosen)
        ui.navigate.to(f"/lookback?{query}" if query else "/lookback")

    ui.label("Hold these days against the project").classes("nw-soft nw-noprint")
    toggle = ui.toggle(
        {False: "as it stands now", True: f"as it was on {day}"}, value=document["as_was"], on_change=go
    )
    named(toggle, "The project these days are held against").props("role=group unelevated no-caps")
    toggle.classes("nw-toggle nw-noprint")


def _chain(more: dict[str, Any]) -> None:
    ui.html("<h2>Where the difference went</h2>", sanitize=False)
    ui.label("Tap a bar, or open its line below: what tells it, which days to look at, what to do.").classes(
        "nw-soft"
    )
    option, height = chain_option(more)
    steps = ", ".join(f"{step['name']} {step['label']}" for step in more["steps"])
    drawn = chart(option, f"The chain in {more['unit']}: {steps}", f"{height}px")
    ui.html(
        '<p class="nw-soft nw-small">Grey: whole amounts; the bracket is the error of what was measured. Plain '
        "with +: more heat than assumed; hatched with -: less.</p>",
        sanitize=False,
    )
    small = [link for link in more["links"] if link["small"]]
    for link in more["links"]:
        if not link["small"]:
            ui.html(_link(link), sanitize=False).classes("w-full")
    if small:
        ui.html(
            f'<details class="nw-link"><summary><b>Smaller ones, none of which can be told</b><span class="nw-figure">'
            f'{len(small)}</span><span class="nw-soft nw-small">less than a tenth of the error</span></summary>'
            f"{''.join(_link(link) for link in small)}</details>",
            sanitize=False,
        ).classes("w-full")
    drawn.on_point_click(lambda e: ui.run_javascript(f"nwOpenLink({_key(e.name)!r})"))


def _key(name: object) -> str:
    return "".join(c if c.isalnum() else "-" for c in str(name))


def _link(link: dict[str, Any]) -> str:
    """Return one link of the chain as a fold: its amount, what tells it, where to look, what to do."""
    dates = ", ".join(
        f'<a href="/readings?day={html.escape(d["first"])}">{html.escape(d["told"])}</a>'
        for d in link["dates"]
    )
    look = f"<p>Look at {dates}.</p>" if dates else ""
    advice = (
        ""
        if link["advice"] == "nothing to do"
        else f"<p><b>What to do:</b> {html.escape(link['advice'])}.</p>"
    )
    evidence = link["evidence"]
    return (
        f'<details class="nw-link" id="link-{_key(link["key"])}"><summary><b>{html.escape(link["name"])}</b>'
        f'<span class="nw-figure">{html.escape(link["told"])}</span>'
        f'<span class="nw-soft nw-small">{link["way"]}</span></summary>'
        f"<p>{html.escape(evidence[:1].upper() + evidence[1:])}.</p>{look}{advice}</details>"
    )


def _rows(more: dict[str, Any]) -> None:
    """Show heat by month, season or day."""
    ui.html("<h2>Month by month, day by day</h2>", sanitize=False)
    kinds = {kind: word for kind, word in KINDS.items() if more["rows"][kind]}
    first = "months" if len(more["rows"]["months"]) > 1 else "days"
    picked = (
        ui.toggle(kinds, value=first)
        .props('role=group aria-label="How the time is cut" unelevated no-caps')
        .classes("nw-toggle")
    )
    place = ui.element("div").classes("w-full")

    def draw() -> None:
        kind = str(picked.value)
        place.clear()
        with place:
            chart(
                rows_option(more, kind), f"Heat measured, allowed and typical: {KINDS[kind].lower()}", "340px"
            )
            if kind != "days":
                ui.html(rows_table(more, kind), sanitize=False).classes("w-full")

    picked.on_value_change(draw)
    draw()


def rows_table(more: dict[str, Any], kind: str) -> str:
    """Return the rows of a recap as a table, everything in it escaped."""

    def cell(value: float | None, digits: int = 0) -> str:
        return "-" if value is None else f"{value:,.{digits}f}"

    def error(row: dict[str, Any]) -> str:
        return f" &plusmn; {(row['spread'][1] - row['measured']):,.0f}" if row["spread"] else ""

    body = "".join(
        f'<tr><th scope="row">{html.escape(row["name"])}</th><td>{cell(row["typical"])}</td>'
        f"<td>{cell(row['expected'])}</td><td>{cell(row['measured'])}{error(row)}</td><td>{row['known']}</td>"
        f"<td>{cell(row['fan_hours'])}</td><td>{cell(row['shop'], 1)}</td><td>{cell(row['expected_shop'], 1)}</td></tr>"
        for row in more["rows"][kind]
    )
    untold = "".join(
        f"<p>{html.escape(row['name'])}: no heat told; {html.escape(row['untold'])}.</p>"
        for row in more["rows"][kind]
        if row["untold"]
    )
    heads = (
        "when",
        "typical year",
        "allowed",
        "measured",
        "hours known",
        "fans, h",
        f"shop, {more['degree']}",
        "expected",
    )
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    return (
        '<div class="nw-table" tabindex="0" role="region" aria-label="Heat over time"><table class="nw-grid nw-dated">'
        f"<caption>Heat in {more['unit']}, less what went out at night; shop: measured mean, then what was expected"
        f"</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>{untold}"
    )


class _Claim:
    """A box for a figure that somebody claims, held against the sun that fell on the wall."""

    def __init__(self, bench: Bench, result: Result) -> None:
        self.bench, self.result = bench, result
        unit = bench.reader.heat_unit
        ui.html("<h2>Hold a claim against the sun</h2>", sanitize=False)
        what_is_this(
            "What is this?",
            "Your own figure, a seller's, one from the internet: no wall can bring in more heat than the sun that "
            "its glazing and absorber take up. Fan rating times temperature rise often says more.",
        )
        with ui.row().classes("items-start w-full"):
            self.box = ui.input(f"Heat over these days, {unit}").props("outlined dense").classes("nw-claim")
            self.box.on("keydown.enter", self.hold)
            self.box.on_value_change(self._forget)  # what is told is of the figure that stood there
            ui.button("Hold it", on_click=self.hold).props("outline").classes("nw-plain")
        examples = claim_examples(bench.reader, bench.desk.project.shop.heater)
        ui.html(f'<p class="nw-soft nw-small">{html.escape(examples)}</p>', sanitize=False)
        self.told = ui.element("div").props("role=status aria-live=polite").classes("w-full")

    def _forget(self) -> None:
        self.told.clear()

    async def hold(self) -> None:
        """Judge the figure in the box."""
        self._forget()
        shown, answer = self.result.shown, self.result.answer
        if shown is None or answer is None:
            return
        bench = self.bench
        try:
            heat = heat_typed(str(self.box.value or ""), bench.reader, bench.desk.project.shop.heater)
            if heat.yearly:
                refuse_other_than_a_year(answer.document["period"]["days"])
            with self.told:
                ui.label("Calculating ...").classes("nw-soft")
            claim = await bench.worker("recap").call(questions.claim_of, shown, heat.kwh, heat.saved)
        except (NoonwallError, FaultError, StoppedError) as error:
            self._forget()
            with self.told:  # it goes with the figure that it is about
                ui.html(f'<p class="nw-bad">{html.escape(str(error))}</p>', sanitize=False)
            return
        self._forget()  # another press may have been answered meanwhile
        with self.told:
            how = heat.how or other_unit(str(self.box.value or ""), bench.reader)
            ui.html(claim_told(claim, how, bench.reader.heat_text(heat.kwh)), sanitize=False)


def other_unit(typed: str, reader: Reader) -> str | None:
    """Return an amount as it was typed where it has a unit that is not the reader's; None where there is none."""
    said = " ".join(typed.split())
    theirs = re.search(r"[a-z]", said, re.I) and not re.search(rf"\b{reader.heat_unit}\b", said, re.I)
    return said if theirs else None


def claim_told(claim: dict[str, Any], how: str | None, heat: str) -> str:
    """Return a claim's verdict, what it is set beside, and what it would take; everything in it escaped.

    how   in what words it was typed, where that is more than a unit
    """
    verdict = claim["told"]
    style = VERDICTS.get(verdict, "nw-old")
    lead = f"{heat} ({how})" if how else heat
    rows = "".join(
        f'<tr><th scope="row">{html.escape(what)}</th><td>{html.escape(kwh)}</td><td>{html.escape(share)}</td></tr>'
        for what, kwh, share in claim["rows"]
    )
    sentences = "".join(f"<p>{html.escape(line)}</p>" for line in claim["sentences"])
    return (
        f'<div class="nw-words"><p><span class="nw-tag {style}">{html.escape(verdict)}</span> '
        f"{html.escape(lead)}: {html.escape(claim['why'])}.</p>{sentences}</div>"
        '<div class="nw-table" tabindex="0" role="region" aria-label="The claim beside what is known">'
        '<table class="nw-grid"><caption>The claim beside what is known of these days</caption><thead><tr>'
        '<th scope="col">what</th><th scope="col">heat</th><th scope="col">of the sun on the wall</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
