"""What a builder has accepted of the worst hours: it stays in sight with its figures for as long as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.report.phrases import listed
from noonwall.studies.accepting import given_for, pieces_over

if TYPE_CHECKING:
    from noonwall.assess.hot import CaseHeat, PieceHeat
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy


def figures_of(case: CaseHeat, reader: Reader) -> str:
    """Return what is above a published limit in a case: "frame (softwood) 252 °F, limit 150 °F"; empty for nothing."""
    return "; ".join(
        f"{heat.piece.label} {reader.degrees_text(heat.hottest_c)}, limit {reader.degrees_text(limit)}"
        for heat in case.pieces
        if (limit := _limit_c(heat)) is not None
    )


def accepted_words(study: HotStudy, project: Project, reader: Reader) -> list[str]:
    """Return a sentence for each case that the project accepts: with its figures, or that it is no longer needed."""
    cases: dict[str, CaseHeat] = {case.case: case for case in study.cases}
    return [_told(name, cases.get(name), project, reader) for name in dict.fromkeys(project.hot.accepted)]


def accepted_cases(study: HotStudy, project: Project, reader: Reader) -> list[dict[str, Any]]:
    """Return the cases with something above a published limit, and those accepted that no longer have anything.

    Each is  case, told, accepted, pieces (above a limit), needless (accepted, with nothing above a limit).
    """
    found = []
    for case in study.cases:
        pieces, kept = pieces_over(case), case.case in project.hot.accepted
        if pieces or kept:
            told = figures_of(case, reader) or "nothing is above a published limit any more"
            yes = case.accepted if pieces else kept
            found.append(
                {"case": case.case, "told": told, "accepted": yes, "pieces": pieces, "needless": not pieces}
            )
    return found


def _told(name: str, case: CaseHeat | None, project: Project, reader: Reader) -> str:
    given = given_for(project.hot, name)
    when = f" on {reader.day_text(given[0], year=True)}" if given else ""
    by = f"{name}: accepted by you{when}"
    over = pieces_over(case) if case is not None else []
    if case is None or not over:
        pieces = f" for {listed(list(given[1]))}" if given else ""
        return f"{by}{pieces}, no longer needed: nothing is above a published limit in it. Its tick can go."
    if not case.accepted and given:
        new = listed([piece for piece in over if piece not in given[1]])
        return f"{by} for {listed(list(given[1]))}, not for {new}: {figures_of(case, reader)}. The warning stands."
    return f"{by}: {figures_of(case, reader)}."


def _limit_c(heat: PieceHeat) -> float | None:
    """Return the lowest published limit that a piece is above, None for none."""
    return min(
        (x.value_c for x in heat.piece.limits if x.published and heat.hottest_c > x.value_c), default=None
    )
