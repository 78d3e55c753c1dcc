"""A recap as one picture: the chain, the months, and the site's true sun calendar."""

from __future__ import annotations

from textwrap import shorten
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.logs.links import STEPS
from noonwall.logs.sun_calendar import SPAN_DAYS
from noonwall.report import ink
from noonwall.report.cause_words import cause_words
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.row_names import part_of_month
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from noonwall.logs.recap import Recap, Row
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

LEFT = 0.1
CLOCK = (6, 9, 12, 15, 18)  # hours marked beside the calendar
CAUSE = 0.0125  # height of a line that names a cause, of the sheet's
MOST_CAUSES = 5
SHORT = {
    "weather": "weather", "cover": "cover\ndates", "shade": "shade not\ndescribed", "shop": "shop's\nlosses",
    "dead": "fans\nstood still", "fans": "fans at\nother hours", "reversed": "reversed\nflow", "rest": "the rest",
    "sensors": "sensors",
}  # fmt: skip


def recap_picture(found: Recap, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw a recap.

    found  the recap;  project  what was assumed;  reader  units;  form  png, svg or pdf
    Returns  the picture's bytes, A4 upright
    """
    with ink.drawing():
        figure = ink.blank()
        told = _causes(found, reader)
        grid = figure.add_gridspec(
            3, 1, height_ratios=(3.4, 2.6, 2.6), left=LEFT, right=0.935, top=0.9 - CAUSE * len(told), bottom=0.06,
            hspace=0.33,
        )  # fmt: skip
        views = [figure.add_subplot(grid[row, 0]) for row in range(3)]
        _chain(views[0], found, reader)
        _months(views[1], found, reader)
        _calendar(views[2], found, reader)
        kwh, error = found.chain.measured_kwh, found.chain.measured.error_kwh
        title = f"{reader.heat_text(kwh)} measured, give or take {reader.heat_text(error)}"
        figure.text(LEFT, 0.963, title, size=14, weight="bold", family="DejaVu Serif")
        lines = (
            f"{name_of(project)}: {reader.period_text(found.period.first, found.period.last)}",
            found.verdict[:1].upper() + found.verdict[1:],
        )
        for line, height in zip(lines, (0.9465, 0.9335), strict=True):
            figure.text(LEFT, height, shorten(line, 118, placeholder=" ..."), size=8.5)
        for i, line in enumerate(told):
            figure.text(LEFT, 0.9205 - CAUSE * i, shorten(line, 128, placeholder=" ..."), size=8.0)
        foot = (
            "noonwall: from the builder's readings and a model; net heat, what went out at night taken off."
        )
        if found.invented:
            foot = "INVENTED READINGS. " + foot
        figure.text(LEFT, 0.022, foot, size=6.5, color=ink.FAINT)
        return ink.rendered(figure, form)


def _causes(found: Recap, reader: Reader) -> list[str]:
    """Return what was found, a line each, the largest first; few enough to leave room for the views."""
    words = cause_words(((item.text, item.key, item.kwh) for item in found.causes), reader)
    if len(words) > MOST_CAUSES:
        words = [*words[: MOST_CAUSES - 1], f"{len(words) - MOST_CAUSES + 1} smaller ones, told on the page"]
    return [f"{'also' if i else 'Found'}: {text}" for i, text in enumerate(words)]


def _compared(row: Row, kwh: float, reader: Reader) -> float:
    """Return a row's heat for a picture, NaN where nothing was measured to compare it with."""
    return reader.heat(kwh) if row.measured_kwh is not None else float("nan")


def _chain(axes: Axes, found: Recap, reader: Reader) -> None:
    """Draw expected, link after link, measured; a bar hangs where the one before ended."""
    chain = found.chain
    place, level = 0, reader.heat(chain.expected_kwh)
    names = ["expected,\ntypical year"]
    style: Any = {"edgecolor": ink.INK, "linewidth": 0.6}
    axes.bar(0, level, 0.7, color=ink.SUN, **style)
    _figure(axes, 0, max(level, 0.0), grouped(level))
    for item in chain.links:
        place += 1
        step = reader.heat(item.kwh)
        up = step >= 0.0
        axes.bar(
            place, step, 0.7, bottom=level, color=ink.HEAT_PALE if up else ink.COLD_PALE,
            edgecolor=ink.HEAT if up else ink.COLD, hatch="////" if up else "....", linewidth=0.8,
        )  # fmt: skip
        axes.plot([place - 0.65, place + 0.35], [level, level], color=ink.FAINT, linewidth=0.6)
        _figure(axes, place, max(level, level + step), _plus(step))
        level += step
        names.append(SHORT[item.key])
    place += 1
    measured = reader.heat(chain.measured_kwh)
    error = reader.heat(chain.measured.error_kwh)
    axes.bar(place, measured, 0.7, color=ink.HEAT, **style)
    axes.errorbar(place, measured, error, color=ink.INK, capsize=4, linewidth=1.0)
    _figure(axes, place, measured + error, grouped(measured), 4)
    names.append("measured")
    ink.tidy(axes)
    axes.axhline(0.0, color=ink.INK, linewidth=0.7)
    axes.set_xticks(range(place + 1), labels=names, fontsize=6.8)
    axes.tick_params(axis="x", length=0)
    axes.set_ylabel(f"{reader.heat_unit} in the compared hours")
    axes.margins(y=0.12)
    largest = max(chain.links, key=lambda item: abs(item.kwh))
    axes.set_title(f"Where the difference went: most by {largest.name}, {_plus(reader.heat(largest.kwh))} "
                   f"{reader.heat_unit}")  # fmt: skip


def _figure(axes: Axes, place: float, top: float, text: str, over: float = 2) -> None:
    axes.annotate(text, (place, top), (0, over), textcoords="offset points", ha="center", size=7.0)


def _months(axes: Axes, found: Recap, reader: Reader) -> None:
    rows = found.months if len(found.months) > 1 else found.days
    places = np.arange(len(rows))
    expected = np.array([_compared(row, row.expected_kwh, reader) for row in rows])
    axes.bar(
        places,
        expected,
        0.8,
        color=ink.SUN,
        edgecolor=ink.SUN_EDGE,
        linewidth=0.6,
        label="its weather allowed",
    )
    known = [i for i, row in enumerate(rows) if row.measured_kwh is not None]
    measured = [reader.heat(rows[i].measured_kwh or 0.0) for i in known]
    errors = [reader.heat(rows[i].error_kwh or 0.0) for i in known]
    axes.bar(known, measured, 0.42, color=ink.HEAT, label="measured")
    axes.errorbar(known, measured, errors, fmt="none", ecolor=ink.INK, capsize=2.5, linewidth=0.8)
    axes.plot(
        places, [_compared(row, row.typical_kwh, reader) for row in rows], color=ink.COLD, marker="o", markersize=3,
        linewidth=0.9, linestyle=(0, (4, 1.5)), label="typical year",
    )  # fmt: skip
    axes.axhline(0.0, color=ink.INK, linewidth=0.7)
    ink.tidy(axes)
    every = max(1, len(rows) // 14)
    axes.set_xticks(places[::every], labels=[_name(row) for row in rows[::every]])
    axes.set_ylabel(f"{reader.heat_unit} {'a month' if rows is found.months else 'a day'}")
    axes.legend(loc="upper right", frameon=False, fontsize=7.5, ncols=3)
    axes.margins(y=0.16)
    axes.set_title(f"Measured in {percent(found.whole.known_share)} of the hours")


def _name(row: Row) -> str:
    """Return "Feb" or "Feb 8" for 2025-02 or 2025-02-08; a part of a month with its days under it."""
    parts = row.name.split("-")
    month = MONTHS[int(parts[1]) - 1][:3]
    if len(parts) > 2:
        return f"{month} {int(parts[2])}"
    part = part_of_month(row.first, row.last)
    return f"{month}\n{part}" if part else month


def _calendar(axes: Axes, found: Recap, reader: Reader) -> None:
    """Draw where direct sun is missing that nothing described keeps away: half months by hour of the day."""
    calendar = found.chain.calendar
    axes.set_ylabel("hour of the day")
    if calendar is None:
        axes.set_title("Shade cannot be told: the gap was not measured")
        axes.set_axis_off()
        return
    missing = np.where(_by_day(found), 100.0 * (1.0 - calendar.cells), np.nan)
    axes.set_facecolor(ink.COLD_PALE)
    image = axes.imshow(
        missing.T, origin="lower", aspect="auto", cmap="Greys", vmin=0.0, vmax=100.0,
        extent=(0.0, calendar.cells.shape[0] * SPAN_DAYS, 0.0, 24.0), interpolation="nearest",
    )  # fmt: skip
    bar = axes.figure.colorbar(image, ax=axes, pad=0.015, fraction=0.03)
    bar.ax.set_ylabel("% of direct sun missing", size=7.2)
    bar.ax.tick_params(length=2.0, labelsize=6.8)
    ink.tidy(axes, grid=False)
    axes.set_ylim(6.0, 18.0)
    axes.set_yticks(CLOCK, labels=reader.hour_ticks(CLOCK))
    axes.set_xlim(0, found.period.days)
    days = found.period.first + np.arange(found.period.days)
    starts = [i for i, day in enumerate(days) if str(day).endswith("-01")]
    names = [MONTHS[int(str(days[i])[5:7]) - 1][:3] for i in starts]
    if starts[:1] != [0] and (
        not starts or starts[0] > 0.06 * found.period.days
    ):  # else it runs into the next
        starts, names = (
            [0, *starts],
            [f"{MONTHS[int(str(days[0])[5:7]) - 1][:3]} {int(str(days[0])[8:])}", *names],
        )
    axes.set_xticks(starts, labels=names)
    title = "Sun that is missing though nothing described keeps it away (tinted: night)"
    axes.set_title(title if calendar.any_shade else "No shade was found that is not described")


def _by_day(found: Recap) -> NDArray[np.bool_]:
    """Return where the sun stands above the horizon, shape of the calendar's cells."""
    calendar, at = found.chain.calendar, found.chain.scene
    if calendar is None:
        return np.zeros((0, 0), bool)
    rows, slots = calendar.cells.shape
    up = at.around.course.up[at.first : at.first + at.steps] > 0.0
    slot = np.arange(at.steps) % STEPS // (STEPS // slots)
    return np.bincount(calendar.span * slots + slot, up, minlength=rows * slots).reshape(rows, slots) > 0.0


def _plus(value: float) -> str:
    text = grouped(value)
    return text if value < 0.0 or text == "0" else f"+{text}"
