"""Charts drawn as vector pictures, so that style sheets colour their text in light, in dark and on paper."""

from __future__ import annotations

from typing import Any

from nicegui import ui

from noonwall.web.frame import named

HEAT, PALE, COLD, SUN, GREEN = "#b4471f", "#d98a63", "#4f86b5", "#c9921f", "#3d7f5a"
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
HATCH = {
    "symbol": "rect",
    "dashArrayX": [1, 0],
    "dashArrayY": [3, 4],
    "rotation": 0.7,
    "color": "rgba(0,0,0,.35)",
}

# Names beside bars, on a narrow screen too.
WRAPPED = {"width": 120, "overflow": "break", "lineHeight": 14, "fontSize": 12}
# Figures along bars that lie: few enough that a narrow screen drops none of them.
FEW = {"splitNumber": 4}


def chart(option: dict[str, Any], told: str, height: str = "320px") -> ui.echart:
    """Draw a chart; ``told`` says in words what it shows."""
    base: dict[str, Any] = {
        "animation": False,
        "textStyle": {"fontSize": 13},
        "grid": {"left": 8, "right": 12, "top": 56, "bottom": 8, "containLabel": True},
        "tooltip": {"trigger": "axis", "confine": True},
        "legend": {"type": "scroll", "top": 0, "left": 0, "right": 0, "itemWidth": 22, "itemHeight": 12},
        "aria": {"enabled": True, "decal": {"show": True}},
    }
    for name in ("xAxis", "yAxis"):
        option = {**option, name: _quiet_axes(option.get(name))}
    drawn = ui.echart({**base, **option}, renderer="svg").classes("w-full nw-chart")
    return named(drawn.style(f"height:{height}").props("role=img"), told)


def _quiet_axes(axes: Any) -> Any:
    """Return axes with faint lines on light and dark ground alike, and labels that do not run into each other."""
    if isinstance(axes, list):
        return [_quiet_axes(one) for one in axes]
    if not isinstance(axes, dict):
        return axes
    line_style = {"lineStyle": {"color": "rgba(128,128,128,.35)"}}
    label = {"hideOverlap": True, **axes.get("axisLabel", {})}
    return {**axes, "splitLine": {**line_style, **axes.get("splitLine", {})}, "axisLabel": label}


def bars(name: str, values: list[float], colour: str, **more: Any) -> dict[str, Any]:
    """Return one row of bars."""
    return {"type": "bar", "name": name, "data": values, "itemStyle": {"color": colour}, **more}


def line(name: str, values: list[Any], colour: str, kind: str = "solid", **more: Any) -> dict[str, Any]:
    """Return one line; ``kind`` (solid, dashed, dotted) tells it apart without colour."""
    return {
        "type": "line", "name": name, "data": values, "showSymbol": False,
        "lineStyle": {"color": colour, "type": kind, "width": 2}, "itemStyle": {"color": colour}, **more,
    }  # fmt: skip
