"""The trade-off of an awning as a picture: the curve, and its designs on a section through the wall."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.report import ink
from noonwall.report.awning_page import months_text
from noonwall.report.reader import name_of, percent
from noonwall.report.site_look import PANEL, PATH, PATH_NOW, haloed, heading

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.awning import Curve, Design

M_PER_FT = 0.3048
SUNS = ((0.0, "21 Mar, Sep"), (-23.44, "21 Dec"), (23.44, "21 Jun"))


def awning_picture(curve: Curve, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw winter sun left against summer sun kept off, and where each design hangs."""
    with ink.drawing():
        figure = ink.blank((10.2, 6.4))
        trade = figure.add_axes((0.07, 0.12, 0.52, 0.7))
        section = figure.add_axes((0.655, 0.12, 0.335, 0.7))
        _trade(trade, curve)
        _section(section, curve, project, reader)
        winter, summer = months_text(curve.winter), months_text(curve.summer)
        enough = [point for point in curve.points if point.enough]
        title = f"Nothing tried leaves {percent(curve.keep)} of the sun of {winter}"
        if enough:
            best = max(enough, key=lambda point: point.summer_blocked)
            left, off = percent(best.winter_kept), percent(best.summer_blocked)
            title = f"{left} of the sun of {winter} can be had with {off} of {summer} kept off"
        line = f'{name_of(project)}: "{curve.name}"; numbers are the lines of the table, from the top'
        heading(figure, 0.07, 0.925, title, line, 13.0)
        return ink.rendered(figure, form)


def _trade(axes: Axes, curve: Curve) -> None:
    winter = [100.0 * point.winter_kept for point in curve.points]
    summer = [100.0 * point.summer_blocked for point in curve.points]
    axes.plot(winter, summer, color=PANEL, linewidth=1.6, zorder=3)
    for number, (x, y, point) in enumerate(zip(winter, summer, curve.points, strict=True), start=1):
        axes.plot(
            [x], [y], "o", ms=15, mfc="#ffe08a" if point.enough else ink.PAPER, mec=PANEL, mew=1.3, zorder=4
        )
        axes.annotate(str(number), (x, y), ha="center", va="center", size=8.5, weight="bold", zorder=5)
    if curve.now is not None:
        x, y = 100.0 * curve.now.winter_kept, 100.0 * curve.now.summer_blocked
        axes.plot([x], [y], "D", ms=8, mfc=PATH_NOW, mec=ink.INK, zorder=6)
        haloed(axes, "as described", (x, y), (0.0, -9.0), ("center", "top"), 8.5, PATH_NOW)
    axes.axvline(100.0 * curve.keep, color=ink.INK, linewidth=0.8, linestyle=(0, (4, 2)))
    lows = [*winter, *([100.0 * curve.now.winter_kept] if curve.now else [])]
    axes.set_xlim(max(0.0, min([*lows, 100.0 * curve.keep]) - 5.0), 102.0)
    axes.set_ylim(0.0, 1.18 * max([*summer, 10.0]))
    corner = (100.0 * curve.keep, float(axes.get_ylim()[1]))
    haloed(axes, f"{percent(curve.keep)} asked for", corner, (-4.0, -4.0), ("right", "top"))
    axes.set_xlabel(f"% of the sun of {months_text(curve.winter)} left (all that stands around counted in)")
    axes.set_ylabel(f"% of the sun of {months_text(curve.summer)} kept off")
    axes.set_title("The trade-off: to the right more winter sun, upward more summer shade")
    ink.tidy(axes)
    axes.grid(axis="x", color=ink.HAIR, linewidth=0.5)


def _section(axes: Axes, curve: Curve, project: Project, reader: Reader) -> None:
    """Draw the wall from the side with every design of the curve, and the noon sun of three dates."""
    unit, name = (M_PER_FT, "ft") if reader.us else (1.0, "m")
    wall = project.wall
    foot, top = wall.foot_m / unit, (wall.foot_m + wall.height_m) / unit
    lines = [_line(project, curve, point.design) for point in curve.points]
    now = None if curve.now is None else _line(project, curve, curve.now.design)
    far = max([x for line in lines for x, _ in line] + [1.0]) / unit
    high = max([z for line in lines for _, z in line] + [top * unit]) / unit
    axes.plot([0.0, 0.0], [0.0, high + 0.5 / unit], color=ink.INK, linewidth=2.0)
    axes.plot([0.0, 0.0], [foot, top], color=ink.HEAT, linewidth=6.0, solid_capstyle="butt")
    axes.axhline(0.0, color=ink.FAINT, linewidth=1.0)
    for number, line in enumerate(lines, start=1):
        (x0, z0), (x1, z1) = ((x / unit, z / unit) for x, z in line)
        axes.plot([x0, x1], [z0, z1], color=PANEL, linewidth=2.2, solid_capstyle="round", zorder=3)
        haloed(axes, str(number), (x0, z0), (7.0, 0.0), ("left", "center"), 8.5)
    if now is not None:
        (x0, z0), (x1, z1) = ((x / unit, z / unit) for x, z in now)
        axes.plot([x0, x1], [z0, z1], color=PATH_NOW, linewidth=3.0, linestyle=(0, (3, 1.2)), zorder=4)
        haloed(axes, "as described", (x0, z0), (18.0, -10.0), ("left", "center"), 8.5, PATH_NOW)
    _noons(axes, project, foot, far)
    axes.set(
        xlim=(-0.35 / unit, far + 1.1 / unit),
        ylim=(-0.2 / unit, high + 0.6 / unit),
        aspect="equal",
        anchor="W",
    )
    axes.set_xlabel(f"{name} out from the wall")
    axes.set_ylabel(f"{name} above the ground")
    axes.set_title("Where it hangs, seen from the side")
    ink.tidy(axes, grid=False)


def _noons(axes: Axes, project: Project, foot: float, far: float) -> None:
    """Draw the noon sun that just reaches the glazing's foot, as it runs in the section's plane."""
    latitude = project.site.latitude_deg
    turn = math.radians(project.wall.azimuth_deg - (180.0 if latitude >= 0.0 else 0.0))
    for declination, label in SUNS:
        rise = 90.0 - abs(latitude - declination)
        if not 0.0 < rise < 90.0 or math.cos(turn) <= 0.1:
            continue
        slope = math.tan(math.radians(rise)) / math.cos(turn)
        ray = ([0.0, 2.0 * far], [foot, foot + 2.0 * far * slope])
        axes.plot(*ray, color=PATH, linewidth=0.9, linestyle=(0, (1, 1.5)))
        x = far * (0.75 if slope < 0.6 else 0.5 if slope < 1.5 else 0.9 / slope)
        haloed(axes, f"{label}, noon", (x, foot + x * slope), size=7.0, colour="#7a5208")


def _line(project: Project, curve: Curve, design: Design) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the outer and the inner end of a design in the section, (out, up) in metres."""
    z = project.wall.foot_m + project.wall.height_m + design.height_m
    fall = math.radians(design.tilt_deg)
    field = next((field for field in project.pv if field.name == curve.name), None)
    if field is None:
        return (design.depth_m, z), (0.0, z + design.depth_m * math.tan(fall))
    up = field.rows * field.pitch_up_m - field.row_gap_m
    return (design.depth_m, z), (design.depth_m - up * math.cos(fall), z + up * math.sin(fall))
