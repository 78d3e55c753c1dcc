"""What readings taught as one picture: assumed against learned, and what is left over on days that judge."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report import ink
from noonwall.report.learn_page import NAMES, shown
from noonwall.report.reader import name_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noonwall.logs.learn.story import Curve, Learned
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

MOST_CURVES = 4


def learn_picture(learned: Learned, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw what was learned; ``form`` is png, svg or pdf. Returns the picture's bytes, A4 upright."""
    curves = [curve for curve in learned.curves if np.isfinite(curve.measured).any()][:MOST_CURVES]
    with ink.drawing():
        figure = ink.blank()
        grid = figure.add_gridspec(
            1 + len(curves), 2, height_ratios=[2.4] + [1.2] * len(curves), width_ratios=[3.4, 1.0],
            left=0.09, right=0.965, top=0.89, bottom=0.07, hspace=0.5, wspace=0.12,
        )  # fmt: skip
        _intervals(figure.add_subplot(grid[0, :]), learned, reader)
        for row, curve in enumerate(curves, start=1):
            left, right = figure.add_subplot(grid[row, 0]), figure.add_subplot(grid[row, 1])
            _rest(left, right, curve, learned, reader)
        told = sum(value.told for value in learned.values)
        head = f"The readings tell {told} of {len(learned.values)} things that were only assumed"
        figure.text(0.045, 0.972, fill(head, 66), size=13.5, weight="bold", family="DejaVu Serif", va="top")
        figure.text(
            0.045,
            0.935,
            f"{name_of(project)}: {learned.days:.0f} days from {reader.day_text(learned.start, year=True)}",
            size=8.5,
        )
        note = (
            "noonwall: bars are 90 % intervals as a share of the assumed value; hollow ones: the readings cannot tell, "
            "left as assumed. Below: measured less calculated on days that did not teach."
        )
        figure.text(0.045, 0.018, fill(note, 150), size=6.5, color=ink.FAINT)
        return ink.rendered(figure, form)


def _intervals(axes: Axes, learned: Learned, reader: Reader) -> None:
    values = [value for value in learned.values if not value.plus and value.assumed > 0.0]
    for row, value in enumerate(values):
        low, mid, high = (100.0 * number / value.assumed for number in (value.low, value.learned, value.high))
        axes.plot(
            [low, high], [row, row], color=ink.HEAT if value.told else ink.FAINT, linewidth=5.0 if value.told else 1.2,
            alpha=0.45 if value.told else 1.0, solid_capstyle="butt",
        )  # fmt: skip
        face = ink.HEAT if value.told else ink.PAPER
        axes.plot(
            mid, row, "o", color=ink.HEAT if value.told else ink.FAINT, markerfacecolor=face, markersize=5.5
        )
        _, found, _, unit = shown(value, reader)
        if value.told:
            axes.annotate(
                f"{found} {unit}".strip(),
                (mid, row),
                (0, 6),
                textcoords="offset points",
                ha="center",
                size=6.8,
            )
    axes.axvline(100.0, color=ink.INK, linewidth=0.8)
    axes.set_yticks(range(len(values)), labels=[fill(value.title, 30) for value in values])
    axes.set_ylim(len(values) - 0.5, -0.7)
    axes.set_xlabel("% of what was assumed")
    box = axes.get_position()
    axes.set_position((0.31, box.y0, 0.655, box.height))
    ink.tidy(axes, grid=False)
    axes.grid(axis="x", color=ink.HAIR, linewidth=0.5)
    axes.set_title("Learned against assumed")


def _rest(left: Axes, right: Axes, curve: Curve, learned: Learned, reader: Reader) -> None:
    """Draw what is left over in time and how often each size comes, with assumed and with learned values."""
    time = learned.start + np.arange(len(curve.measured)) * np.timedelta64(curve.step_s, "s")
    heat = curve.channel == "backup_w"
    scale = 1e-3 if heat else reader.kelvins(1.0) if curve.channel.endswith("_c") else 1.0
    unit = (
        "kW"
        if heat
        else reader.degree.replace("°", "K" if not reader.us else "°").replace("KC", "K")
        if curve.channel.endswith("_c")
        else "m3/s"
    )
    before = np.where(curve.judges, (curve.measured - curve.assumed) * scale, np.nan)
    after = np.where(curve.judges, (curve.measured - curve.learned) * scale, np.nan)
    known = np.isfinite(after)
    left.plot(time[known], before[known], ".", color=ink.COLD_PALE, markersize=1.4, label="assumed")
    left.plot(time[known], after[known], ".", color=ink.HEAT, markersize=1.4, label="learned")
    left.axhline(0.0, color=ink.INK, linewidth=0.6)
    reach = (
        float(np.nanpercentile(np.abs(np.concatenate([before[known], after[known]])), 99.0))
        if known.any()
        else 1.0
    )
    left.set_ylim(-1.15 * reach, 1.15 * reach)
    left.set_title(f"{NAMES[curve.channel]}: measured less calculated, {unit}")
    left.tick_params(axis="x", rotation=0)
    left.xaxis.set_major_locator(_few_dates())
    ink.tidy(left)
    bins = np.linspace(-reach, reach, 31)
    right.hist(before[known], bins=list(bins), color=ink.COLD_PALE, orientation="horizontal", label="assumed")
    right.hist(
        after[known],
        bins=list(bins),
        histtype="step",
        color=ink.HEAT,
        orientation="horizontal",
        linewidth=1.2,
        label="learned",
    )
    right.set_ylim(-1.15 * reach, 1.15 * reach)
    right.set_yticklabels([])
    right.set_xticks([])
    right.legend(frameon=False, fontsize=6.5, loc="upper right")
    ink.tidy(right, grid=False)


def _few_dates() -> Any:
    from matplotlib.dates import AutoDateLocator

    made: Any = AutoDateLocator
    return made(minticks=3, maxticks=7)
