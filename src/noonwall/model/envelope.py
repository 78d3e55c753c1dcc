"""The envelope held against the shop's size: what length, width and eaves ask for, and parts fitted to that."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from noonwall.errors import ProjectError
from noonwall.units import show, significant

if TYPE_CHECKING:
    from noonwall.model.edit import Value
    from noonwall.model.project import Project
    from noonwall.units import System

UPRIGHT = ("wall", "window", "door")
ABOVE = ("roof", "ceiling")
USUAL_RISE = 6.0 / 12.0  # of a roof whose area cannot be; common practice, no source
STEEPEST = 1.2  # rise over run; a larger roof has overhangs or counts twice
LEAST_UPRIGHT, MOST_UPRIGHT = 0.93, 1.3  # of what the sizes ask for: a lean-to's high side comes on top
LEAST_ABOVE, MOST_ABOVE = 0.98, 1.6  # of the floor: a pitch of 45 degrees has 1.41
SAME = 0.02  # nearer than this, nothing is to be fitted
FT2 = 0.3048**2


class Sizes(NamedTuple):
    """Areas as the parts have them, and as the shop's size asks for [m2]."""

    upright_m2: float  # walls, windows, doors and the glazed wall
    asked_m2: float  # length, width, eaves, and gables by the roof's pitch
    gables_m2: float  # of that
    above_m2: float  # roofs and ceilings
    floor_m2: float  # length times width
    rise: float  # of the roof over its run, by its area; 0 under a ceiling

    @property
    def closes(self) -> bool:
        """Whether walls, windows, doors and the glazed wall go round the shop."""
        return LEAST_UPRIGHT * self.asked_m2 <= self.upright_m2 <= MOST_UPRIGHT * self.asked_m2

    @property
    def covers(self) -> bool:
        """Whether roof or ceiling may cover the floor."""
        return LEAST_ABOVE * self.floor_m2 <= self.above_m2 <= MOST_ABOVE * self.floor_m2


def sizes(project: Project) -> Sizes:
    """Return the envelope's areas beside those that the shop's size asks for."""
    shop = project.shop
    above = sum(part.area_m2 for part in shop.parts if part.kind in ABOVE)
    pitched = any(part.kind == "roof" for part in shop.parts) and not _ceiling(project)
    return _sizes(project, above, _rise(above / shop.floor_m2) if pitched else 0.0)


def _sizes(project: Project, above_m2: float, rise: float) -> Sizes:
    shop = project.shop
    gables = 0.5 * min(shop.length_m, shop.width_m) ** 2 * rise  # two triangles, the ridge along the shop
    asked = 2.0 * (shop.length_m + shop.width_m) * shop.eaves_m + gables
    upright = sum(part.area_m2 for part in shop.parts if part.kind in UPRIGHT) + project.wall.area_m2
    return Sizes(upright, asked, gables, above_m2, shop.floor_m2, rise)


def _ceiling(project: Project) -> bool:
    return any(part.kind == "ceiling" for part in project.shop.parts)


def _rise(times: float) -> float:
    """Return the rise over the run of a roof of so many times the floor.

    >>> round(_rise(1.118), 2), _rise(0.9)
    (0.5, 0.0)
    """
    return min(math.sqrt(max(times, 1.0) ** 2 - 1.0), STEEPEST)


def fitted(project: Project) -> dict[str, float]:
    """Return the areas of parts that the shop's size asks for, by their keys, only those that change [m2].

    Windows, doors and the glazed wall stay; walls share what is left as they do now. A roof that may cover the
    floor stays: its pitch is the builder's; one that may not gets a usual pitch. A floor gets the floor's area.

    raises  ProjectError when there is no wall to fit, or nothing is left for it
    """
    now, shop = sizes(project), project.shop
    new: dict[str, float] = {}
    if not now.covers and now.above_m2 > 0.0:
        rise = 0.0 if _ceiling(project) else USUAL_RISE
        wanted = now.floor_m2 * math.hypot(1.0, rise)
        new |= _scaled(project, ABOVE, wanted / now.above_m2)
        now = _sizes(project, wanted, rise)
    walls = sum(part.area_m2 for part in shop.parts if part.kind == "wall")
    left = now.asked_m2 - (now.upright_m2 - walls)
    if walls <= 0.0 or left <= 0.0:
        raise ProjectError(
            "no wall is left between windows, doors and the glazed wall; type the areas yourself"
        )
    if abs(now.upright_m2 / now.asked_m2 - 1.0) > SAME:
        new |= _scaled(project, ("wall",), left / walls)
    floors = sum(part.area_m2 for part in shop.parts if part.kind == "floor")
    if floors > 0.0 and abs(floors / now.floor_m2 - 1.0) > SAME:
        new |= _scaled(project, ("floor",), now.floor_m2 / floors)
    return new


def _scaled(project: Project, kinds: tuple[str, ...], by: float) -> dict[str, float]:
    parts = enumerate(project.shop.parts, start=1)
    return {f"shop.part[{i}].area": part.area_m2 * by for i, part in parts if part.kind in kinds}


def fit_areas(text: str, system: System) -> str:
    """Return a project's text with the parts' areas as `fitted` has them.

    system  units they are written in
    raises  ProjectError as `fitted`
    """
    from noonwall.model.edit import set_values  # both ask the doubts, which ask this
    from noonwall.model.file import from_text

    new = fitted(from_text(text))
    values: dict[str, Value | None] = {key: _typed(area, system) for key, area in new.items()}
    return set_values(text, values) if values else text


def _typed(area_m2: float, system: System) -> str:
    """Return an area as a builder would type it.

    >>> _typed(80.56, "us"), _typed(80.56, "metric")
    ('867 ft2', '80.6 m2')
    """
    number = area_m2 / FT2 if system == "us" else area_m2
    return f"{significant(number)} {'ft2' if system == 'us' else 'm2'}"


def pitch_words(rise: float) -> str:
    """Return a roof's pitch as it is said on a site.

    >>> pitch_words(0.5), pitch_words(0.37)
    ('6 in 12', '4 1/2 in 12')
    """
    halves = round(24.0 * rise)
    return f"{halves // 2 or ''}{' ' if halves > 1 and halves % 2 else ''}{'1/2' if halves % 2 else ''} in 12"


def change_words(project: Project, system: System) -> str:
    """Return what fitting would change: "walls 750 ft2 to 867 ft2"; empty where nothing.

    raises  ProjectError as `fitted`
    """
    told = []
    for key, area in fitted(project).items():
        part = project.shop.parts[int(key[key.index("[") + 1 : key.index("]")]) - 1]
        told.append(f"{part.name} {show(part.area_m2, 'area', system)} to {show(area, 'area', system)}")
    return ", ".join(told)
