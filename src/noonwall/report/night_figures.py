"""The nights as one picture: the air's way hour by night, months with and without a flap, what stops it, frost."""

from __future__ import annotations

import itertools
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from noonwall.report import ink
from noonwall.report.figures import by_hour
from noonwall.report.night_page import findings
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import name_of, percent
from noonwall.studies.night import FILM
from noonwall.units import MONTHS, in_reader_units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Floats, Year
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.night import NightChoice, NightStudy

LEFT = 0.095
NOON_H = 12
AIR_KG_M3 = 1.2


def night_picture(
    study: NightStudy, project: Project, weather: Weather, reader: Reader, form: str = "png"
) -> bytes:
    """Draw the nights; ``form`` is png, svg or pdf. Returns the picture's bytes, A4 upright."""
    with ink.drawing():
        figure = ink.blank()
        grid = figure.add_gridspec(
            4, 2, height_ratios=(2.7, 2.1, 2.1, 1.5), width_ratios=(1.0, 0.018), left=LEFT, right=0.915, top=0.872,
            bottom=0.07, hspace=0.4, wspace=0.025,
        )  # fmt: skip
        carpet, scale = figure.add_subplot(grid[0, 0]), figure.add_subplot(grid[0, 1])
        months, choices, wet = (figure.add_subplot(grid[row, 0]) for row in (1, 2, 3))
        _carpet(carpet, scale, study, reader)
        _months(months, study, reader)
        _choices(choices, study, project, reader)
        _wet(wet, study)
        _head(figure, study, project, weather, reader)
        return ink.rendered(figure, form)


def _head(figure: Figure, study: NightStudy, project: Project, weather: Weather, reader: Reader) -> None:
    said = findings(study, project, reader)[0].split(";")[0].rstrip(".")
    figure.text(LEFT, 0.975, fill(said, 62), size=13.5, weight="bold", family="DejaVu Serif", va="top")
    place = heading_lines(project, weather, reader)[0].strip()
    figure.text(LEFT, 0.92, f"{name_of(project)}: {place}", size=8.5)
    figure.text(LEFT, 0.907, f"Weather: {weather.place}", size=8.0, color=ink.FAINT)
    note = "noonwall: a model's estimate, not a measurement. Dew and frost: at most, from shop air of steady humidity."
    figure.text(LEFT, 0.02, note, size=6.5, color=ink.FAINT)


def _flow(year: Year, reader: Reader) -> tuple[Floats, str]:
    """Return the air's flow, upward positive, in the reader's unit, and that unit."""
    factor, unit = in_reader_units(0.001, "flow", reader.system)
    return year.table.flow_kg_s / AIR_KG_M3 * 1000.0 * factor, unit


def _carpet(axes: Axes, scale: Axes, study: NightStudy, reader: Reader) -> None:
    """Draw the flow, noon to noon upward, so that a night is one stretch."""
    from matplotlib.colors import FuncNorm

    year = study.described.year
    flow, unit = _flow(year, reader)
    nights = by_hour(flow[NOON_H * 3600 // year.step_s :], year.step_s)
    down, up = max(-float(np.nanmin(nights)), 1.0), max(float(np.nanmax(nights)), 1.0)
    widest = max(up, down)
    image = axes.imshow(
        nights,
        origin="lower",
        aspect="auto",
        extent=(0.0, nights.shape[1], 0.0, 24.0),
        norm=FuncNorm((_signed_root, _signed_square), -widest, widest),
        cmap=ink.heat_scale(),
        interpolation="nearest",
    )
    clock = ["noon", "6 pm", "midnight", "6 am", "noon"] if reader.us else ["12", "18", "24", "6", "12"]
    axes.set_yticks([0, 6, 12, 18, 24], labels=clock)
    axes.set_ylabel("hour, noon to noon")
    ink.tidy(axes, grid=False)
    _month_axis(axes, year)
    bar = axes.figure.colorbar(image, cax=scale)
    bar.set_ticks([-down, 0.0, up], labels=[f"{down:.0f}\ndown", "0", f"{up:.0f}\nup"])
    bar.ax.set_ylim(-down, up)
    bar.ax.tick_params(length=2.0, width=0.5, labelsize=6.8)
    bar.ax.set_ylabel(f"air in the gap, {unit}", size=7.2, labelpad=1.0)
    for spine in bar.ax.spines.values():
        spine.set_visible(False)
    hours = study.loss.whole.hours
    axes.set_title(f"The air in the gap, backwards in blue: it carries heat out in {hours:,.0f} hours")


def _signed_root(flow: Floats) -> Floats:
    return np.sign(flow) * np.sqrt(np.abs(flow))


def _signed_square(root: Floats) -> Floats:
    return np.sign(root) * np.square(root)


def _month_axis(axes: Axes, year: Year) -> None:
    days = np.unique(year.table.time.astype("datetime64[D]"))
    number = days.astype("datetime64[M]").astype(int) % 12
    borders = [0, *(np.flatnonzero(np.diff(number)) + 1).tolist(), len(days)]
    axes.set_xticks(borders, labels=[])
    middles = [(a + b) / 2 for a, b in itertools.pairwise(borders)]
    axes.set_xticks(middles, labels=[MONTHS[number[a]][:3] for a in borders[:-1]], minor=True)
    axes.tick_params(axis="x", which="minor", length=0, pad=2.5)
    axes.set_xlim(0, len(days))


def _months(axes: Axes, study: NightStudy, reader: Reader) -> None:
    """Draw the months' loss without anything to stop it, and with the flap."""
    flap = study.described if study.has_flap else next(c for c in study.choices if c.name == FILM)
    bare = study.choices[0]
    rows = [(m.month, m.night_loss_kwh) for m in bare.year.months()]
    other = [m.night_loss_kwh for m in flap.year.months()]
    place = np.arange(len(rows))
    axes.bar(
        place - 0.19, [reader.heat(v) for _, v in rows], 0.36, color=ink.COLD, label="nothing stops the air"
    )  # fmt: skip
    axes.bar(
        place + 0.19, [reader.heat(v) for v in other], 0.36, color=ink.COLD_PALE, edgecolor=ink.COLD, hatch="////",
        linewidth=0.6, label="with the flap" if study.has_flap else "with a film flap",
    )  # fmt: skip
    for x, (_, value) in zip(place, rows, strict=True):
        axes.annotate(
            f"{reader.heat(value):,.0f}", (x - 0.19, reader.heat(value)), (0, 1.5), textcoords="offset points",
            ha="center", size=6.6,
        )  # fmt: skip
    axes.set_xticks(place, labels=[MONTHS[number - 1][:3] for number, _ in rows])
    axes.set_ylabel(f"carried out, {reader.heat_unit} a month")
    axes.set_ylim(0.0, 1.2 * max(reader.heat(value) for _, value in rows) + 1.0)
    ink.tidy(axes)
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=7.5)
    kept = bare.lost_kwh - flap.lost_kwh
    axes.set_title(
        f"A flap keeps {reader.heat_text(kept)} in the shop" if kept > 0.0 else "What the flap does"
    )


def _choices(axes: Axes, study: NightStudy, project: Project, reader: Reader) -> None:
    """Draw each way of stopping the air: what comes in and is of use, what goes out, what remains."""
    rows = range(len(study.choices))
    use = np.array([reader.heat(c.useful_kwh) for c in study.choices])
    lost = np.array([reader.heat(c.lost_kwh) for c in study.choices])
    axes.barh(list(rows), use, 0.55, color=ink.HEAT, label="brought in and of use")
    axes.barh(
        list(rows), -lost, 0.55, color=ink.COLD_PALE, edgecolor=ink.COLD, hatch="....", linewidth=0.6,
        label="carried back out",
    )  # fmt: skip
    net = use - lost
    low, high = 1.08 * max(float(lost.max()), 1.0), 1.04 * max(float(use.max()), 1.0)
    names, end = -low - 0.24 * (low + high), high + 0.1 * (low + high)
    axes.plot(
        net, list(rows), "D", color=ink.PAPER, markeredgecolor=ink.INK, markersize=6, label="what remains"
    )
    for row, value, choice in zip(rows, net, study.choices, strict=True):
        axes.text(names, row, _label(choice), va="center", size=7.5)
        axes.text(end, row, f"{value:,.0f}", va="center", ha="right", size=7.5, weight="bold")
    axes.text(end, -0.75, "remains", va="center", ha="right", size=7.0, color=ink.FAINT)
    axes.plot([0.0, 0.0], [-0.45, len(rows) - 0.5], color=ink.INK, linewidth=0.7)
    axes.set_yticks([])
    axes.set_ylim(len(rows) - 0.5, -1.1)
    axes.set_xlim(names, end)
    axes.spines["left"].set_visible(False)
    axes.set_xticks([t for t in axes.get_xticks() if -low <= t <= high])
    axes.xaxis.set_major_formatter(lambda value, _: f"{abs(value):,.0f}")
    ink.tidy(axes, grid=False)
    axes.set_xlabel(f"{reader.heat_unit} a year", labelpad=1.0)
    axes.legend(loc="upper center", ncols=3, frameon=False, fontsize=7.5, bbox_to_anchor=(0.56, 1.06))
    best = study.best.name
    axes.set_title(f"Least fuel: {best}" if project.shop.heater else f"Most remains: {best}")


def _label(choice: NightChoice) -> str:
    return choice.name.replace("nothing stops the air", "nothing")


def _wet(axes: Axes, study: NightStudy) -> None:
    rows = study.wet.months
    place = np.arange(len(rows))
    frost, dew = np.array([m.frost_h for m in rows]), np.array([m.dew_h for m in rows])
    axes.bar(
        place, frost, 0.62, color=ink.COLD_PALE, edgecolor=ink.COLD, hatch="xx", linewidth=0.6, label="frost"
    )
    axes.bar(place, dew, 0.62, bottom=frost, color=ink.COLD, label="dew")
    axes.set_xticks(place, labels=[MONTHS[m.month - 1][:3] for m in rows])
    axes.set_ylabel("hours a month")
    axes.set_ylim(0.0, 1.25 * max(1.0, float((frost + dew).max())))
    ink.tidy(axes)
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=7.5)
    humid = percent(study.wet.humidity_share)
    axes.set_title(f"Frost and dew on the glazing's inner face, shop air at {humid}")
