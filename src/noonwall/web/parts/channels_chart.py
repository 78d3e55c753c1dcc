"""Channels of readings over time: one panel a unit, to be zoomed; what was set aside stands apart as crosses."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from nicegui import run, ui

from noonwall.errors import NoonwallError
from noonwall.report.channels import channel_course
from noonwall.web.frame import refuse
from noonwall.web.parts.chart import COLD, GREEN, HEAT, SUN, chart

if TYPE_CHECKING:
    from noonwall.web.bench import Bench

COLOURS = (COLD, HEAT, GREEN, SUN, "#7b5ea7", "#6b7f8c", "#2d5f8b", "#8c6f4e")
KINDS = ("solid", "dashed", "dotted")
PANEL_PX, HEAD_PX, FOOT_PX, GAP_PX = 190, 34, 70, 44
DAY_MS = 86_400_000
SHORTEST_MS = 60_000
SPANS_MS = {"month": 31 * DAY_MS, "week": 7 * DAY_MS, "day": DAY_MS}
FIRST_SHOWN = 4
MOMENT_JS = (
    "(p) => new Date(p.value).toLocaleString('%s', {timeZone: 'UTC', day: 'numeric', month: 'short', year: 'numeric', "
    "hour: 'numeric', minute: '2-digit'})"
)
US_LABEL_JS = (  # as the chart's own labels: the year, else the month, else the day, else the hour
    "(value) => { const d = new Date(value); const say = (o) => d.toLocaleString('en-US', {timeZone: 'UTC', ...o}); "
    "if (d.getUTCMinutes()) return say({hour: 'numeric', minute: '2-digit'}); "
    "if (d.getUTCHours()) return say({hour: 'numeric'}); if (d.getUTCDate() > 1) return String(d.getUTCDate()); "
    "return d.getUTCMonth() ? say({month: 'short'}) : say({year: 'numeric'}); }"
)
CROSS = "path://M0,2 L2,0 L5,3 L8,0 L10,2 L7,5 L10,8 L8,10 L5,7 L2,10 L0,8 L3,5 Z"


class ChannelsChart:
    """The chart of some channels, with ticks for which, and boxes for when."""

    long: ui.select

    def __init__(
        self,
        bench: Bench,
        listed: dict[str, Any],
        offset_s: int,
        day: str = "",
        before: ChannelsChart | None = None,
    ) -> None:
        """Make the chart where the hand is; one drawn before, if any, keeps its ticks and its time."""
        self.bench, self.offset_s = bench, offset_s
        self.names = [c["name"] for c in listed["channels"] if c["measure"] != "text"]
        self.shown = self.names[:FIRST_SHOWN]
        low, high = listed["span"]
        self.whole = ((low + offset_s) * 1000, (high + offset_s) * 1000)
        self.view, opened = self.whole, _ms(day)
        if opened is not None:
            self.view = (opened, opened + SPANS_MS["week"])
        long = "all" if opened is None else "week"
        if before is not None:
            new = [name for name in self.names if name not in before.names]
            kept = {*before.shown, *new[: max(0, FIRST_SHOWN - len(before.shown))]}
            self.shown = [name for name in self.names if name in kept]
            if (
                before.view != before.whole
                and before.view[0] < self.whole[1]
                and before.view[1] > self.whole[0]
            ):
                self.view, long = before.view, str(before.long.value)
            else:
                self.view, long = self.whole, "all"
        self.drawn: ui.echart | None = None
        titles = {c["name"]: c["name"] for c in listed["channels"]}
        with ui.row().classes("nw-ticks").props('role=group aria-label="Channels shown"'):
            for name in self.names:
                ui.checkbox(
                    titles[name], value=name in self.shown, on_change=lambda e, n=name: self._tick(n, e.value)
                )
        with ui.row().classes("items-end"):
            self.first = ui.input("From").props("type=date outlined dense")
            self.first.on("change", self._typed)
            self.long = ui.select(
                {"all": "all there is", "month": "a month", "week": "a week", "day": "one day"},
                value=long, label="How long", on_change=self._typed,
            ).props("outlined dense").classes("nw-span")  # fmt: skip
            ui.button(icon="chevron_left", on_click=lambda: self._move(-1)).props(
                'flat aria-label="Earlier"'
            ).classes("nw-plain")
            ui.button(icon="chevron_right", on_click=lambda: self._move(1)).props(
                'flat aria-label="Later"'
            ).classes("nw-plain")
        self.place = ui.element("div").classes("w-full")
        self.told = ui.label().classes("nw-soft nw-small").props("role=status")
        self._put_date()
        ui.timer(0.05, self.draw, once=True)

    async def _tick(self, name: str, yes: bool) -> None:
        chosen = {*self.shown, name} if yes else {*self.shown} - {name}
        self.shown = [n for n in self.names if n in chosen]
        await self.draw()

    async def _typed(self) -> None:
        """Show the time that stands in the boxes."""
        length = SPANS_MS.get(str(self.long.value))
        begin = _ms(str(self.first.value or ""))
        if length is None or begin is None:
            self.view = self.whole
        else:
            begin = min(max(begin, self.whole[0] // DAY_MS * DAY_MS), self.whole[1] // DAY_MS * DAY_MS)
            self.view = (begin, begin + length)
        await self.draw()

    async def _move(self, way: int) -> None:
        low, high = self.view
        size = high - low
        low = min(max(low + way * size, self.whole[0] - size // 2), self.whole[1] - size // 2)
        self.view = (low, low + size) if size < self.whole[1] - self.whole[0] else self.whole
        self._put_date()
        await self.draw()

    def _put_date(self) -> None:
        self.first.value = _date(self.view[0])

    async def _found(self) -> dict[str, Any] | None:
        desk, (low, high) = self.bench.desk, self.view
        try:
            found: dict[str, Any] | None = await run.io_bound(
                channel_course, desk.folder, self.shown, low // 1000 - self.offset_s, high // 1000 - self.offset_s + 1,
                desk.project.site, self.bench.reader,
            )  # fmt: skip
        except NoonwallError as error:
            refuse(str(error))
            return None
        return found

    async def draw(self) -> None:
        """Draw the chosen channels anew."""
        found = await self._found() if self.shown else {"channels": []}
        if found is None:
            return
        self.place.clear()
        with self.place:
            if not self.shown:
                ui.label("Tick a channel to see it.").classes("nw-soft")
                return
            option, height = course_option(found, self.view, us=self.bench.reader.us)
            self.drawn = chart(option, f"Readings over time: {', '.join(self.shown)}", f"{height}px")
            self.drawn.on("chart:datazoom", self._zoomed, throttle=0.4, leading_events=False)
        self._tell(found)

    def _tell(self, found: dict[str, Any]) -> None:
        many = sum(c["readings"] for c in found["channels"])
        aside = sum(len(c["aside"]) for c in found["channels"])
        mended = [c["name"] for c in found["channels"] if c["mended"]]
        channels = f"{len(found['channels'])} channels ticked, of {len(self.names)}"
        told = f"{many:,} readings of the {channels}, in the time shown."
        told += " Drawn are the lowest and highest of each stretch."
        told += " Crosses were set aside." if aside else ""
        told += f" Drawn mended: {', '.join(mended)}." if mended else ""
        self.told.set_text(told)

    async def _zoomed(self, event: Any) -> None:
        """Ask for the time that is visible now, in finer detail."""
        view = zoomed(event.args, self.whole)
        if view is None or self.drawn is None or view[1] - view[0] < SHORTEST_MS:
            return
        self.view = view
        self._put_date()
        found = await self._found()
        if found is not None:
            self.drawn.run_chart_method("setOption", {"series": series_of(found)})
            self._tell(found)


def zoomed(args: Any, whole: tuple[int, int]) -> tuple[int, int] | None:
    """Return the time that a zoom event of the chart asks for [ms], None when it says nothing of it."""
    said = args if isinstance(args, dict) else {}
    batch = said.get("batch")
    said = batch[0] if isinstance(batch, list) and batch and isinstance(batch[0], dict) else said
    low, high = said.get("start"), said.get("end")
    if not isinstance(low, int | float) or not isinstance(high, int | float) or high <= low:
        return None
    size = whole[1] - whole[0]
    return whole[0] + round(size * low / 100), whole[0] + round(size * high / 100)


def units_of(found: dict[str, Any]) -> list[str]:
    """Return the units of some channels, each once: one panel for each."""
    return list(dict.fromkeys(c["unit"] for c in found["channels"]))


def series_of(found: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the lines of some channels, and crosses for what was set aside of them."""
    units = units_of(found)
    series: list[dict[str, Any]] = []
    for i, channel in enumerate(found["channels"]):
        place, colour = units.index(channel["unit"]), COLOURS[i % len(COLOURS)]
        base = {"xAxisIndex": place, "yAxisIndex": place, "itemStyle": {"color": colour}, "animation": False}
        series.append({
            **base, "type": "line", "name": channel["name"], "data": channel["points"], "showSymbol": False,
            "connectNulls": False, "step": "end" if channel["state"] else False,
            "lineStyle": {"color": colour, "width": 1.6, "type": KINDS[i % len(KINDS)]},
        })  # fmt: skip
        if channel["has_aside"]:
            series.append({
                **base, "type": "scatter", "name": f"{channel['name']}, set aside", "data": channel["aside"],
                "symbol": CROSS, "symbolSize": 9,
            })  # fmt: skip
    return series


def course_option(
    found: dict[str, Any], view: tuple[int, int], *, us: bool = False
) -> tuple[dict[str, Any], int]:
    """Return the chart of channels, a panel for each unit, and its height [px]; times as ``us`` says them or not."""
    pointer = {"label": {":formatter": MOMENT_JS % ("en-US" if us else "en-GB")}}
    units = units_of(found)
    every = list(range(len(units)))
    whole, span = found["whole"], {"startValue": view[0], "endValue": view[1]}
    tops = [HEAD_PX + i * (PANEL_PX + GAP_PX) for i in range(len(units))]
    last = len(units) - 1
    option = {
        "useUTC": True,
        "grid": [{"left": 62, "right": 16, "top": top, "height": PANEL_PX} for top in tops],
        "xAxis": [
            {"type": "time", "gridIndex": i, "min": whole[0], "max": whole[1], "axisPointer": pointer,
             "axisLabel": {"show": i == last, **({":formatter": US_LABEL_JS} if us else {})}}
            for i in range(len(units))
        ],
        "yAxis": [
            {"type": "value", "gridIndex": i, "name": unit, "scale": True, "splitNumber": 4}
            for i, unit in enumerate(units)
        ],
        "axisPointer": {"link": [{"xAxisIndex": "all"}]},
        "dataZoom": [
            {"type": "slider", "xAxisIndex": every, "bottom": 8, "height": 30, "filterMode": "none", **span,
             "showDataShadow": False, "realtime": False},
            {"type": "inside", "xAxisIndex": every, "filterMode": "none", **span, "zoomOnMouseWheel": "ctrl",
             "moveOnMouseMove": False},
        ],
        "toolbox": {"show": False},
        "series": series_of(found),
    }  # fmt: skip
    return option, HEAD_PX + len(units) * (PANEL_PX + GAP_PX) + FOOT_PX - GAP_PX


def _date(ms: int) -> str:
    return str(dt.date(1970, 1, 1) + dt.timedelta(days=ms // DAY_MS))


def _ms(date: str) -> int | None:
    try:
        return int((dt.date.fromisoformat(date) - dt.date(1970, 1, 1)).days) * DAY_MS
    except ValueError:
        return None
