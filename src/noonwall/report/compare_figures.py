"""Ways side by side as one picture: a panel for each measure, a bar for each way, what changed written beside it."""

from __future__ import annotations

from textwrap import fill, shorten
from typing import TYPE_CHECKING

import numpy as np

from noonwall.report import ink
from noonwall.report.compare_page import findings, measure_name, shown
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import name_of
from noonwall.studies.compare import MEASURES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.compare import CompareStudy, Measure

DRAWN = (
    "useful_kwh",
    "night_loss_kwh",
    "backup_kwh",
    "winter_mean_c",
    "too_hot_h",
    "frost_h",
    "hottest_c",
    "wood_h",
)
ACROSS = 2
LEFT = 0.2
COLOURS = {"better": ink.HEAT, "worse": ink.COLD_PALE, "same": "#c9cdd0"}
HATCH = {"better": "", "worse": "////", "same": ""}
ARROW = {"better": "▲", "worse": "▼", "same": "="}


def compare_picture(
    study: CompareStudy, project: Project, weather: Weather, reader: Reader, form: str = "png"
) -> bytes:
    """Draw the ways; ``form`` is png, svg or pdf. Returns the picture's bytes, A4 upright."""
    chosen = [m for m in MEASURES if m.key in DRAWN and study.value(m, 0) is not None]
    chosen.sort(key=lambda m: DRAWN.index(m.key))
    rows = -(-len(chosen) // ACROSS)
    with ink.drawing():
        figure = ink.blank()
        grid = figure.add_gridspec(
            rows, ACROSS, left=LEFT, right=0.945, top=0.865, bottom=0.075, hspace=0.34, wspace=0.14
        )  # fmt: skip
        for place, measure in enumerate(chosen):
            axes = figure.add_subplot(grid[place // ACROSS, place % ACROSS])
            _panel(axes, study, measure, reader, names=place % ACROSS == 0)
        _head(figure, study, project, weather, reader)
        return ink.rendered(figure, form)


def _head(figure: Figure, study: CompareStudy, project: Project, weather: Weather, reader: Reader) -> None:
    said = findings(study, reader)[0].rstrip(".")
    figure.text(0.045, 0.975, fill(said, 66), size=13.5, weight="bold", family="DejaVu Serif", va="top")
    place = heading_lines(project, weather, reader)[0].strip()
    figure.text(0.045, 0.925, f"{name_of(project)}: {place}", size=8.2)
    figure.text(0.045, 0.911, f"Weather: {weather.place}", size=8.0, color=ink.FAINT)
    figure.text(
        0.045, 0.897, "Beside each bar: the figure and its difference from the wall as described;  ▲ better   "
        "▼ worse   = not to be told apart", size=8.0, color=ink.FAINT,
    )  # fmt: skip
    figure.text(0.045, 0.02, "noonwall: a model's estimate, not a measurement. Electrical work, fire separation: local "
        "code and licensed trades decide.", size=6.5, color=ink.FAINT)  # fmt: skip


def _panel(axes: Axes, study: CompareStudy, measure: Measure, reader: Reader, *, names: bool) -> None:
    rows = list(range(len(study.ways)))
    values = np.array([_in_unit(measure, study.value(measure, i), reader) for i in rows])
    floor = min(0.0, float(values.min()))
    top = max(float(values.max()), floor + 1e-6)
    for row in rows:
        verdict = study.verdict(measure, row)
        colour = ink.INK if row == 0 else COLOURS[verdict]
        axes.barh(
            row, values[row] - floor, 0.62, left=floor, color=colour, edgecolor=ink.INK,
            hatch=HATCH[verdict] if row else "", linewidth=0.5,
        )  # fmt: skip
        axes.annotate(
            _beside(study, measure, row, reader), (values[row], row), (4, 0), textcoords="offset points", va="center",
            size=7.0,
        )  # fmt: skip
    axes.set_xlim(floor, floor + 1.5 * (top - floor))
    axes.set_ylim(len(rows) - 0.5, -0.6)
    labels = [shorten(way.name, 24, placeholder="…") for way in study.ways] if names else []
    axes.set_yticks(rows if names else [], labels=labels)
    axes.set_xticks([])
    axes.spines["bottom"].set_visible(False)
    ink.tidy(axes, grid=False)
    axes.tick_params(axis="y", length=0)
    axes.set_title(measure_name(measure.key, study, reader), size=9.0)


def _in_unit(measure: Measure, value: float | None, reader: Reader) -> float:
    number = 0.0 if value is None else value
    if measure.key.endswith("_c"):
        return reader.degrees(number)
    return reader.heat(number) if measure.key.endswith("_kwh") and measure.key != "fan_kwh" else number


def _beside(study: CompareStudy, measure: Measure, row: int, reader: Reader) -> str:
    """Return a bar's figure and, beyond the first way, its difference."""
    value = study.value(measure, row)
    text = shown(measure, value, reader)
    if row == 0:
        return text
    verdict = study.verdict(measure, row)
    if verdict == "same":
        return f"{text}  ="
    apart = _in_unit(measure, value, reader) - _in_unit(measure, study.value(measure, 0), reader)
    digits = 1 if measure.key == "winter_mean_c" else 0
    return f"{text}  {ARROW[verdict]} {apart:+,.{digits}f}"
