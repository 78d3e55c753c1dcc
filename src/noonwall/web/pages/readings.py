"""Readings: hand in what loggers wrote, see how it is understood, judge what is doubtful, look at it over time."""

from __future__ import annotations

import html
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import run, ui

from noonwall.errors import NoonwallError
from noonwall.logs import reception
from noonwall.report.finding_words import (
    NOTHING_THEN,
    consequence_words,
    evidence_words,
    kind_words,
    verdict_words,
    when_words,
)
from noonwall.units import moments_in
from noonwall.web.frame import frame, named, refuse
from noonwall.web.parts.answer import what_is_this
from noonwall.web.parts.channels_chart import ChannelsChart
from noonwall.web.parts.handed_in import HandedIn
from noonwall.web.parts.ticks import ticks_of
from noonwall.web.tray import KINDS, MOST_BYTES, RefusedError, Tray
from noonwall.web.worker import FaultError, StoppedError

if TYPE_CHECKING:
    from fastapi import Request, Response

    from noonwall.web.bench import Bench

SOME = 12  # findings shown at first


def register(bench: Bench) -> None:
    """Put the page at its address, and the place where files are handed in."""
    tray = Tray(bench.desk.folder)
    _door(tray)

    @ui.page("/readings", title="Readings - noonwall")
    def page(day: str = "") -> None:
        bench.notice_readings()
        ui.add_head_html('<script src="/static/hand-in.js"></script>')
        with frame(bench, "/readings", "Readings: what your loggers wrote"):
            what_is_this(
                "What is this, and what is normal?",
                "Thermometers, fan, sun, heater, remarks by hand: any table of text will do, whatever its dates, "
                "units and delimiters. You see how it is understood before anything is read, and correct it.",
                "Raw readings are never altered. What looks doubtful is told with what is made of it; a year of "
                "readings commonly has a handful of gaps and a day or two of a stuck sensor. Your word counts.",
            )
            _Room(bench, tray, day[:10])


def _door(tray: Tray) -> None:
    """Register the address at which a browser hands in a file."""
    from fastapi import Request
    from fastapi.responses import JSONResponse
    from nicegui import app

    async def take(request: Request, name: str = "") -> Response:
        if request.headers.get("x-noonwall") != "readings":
            return JSONResponse({"refused": "files are handed in on the page of readings"}, status_code=403)
        if int(request.headers.get("content-length") or 0) > MOST_BYTES:
            return JSONResponse(
                {"refused": f"larger than {MOST_BYTES // 1_000_000} MB; split it"}, status_code=413
            )
        try:
            token = await tray.take(name, request.stream())
        except RefusedError as error:
            return JSONResponse({"refused": str(error)})
        except Exception:
            if await request.is_disconnected():  # nobody is there to be answered
                return JSONResponse({"refused": "broke off on its way"}, status_code=400)
            raise
        return JSONResponse({"token": token})

    take.__annotations__["request"] = Request
    app.post("/readings/file", response_model=None)(take)
    app.on_shutdown(tray.clear)


class _Room:
    """All that one window shows of the readings."""

    def __init__(self, bench: Bench, tray: Tray, day: str) -> None:
        self.bench, self.tray, self.day = bench, tray, day
        self.files: dict[str, HandedIn] = {}
        self.client = ui.context.client
        self._drop_zone()
        self.incoming = ui.column().classes("w-full gap-3")
        self.lists = ui.column().classes("w-full gap-4")
        self.client.on_delete(self._gone)
        self.chart: ChannelsChart | None = None
        self.stamp = bench.stamp
        self.windows = ticks_of(bench, "readings")
        self.windows.follow(self.lists, self._elsewhere)
        ui.on("nw-file", self._told)
        ui.timer(0.05, self.refresh, once=True)

    def _gone(self) -> None:
        for file in self.files.values():
            file.gone()

    def _elsewhere(self) -> None:
        """Show what another window has read in, judged or taken back."""
        if self.bench.stamp != self.stamp:
            ui.timer(0.05, self.refresh, once=True)

    async def _taken(self) -> None:
        """Show what was read in, in every window."""
        await self.refresh()
        self.windows.tell()

    def _drop_zone(self) -> None:
        with ui.element("label").classes("nw-drop").props("for=nw-files") as zone:
            ui.html("<b>Drop files here, or pick them</b>", sanitize=False)
            ui.html(f'<span class="nw-soft nw-small">{", ".join(KINDS)}, each up to {MOST_BYTES // 1_000_000} MB; '
                    "they stay on this machine</span>", sanitize=False)  # fmt: skip
            picker = ui.element("input").props(
                f'type=file multiple id=nw-files accept="{",".join(KINDS)}" aria-label="Files of readings"'
            )
            picker.on("change", js_handler="(e) => { nwHandIn(e.target.files); e.target.value = ''; }")
        zone.on("dragover", js_handler="(e) => e.preventDefault()")
        zone.on("drop", js_handler="(e) => { e.preventDefault(); nwHandIn(e.dataTransfer.files); }")

    async def _told(self, event: Any) -> None:
        """Follow what the browser tells of a file on its way."""
        said = event.args if isinstance(event.args, dict) else {}
        mark, state = str(said.get("mark", "")), said.get("state")
        if state == "begun":
            with self.incoming:
                self.files[mark] = HandedIn(
                    self.bench, self.tray, str(said.get("name", ""))[:120], self._taken
                )
                self.files[mark].say("On its way ...", 0.0)
            return
        file = self.files.get(mark)
        if file is None:
            if state == "here":
                self.tray.drop(str(said.get("token", "")))
            return
        if state == "coming":
            file.say("On its way ...", float(said.get("share") or 0.0))
        elif state == "refused":
            file.refused(str(said.get("why", "was not taken"))[:300])
        elif state == "here":
            await file.here(str(said.get("token", "")))

    async def refresh(self) -> None:
        """Show lists and chart as they stand."""
        try:
            listed = await run.io_bound(
                reception.listing, self.bench.desk.folder, self.bench.desk.project.site
            )
        except NoonwallError as error:
            with self.client:
                refuse(str(error))
            return
        if listed is not None:
            self.show(listed)

    def show(self, listed: dict[str, Any]) -> None:
        """Draw what was read."""
        self.stamp = self.bench.stamp
        self.lists.clear()
        with self.client, self.lists:
            if not listed["imports"]:
                ui.label("Nothing was read yet.").classes("nw-soft")
                return
            with ui.card().classes("nw-card"):
                self._findings(listed["findings"], listed["too_little"])
            with ui.card().classes("nw-card"):
                ui.html("<h2>Over time</h2>", sanitize=False)
                offset_s = round(self.bench.desk.project.site.clock_h * 3600)
                self.chart = ChannelsChart(self.bench, listed, offset_s, self.day, self.chart)
            with ui.card().classes("nw-card"):
                self._imports(listed)

    def _findings(self, findings: list[dict[str, Any]], too_little: str) -> None:
        ui.html("<h2>What looks doubtful</h2>", sanitize=False)
        what_is_this(
            "What is made of these?",
            "Each finding says what was seen, when, and what becomes of those readings. Yours is the last word, and "
            "it is kept through every later check. Setting aside hides readings from recap and learning; they stay in "
            "the store.",
        )
        if not findings:
            ui.label("Nothing doubtful was found.").classes("nw-soft")
        if too_little:
            ui.label(f"{too_little}.")
        with ui.column().classes("w-full gap-2").props('role=list aria-label="Findings"'):
            for found in findings[:SOME]:
                self._finding(found)
        if len(findings) > SOME:
            with ui.expansion(f"{len(findings) - SOME} more").classes("w-full"):
                for found in findings[SOME:]:
                    self._finding(found)
        ui.button("Check again", icon="fact_check", on_click=self.check).props("outline").classes("nw-plain")

    def _finding(self, found: dict[str, Any]) -> None:
        names, reader = ", ".join(found["channels"]), self.bench.reader
        evidence = evidence_words(found, reader)
        day = html.escape(found["from"][:10])
        with ui.element("div").classes("nw-finding").props("role=listitem"):
            ui.html(
                f"<p><b>{html.escape(kind_words(found['kind']))}</b>: {html.escape(names)}<br>"
                f'<span class="nw-soft nw-small">{html.escape(when_words(found, reader))}; '
                f'<a href="/readings?day={day}">look at it</a></span><br>'
                f"{html.escape(consequence_words(found, reader))}</p>"
                + (f'<p class="nw-soft nw-small">{html.escape(evidence)}</p>' if evidence else ""),
                sanitize=False,
            )
            options = verdict_words(found)
            if not options:
                ui.html(f'<p class="nw-soft nw-small">{NOTHING_THEN}</p>', sanitize=False)
                return
            verdict = ui.radio(options, value=found["verdict"], on_change=partial(self._judge, found))
            named(verdict, f"What becomes of {names}").props("inline")

    async def _judge(self, found: dict[str, Any], event: Any) -> None:
        await self._do(reception.judge, found["ids"], str(event.value))

    async def check(self) -> None:
        """Look for what is doubtful anew."""
        await self._do(reception.check_again)

    def _ask_back(self, item: dict[str, Any]) -> None:
        """Ask before an import is taken back, and tell what goes with it."""
        with self.client, ui.dialog() as dialog, ui.card().classes("nw-card nw-dialog"):
            ui.html(_what_goes(item, self.bench), sanitize=False)

            async def take() -> None:
                gone.set_enabled(False)  # a second press finds nothing to take
                dialog.close()
                await self._take_back(item)

            with ui.row():
                ui.button("Keep it", on_click=dialog.close).props("autofocus").classes("nw-strong")
                gone = (
                    ui.button("Take it back", icon="undo", on_click=take).props("outline").classes("nw-plain")
                )
                gone.mark("take-back")
        named(dialog, f"Take import {item['id']} back?")
        dialog.on("hide", dialog.delete)
        dialog.open()

    async def _take_back(self, item: dict[str, Any]) -> None:
        if await self._do(reception.take_back, item["id"], item["content"]):
            with self.client:
                ui.notify(f"import {item['id']} is taken back, as if it had never been made")
        else:
            await self.refresh()  # the list that was pressed on was no longer true

    async def _do(self, function: Any, *arguments: Any) -> bool:
        """Have the calculating process change something about the readings, and show what is there then."""
        desk = self.bench.desk
        self.bench.clear_way()
        with self.client:
            wait = ui.notification("Working on the readings ...", spinner=True, timeout=None)
        try:
            listed = await self.bench.long.call(function, desk.folder, *arguments, desk.project.site)
        except (NoonwallError, FaultError, StoppedError) as error:
            with self.client:
                refuse(str(error))
            return False
        finally:
            wait.dismiss()
        self.bench.readings_changed()
        self.show(listed)
        self.windows.tell()
        return True

    def _imports(self, listed: dict[str, Any]) -> None:
        ui.html("<h2>What was read in</h2>", sanitize=False)
        for item in listed["imports"]:
            with ui.element("div").classes("nw-finding"):
                system = self.bench.reader.system
                notes = "".join(f"<br>{html.escape(moments_in(n, system))}" for n in item["notes"][:6])
                ui.html(
                    f"<p><b>{item['id']}: {html.escape(item['file'])}</b><br>{_span(item, self.bench)}; "
                    f"{item['new']:,} new readings in {item['rows']:,} rows{_beside(item)}"
                    f'<span class="nw-soft nw-small">{notes}</span></p>', sanitize=False,
                )  # fmt: skip
                ui.button("Take it back", icon="undo", on_click=partial(self._ask_back, item)).props(
                    f'outline aria-label="Take import {item["id"]} back"'
                ).classes("nw-plain")
        rows = "".join(
            f'<tr><th scope="row">{html.escape(c["name"])}</th><td class="nw-left">{html.escape(c["role"])}'
            f"{_height(c, self.bench)}</td><td>{c['readings']:,}</td></tr>"
            for c in listed["channels"]
        )
        ui.html(
            '<div class="nw-table" tabindex="0" role="region" aria-label="Channels"><table class="nw-grid"><caption>'
            'Channels</caption><thead><tr><th scope="col">Name</th><th scope="col" class="nw-left">What it is</th>'
            f'<th scope="col">Readings</th></tr></thead><tbody>{rows}</tbody></table></div>',
            sanitize=False,
        ).classes("w-full")


def _what_goes(item: dict[str, Any], bench: Bench) -> str:
    """Return what is asked before an import is taken back."""
    return (
        f"<h2>Take import {item['id']} back?</h2><p><b>{html.escape(item['file'])}</b>: {item['rows']:,} rows from "
        f"{_span(item, bench)}{_beside(item)}. {item['new']:,} readings go out of the store, with what was found "
        "about them.</p><p>The file you handed in stays where it is on your machine: hand it in again to have them "
        "back.</p>"
    )


def _span(item: dict[str, Any], bench: Bench) -> str:
    """Return from which day to which an import holds readings."""
    return " to ".join(
        bench.reader.day_text(day, year=True) if day[:1].isdigit() else day
        for day in item["span"].split(" to ")
    )


def _beside(item: dict[str, Any]) -> str:
    said = f", {item['remarks']:,} remarks" if item["remarks"] else ""
    said += f", {item['conflicting']:,} with another value than before" if item["conflicting"] else ""
    return said


def _height(channel: dict[str, Any], bench: Bench) -> str:
    if channel["height_m"] is not None:
        return f" at {html.escape(bench.reader.show(channel['height_m'], 'length', 3))}"
    return f" on {html.escape(channel['plane'])}" if channel["plane"] else ""
