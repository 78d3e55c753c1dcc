"""Charts of looking back: the chain of differences as steps, heat by day, month or season, what learning left over."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from noonwall.report.reader import grouped
from noonwall.web.parts.chart import COLD, HATCH, HEAT, PALE, SUN, bars, line

WHOLE, GAIN, LOSS = "#c5ced5", HEAT, COLD
INK = "#6f808c"  # told from paper, from night and from a pale bar
ROW_PX, HEAD_PX = 46, 60
MOST_LINES = 3  # of a name beside its row
LABEL_GAP_PX, CHARACTER_PX = 10, 8  # between a bar and its figure; of a figure's letter


def chain_option(more: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Return the chart of the chain, each link a bar that begins where the one before ended; and its height [px]."""
    steps = more["steps"]
    names = [_short(step["name"]) for step in steps]
    lows = [min(step["from"], step["to"]) for step in steps]
    highs = [max(step["from"], step["to"]) for step in steps]
    colours = {"whole": WHOLE, "gain": GAIN, "loss": LOSS}
    bare = {"itemStyle": {"color": "transparent"}, "silent": True, "tooltip": {"show": False}}
    base = [_base(low, high) for low, high in zip(lows, highs, strict=True)]

    def part(values: list[float]) -> list[dict[str, Any]]:
        return [
            {
                "value": round(value, 1),
                "name": step["key"],
                "itemStyle": {
                    "color": colours[step["kind"]],
                    "decal": HATCH if step["kind"] == "loss" else {"symbol": "none"},
                },
            }
            for value, step in zip(values, steps, strict=True)
        ]

    above = [max(high, 0.0) - max(low, 0.0) for low, high in zip(lows, highs, strict=True)]
    below = [min(low, 0.0) - min(high, 0.0) for low, high in zip(lows, highs, strict=True)]
    labels = [[round(high, 1), i] for i, high in enumerate(highs)]
    labels[-1][0] = round(highs[-1] + more["error"], 1)
    told = [step["label"] for step in steps]
    told[-1] = f"{told[-1]}\n± {grouped(more['error'])}"  # clear of the bracket, which would read as a minus
    room = LABEL_GAP_PX + CHARACTER_PX * max(len(line) for text in told for line in text.split("\n"))
    option: dict[str, Any] = {
        "legend": {"show": False},
        "aria": {"enabled": True, "decal": {"show": False}},
        "tooltip": {"show": False},
        "grid": {"left": 8, "right": room, "top": 8, "bottom": 30, "containLabel": True},
        "yAxis": {"type": "category", "data": names, "inverse": True, "axisLabel": {"fontSize": 13, "lineHeight": 15},
                  "axisTick": {"show": False}},
        "xAxis": {"type": "value", "name": more["unit"], "nameLocation": "middle", "nameGap": 24, "scale": True},
        "series": [
            {"type": "bar", "stack": "chain", "data": base, **bare},
            {"type": "bar", "stack": "chain", "data": part(above), "barCategoryGap": "35%",
             "markLine": _spread(more, len(steps) - 1)},
            {"type": "bar", "stack": "chain", "data": part(below)},
            {"type": "scatter", "data": labels, "symbolSize": 1, "silent": True, "itemStyle": {"color": "transparent"},
             "label": {"show": True, "position": "right", "fontSize": 13, "fontWeight": 600, "distance": LABEL_GAP_PX,
                       "lineHeight": 15}},
        ],
    }  # fmt: skip
    option["series"][3]["data"] = [
        {"value": row, "label": {"formatter": text}} for row, text in zip(labels, told, strict=True)
    ]
    return option, HEAD_PX + ROW_PX * len(steps)


def _base(low: float, high: float) -> float:
    """Return how far from nought a bar begins."""
    return round(low if low > 0.0 else high if high < 0.0 else 0.0, 1)


def _spread(more: dict[str, Any], place: int) -> dict[str, Any]:
    """Return the error of what was measured, drawn over its bar; its ends stand across the line they turn with."""
    at, error = more["steps"][place]["to"], more["error"]
    return {
        "symbol": ["rect", "rect"], "symbolSize": [14, 3], "silent": True, "label": {"show": False},
        "lineStyle": {"type": "solid", "width": 3, "color": INK},
        "data": [[{"coord": [round(at - error, 1), place]}, {"coord": [round(at + error, 1), place]}]],
    }  # fmt: skip


def _short(name: str) -> str:
    """Return a name in three lines at most, for an axis; a long one in wider lines."""
    lines = textwrap.wrap(name, 16)
    if len(lines) > MOST_LINES:
        lines = textwrap.wrap(name, 22)
    over = " ..." if len(lines) > MOST_LINES else ""
    return "\n".join(lines[:MOST_LINES]) + over


def rows_option(more: dict[str, Any], kind: str) -> dict[str, Any]:
    """Return the chart of heat by day, month or season: allowed, typical, measured with its error."""
    rows = more["rows"][kind]
    days = kind == "days"
    spread = [
        {"coords": [[i, row["spread"][0]], [i, row["spread"][1]]]}
        for i, row in enumerate(rows)
        if row["spread"]
    ]
    whiskers: dict[str, Any] = {
        "symbol": ["rect", "rect"], "symbolSize": [9, 2], "silent": True, "label": {"show": False},
        "lineStyle": {"type": "solid", "width": 1.6, "color": INK},
        "data": [[{"coord": one["coords"][0]}, {"coord": one["coords"][1]}] for one in spread],
    }  # fmt: skip
    option: dict[str, Any] = {
        "xAxis": {"type": "category", "data": [row["name"] for row in rows], "axisLabel": {"lineHeight": 15}},
        "yAxis": {"type": "value", "name": more["unit"], **({} if days else _below_nought(rows))},
        "series": [
            line("typical year", [row["typical"] for row in rows], SUN, "dotted", showSymbol=not days),
            line("its own weather allowed", [row["expected"] for row in rows], COLD, "dashed", showSymbol=not days),
            bars("measured", [row["measured"] for row in rows], PALE, **({} if days else {"markLine": whiskers})),
        ],
    }  # fmt: skip
    if days:
        option["dataZoom"] = [
            {"type": "inside", "zoomOnMouseWheel": "ctrl", "moveOnMouseMove": False},
            {"type": "slider", "height": 28, "bottom": 4},
        ]
        option["grid"] = {"left": 8, "right": 12, "top": 44, "bottom": 48, "containLabel": True}
    return option


def _below_nought(rows: list[dict[str, Any]]) -> dict[str, float]:
    """Return where the axis begins if a bracket reaches below nought: the page library does not look at brackets."""
    ends = [end for row in rows if row["spread"] for end in row["spread"]]
    others = [row[key] for row in rows for key in ("typical", "expected", "measured") if row[key] is not None]
    low, high = min(ends, default=0.0), max([*ends, *others], default=0.0)
    if low >= min(others, default=0.0) or low >= 0.0:
        return {}
    step = 0.5 * 10.0 ** math.floor(math.log10(high - low))
    return {"min": math.floor(low / step) * step}


def rest_option(curve: dict[str, Any], degree: str) -> dict[str, Any]:
    """Return the chart of how far a channel is off, day by day, before and after learning."""
    judged = [[day, 0] for day, yes in zip(curve["days"], curve["judges"], strict=True) if yes]
    return {
        "xAxis": {"type": "category", "data": curve["days"], "axisLine": {"onZero": False}},
        "yAxis": {"type": "value", "name": f"{degree} too warm", "nameTextStyle": {"align": "left"}},
        "dataZoom": [
            {"type": "inside", "zoomOnMouseWheel": "ctrl", "moveOnMouseMove": False},
            {"type": "slider", "height": 28, "bottom": 4},
        ],
        "grid": {"left": 8, "right": 12, "top": 44, "bottom": 48, "containLabel": True},
        "series": [
            line("as assumed", curve["assumed"], COLD, "dotted"),
            line("as learned", curve["learned"], HEAT),
            {"type": "scatter", "name": "days that did not teach", "data": judged, "symbol": "triangle",
             "symbolSize": 6, "itemStyle": {"color": "#7a8b99"}},
        ],
    }  # fmt: skip


def spread_option(values: list[dict[str, Any]]) -> tuple[dict[str, Any], int]:
    """Return the chart of learned values with their spread in per cent of what was assumed; and its height [px]."""
    told = [value for value in values if value["told"] and value["percent"]]
    names = [_short(value["title"]) for value in told]
    data: list[dict[str, Any]] = [{"value": [value["percent"][1], i]} for i, value in enumerate(told)]
    whiskers = [
        [{"coord": [value["percent"][0], i]}, {"coord": [value["percent"][2], i]}]
        for i, value in enumerate(told)
    ]
    ends = [p for value in told for p in value["percent"]] + [100.0]
    step = (
        20 if max(ends) - min(ends) < 160.0 else 50
    )  # as the axis counts, so that its ends do not crowd a figure
    low, high = math.floor(min(ends) / step) * step, math.ceil(max(ends) / step) * step
    option = {
        "legend": {"show": False},
        "tooltip": {"show": False},
        "grid": {"left": 8, "right": 24, "top": 8, "bottom": 32, "containLabel": True},
        "yAxis": {"type": "category", "data": names, "inverse": True, "axisLabel": {"fontSize": 13, "lineHeight": 15}},
        "xAxis": {"type": "value", "name": "per cent of what was assumed", "nameLocation": "middle", "nameGap": 26,
                  "min": low, "max": high},
        "series": [
            {"type": "scatter", "data": data, "symbolSize": 13, "itemStyle": {"color": HEAT},
             "markLine": {"symbol": ["rect", "rect"], "symbolSize": [12, 3], "silent": True, "label": {"show": False},
                          "lineStyle": {"type": "solid", "width": 2.5, "color": HEAT}, "data": whiskers}},
            {"type": "scatter", "data": [], "markLine": {
                "symbol": "none", "silent": True, "label": {"formatter": "assumed", "position": "insideEndTop"},
                "lineStyle": {"type": "dashed", "color": "#7a8b99", "width": 2}, "data": [{"xAxis": 100}]}},
        ],
    }  # fmt: skip
    return option, HEAD_PX + ROW_PX * max(1, len(told))
