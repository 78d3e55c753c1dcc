"""The pictures of ``noonwall sun``: the sky, the plan, a carpet of direct sun, the months of what each takes."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np

from noonwall.report import ink
from noonwall.report.plan_figure import plan_picture
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.site_look import PANEL, PANEL_EDGE, PATH_NOW, heading, look
from noonwall.report.sky_figure import sky_picture
from noonwall.report.sun_words import subjects
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from collections.abc import Callable

    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.shade.record import Floats
    from noonwall.studies.sunlight import Sunlight, Take

DAY_H = 24
MOST_BARS = 4
MOST_ROWS = 24
BAR_LOOKS = (
    (PANEL, PANEL_EDGE, "////"),
    ("#9db395", "#4c6547", "...."),
    (ink.HEAT_PALE, ink.HEAT, "\\\\\\\\"),
    ("#c9bcae", "#6f5f50", "xxx"),
)


def sun_pictures(found: Sunlight, project: Project, reader: Reader) -> dict[str, Callable[[], bytes]]:
    """Return what draws each picture, by the name of its file."""
    return {
        "sky.png": lambda: sky_picture(found, project, reader),
        "carpet.png": lambda: carpet_picture(found, project, reader),
        "plan.png": lambda: plan_picture(found, project, reader),
        "months.png": lambda: month_picture(found, project, reader),
    }


def carpet_picture(found: Sunlight, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw the share of direct sun that reaches the glazing, hour by day."""
    calendar = found.calendar
    kept = float(calendar.hours.sum() / max(float(calendar.hours_open.sum()), 1e-9))
    with ink.drawing():
        figure = ink.blank((11.0, 6.6))
        axes = figure.add_axes((0.062, 0.105, 0.85, 0.735))
        scale = figure.add_axes((0.925, 0.105, 0.013, 0.735))
        share = by_minute(found)
        days = share.shape[1]
        image = axes.imshow(
            share, origin="lower", aspect="auto", extent=(0.0, days, 0.0, DAY_H), vmin=0.0, vmax=1.0,
            cmap=sun_scale(), interpolation="nearest",
        )  # fmt: skip
        _edges(axes, found)
        _year_axis(axes, calendar.date)
        first, last = _hours_shown(found)
        axes.set_ylim(first, last)
        hours = _marked(first, last, reader)
        axes.set_yticks(hours, labels=reader.hour_ticks(hours))
        axes.set_ylabel("hour of the day, standard time")
        at = int((found.moment.time.astype("datetime64[D]") - calendar.date[0]).astype(int)) + 0.5
        axes.axvline(at, color=PATH_NOW, linewidth=1.0, linestyle=(0, (4, 2)))
        late = at > 0.8 * days
        place, align = ((-3, -3), "right") if late else ((3, -3), "left")
        words = reader.day_text(found.moment.time)
        axes.annotate(words, (at, last), place, textcoords="offset points", ha=align, va="top", size=8)
        ink.tidy(axes, grid=False)
        bar = figure.colorbar(image, cax=scale)
        bar.set_ticks([0.0, 0.25, 0.5, 0.75, 1.0], labels=["0", "25", "50", "75", "100 %"])
        scale.set_ylabel("of the direct sun reaches the glazing", size=7.5)
        for spine in scale.spines.values():
            spine.set_visible(False)
        title = f"{percent(kept)} of the hours of direct sun get past what stands around"
        grown = f", trees grown on for {found.years_on:g} years" if found.years_on > 0.0 else ""
        line = (
            f"{name_of(project)}{grown}: by the sun's path, whatever the weather. White: no sun before the wall; "
            "lines: its first and last on an open site."
        )
        heading(figure, 0.062, 0.925, title, line, 14.0)
        return ink.rendered(figure, form)


def by_minute(found: Sunlight) -> Floats:
    """Return the beam share by time of day and day, (steps of a day, days), NaN while no sun is before the wall."""
    calendar = found.calendar
    days = len(calendar.date)
    share = calendar.share.reshape(days, -1)
    per_day = share.shape[1]
    clock = np.arange(per_day) * 24.0 / per_day
    first, last = (
        _clock_h(time, calendar.date)[:, None] for time in (calendar.first_open, calendar.last_open)
    )
    # The steps in which the sun rises or sets hold less than a step of it: they are left out.
    shown = (clock > first + 1e-6) & (clock < last - 24.0 / per_day - 1e-6)
    return np.where(shown, share, np.nan).T


def sun_scale() -> Colormap:
    """Return dark slate (no direct sun) to pale yellow (all of it); its lightness rises evenly."""
    from matplotlib.colors import LinearSegmentedColormap

    return LinearSegmentedColormap.from_list(
        "noonwall-sun", ["#1d2a36", "#4f5450", "#97803f", "#dcb04a", "#fff0b8"]
    )


def _edges(axes: Axes, found: Sunlight) -> None:
    calendar = found.calendar
    days = np.arange(len(calendar.date)) + 0.5
    for edge in (calendar.first_open, calendar.last_open):
        axes.plot(days, _clock_h(edge, calendar.date), color=ink.INK, linewidth=0.8)


def _clock_h(
    time: np.ndarray[tuple[int], np.dtype[np.datetime64]],
    date: np.ndarray[tuple[int], np.dtype[np.datetime64]],
) -> Floats:
    """Return hours since midnight; NaN where there is no time."""
    hours = (time - date.astype("datetime64[s]")).astype("timedelta64[s]").astype(np.float64) / 3600.0
    return np.where(np.isnat(time), np.nan, hours)


def _hours_shown(found: Sunlight) -> tuple[int, int]:
    calendar = found.calendar
    first, last = (_clock_h(t, calendar.date) for t in (calendar.first_open, calendar.last_open))
    if np.isnan(first).all():
        return 0, DAY_H
    return max(0, int(np.nanmin(first)) - 1), min(DAY_H, int(np.nanmax(last)) + 2)


def _marked(first: int, last: int, reader: Reader) -> range:
    """Return the hours to mark: every other one, for a US reader those that a clock of twelve hours names first."""
    return range(first + first % 2 if reader.us else first, last + 1, 2)


def _year_axis(axes: Axes, date: np.ndarray[tuple[int], np.dtype[np.datetime64]]) -> None:
    number = date.astype("datetime64[M]").astype(int) % 12
    borders = [0, *(np.flatnonzero(np.diff(number)) + 1).tolist(), len(date)]
    axes.set_xlim(0, len(date))
    axes.set_xticks(borders, labels=[])
    middles = [(a + b) / 2 for a, b in itertools.pairwise(borders)]
    axes.set_xticks(middles, labels=[MONTHS[number[a]][:3] for a in borders[:-1]], minor=True)
    axes.tick_params(axis="x", which="minor", length=0, pad=3)


def month_picture(found: Sunlight, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw by months what reaches the glazing and what each obstacle takes, and all obstacles in one list."""
    rows = min(len(found.takes), MOST_ROWS)
    below = 0.75 + 0.2 * rows
    high = below + 6.85
    with ink.drawing():
        figure = ink.blank((8.27, high))
        top = figure.add_axes((0.095, (below + 3.7) / high, 0.885, 2.15 / high))
        middle = figure.add_axes((0.095, (below + 0.6) / high, 0.885, 2.35 / high))
        _reaches(top, found, reader)
        _takers(middle, found, reader)
        if rows:
            _ranking(figure.add_axes((0.27, 0.45 / high, 0.71, 0.2 * rows / high)), found, reader)
        whole = found.whole
        share = whole.sun_on_wall_kwh / max(whole.sun_on_wall_open_site_kwh, 1e-9)
        title = f"{percent(share)} of an open site's sun reaches the glazing"
        grown = f", trees grown on for {found.years_on:g} years" if found.years_on > 0.0 else ""
        line = f"{name_of(project)}{grown}: a calculated year in its weather"
        heading(figure, 0.095, 1.0 - 0.45 / high, title, line, 14.0)
        return ink.rendered(figure, form)


def _reaches(axes: Axes, found: Sunlight, reader: Reader) -> None:
    places = np.arange(len(found.months), dtype=float)
    open_site, here = (
        np.array([reader.heat(getattr(month, name)) for month in found.months])
        for name in ("sun_on_wall_open_site_kwh", "sun_on_wall_kwh")
    )
    axes.bar(
        places, open_site, 0.8, color=ink.PAPER, edgecolor=ink.SUN_EDGE, linewidth=1.0, label="open site"
    )
    axes.bar(
        places, here, 0.8, color=ink.SUN, edgecolor=ink.SUN_EDGE, linewidth=0.6, label="reaches the glazing"
    )
    for place, kwh, whole in zip(places, here, open_site, strict=True):
        if whole > 0.0:
            axes.annotate(
                percent(kwh / whole), (place, kwh), (0, 2), textcoords="offset points", ha="center", size=7
            )
    _month_names(axes, found)
    axes.set_ylabel(f"{reader.heat_unit} a month")
    axes.set_ylim(0.0, 1.18 * max(float(open_site.max()), 1.0))
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=8)
    axes.set_title("Sun on the glazing")


def _takers(axes: Axes, found: Sunlight, reader: Reader) -> None:
    chosen = [take for take in subjects(found) if sum(take.sun_kwh) > 0.0][:MOST_BARS]
    months = [month.month for month in found.months]
    width = 0.82 / max(len(chosen), 1)
    for i, take in enumerate(chosen):
        face, edge, hatch = _bar_look(take, i)
        values = np.array([reader.heat(take.sun_kwh[month - 1]) for month in months])
        places = np.arange(len(months)) + (i - 0.5 * (len(chosen) - 1)) * width
        label = f"{take.name} ({grouped(reader.heat(sum(take.sun_kwh)))} a year)"
        axes.bar(
            places, values, 0.92 * width, color=face, edgecolor=edge, hatch=hatch, linewidth=0.7, label=label
        )
    _month_names(axes, found)
    axes.axhline(0.0, color=ink.INK, linewidth=0.6)
    axes.set_ylabel(f"{reader.heat_unit} a month")
    if chosen:
        top = max(reader.heat(max(take.sun_kwh)) for take in chosen)
        axes.set_ylim(min(0.0, axes.get_ylim()[0]), 1.3 * max(top, 1.0))
        axes.legend(loc="upper left", ncols=2, frameon=False, fontsize=8, handlelength=2.2)
    axes.set_title("What would be gained without it, the others standing")


def _bar_look(take: Take, place: int) -> tuple[str, str, str]:
    """Return a bar's fill, edge and hatch: each bar of a month another, modules as on the plan."""
    if take.kind == "modules":
        return BAR_LOOKS[0]
    return BAR_LOOKS[place % len(BAR_LOOKS)]


def _ranking(axes: Axes, found: Sunlight, reader: Reader) -> None:
    takes = found.takes[:MOST_ROWS][::-1]
    season = [sum(take.sun_kwh[month - 1] for month in found.season) for take in takes]
    values = np.array([reader.heat(kwh) for kwh in season])
    for place, (take, value) in enumerate(zip(takes, values, strict=True)):
        face, edge, hatch, _ = look(take.kind)
        axes.barh(place, value, 0.68, color=face, edgecolor=edge, hatch=hatch, linewidth=0.6)
        axes.annotate(
            grouped(value),
            (max(value, 0.0), place),
            (3, 0),
            textcoords="offset points",
            va="center",
            size=7.5,
        )
    axes.set_yticks(range(len(takes)), labels=[take.name[:26] for take in takes], fontsize=8)
    axes.set_ylim(-0.6, len(takes) - 0.4)
    axes.set_xlim(min(0.0, float(values.min())), 1.1 * max(float(values.max()), 1.0))
    first, last = MONTHS[found.season[0] - 1], MONTHS[found.season[-1] - 1]
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    axes.set_title(f"Each obstacle, {first} to {last}, {reader.heat_unit}")
    ink.tidy(axes, grid=False)
    axes.grid(axis="x", color=ink.HAIR, linewidth=0.5)
    axes.set_axisbelow(True)


def _month_names(axes: Axes, found: Sunlight) -> None:
    axes.set_xticks(range(len(found.months)), labels=[MONTHS[month.month - 1][:3] for month in found.months])
    ink.tidy(axes)
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    axes.tick_params(axis="x", length=0)
