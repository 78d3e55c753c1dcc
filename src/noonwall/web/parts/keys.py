"""The names of a chart's lines and bars: switches that wrap over as many lines as a narrow screen needs."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from nicegui import ui

if TYPE_CHECKING:
    from collections.abc import Callable

WIDE, HIGH = 30, 14
INK = "rgba(0,0,0,.45)"
# How bars are told apart without their colour: the chart's own pattern, and the same drawn small beside the name.
PATTERNS: tuple[tuple[dict[str, Any], str], ...] = (
    ({"symbol": "none"}, ""),
    ({"symbol": "rect", "dashArrayX": [1, 0], "dashArrayY": [2, 5], "rotation": -0.785, "color": INK},
     "M0 12 12 0M6 14 20 0M14 14 28 0M22 14 30 6"),
    ({"symbol": "circle", "dashArrayX": [[8, 8], [0, 8, 8, 0]], "dashArrayY": [6, 0], "symbolSize": 0.7, "color": INK},
     "M5 4h2M13 4h2M21 4h2M9 10h2M17 10h2M25 10h2"),
    ({"symbol": "rect", "dashArrayX": [1, 0], "dashArrayY": [2, 5], "rotation": 0, "color": INK},
     "M0 3h30M0 7h30M0 11h30"),
    ({"symbol": "rect", "dashArrayX": [1, 0], "dashArrayY": [2, 5], "rotation": 0.785, "color": INK},
     "M0 2 12 14M6 0 20 14M14 0 28 14M22 0 30 8"),
    ({"symbol": "rect", "dashArrayX": [1, 0], "dashArrayY": [2, 5], "rotation": 1.5708, "color": INK},
     "M4 0v14M10 0v14M16 0v14M22 0v14M28 0v14"),
)  # fmt: skip
DASHES = {"dashed": "8 4", "dotted": "2 3"}


def patterned(series: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return a chart's series with a pattern for each row of bars that has none of its own."""
    seen, told = 0, []
    for one in series:
        style = one.get("itemStyle", {})
        if one["type"] == "bar" and "decal" not in style:
            told.append({**one, "itemStyle": {**style, "decal": PATTERNS[seen % len(PATTERNS)][0]}})
            seen += 1
        else:
            told.append(one)
    return told


def keys(
    place: ui.element, series: list[dict[str, Any]], hidden: set[str], turn: Callable[[str, bool], None]
) -> None:
    """Put the names of a chart's series into a place, each a switch that shows or hides it.

    hidden  names that are not shown at first; kept up with every switch
    turn    called with a name and whether it is to be shown
    """

    def press(button: ui.element, name: str) -> None:
        on = name in hidden
        (hidden.discard if on else hidden.add)(name)
        button.props(f"aria-pressed={str(on).lower()}")
        turn(name, on)

    with place.classes("nw-keys").props('role=group aria-label="Shown in the chart; press to show or hide"'):
        for one in series:
            name = one["name"]
            button = ui.element("button").classes("nw-key")
            button.props(f"type=button aria-pressed={str(name not in hidden).lower()}")
            button.on("click", lambda _e, b=button, n=name: press(b, n))
            with button:
                ui.html(f"{swatch(one)}<span>{html.escape(name)}</span>", sanitize=False, tag="span")


def swatch(one: dict[str, Any]) -> str:
    """Return a series drawn small: a dash of its line, a piece of its bar, or its sign."""
    colour = one.get("itemStyle", {}).get("color", "#7a8b99")
    if one["type"] == "line":
        kind = one.get("lineStyle", {}).get("type", "solid")
        dash = " ".join(str(n) for n in kind) if isinstance(kind, list) else DASHES.get(kind, "")
        inner = f'<path d="M0 7h30" stroke="{colour}" stroke-width="3" stroke-dasharray="{dash}"/>'
    elif one["type"] == "bar":
        decal = one.get("itemStyle", {}).get("decal", {})
        drawn = next((path for pattern, path in PATTERNS if pattern == decal), "")
        inner = (
            f'<path d="M0 0h30v14H0z" fill="{colour}"/><path d="{drawn}" stroke="{INK}" stroke-width="2"/>'
        )
    elif one.get("symbol") == "triangle":
        inner = f'<path d="M15 1 22 13H8z" fill="{colour}"/>'
    else:
        inner = f'<path d="M10 2 20 12M20 2 10 12" stroke="{colour}" stroke-width="3"/>'
    size = f'width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}"'
    return f'<svg {size} fill="none" aria-hidden="true">{inner}</svg>'
