"""Charts drawn as vector pictures, so that style sheets colour their text in light, in dark and on paper."""

from __future__ import annotations

from typing import Any

from nicegui import ui

from noonwall.web.frame import named
from noonwall.web.parts.keys import keys, patterned

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
LEAST_NAMED = 2  # a single row of bars is named by its heading


def chart(
    option: dict[str, Any], told: str, height: str = "320px", hidden: set[str] | None = None
) -> ui.echart:
    """Draw a chart, above it the names of its lines and bars as switches.

    told    says in words what it shows
    hidden  names that are not shown at first; kept up, so that a chart drawn anew hides the same
    """
    hidden = set() if hidden is None else hidden
    base: dict[str, Any] = {
        "animation": False,
        "textStyle": {"fontSize": 13},
        "grid": {"left": 8, "right": 12, "top": 34, "bottom": 8, "containLabel": True},
        "tooltip": {"trigger": "axis", "confine": True},
        "legend": {"show": False, "selected": dict.fromkeys(hidden, False)},
        "aria": {"enabled": True, "decal": {"show": True}},
    }
    for name in ("xAxis", "yAxis"):
        option = {**option, name: _quiet_axes(option.get(name))}
    bare = "legend" in option or len(option["series"]) < LEAST_NAMED
    if not bare:
        option = {**option, "series": patterned(option["series"])}
        place = ui.element("div")
    drawn = ui.echart({**base, **option}, renderer="svg").classes("w-full nw-chart")

    def turn(name: str, on: bool) -> None:
        drawn.options["legend"]["selected"][name] = on
        drawn.run_chart_method(
            "dispatchAction", {"type": "legendSelect" if on else "legendUnSelect", "name": name}
        )

    if not bare:
        keys(place, option["series"], hidden, turn)
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


def line(
    name: str, values: list[Any], colour: str, kind: str | list[int] = "solid", **more: Any
) -> dict[str, Any]:
    """Return one line; ``kind`` (solid, dashed, dotted, or lengths of dash and gap) tells it apart without colour."""
    return {
        "type": "line", "name": name, "data": values, "showSymbol": False,
        "lineStyle": {"color": colour, "type": kind, "width": 2}, "itemStyle": {"color": colour}, **more,
    }  # fmt: skip
