"""What is said first of the hottest hours: a usual year's, the worst credible ones, and what wood there bears."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.reader import grouped
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.assess.hot import CaseHeat, PieceHeat, Standing
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy

SLIGHT_K = 1.0


def face_of(case: CaseHeat) -> PieceHeat:
    """Return the absorber's face, the hottest piece of a wall in the sun."""
    return next(heat for heat in case.pieces if heat.piece.name.startswith("absorber"))


def case_words(case: str) -> str:
    """Return a case as it stands in a sentence: "the vents blocked by stock"."""
    return {
        "as described": "everything working",
        "fans dead": "the fans dead",
        "fans stuck on": "the fans stuck on",
        "switch dead": "the switch dead",
        "flap stuck open": "the flap stuck open",
        "flap stuck shut": "the flap stuck shut",
        "vents blocked": "the vents blocked by stock",
        "cover forgotten": "the cover forgotten",
        "power out for a week": "the power out for a week",
    }[case]


def lead_words(study: HotStudy, reader: Reader) -> list[str]:
    """Return in two sentences what the wall does in a usual year, and what the worst hour makes of it."""
    base, worst = study.cases[0], _worst(study)
    usual, described, hottest = (
        reader.degrees_text(c) for c in (study.usual_c, face_of(base).hottest_c, face_of(worst).hottest_c)
    )
    month, summer = MONTHS[worst.worst_month - 1], 6 if study.worst.project.site.latitude_deg >= 0.0 else 0
    now = f"In the hottest hour of a usual year, with everything working, the absorber reaches {usual}"
    there = f"The worst hour comes in {month}: with {case_words(worst.case)} the absorber reaches {hottest}"
    said = [
        f"{now}; in the worst credible hour, {described}.",
        f"{there}, and what stands at the wall has to bear that hour too.",
    ]
    warm = max(face_of(case).by_month_c[summer] for case in study.cases)
    if month != MONTHS[summer] and face_of(worst).hottest_c - warm > SLIGHT_K:
        high = "the sun stands too high then for an upright wall"
        said[1] += f" In {MONTHS[summer]} no case goes beyond {reader.degrees_text(warm)}: {high}."
    return said


def lead_figures(study: HotStudy, reader: Reader) -> list[dict[str, str]]:
    """Return the few figures that tell it at a glance, each with name, value and note."""
    base, worst = study.cases[0], _worst(study)
    found = [
        _figure("hottest hour of a usual year", study.usual_c, "everything working", reader),
        _figure("worst credible hour", face_of(base).hottest_c, "everything working", reader),
    ]
    if worst is not base:
        note = f"{case_words(worst.case)}, in {MONTHS[worst.worst_month - 1]}"
        found.append(_figure("worst credible hour", face_of(worst).hottest_c, note, reader))
    if wood := _wood(study):
        hours = f"{grouped(wood.usual_hours)} h above it in a usual year"
        found.append(_figure(f"limit in lasting heat, {wood.piece.label}", wood.limit.value_c, hours, reader))
    return found


def _figure(name: str, celsius: float, note: str, reader: Reader) -> dict[str, str]:
    return {"name": name, "value": reader.degrees_text(celsius), "note": note}


def _worst(study: HotStudy) -> CaseHeat:
    return max(study.cases, key=lambda case: face_of(case).hottest_c)


def _wood(study: HotStudy) -> Standing | None:
    """Return the lowest published limit of lasting heat of what burns at the absorber, where it is passed."""
    wood = [one for one in study.standings if one.piece.burns and one.piece.holds]
    lasting = [one for one in wood if one.limit.published and one.limit.nature == "lasting"]
    over = [one for one in lasting if one.margin_k < 0.0]
    return min(over, key=lambda one: one.limit.value_c, default=None)
