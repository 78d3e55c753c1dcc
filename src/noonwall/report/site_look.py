"""How things on a site look in pictures: fill, edge and hatch by kind, names, headings."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from noonwall.report import ink
from noonwall.shade.frame import Frame
from noonwall.shade.site import scene_of
from noonwall.studies.trees import kinds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.patches import Patch

    from noonwall.model.project import Project
    from noonwall.shade.scene import Scene

LEAF, LEAF_EDGE = "#9db395", "#4c6547"
WORKS, WORKS_EDGE = "#c9bcae", "#6f5f50"
PANEL, PANEL_EDGE = "#54698c", "#1f2f4a"
PATH, PATH_NOW = "#c98a1b", "#a83c10"
NUMBERED = re.compile(r"(.*\S)\s+(\d{1,6})")
WORDS = {"tree": "trees", "building": "buildings, walls, posts", "modules": "modules, awnings"}


class Site(NamedTuple):
    """What pictures of a site are drawn from."""

    project: Project
    scene: Scene
    frame: Frame
    kinds: dict[str, str]


def site_of(project: Project, years_on: float, time: np.datetime64) -> Site:
    """Return a project's site after some years of growth [a], with what hangs there on a date."""
    scene = scene_of(project, years_on)
    hung = scene.calendar(np.array([day_of_year(time)]))[0, len(scene.seasons) :]
    down = {scene.names[board.owner] for board in scene.boards if board.hung >= 0 and not hung[board.hung]}
    return Site(project, scene.without(down), Frame.of(project.wall), kinds(project))


def day_of_year(time: np.datetime64) -> float:
    """Return the day of a common year, 1 January as 0."""
    date = time.astype("datetime64[D]")
    return min(float((date - date.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)), 364.0)


def look(kind: str) -> tuple[str, str, str, int]:
    """Return fill, edge, hatch and layer of a kind: told apart by hatch too, not by colour alone."""
    if kind in {"tree", "row", "stand"}:
        return LEAF, LEAF_EDGE, "....", 4
    if kind in {"modules", "awning", "overhang"}:
        return PANEL, PANEL_EDGE, "////", 6
    return WORKS, WORKS_EDGE, "xxx", 5


def legend(figure: Figure, site: Site, bottom: float, more: Sequence[Patch] = ()) -> None:
    """Explain the hatches that are there, and some patches more, below the picture."""
    from matplotlib.patches import Patch

    present = {look(kind)[2] for kind in site.kinds.values()}
    handles = [
        Patch(facecolor=look(kind)[0], edgecolor=look(kind)[1], hatch=look(kind)[2], label=word)
        for kind, word in WORDS.items()
        if look(kind)[2] in present
    ]
    if handles or more:
        place: dict[str, Any] = {"loc": "lower left", "bbox_to_anchor": (0.055, bottom), "ncols": 5}
        figure.legend(handles=[*handles, *more], frameon=False, fontsize=9, **place)


def short_names(names: Sequence[str]) -> dict[str, str]:
    """Return what to write beside each thing: numbered ones in full once, then by their number.

    >>> short_names(["fir 1", "fir 2", "maple"])
    {'fir 1': 'fir 1', 'fir 2': '2', 'maple': 'maple'}
    """
    told: set[str] = set()
    found = {}
    for name in names:
        numbered = NUMBERED.fullmatch(name)
        found[name] = name
        if numbered and numbered[1] in told:
            found[name] = numbered[2]
        elif numbered:
            told.add(numbered[1])
    return found


def haloed(
    axes: Axes,
    words: str,
    at: tuple[float, float],
    move: tuple[float, float] = (0.0, 0.0),
    align: tuple[str, str] = ("center", "center"),
    size: float = 8.0,
    colour: str = ink.INK,
    coords: str = "data",
) -> None:
    """Write words that stay readable on any ground; ``move`` in points from a place in ``coords``."""
    from matplotlib.patheffects import withStroke

    text = axes.annotate(
        words,
        at,
        move,
        xycoords=coords,
        textcoords="offset points",
        ha=align[0],
        va=align[1],
        size=size,
        color=colour,
        zorder=9,
    )
    text.set_path_effects([withStroke(linewidth=2.2, foreground=ink.PAPER)])


def heading(figure: Figure, left: float, top: float, title: str, line: str, size: float = 15.0) -> None:
    """Write a title and a line below it; ``top`` is the title's foot, as a share of the height."""
    down = 0.24 / float(figure.get_figheight())
    figure.text(left, top, title, size=size, weight="bold", family="DejaVu Serif")
    figure.text(left, top - down, line, size=9)
