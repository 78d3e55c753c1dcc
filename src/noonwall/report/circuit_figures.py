"""The circuit as a ladder: two rails, the switches between them as they stand in the cold, the fans."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from noonwall.assess.circuit import CAUTION, groups
from noonwall.report import ink
from noonwall.report.circuit_page import WORDS, current_words, switch_words
from noonwall.report.reader import name_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noonwall.assess.circuit import CircuitCheck, Verdict
    from noonwall.model.control import Fan, Switch
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

PAGE_IN, MARGIN_IN = 11.69, 0.5  # everything below is drawn in inches
WIDE, ROW, ABOVE, BELOW = 10.6, 1.3, 1.15, 0.75
LETTERS_AN_INCH = 20.0
MARKS = {"beyond": ink.HEAT, "look": ink.SUN_EDGE, "fits": ink.COLD, "not checked": ink.FAINT}
LINE = 1.4


def circuit_picture(check: CircuitCheck, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw the circuit; ``form`` is png, svg or pdf. Returns the picture's bytes, as wide as A4 across."""
    switched = [f for f in project.fans if f.supply == "mains" or project.circuit.module_fans != "straight"]
    straight = [f for f in project.fans if f not in switched]
    series = groups(project)
    ladder = switched or not straight
    branches = max((len(group) for group in series), default=1) if ladder else 0
    tall = (ABOVE + BELOW + ROW * max(branches - 1, 0) if ladder else 0.0) + (1.5 if straight else 0.0)
    lines = _lines(check)
    listed = 0.35 + sum(0.2 * len(text) + 0.06 for _, text in lines)
    height = 1.0 + tall + listed + 0.45
    with ink.drawing():
        figure = ink.blank((PAGE_IN, height))
        axes = figure.add_axes((0.0, (listed + 0.45) / height, 1.0, tall / height))
        axes.set_axis_off()
        axes.set_xlim(-MARGIN_IN, PAGE_IN - MARGIN_IN)
        axes.set_ylim(ABOVE - tall, ABOVE)
        if ladder:
            _rung(axes, series, switched, project, reader)
        if straight:
            _module_rung(axes, straight, ABOVE - tall + 0.75)
        _list(figure, lines, height, listed)
        _head(figure, check, project, height)
        return ink.rendered(figure, form)


def _head(figure: Figure, check: CircuitCheck, project: Project, height: float) -> None:
    beyond = [one for one in check.findings if one.verdict == "beyond"]
    title = "The fans' circuit"
    title += f": {beyond[0].about} is beyond what it may" if beyond else ", as it stands in the cold"
    left = MARGIN_IN / PAGE_IN
    figure.text(left, 1.0 - 0.45 / height, title, size=14, weight="bold", family="DejaVu Serif")
    figure.text(left, 1.0 - 0.68 / height, name_of(project), size=8.5)
    note = f"noonwall: a sketch for talking it over, no wiring plan. {CAUTION}"
    figure.text(left, 0.18 / height, note, size=7.0, color=ink.FAINT)


def _rung(axes: Axes, series: list[list[Switch]], fans: list[Fan], project: Project, reader: Reader) -> None:
    """Draw rails, groups and fans; the main line lies at height 0."""
    deepest = max((len(group) for group in series), default=1)
    _rails(axes, 0.75, -ROW * (deepest - 1) - 0.45)
    step = (WIDE - 1.9) / max(len(series), 1)
    x = 0.0
    for number, group in enumerate(series):
        left = step * number + 0.14 * step
        right = step * (number + 1) - 0.06 * step
        _wire(axes, [(x, 0.0), (left, 0.0)])
        for branch, switch in enumerate(group):
            y = -ROW * branch
            if branch:
                _wire(axes, [(left, 0.0), (left, y)])
                _wire(axes, [(right, 0.0), (right, y)])
            _switch(axes, switch, left, right, y, reader)
        if len(group) > 1:
            for corner in (left, right):
                axes.plot(corner, 0.0, "o", color=ink.INK, markersize=4)
        x = right
    if not series:
        axes.text(0.3 * WIDE, 0.15, "no switch", size=8.5, color=ink.FAINT)
    _fans(axes, fans, x, project.circuit.fans)


def _module_rung(axes: Axes, fans: list[Fan], y: float) -> None:
    """Draw fans wired straight to their module."""
    from matplotlib.patches import Rectangle

    axes.add_patch(Rectangle((0.2, y - 0.3), 1.1, 0.6, fill=False, edgecolor=ink.INK, linewidth=LINE))
    for i in range(1, 4):
        axes.plot([0.2 + 0.275 * i] * 2, [y - 0.3, y + 0.3], color=ink.INK, linewidth=0.6)
    axes.text(0.75, y + 0.38, "PV module", ha="center", size=8.5)
    for side in (1.0, -1.0):
        _wire(axes, [(1.3, y + 0.22 * side), (5.6, y + 0.22 * side)])
    axes.text(3.4, y + 0.3, "no switch, no room limit between", ha="center", size=8.0, color=ink.HEAT)
    _motor(axes, 5.6, y, fans)


def _rails(axes: Axes, top: float, bottom: float) -> None:
    for x, label in ((0.0, "L"), (WIDE, "N")):
        axes.plot([x, x], [top, bottom], color=ink.INK, linewidth=2.6, solid_capstyle="round")
        axes.text(x, top + 0.08, label, ha="center", size=10, weight="bold")
    axes.text(0.14, top + 0.08, "supply", size=7.5, color=ink.FAINT)


def _wire(axes: Axes, points: list[tuple[float, float]]) -> None:
    axes.plot(*zip(*points, strict=True), color=ink.INK, linewidth=LINE, solid_capstyle="round")


def _switch(axes: Axes, switch: Switch, left: float, right: float, y: float, reader: Reader) -> None:
    """Draw a contact: open in the cold with its blade up, closed with its blade down, and what moves it."""
    middle, half = 0.5 * (left + right), min(0.42, 0.3 * (right - left))
    a, b = middle - half, middle + half
    _wire(axes, [(left, y), (a, y)])
    _wire(axes, [(b, y), (right, y)])
    for x in (a, b):
        axes.plot(
            x, y, "o", color=ink.PAPER, markeredgecolor=ink.INK, markeredgewidth=LINE, markersize=5, zorder=3
        )
    closed = switch.kind == "open on rise"
    end = (b, y + 0.05) if closed else (b - 0.04, y + 0.22)
    axes.plot([a, end[0]], [y + 0.02, end[1]], color=ink.INK, linewidth=2.0, solid_capstyle="round")
    _mover(axes, switch, middle, y + (0.04 if closed else 0.12))
    axes.text(middle, y + 0.53, switch.name, ha="center", va="bottom", size=9.0, weight="bold")
    letters = max(14, int((right - left) * LETTERS_AN_INCH))
    broken = "\n".join(wrap(switch_words(switch, reader), letters)[:4])
    words = f"{broken}\n{_rating(switch)}"
    axes.text(
        middle, y - 0.1, words, ha="center", va="top", size=7.2, linespacing=1.25, backgroundcolor=ink.PAPER
    )


def _rating(switch: Switch) -> str:
    if switch.contact_a is None:
        return "contact: rating not given"
    return f"contact: {switch.contact_a:g} A {switch.contact_for}"


def _mover(axes: Axes, switch: Switch, x: float, y: float) -> None:
    """Draw what moves a contact: a bulb for heat, a clock, a sun, a hand's knob."""
    from matplotlib.patches import Circle, Rectangle

    top = y + 0.3
    axes.plot([x, x], [y + 0.03, top - 0.1], color=ink.INK, linewidth=0.9, linestyle=(0, (2, 1.5)))
    if switch.feels_heat:
        axes.add_patch(
            Rectangle((x - 0.1, top - 0.1), 0.2, 0.2, fill=False, edgecolor=ink.HEAT, linewidth=LINE)
        )
        sign = "Δ" if switch.kind == "difference" else "t"
        axes.text(x, top, sign, ha="center", va="center", size=7.5, color=ink.HEAT, style="italic")
    elif switch.kind == "by hand":
        axes.plot([x - 0.16, x + 0.16], [top, top], color=ink.INK, linewidth=3.0, solid_capstyle="round")
    else:
        colour = ink.SUN_EDGE if switch.kind == "light" else ink.COLD
        axes.add_patch(Circle((x, top), 0.11, fill=False, edgecolor=colour, linewidth=LINE))
        sign = "☼" if switch.kind == "light" else "h"
        axes.text(x, top, sign, ha="center", va="center", size=7.5, color=colour)


def _fans(axes: Axes, fans: list[Fan], x: float, mode: str) -> None:
    middle = WIDE - 0.85
    _wire(axes, [(x, 0.0), (middle - 0.26, 0.0)])
    _wire(axes, [(middle + 0.26, 0.0), (WIDE, 0.0)])
    _motor(axes, middle, 0.0, fans)
    if mode != "automatic":
        axes.text(middle, 0.5, f"set: always {mode}", ha="center", size=8.0, color=ink.HEAT)


def _motor(axes: Axes, x: float, y: float, fans: list[Fan]) -> None:
    from matplotlib.patches import Circle

    axes.add_patch(Circle((x, y), 0.26, facecolor=ink.PAPER, edgecolor=ink.INK, linewidth=LINE, zorder=3))
    axes.text(x, y, "M", ha="center", va="center", size=10, weight="bold", zorder=4)
    words = (
        "\n".join(f"{f.count} x {f.power_w:g} W\n{f.volts:g} V, {current_words(f)}" for f in fans) or "no fan"
    )
    axes.text(x, y - 0.36, words, ha="center", va="top", size=7.4, linespacing=1.25)


def _lines(check: CircuitCheck) -> list[tuple[Verdict, list[str]]]:
    """Return what was checked, worst first, each text in lines of the page."""
    ordered = sorted(check.findings, key=lambda f: list(WORDS).index(f.verdict))
    return [(one.verdict, wrap(f"{one.about}: {one.told}", 146)) for one in ordered]


def _list(figure: Figure, lines: list[tuple[Verdict, list[str]]], height: float, listed: float) -> None:
    """Write what was checked below the ladder."""
    left, beside = MARGIN_IN / PAGE_IN, (MARGIN_IN + 0.9) / PAGE_IN
    y = listed + 0.2
    figure.text(left, y / height, "What was checked", size=9.5, weight="bold")
    for verdict, texts in lines:
        y -= 0.26
        figure.text(left, y / height, WORDS[verdict], size=8.0, weight="bold", color=MARKS[verdict])
        for place, text in enumerate(texts):
            y -= 0.2 if place else 0.0
            figure.text(beside, y / height, text, size=8.0)
