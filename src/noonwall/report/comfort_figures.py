"""The warm season as one picture: hours too hot by month and way, the shop hour by day, the cover's dates."""

from __future__ import annotations

import datetime as dt
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from noonwall.report import ink
from noonwall.report.comfort_cover import month_day
from noonwall.report.comfort_page import findings
from noonwall.report.figures import by_hour
from noonwall.report.hot_figures import heat_colours
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import grouped, name_of
from noonwall.studies.comfort import DESCRIBED
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.comfort import ComfortChoice, ComfortStudy

LEFT, RIGHT = 0.045, 0.955
NAMES = 0.155
ACROSS = 2
HALVES = (0, 12, 24)  # hours marked beside a small carpet
DARK = 0.5


def comfort_picture(
    study: ComfortStudy, project: Project, weather: Weather, reader: Reader, form: str = "png"
) -> bytes:
    """Draw the warm season; ``form`` is png, svg or pdf. Returns the picture's bytes, A4 upright."""
    rows = -(-len(study.choices) // ACROSS)
    with ink.drawing():
        figure = ink.blank()
        outer = figure.add_gridspec(
            3, 1, height_ratios=(2.1, 1.25 * rows, 0.95), left=LEFT, right=RIGHT, top=0.858, bottom=0.075, hspace=0.34
        )  # fmt: skip
        table = figure.add_subplot(outer[0].subgridspec(1, 2, width_ratios=(NAMES, 1.0), wspace=0.0)[1])
        _table(table, study, reader)
        small = outer[1].subgridspec(rows, ACROSS, hspace=0.42, wspace=0.09)
        image = None
        for place, choice in enumerate(study.choices):
            axes = figure.add_subplot(small[place // ACROSS, place % ACROSS])
            image = _carpet(axes, choice, project)
            axes.set_yticks(HALVES, labels=_clock(reader) if place % ACROSS == 0 else [])
        _scale(figure, image, 0.5 * (table.get_position().y0 + _highest(figure, table)), project, reader)
        dates = figure.add_subplot(outer[2].subgridspec(1, 2, width_ratios=(NAMES, 1.0), wspace=0.0)[1])
        _dates(dates, study, reader)
        _head(figure, study, project, weather, reader)
        return ink.rendered(figure, form)


def _clock(reader: Reader) -> list[str]:
    """Return the hours beside a small carpet; of a twelve-hour clock only noon has room there."""
    return ["", "noon", ""] if reader.us else reader.hour_ticks(HALVES)


def _head(figure: Figure, study: ComfortStudy, project: Project, weather: Weather, reader: Reader) -> None:
    said = findings(study, project, reader)[0].rstrip(".")
    figure.text(LEFT, 0.975, fill(said, 68), size=13.0, weight="bold", family="DejaVu Serif", va="top")
    place = heading_lines(project, weather, reader)[0].strip()
    figure.text(LEFT, 0.919, f"{name_of(project)}: {place}", size=8.5)
    figure.text(LEFT, 0.906, f"Weather: {weather.place}", size=8.0, color=ink.FAINT)
    figure.text(LEFT, 0.02, "noonwall: a model's estimate, not a measurement.", size=6.5, color=ink.FAINT)


def _name(choice: ComfortChoice) -> str:
    return "as it stands" if choice.name == DESCRIBED else choice.name


def _table(axes: Axes, study: ComfortStudy, reader: Reader) -> None:
    """Draw hours too hot as cells, a row for each way, the year's sum and its price at the right."""
    months = study.choices[0].months
    values = np.array([[m.too_hot_h for m in choice.months] for choice in study.choices])
    most = max(float(values.max()), 1.0)
    share = np.sqrt(values / most)
    axes.imshow(share, cmap=heat_colours(), vmin=0.0, vmax=1.0, aspect="auto", interpolation="nearest")
    for row, choice in enumerate(study.choices):
        for column in range(len(months)):
            text = grouped(values[row, column]) if values[row, column] >= 0.05 else "·"
            colour = ink.PAPER if share[row, column] > DARK else ink.INK
            axes.text(column, row, text, ha="center", va="center", size=7.6, color=colour)
        axes.text(
            len(months) + 0.2,
            row,
            f"{choice.whole.too_hot_h:,.0f}",
            ha="center",
            va="center",
            size=8.0,
            weight="bold",
        )
        given = max(0.0, reader.heat(choice.given_up_kwh))
        axes.text(len(months) + 1.55, row, grouped(given), ha="center", va="center", size=8.0)
    axes.text(len(months) + 0.2, -0.85, "year", ha="center", size=7.5)
    axes.text(len(months) + 1.55, -0.85, f"given up\n{reader.heat_unit}", ha="center", size=7.0)
    axes.set_xlim(-0.5, len(months) + 2.1)
    axes.set_yticks(range(len(study.choices)), labels=[_name(choice) for choice in study.choices])
    axes.set_xticks(range(len(months)), labels=[MONTHS[m.month - 1][:3] for m in months])
    axes.xaxis.tick_top()
    axes.tick_params(length=0)
    for spine in axes.spines.values():
        spine.set_visible(False)
    axes.set_title(
        "Hours too hot, month by month, and heat of use given up in the cold months", x=-NAMES, pad=20.0
    )


def _carpet(axes: Axes, choice: ComfortChoice, project: Project) -> object:
    from matplotlib.colors import TwoSlopeNorm

    comfort = project.shop.comfort
    room = by_hour(choice.year.table.room_c, choice.year.step_s)
    spread = comfort.too_hot_c + 4.0 - comfort.warm_enough_c
    norm = TwoSlopeNorm(comfort.warm_enough_c, comfort.warm_enough_c - spread, comfort.warm_enough_c + spread)
    image = axes.imshow(
        room, origin="lower", aspect="auto", extent=(0.0, room.shape[1], 0.0, 24.0), norm=norm,
        cmap=ink.temperature_scale(), interpolation="nearest",
    )  # fmt: skip
    days, hours = np.arange(room.shape[1]) + 0.5, np.arange(24) + 0.5
    if np.nanmin(room) < comfort.too_hot_c < np.nanmax(room):
        hot = np.where(room > comfort.too_hot_c, 1.0, np.nan)
        axes.contourf(days, hours, np.nan_to_num(hot), levels=[0.5, 1.5], colors="none", hatches=["//////"])
        axes.contour(days, hours, room, levels=[comfort.too_hot_c], colors=ink.INK, linewidths=0.5)
    borders = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    axes.set_xticks(borders[borders <= room.shape[1]], labels=[])
    middles = 0.5 * (borders[:-1] + borders[1:])
    axes.set_xticks(
        middles[middles < room.shape[1]],
        labels=[m[0] for m in MONTHS][: int((middles < room.shape[1]).sum())],
        minor=True,
    )
    axes.tick_params(axis="x", which="minor", length=0, pad=1.5, labelsize=6.5)
    axes.tick_params(length=2.0, width=0.5)
    axes.set_title(f"{_name(choice)}: {choice.whole.too_hot_h:,.0f} h too hot (hatched)", size=8.2, pad=3.0)
    return image


def _highest(figure: Figure, table: Axes) -> float:
    """Return the upper edge of the carpets below the table, in shares of the figure's height."""
    return float(max(axes.get_position().y1 for axes in figure.axes if axes is not table))


def _scale(figure: Figure, image: object, height: float, project: Project, reader: Reader) -> None:
    comfort = project.shop.comfort
    axes = figure.add_axes((0.62, height, 0.335, 0.008))
    bar = figure.colorbar(image, cax=axes, orientation="horizontal")  # type: ignore[arg-type]
    marks = [2 * comfort.warm_enough_c - comfort.too_hot_c, comfort.warm_enough_c, comfort.too_hot_c]
    bar.set_ticks(marks, labels=[f"{reader.degrees(c):.0f}" for c in marks])
    axes.tick_params(length=2.0, width=0.5, labelsize=6.5, pad=1.5)
    axes.set_title(f"shop, {reader.degree}", size=7.0, weight="normal", loc="right", pad=2.0)
    for spine in axes.spines.values():
        spine.set_visible(False)


def _dates(axes: Axes, study: ComfortStudy, reader: Reader) -> None:
    """Draw the cover's dates: each year a dot, nine years of ten a bar, the middle a mark."""
    if study.hang is None or study.take_down is None:
        axes.set_axis_off()
        axes.text(0.0, 0.5, "No year asks for a cover.", size=8.5)
        return
    turn = 182.0 if study.hang.middle_day > study.take_down.middle_day else 0.0
    for row, (spread, dates) in enumerate(
        ((study.hang, [d.hang for d in study.years]), (study.take_down, [d.take_down for d in study.years]))
    ):
        early, middle, late = (
            _turned(day, turn) for day in (spread.early_day, spread.middle_day, spread.late_day)
        )
        axes.barh(row, late - early, 0.36, left=early, color=ink.HEAT_PALE, edgecolor=ink.HEAT, linewidth=0.6)
        axes.plot([middle, middle], [row - 0.26, row + 0.26], color=ink.HEAT, linewidth=2.0)
        known = [_turned(_number(str(d)[5:]), turn) for d in dates if d is not None]
        axes.plot(known, np.full(len(known), row) + 0.33, "o", color=ink.INK, markersize=2.6)
        for at, day, side in ((early, spread.early_day, "right"), (late, spread.late_day, "left")):
            axes.annotate(
                _short(day, reader), (at, row), (-4 if side == "right" else 4, 0), textcoords="offset points", ha=side,
                va="center", size=7.0,
            )  # fmt: skip
    axes.set_yticks([0, 1], labels=["hang it by", "take it down"])
    axes.set_ylim(1.6, -0.5)
    firsts = [_turned(_number(f"{m:02d}-01"), turn) for m in range(1, 13)]
    axes.set_xticks(sorted(firsts), labels=[MONTHS[i][:3] for i in np.argsort(firsts)])
    axes.set_xlim(0, 365)
    ink.tidy(axes, grid=False)
    axes.grid(axis="x", color=ink.HAIR, linewidth=0.5)
    axes.set_title(
        f"The cover's dates over {len(study.years)} possible years (bar: all but one in ten at either end)",
        x=-NAMES,
    )


def _turned(day: float, turn: float) -> float:
    return (day + turn) % 365.0


def _number(day: str) -> float:
    return float((dt.date.fromisoformat(f"2001-{day}") - dt.date(2001, 1, 1)).days)


def _short(day: float, reader: Reader) -> str:
    return reader.day_text(month_day(day), short=True)
