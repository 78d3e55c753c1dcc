"""What of a project is still a new project's: figures that nobody has made his own yet."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project

NEAR = 1e-6  # of a value: the same figure written in another unit


class Portion(NamedTuple):
    """A portion of the description that every builder has to give."""

    name: str  # as ``mine`` in the project file names it
    told: str  # what it is
    key: str  # where it is typed in


PORTIONS = (
    Portion("place", "the place", "site.latitude"),
    Portion("room", "the room's size", "shop.length"),
    Portion("envelope", "the envelope (walls, roof, windows, doors)", "shop.part"),
    Portion("wall", "the glazed wall's size and the way it faces", "wall.width"),
)
Figures = tuple[float | None, ...]


def still_template(project: Project) -> tuple[Portion, ...]:
    """Return the portions that have just the figures of a new project and are not told to be the builder's."""
    return tuple(
        portion
        for portion in PORTIONS
        if portion.name not in project.mine
        and any(_alike(_figures(portion.name, project), known) for known in _templates(portion.name))
    )


def _alike(figures: Figures, others: Figures) -> bool:
    return len(figures) == len(others) and all(
        a == b if a is None or b is None else abs(a - b) <= NEAR * max(abs(a), abs(b), 1.0)
        for a, b in zip(figures, others, strict=True)
    )


def _figures(name: str, project: Project) -> Figures:
    return _READ[name](project)


@cache
def _templates(name: str) -> tuple[Figures, ...]:
    from noonwall.model.file import from_text  # both ask what a project is
    from noonwall.model.templates import new_text

    return tuple(_figures(name, from_text(new_text(system=system))) for system in ("metric", "us"))


def _envelope(project: Project) -> Figures:
    return tuple(
        v for part in project.shop.parts for v in (part.area_m2, part.u_w_m2k, part.r_m2k_w, part.azimuth_deg)
    )


_READ: dict[str, Callable[[Project], Figures]] = {
    "place": lambda p: (p.site.latitude_deg, p.site.longitude_deg),
    "room": lambda p: (p.shop.length_m, p.shop.width_m, p.shop.eaves_m),
    "envelope": _envelope,
    "wall": lambda p: (p.wall.width_m, p.wall.height_m, p.wall.azimuth_deg),
}
