"""The worst hours as one picture: peaks against limits, the failures as a table of heat, month by month."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report import ink
from noonwall.report.hot_page import findings
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import name_of
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noonwall.assess.hot import CaseHeat, PieceHeat
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy

LEFT = 0.25
COOL_C, SCORCHING_C = 20.0, 190.0
DARK = 0.52  # above this share of the scale figures are written in white


def hot_picture(
    study: HotStudy, project: Project, weather: Weather, reader: Reader, form: str = "png"
) -> bytes:
    """Draw the worst hours; ``form`` is png, svg or pdf. Returns the picture's bytes, A4 upright."""
    with ink.drawing():
        figure = ink.blank()
        grid = figure.add_gridspec(
            3, 1, height_ratios=(3.6, 3.2, 2.2), left=LEFT, right=0.965, top=0.872, bottom=0.075, hspace=0.33
        )
        bars, table, months = (figure.add_subplot(grid[row, 0]) for row in range(3))
        _bars(bars, study, reader)
        _table(table, study, reader)
        _months(months, study, reader)
        _head(figure, study, project, weather, reader)
        return ink.rendered(figure, form)


def heat_colours() -> Any:
    """Return pale over orange to near black: one hue's way from mild to scorching, in print too."""
    from matplotlib.colors import LinearSegmentedColormap

    stops = ["#fbf6ea", "#f6d9a8", "#eda55f", "#cf6a2c", "#93341a", "#4a1109"]
    return LinearSegmentedColormap.from_list("noonwall-scorch", stops)


def _head(figure: Figure, study: HotStudy, project: Project, weather: Weather, reader: Reader) -> None:
    said = findings(study, project, reader)[1].split(", and what")[0].rstrip(".")
    figure.text(0.045, 0.975, fill(said, 66), size=13.5, weight="bold", family="DejaVu Serif", va="top")
    place = "; ".join(line.strip() for line in heading_lines(project, weather, reader)[:1])
    figure.text(0.045, 0.924, f"{name_of(project)}: {place}", size=8.5)
    figure.text(
        0.045, 0.91, "Every day clear, without wind and as hot as one in a hundred of its month; snow in front "
        "where the month can have it.", size=8.0, color=ink.FAINT,
    )  # fmt: skip
    note = (
        "noonwall: a model's estimate, not a measurement. The page of the worst hours tells who sets the limits. Frame "
        "and studs are taken as hot as the absorber they touch. Fire separation: local code and licensed trades decide."
    )
    figure.text(0.045, 0.018, fill(note, 150), size=6.5, color=ink.FAINT)


def _worst(study: HotStudy, place: int) -> PieceHeat:
    return max((case.pieces[place] for case in study.cases), key=lambda heat: heat.hottest_c)


def _bars(axes: Axes, study: HotStudy, reader: Reader) -> None:
    """Draw what each piece reaches with everything working and at worst, and its limits across the bar."""
    base = study.cases[0]
    rows = range(len(base.pieces))
    usual = np.array([reader.degrees(heat.hottest_c) for heat in base.pieces])
    worst = np.array([reader.degrees(_worst(study, i).hottest_c) for i in rows])
    zero = reader.degrees(0.0)
    axes.barh(
        rows, worst - zero, 0.46, left=zero, color=ink.HEAT_PALE, edgecolor=ink.HEAT, hatch="////", linewidth=0.6,
        label="worst failure",
    )  # fmt: skip
    axes.barh(rows, usual - zero, 0.46, left=zero, color=ink.HEAT, label="as described")
    for i, heat in enumerate(base.pieces):
        for limit in heat.piece.limits:
            at = reader.degrees(limit.value_c)
            style: Any = "-" if limit.published else (0, (1.2, 1.2))
            axes.plot([at, at], [i - 0.3, i + 0.3], color=ink.INK, linewidth=1.5, linestyle=style)
            axes.annotate(
                f"{at:.0f}", (at, i - 0.3), (0, 0.8), textcoords="offset points", ha="center", va="bottom", size=6.2
            )  # fmt: skip
    axes.plot([], [], color=ink.INK, linewidth=1.5, label="published limit")
    axes.plot([], [], color=ink.INK, linewidth=1.5, linestyle=(0, (1.2, 1.2)), label="figure from memory")
    axes.set_yticks(list(rows), labels=[_label(heat) for heat in base.pieces])
    axes.invert_yaxis()
    axes.set_ylim(len(rows) - 0.45, -0.75)
    axes.set_xlim(zero, max(float(worst.max()) * 1.04, reader.degrees(150.0)))
    ink.tidy(axes, grid=False)
    axes.grid(axis="x", color=ink.HAIR, linewidth=0.5)
    axes.set_axisbelow(True)
    axes.set_xlabel(reader.degree, labelpad=1.0)
    axes.legend(loc="lower right", frameon=False, fontsize=7.5, labelspacing=0.35, bbox_to_anchor=(1.0, 0.0))
    axes.set_title("Hottest hour of each piece, against what its material is said to bear", x=_title_x())


def _title_x() -> float:
    return -(LEFT - 0.045) / (0.965 - LEFT)


def _label(heat: PieceHeat) -> str:
    return heat.piece.label.replace("oriented strand board", "strand board")


def _table(axes: Axes, study: HotStudy, reader: Reader) -> None:
    """Draw the failure table: pieces down, cases across, a frame round what is above a published limit."""
    values = np.array([[heat.hottest_c for heat in case.pieces] for case in study.cases]).T
    _cells(axes, values, reader)
    for column, case in enumerate(study.cases):
        for row, heat in enumerate(case.pieces):
            if any(limit.published and heat.hottest_c > limit.value_c for limit in heat.piece.limits):
                _box(axes, column, row, heat.hottest_c)
    axes.set_yticks(range(len(values)), labels=[_label(heat) for heat in study.cases[0].pieces])
    axes.set_xticks(range(len(study.cases)), labels=[_case_label(case) for case in study.cases])
    axes.xaxis.tick_top()
    axes.tick_params(length=0)
    axes.set_title(
        f"Failure by failure, {reader.degree}; framed: above a published limit", x=_title_x(), pad=24.0
    )


def _case_label(case: CaseHeat) -> str:
    label = "power\nout" if case.case.startswith("power") else case.case.replace(" ", "\n", 1)
    return f"{label}\n(accepted)" if case.accepted else label


def _months(axes: Axes, study: HotStudy, reader: Reader) -> None:
    place = next(i for i, h in enumerate(study.cases[0].pieces) if h.piece.name.startswith("absorber"))
    values = np.array([case.pieces[place].by_month_c for case in study.cases])
    _cells(axes, values, reader)
    for row, case in enumerate(study.cases):
        _box(axes, case.worst_month - 1, row, max(case.pieces[place].by_month_c))
    axes.set_yticks(range(len(values)), labels=[case.case for case in study.cases])
    axes.set_xticks(range(12), labels=[month[:3] for month in MONTHS])
    axes.xaxis.tick_top()
    axes.tick_params(length=0)
    name = study.cases[0].pieces[place].piece.name
    axes.set_title(
        f"The {name}, month by month, {reader.degree}; framed: its worst month", x=_title_x(), pad=14.0
    )


def _shade(values: Any) -> Any:
    """Return how far up the scale of colours temperatures stand, 0 to 1."""
    return np.clip((values - COOL_C) / (SCORCHING_C - COOL_C), 0.0, 1.0)


def _cells(axes: Axes, values: Any, reader: Reader) -> None:
    """Draw a table of temperatures as coloured cells with their figures."""
    share = _shade(values)
    axes.imshow(share, cmap=heat_colours(), vmin=0.0, vmax=1.0, aspect="auto", interpolation="nearest")
    for row in range(values.shape[0]):
        for column in range(values.shape[1]):
            axes.text(
                column, row, f"{reader.degrees(values[row, column]):.0f}", ha="center", va="center", size=7.4,
                color=ink.PAPER if share[row, column] > DARK else ink.INK,
            )  # fmt: skip
    for spine in axes.spines.values():
        spine.set_visible(False)
    axes.set_xticks(np.arange(values.shape[1] + 1) - 0.5, minor=True)
    axes.set_yticks(np.arange(values.shape[0] + 1) - 0.5, minor=True)
    axes.grid(which="minor", color=ink.PAPER, linewidth=1.4)
    axes.tick_params(which="minor", length=0)


def _box(axes: Axes, column: int, row: int, value_c: float) -> None:
    """Frame a cell, in the colour of its figure."""
    from matplotlib.patches import Rectangle

    edge = ink.PAPER if _shade(np.array(value_c)) > DARK else ink.INK
    axes.add_patch(
        Rectangle((column - 0.44, row - 0.37), 0.88, 0.74, fill=False, edgecolor=edge, linewidth=1.2)
    )
