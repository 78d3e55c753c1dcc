"""How hot each piece of the wall gets in the worst credible hours, held against what its material bears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from noonwall.assess.pieces import pieces_of

if TYPE_CHECKING:
    from noonwall.assess.pieces import Piece
    from noonwall.engine.inside import Inside
    from noonwall.engine.numbers import Floats
    from noonwall.model.cases import Case
    from noonwall.model.limits import Limit
    from noonwall.model.project import Project

MONTHS = 12
WEEK_S = 7 * 86400
Verdict = Literal["above", "about at", "below"]


@dataclass(frozen=True)
class PieceHeat:
    """One piece in one case."""

    piece: Piece
    hottest_c: float
    time: np.datetime64  # beginning of the step in which it came
    by_month_c: tuple[float, ...]  # hottest hour of each month, January first
    usual_c: float  # hottest in a usual year with the case all year
    year_hours: tuple[
        float, ...
    ]  # hours above each of the piece's limits in a usual year with the case all year


@dataclass(frozen=True)
class CaseHeat:
    """All pieces in one case."""

    case: Case
    pieces: tuple[PieceHeat, ...]
    accepted: bool  # by the builder

    @property
    def worst_month(self) -> int:
        """Month, 1 to 12, in which the absorber's face is hottest."""
        face = next(heat for heat in self.pieces if heat.piece.name.startswith("absorber"))
        return int(np.argmax(face.by_month_c)) + 1


@dataclass(frozen=True)
class Standing:
    """One limit of one piece, held against the worst case it meets."""

    piece: Piece
    limit: Limit
    case: Case  # in which the piece is hottest
    hottest_c: float
    margin_k: float  # limit less hottest, negative above
    sure_k: float  # the model's own uncertainty of that temperature
    year_hours: float  # above the limit in a usual year with that case all year
    usual_hours: float  # above the limit in a usual year with everything as described
    verdict: Verdict


def heat_of(
    project: Project,
    case: Case,
    worst: Inside,
    usual: Inside,
    accepted: bool,
    only_week: bool = False,
) -> CaseHeat:
    """Return how hot each piece gets in a case.

    worst  run over the worst credible days;  usual  run over the project's own weather, the case all along
    only_week  count the hours of the worst seven days of the usual year, for what lasts no longer
    """
    number = worst.time.astype("datetime64[M]").astype(int) % MONTHS
    heats = []
    for piece in pieces_of(project):
        values, year = piece.of(worst), piece.of(usual)
        at = int(np.argmax(values))
        months = tuple(float(values[number == m].max()) for m in range(MONTHS))
        hours = tuple(hours_above(year, limit.value_c, usual.step_s, only_week) for limit in piece.limits)
        heats.append(PieceHeat(piece, float(values[at]), worst.time[at], months, float(year.max()), hours))
    return CaseHeat(case, tuple(heats), accepted)


def hours_above(values: Floats, limit_c: float, step_s: int, only_week: bool = False) -> float:
    """Return the hours above a temperature, all of them or those of the worst seven days in a row."""
    above = (values > limit_c).astype(float) * step_s / 3600.0
    if not only_week:
        return float(above.sum())
    span = min(len(above), WEEK_S // step_s)
    total = np.concatenate([[0.0], np.cumsum(above)])
    return float((total[span:] - total[:-span]).max())


def standings(
    cases: tuple[CaseHeat, ...], sure_k: dict[str, float], project: Project
) -> tuple[Standing, ...]:
    """Return each limit of each piece of a project against the hottest of some cases.

    cases    of the same wall;  sure_k  the model's uncertainty of each piece, by its name
    project  whose pieces are judged: the same wall, perhaps with another frame
    """
    found = []
    for place, piece in enumerate(pieces_of(project)):
        for i, limit in enumerate(piece.limits):
            worst = max(cases, key=lambda one: one.pieces[place].hottest_c)
            heat = worst.pieces[place]
            margin, sure = limit.value_c - heat.hottest_c, sure_k.get(heat.piece.name, 0.0)
            verdict: Verdict = "above" if margin < -sure else "below" if margin > sure else "about at"
            usual = cases[0].pieces[place].year_hours
            same = len(heat.year_hours) == len(piece.limits)
            hours = (heat.year_hours[i], usual[i]) if same else (0.0, 0.0)
            found.append(Standing(piece, limit, worst.case, heat.hottest_c, margin, sure, *hours, verdict))
    return tuple(found)


def breaches(cases: tuple[CaseHeat, ...]) -> tuple[tuple[Case, Piece, Limit], ...]:
    """Return every published limit that is exceeded, case by case, those the builder accepted left out."""
    return tuple(
        (one.case, heat.piece, limit)
        for one in cases
        if not one.accepted
        for heat in one.pieces
        for limit in heat.piece.limits
        if limit.published and heat.hottest_c > limit.value_c
    )
