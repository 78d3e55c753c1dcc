"""What a room limit makes of the wall: its hottest face in the worst credible hour, with the limit and without it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from noonwall.assess.pieces import pieces_of
from noonwall.engine.inside import simulate_inside
from noonwall.studies.hot import with_dated_cover
from noonwall.studies.remedies import changed, room_limits, without_room_limit
from noonwall.studies.runner import Tell, silent, together
from noonwall.studies.worst import STEP_S, WorstYear, worst_year

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project


@dataclass(frozen=True)
class LimitHeat:
    """The absorber's hottest credible hour with everything working, as the study of the worst hours has it."""

    with_c: float
    without_c: float


def limit_heat(project: Project, weather: Weather, tell: Tell = silent) -> LimitHeat | None:
    """Return how hot the absorber gets with the project's room limit and without it; None where none stops fans.

    project  as described;  weather  a whole year;  tell  (done, of)
    """
    if not (project.fans and room_limits(project)):
        return None
    dated = with_dated_cover(project, weather)
    worst = worst_year(dated, weather)
    ways = (dated, without_room_limit(dated))
    limited, free = together([partial(_face_c, way, worst) for way in ways], tell)
    return LimitHeat(limited, free)


def _face_c(project: Project, worst: WorstYear) -> float:
    placed = changed(project, site=worst.project.site)
    face = next(piece for piece in pieces_of(project) if piece.name.startswith("absorber"))
    return float(face.of(simulate_inside(placed, worst.weather, STEP_S)).max())
