"""The plan of the site with its shadows at a moment, and which part of the glazing is lit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report import ink
from noonwall.report.reader import name_of, percent
from noonwall.report.site_look import (
    PATH_NOW,
    day_of_year,
    haloed,
    heading,
    legend,
    look,
    short_names,
    site_of,
)
from noonwall.shade.lit import lit_cells
from noonwall.shade.outlines import Plan

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.report.site_look import Site
    from noonwall.shade.frame import Frame
    from noonwall.shade.outlines import Ground
    from noonwall.shade.record import Floats
    from noonwall.studies.sunlight import Sunlight

SHADOW = "#5c6670"
LIT_ROWS, LIT_COLUMNS = 72, 144
M_PER_FT = 0.3048
WIDE_IN, LEFT, RIGHT = 8.27, 0.085, 0.975
TALLEST, FLATTEST = 1.5, 0.35
Edge = tuple[float, float, float, float]


def plan_picture(found: Sunlight, project: Project, reader: Reader, form: str = "png") -> bytes:
    """Draw the plan of the site with its shadows at the chosen moment, and what of the glazing is lit."""
    from matplotlib.patches import Patch

    site, way = site_of(project, found.years_on, found.moment.time), _way(found)
    shapes = Plan(site.scene, site.frame).shapes(way)
    unit = M_PER_FT if reader.us else 1.0
    edge = _extent([*(shape.footprint for shape in shapes), _shop(site)], unit)
    wide = WIDE_IN * (RIGHT - LEFT)
    tall = wide * min(TALLEST, max(FLATTEST, (edge[3] - edge[2]) / (edge[1] - edge[0])))
    wall = wide * min(0.5, project.wall.height_m / project.wall.width_m)
    high = 0.95 + tall + 0.95 + wall + 0.95
    with ink.drawing():
        figure = ink.blank((WIDE_IN, high))
        plan = figure.add_axes((LEFT, (0.95 + wall + 0.95) / high, RIGHT - LEFT, tall / high))
        _plan(plan, site, shapes, edge, reader)
        _compass(plan, way)
        lit = figure.add_axes((LEFT, 0.95 / high, RIGHT - LEFT, wall / high))
        _lit(lit, site, found, way, reader)
        sun = f"sun {found.moment.elevation_deg:.0f}° high, bearing {found.moment.azimuth_deg:.0f}°"
        grown = f", trees grown on for {found.years_on:g} years" if found.years_on > 0.0 else ""
        line = f"{name_of(project)}{grown}; {sun}; shadows as on level ground"
        heading(figure, LEFT, 1.0 - 0.42 / high, _title(found, reader), line, 14.0)
        shadow = Patch(facecolor=SHADOW, alpha=0.35, label="shadow")
        legend(figure, site, 0.12 / high, [shadow] if way is not None else [])
        return ink.rendered(figure, form)


def _title(found: Sunlight, reader: Reader) -> str:
    when = f"{reader.day_text(found.moment.time)}, {reader.clock_text(found.moment.time)}"
    if found.moment.elevation_deg <= 0.0:
        return f"{when}: the sun is below the horizon"
    share = found.moment.beam_share
    if share is None:
        return f"{when}: the sun is behind the wall"
    return f"{when}: {percent(share)} of the direct sun reaches the glazing"


def _way(found: Sunlight) -> Floats | None:
    """Return the unit vector to the sun in (east, north, up), None while it is down."""
    if found.moment.elevation_deg <= 0.0:
        return None
    rise, turn = math.radians(found.moment.elevation_deg), math.radians(found.moment.azimuth_deg)
    return np.array([math.cos(rise) * math.sin(turn), math.cos(rise) * math.cos(turn), math.sin(rise)])


def _plan(axes: Axes, site: Site, shapes: Sequence[Ground], edge: Edge, reader: Reader) -> None:
    from matplotlib.patches import Polygon

    unit, name = (M_PER_FT, "ft") if reader.us else (1.0, "m")
    axes.set(xlim=edge[:2], ylim=edge[2:], aspect="equal")
    marks: dict[str, list[Floats]] = {}
    for shape in shapes:
        if len(shape.shadow) >= 3:
            axes.add_patch(Polygon(shape.shadow / unit, facecolor=SHADOW, alpha=0.3, linewidth=0, zorder=2))
        if len(shape.footprint) < 3:
            continue
        face, line, hatch, layer = look(site.kinds.get(shape.name, ""))
        patch = Polygon(shape.footprint / unit, facecolor=face, edgecolor=line, hatch=hatch, linewidth=0.8)
        patch.set(alpha=0.86, zorder=layer)
        axes.add_patch(patch)
        marks.setdefault(shape.name, []).append(shape.footprint.mean(axis=0) / unit)
    _rings(axes, edge, name, 20.0 if reader.us else 5.0)
    shop = _shop(site) / unit
    axes.add_patch(Polygon(shop, facecolor="#efeae2", edgecolor=ink.INK, linewidth=1.1, zorder=3))
    glazing = _glazing(site.frame) / unit
    axes.plot(*glazing.T, color=ink.HEAT, linewidth=4.0, zorder=7, solid_capstyle="butt")
    haloed(axes, "shop", tuple(shop.mean(axis=0)), size=9.0)
    middle = glazing.mean(axis=0) + 0.05 * (shop.mean(axis=0) - glazing.mean(axis=0))
    haloed(axes, "glazed wall", tuple(middle), (0.0, 3.0), ("center", "bottom"), 7.5, ink.HEAT)
    for label, words in short_names(list(marks)).items():
        haloed(axes, words, tuple(np.mean(marks[label], axis=0)))
    ink.tidy(axes, grid=False)
    axes.set_xlabel(f"{name} east of the wall's foot (west is negative)")
    axes.set_ylabel(f"{name} north of it")


def _glazing(frame: Frame) -> Floats:
    half = 0.5 * frame.width_m
    return np.column_stack(frame.world(np.array([-half, half]), np.zeros(2)))


def _shop(site: Site) -> Floats:
    """Return the shop's corners on the plan, the wall's side first [m]."""
    shop = site.project.shop
    sides = sorted((shop.length_m, shop.width_m))
    front = next((side for side in sides if side >= site.frame.width_m), sides[1])
    deep = sides[0] if front == sides[1] else sides[1]
    along = np.array([-0.5, 0.5, 0.5, -0.5]) * front
    return np.column_stack(site.frame.world(along, np.array([0.0, 0.0, -deep, -deep])))


def _extent(outlines: list[Floats], unit: float) -> Edge:
    points = np.concatenate([outline for outline in outlines if len(outline)]) / unit
    low, high = points.min(axis=0), points.max(axis=0)
    room = 0.06 * float((high - low).max())
    return (float(low[0]) - room, float(high[0]) + room, float(low[1]) - room, float(high[1]) + room)


def _rings(axes: Axes, edge: Edge, name: str, every: float) -> None:
    """Draw distances from the wall's foot."""
    turn = np.linspace(0.0, 2.0 * math.pi, 181)
    count = int(1.5 * max(abs(side) for side in edge) / every)
    step = max(1, count // 6)
    for radius in (every * number for number in range(step, count + 1, step)):
        ring = (radius * np.sin(turn), radius * np.cos(turn))
        axes.plot(*ring, color=ink.HAIR, linewidth=0.7, zorder=1, linestyle=(0, (4, 2)))
        if -radius > edge[2]:
            box = {"facecolor": ink.PAPER, "edgecolor": "none", "pad": 0.6}
            words = axes.text(
                0.0, -radius, f"{radius:.0f} {name}", ha="center", va="center", size=7, bbox=box
            )
            words.set(color=ink.FAINT, zorder=1)


def _compass(axes: Axes, way: Floats | None) -> None:
    """Draw north, and the sun with the way its light goes, in the upper right corner."""
    at: dict[str, Any] = {
        "xycoords": "axes fraction",
        "textcoords": "axes fraction",
        "ha": "center",
        "va": "center",
    }
    north = {"arrowstyle": "-|>", "color": ink.INK, "lw": 1.3}
    axes.annotate("", (0.965, 0.955), (0.965, 0.875), arrowprops=north, zorder=9, **at)
    axes.annotate(
        "N", (0.965, 0.972), xycoords="axes fraction", ha="center", va="center", size=10, weight="bold"
    )
    if way is None:
        return
    flat = way[:2] / max(float(np.hypot(way[0], way[1])), 1e-9)
    sun = (0.88 + 0.035 * float(flat[0]), 0.915 + 0.035 * float(flat[1]))
    end = (0.88 - 0.055 * float(flat[0]), 0.915 - 0.055 * float(flat[1]))
    axes.annotate(
        "", end, sun, arrowprops={"arrowstyle": "-|>", "color": PATH_NOW, "lw": 2.0}, zorder=9, **at
    )
    axes.plot(
        [sun[0]], [sun[1]], marker="o", transform=axes.transAxes, ms=12, mfc="#ffd95a", mec=PATH_NOW, mew=1.5, zorder=10
    )  # fmt: skip


def _lit(axes: Axes, site: Site, found: Sunlight, way: Floats | None, reader: Reader) -> None:
    """Draw which part of the glazing the direct sun reaches, as seen from outside."""
    unit, name = (M_PER_FT, "ft") if reader.us else (1.0, "m")
    frame, share = site.frame, np.zeros((LIT_ROWS, LIT_COLUMNS))
    if way is not None and found.moment.beam_share is not None:
        share = lit_cells(site.scene, frame, way, day_of_year(found.moment.time), LIT_ROWS, LIT_COLUMNS)
    half, low = 0.5 * frame.width_m / unit, frame.foot_m / unit
    across = (-half, half, low, low + frame.height_m / unit)
    # Seen from outside the right hand of someone who looks out is on the left.
    axes.imshow(
        share[:, ::-1], origin="lower", extent=across, aspect="equal", vmin=0.0, vmax=1.0, cmap=_lit_scale()
    )
    axes.set_title("The glazing seen from outside: bright where the direct sun reaches it")
    axes.set_ylabel(f"{name} above ground")
    axes.set_xlabel(f"{name} from its middle")
    ink.tidy(axes, grid=False)


def _lit_scale() -> Colormap:
    from matplotlib.colors import LinearSegmentedColormap

    return LinearSegmentedColormap.from_list("noonwall-lit", ["#26323b", "#6d6650", "#c59a3a", "#ffe08a"])
