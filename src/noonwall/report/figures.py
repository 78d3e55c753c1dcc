"""The year as one picture: four views of the same twelve months, one below the other on one time axis."""

from __future__ import annotations

import itertools
from pathlib import Path
from textwrap import shorten
from typing import TYPE_CHECKING

import numpy as np

from noonwall.errors import OutputError
from noonwall.report import ink
from noonwall.report.reader import cell, grouped, name_of, percent
from noonwall.report.tables import (
    distance_words,
    facing,
    fuel_amount_text,
    money_text,
    weather_words,
)
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from collections.abc import Callable

    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap, Normalize
    from matplotlib.figure import Figure
    from matplotlib.image import AxesImage
    from numpy.typing import NDArray

    from noonwall.assess.sums import Answers
    from noonwall.engine.year import Floats, Year
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

FORMS = ("png", "svg", "pdf")
DAY_H = 24
QUARTERS = (0, 6, 12, 18, 24)
LEFT = 0.09


def form_of(path: str | Path) -> str:
    """Return the picture's form, told by the file's ending.

    Raises  OutputError for an ending that is none of png, svg, pdf
    """
    ending = Path(path).suffix.lower().removeprefix(".")
    if ending not in FORMS:
        raise OutputError(f"{path}: a picture is drawn as .png, .svg or .pdf; end the name with one of these")
    return ending


def year_picture(found: Answers, year: Year, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw the year.

    found  answers of the year;  year  the simulated year;  project  what was described;  reader  units
    form   png, svg or pdf
    Returns  the picture's bytes, A4 upright: months as bars, the shop with and without the wall, the shop's
             temperature hour by day, and the wall's heat hour by day
    """
    with ink.drawing():
        figure = ink.blank()
        grid = figure.add_gridspec(
            4,
            2,
            height_ratios=(3.2, 2.3, 2.2, 2.2),
            width_ratios=(1.0, 0.018),
            left=0.09,
            right=0.915,
            top=0.893,
            bottom=0.062,
            hspace=0.29,
            wspace=0.025,
        )
        views = [figure.add_subplot(grid[row, 0]) for row in range(4)]
        scales = [figure.add_subplot(grid[row, 1]) for row in (2, 3)]
        _months(views[0], found, year, reader)
        draw_shop(views[1], found, year, reader)
        _warmth(views[2], scales[0], found, year, reader)
        _heat(views[3], scales[1], found, year, reader)
        for view in views:
            _year_axis(view, year)
        _head(figure, found, year, project, reader)
        return ink.rendered(figure, form)


def by_hour(values: Floats, step_s: int) -> Floats:
    """Return hourly means by day, shape (24, days); hours before the first or after the last step are NaN.

    values  shape (n,), steps from midnight of the first day;  step_s  a divisor of an hour
    """
    per_hour = 3600 // step_s
    hours = values[: len(values) // per_hour * per_hour].reshape(-1, per_hour).mean(axis=1)
    days = -(-len(hours) // DAY_H)
    padded = np.full(days * DAY_H, np.nan)
    padded[: len(hours)] = hours
    return padded.reshape(days, DAY_H).T


def _head(figure: Figure, found: Answers, year: Year, project: Project, reader: Reader) -> None:
    whole, wall = found.whole, project.wall
    title = f"A year of this wall: {reader.heat_text(whole.delivered_kwh)} into the shop"
    if whole.delivered_kwh > 0.0:
        title += f", {percent(whole.useful_kwh / whole.delivered_kwh)} of it of use"
    figure.text(LEFT, 0.963, title, size=14, weight="bold", family="DejaVu Serif")
    sides = f"{reader.show(wall.width_m, 'length')} x {reader.show(wall.height_m, 'length')}"
    away = year.weather_distance_km
    distance = "" if away is None else f", {distance_words(away, reader)} away"
    weather = f"Weather: {year.weather_place} ({weather_words(year.weather_kind)}){distance}"
    for line, height in (
        (f"{name_of(project)}: {sides}, facing {facing(wall.azimuth_deg)}", 0.9465),
        (weather, 0.9335),
        (running_text(found, project), 0.9205),
    ):
        figure.text(LEFT, height, shorten(line, 118, placeholder=" ..."), size=8.5)
    figure.text(
        LEFT,
        0.022,
        "noonwall: a model's estimate, not a measurement. Electrical work, fire separation and roof loads: "
        "local code and licensed trades decide.",
        size=6.5,
        color=ink.FAINT,
    )


def running_text(found: Answers, project: Project) -> str:
    """Return what the wall did to the heater's fuel, and what the fans took, in money where prices are known."""
    currency, fuel, whole = project.money.currency, found.fuel, found.whole
    fans = f"{grouped(whole.fan_kwh)} kWh of electricity for the fans"
    if found.fan_money is not None and whole.fan_kwh > 0.0:
        fans += f", {money_text(found.fan_money, currency)}"
    if fuel is None:
        return f"No heater in this project, so no fuel to spare; {fans}"
    what = f" of {fuel.fuel} {'not' if fuel.heat_kwh >= 0.0 else 'more'} burned"
    return f"Fuel: {fuel_amount_text(fuel, currency, what)}; {fans}"


def _months(axes: Axes, found: Answers, year: Year, reader: Reader) -> None:
    middles, widths = _month_places(year, [month.month for month in found.months])
    sun, gave, used, lost = (
        np.array([reader.heat(getattr(month, name)) for month in found.months])
        for name in ("sun_on_wall_kwh", "delivered_kwh", "useful_kwh", "night_loss_kwh")
    )
    axes.bar(
        middles,
        sun,
        0.86 * widths,
        color=ink.SUN,
        edgecolor=ink.SUN_EDGE,
        linewidth=0.6,
        label="sun on the glazing",
    )
    axes.bar(middles, used, 0.5 * widths, color=ink.HEAT, label="into the shop, of use")
    axes.bar(
        middles,
        gave - used,
        0.5 * widths,
        bottom=used,
        color=ink.HEAT_PALE,
        edgecolor=ink.HEAT,
        hatch="////",
        linewidth=0.6,
        label="into the shop, not needed",
    )
    axes.bar(
        middles,
        -lost,
        0.5 * widths,
        color=ink.COLD_PALE,
        edgecolor=ink.COLD,
        hatch="....",
        linewidth=0.6,
        label="carried back out",
    )
    axes.axhline(0.0, color=ink.INK, linewidth=0.7)
    for middle, top in zip(middles, gave, strict=True):
        axes.annotate(
            f"{top:,.0f}", (middle, top), (0, 1.5), textcoords="offset points", ha="center", size=6.8
        )
    ink.tidy(axes)
    axes.set_ylabel(f"{reader.heat_unit} a month")
    axes.yaxis.set_major_formatter(lambda value, _: f"{abs(value):,.0f}")
    axes.set_ylim(-max(1.25 * lost.max(), 0.04 * sun.max()), 1.13 * max(sun.max(), 1.0))
    axes.legend(
        loc="upper center",
        ncols=4,
        frameon=False,
        fontsize=7.5,
        handlelength=1.6,
        columnspacing=1.6,
        bbox_to_anchor=(0.5, 1.035),
    )
    axes.set_title(_months_finding(found, reader))


def _months_finding(found: Answers, reader: Reader) -> str:
    best = max(found.months, key=lambda month: month.delivered_kwh)
    if best.delivered_kwh <= 0.0:
        return "The wall gives no heat in any month"
    share = percent(best.delivered_kwh / best.sun_on_wall_kwh)
    name, gave = MONTHS[best.month - 1], reader.heat_text(best.delivered_kwh)
    return f"{name} gives most: {gave} into the shop, {share} of the sun that reached the glazing"


def draw_shop(axes: Axes, found: Answers, year: Year, reader: Reader) -> None:
    """Draw the shop's temperature day by day, with the wall and without it, and the limits within its range."""
    hourly = reader.degrees(1.0) - reader.degrees(0.0), reader.degrees(0.0)
    with_wall, without = (
        by_hour(values, year.step_s) * hourly[0] + hourly[1]
        for values in (year.table.room_c, year.table.room_without_c)
    )
    days = np.arange(with_wall.shape[1]) + 0.5
    axes.fill_between(
        days,
        np.nanmin(with_wall, 0),
        np.nanmax(with_wall, 0),
        color=ink.HEAT_PALE,
        alpha=0.75,
        linewidth=0,
        label="with the wall, coldest to warmest hour",
    )
    axes.plot(
        days, np.nanmean(with_wall, 0), color=ink.HEAT, linewidth=1.2, label="with the wall, day's mean"
    )
    axes.plot(
        days,
        np.nanmean(without, 0),
        color=ink.COLD,
        linewidth=1.1,
        linestyle=(0, (4, 1.5)),
        label="without it, day's mean",
    )
    low, high = float(np.nanmin(without)), float(np.nanmax(with_wall))
    bottom, top = low - 0.05 * (high - low), high + 0.12 * (high - low)
    axes.set_ylim(bottom, top)
    for limit_c, words in ((year.warm_enough_c, "warm enough"), (year.too_hot_c, "too hot")):
        if not bottom < reader.degrees(limit_c) < top:
            continue
        axes.axhline(reader.degrees(limit_c), color=ink.INK, linewidth=0.7, linestyle=(0, (1, 2)))
        axes.annotate(
            words,
            (1.0, reader.degrees(limit_c)),
            (3, 0),
            xycoords=("axes fraction", "data"),
            textcoords="offset points",
            va="center",
            size=6.8,
        )
    ink.tidy(axes)
    axes.set_ylabel(f"shop, {reader.degree}")
    axes.legend(
        loc="upper left", edgecolor="none", framealpha=0.85, fontsize=7.5, handlelength=1.8, labelspacing=0.3
    )
    axes.set_title(_shop_finding(found, reader))


def _shop_finding(found: Answers, reader: Reader) -> str:
    month = next((m for m in found.months if m.month == found.winter_month), found.months[0])
    with_wall, without = (
        reader.degrees_text(c, 1) for c in (month.shop_mean_c, month.shop_mean_without_wall_c)
    )
    if with_wall == without and found.fuel is not None and month.backup_without_wall_kwh >= 1.0:
        gives, would = (reader.heat_text(v) for v in (month.backup_kwh, month.backup_without_wall_kwh))
        return f"In {MONTHS[month.month - 1]} the heater gives {gives} with the wall, {would} without it"
    return f"In {MONTHS[month.month - 1]} the shop averages {with_wall} with the wall, {without} without it"


def _warmth(axes: Axes, scale: Axes, found: Answers, year: Year, reader: Reader) -> None:
    from matplotlib.colors import TwoSlopeNorm

    room = by_hour(year.table.room_c, year.step_s)
    spread = max(year.too_hot_c + 4.0, float(np.nanmax(room))) - year.warm_enough_c
    low, high = min(float(np.nanmin(room)), year.warm_enough_c - spread), year.warm_enough_c + spread
    norm = TwoSlopeNorm(year.warm_enough_c, low, high)
    image = _carpet(axes, room, norm, ink.temperature_scale(), reader)
    _contour(axes, room, year.warm_enough_c)
    _contour(axes, room, year.too_hot_c)
    bar = axes.figure.colorbar(image, cax=scale)
    marks = scale_of_warmth(room, (year.warm_enough_c, year.too_hot_c))
    bar.ax.set_ylim(marks[0], marks[-1])
    bar.set_ticks(_apart(marks), labels=[reader.degrees_cell(c) for c in _apart(marks)])
    _scale_style(bar.ax, f"shop, {reader.degree}")
    axes.set_title(_warmth_finding(found, reader))


def scale_of_warmth(room_c: Floats, limits_c: tuple[float, float]) -> list[float]:
    """Return the marks of the shop's colour scale: from the coldest to the warmest hour, limits between them."""
    coldest, warmest = float(np.nanmin(room_c)), float(np.nanmax(room_c))
    warmest = max(warmest, coldest + 1.0)
    return [coldest, *(c for c in limits_c if coldest < c < warmest), warmest]


def _warmth_finding(found: Answers, reader: Reader) -> str:
    warm, heater = found.warm, found.heater
    if heater is not None and heater.holds_warm_enough:
        rests = f"{cell(heater.rests_with_wall_h)} hours of the year; {cell(heater.rests_without_wall_h)}"
        return f"The heater rests for {rests} without the wall"
    hours = f"{cell(warm.with_wall_h)} hours of the year; {cell(warm.without_wall_h)} without the wall"
    return f"At {reader.degrees_text(warm.limit_c)} or warmer for {hours}"


def _heat(axes: Axes, scale: Axes, found: Answers, year: Year, reader: Reader) -> None:
    from matplotlib.colors import FuncNorm

    net = by_hour(year.table.delivered_w - year.table.reversed_w, year.step_s) / 1000.0
    top, bottom = max(float(np.nanmax(net)), 0.1), max(-float(np.nanmin(net)), 0.05)
    widest = max(top, bottom)
    norm = FuncNorm((_signed_root, _signed_square), -widest, widest)
    image = _carpet(axes, net, norm, ink.heat_scale(), reader)
    bar = axes.figure.colorbar(image, cax=scale)
    marks = _apart([-bottom, 0.0, top / 4, top], _signed_root)
    bar.set_ticks(marks, labels=[f"{reader.heat(kw):.1f}" for kw in marks])
    bar.ax.set_ylim(-bottom, top)
    _scale_style(bar.ax, f"into the shop, {reader.power_unit}")
    axes.set_title(_heat_finding(found, year, reader))


def _heat_finding(found: Answers, year: Year, reader: Reader) -> str:
    lost = f"{reader.heat_text(found.whole.night_loss_kwh)} goes back out in cold hours"
    hours = middle_hours(year.table.delivered_w, year.step_s)
    if hours is None:
        return f"No heat comes in; {lost}"
    return f"Four fifths of the heat comes between {reader.span_text(*hours)}; {lost}"


def middle_hours(heat_w: Floats, step_s: int) -> tuple[int, int] | None:
    """Return the whole hours between which four fifths of the heat comes, or None without heat."""
    by_clock = np.nansum(by_hour(heat_w, step_s), axis=1)
    if by_clock.sum() <= 0.0:
        return None
    share = np.cumsum(by_clock) / by_clock.sum()
    return int(np.searchsorted(share, 0.1)), int(np.searchsorted(share, 0.9)) + 1


def _carpet(axes: Axes, values: Floats, norm: Normalize, colours: Colormap, reader: Reader) -> AxesImage:
    image = axes.imshow(
        values,
        origin="lower",
        aspect="auto",
        extent=(0.0, values.shape[1], 0.0, DAY_H),
        norm=norm,
        cmap=colours,
        interpolation="nearest",
    )
    axes.set_yticks(QUARTERS, labels=reader.hour_ticks(QUARTERS))
    axes.set_ylabel("hour of the day")
    ink.tidy(axes, grid=False)
    return image


def _contour(axes: Axes, values: Floats, level: float) -> None:
    if not np.nanmin(values) < level < np.nanmax(values):
        return
    axes.contour(
        np.arange(values.shape[1]) + 0.5,
        np.arange(DAY_H) + 0.5,
        values,
        levels=[level],
        colors=ink.INK,
        linewidths=0.35,
    )


def _scale_style(axes: Axes, label: str) -> None:
    axes.tick_params(length=2.0, width=0.5, labelsize=6.8)
    axes.set_ylabel(label, size=7.2, labelpad=2.0)
    for spine in axes.spines.values():
        spine.set_visible(False)


def _apart(marks: list[float], place: Callable[[Floats], Floats] = np.asarray) -> list[float]:
    """Leave out marks that would stand on one another; ``place`` is where on the scale each stands."""
    places = place(np.asarray(marks))
    kept = [0]
    for i in range(1, len(marks)):
        if places[i] - places[kept[-1]] > 0.07 * (places[-1] - places[0]):
            kept.append(i)
    return [marks[i] for i in kept]


def _signed_root(heat: Floats) -> Floats:
    """Root with the sign kept: a small loss at night still shows beside the heat of noon."""
    return np.sign(heat) * np.sqrt(np.abs(heat))


def _signed_square(root: Floats) -> Floats:
    return np.sign(root) * np.square(root)


def _year_axis(axes: Axes, year: Year) -> None:
    """Mark the months between their borders, days counted from the first step."""
    time = year.table.time.astype("datetime64[D]")
    days = len(np.unique(time))
    number = np.unique(time).astype("datetime64[M]").astype(int) % 12
    borders = [0, *(np.flatnonzero(np.diff(number)) + 1).tolist(), days]
    axes.set_xlim(0, days)
    axes.set_xticks(borders, labels=[])
    middles = [(a + b) / 2 for a, b in itertools.pairwise(borders)]
    axes.set_xticks(middles, labels=[MONTHS[number[a]][:3] for a in borders[:-1]], minor=True)
    axes.tick_params(axis="x", which="minor", length=0, pad=2.5)


def _month_places(year: Year, months: list[int]) -> tuple[Floats, Floats]:
    """Return the middle and the width, in days from the first step, of each month."""
    days: NDArray[np.datetime64] = np.unique(year.table.time.astype("datetime64[D]"))
    number = days.astype("datetime64[M]").astype(int) % 12 + 1
    places = [np.flatnonzero(number == month) for month in months]
    return np.array([p.mean() + 0.5 for p in places]), np.array([float(len(p)) for p in places])
