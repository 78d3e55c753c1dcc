"""What to do about a wall that gets too hot: what is above its limit, what lowers it, which cases are lived with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.report.hot_accepted import accepted_cases, accepted_words
from noonwall.report.hot_lead import lead_figures
from noonwall.report.phrases import kelvins, listed, measure
from noonwall.studies.reliefs import (
    CLEAR,
    COVER,
    METAL,
    SEASONAL,
    WOOL,
    WOOL_M,
    outside_season,
    relief_changes,
)
from noonwall.studies.remedies import cover_season, room_limits
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy
    from noonwall.studies.reliefs import Heat, Relief

LEAST_K = 1.0
ROOM_LIMIT = "The room limit keeps the shop cooler but the wall hotter: it stops the fans while the sun is on the wall."
NOTHING = "nothing cooler"
PLATE = {
    "service": "read the plate of your fan and the print on your cable",
    "touch": "keep bare hands off it",
}
BY_HAND = {
    CLEAR: "Done in the shop: a rail or a grate that keeps stock away from the vents. Nothing to enter for it.",
    WOOL: "Done when the wall is built. It cannot be entered: studs are taken to touch the absorber.",
}


def hot_steps(study: HotStudy, project: Project, reader: Reader) -> dict[str, Any]:
    """Return what a page offers beside the worst hours.

    Returns  lead     the few figures that tell it at a glance: name, value, note
             over     what is above a published limit: sentences, none where nothing is
             unsure   what is above a figure that nobody published: sentences
             reliefs  what lowers it, most effective first: name, told, changes (for the project), by_hand
             cases    failures with something above a published limit, and accepted ones, as `accepted_cases`
             accepted what the project accepts: a sentence for each case, with its figures
    """
    over = _over(study, reader)
    return {
        "lead": lead_figures(study, reader),
        "over": over,
        "unsure": unsure(study, reader),
        "reliefs": [_relief(way, study, project, reader) for way in _useful(study)] if over else [],
        "cases": accepted_cases(study, project, reader),
        "accepted": accepted_words(study, project, reader),
    }


def limits_heat_wall(project: Project) -> bool:
    """Return whether a room limit can stop fans that would cool the wall."""
    return bool(project.fans and room_limits(project))


def _over(study: HotStudy, reader: Reader) -> list[str]:
    """Return each piece that is above a published limit, by the lowest one, with its worst case."""
    worst: dict[str, str] = {}
    for one in study.standings:
        if one.margin_k < 0.0 and one.limit.published:
            degrees = [reader.degrees_text(c) for c in (one.hottest_c, one.limit.value_c)]
            text = (
                f"{one.piece.label}: {degrees[0]} ({one.case}), its limit {degrees[1]} ({one.limit.nature})"
            )
            worst.setdefault(one.piece.label, text)
    return list(worst.values())


def unsure(study: HotStudy, reader: Reader) -> list[str]:
    """Return what gets above a figure from memory: it decides nothing, but deserves a look."""
    said = []
    for one in study.standings:
        if one.margin_k >= 0.0 or one.limit.published:
            continue
        usual = next(h.hottest_c for h in study.cases[0].pieces if h.piece.name == one.piece.name)
        hottest, limit, described = (
            reader.degrees_text(c) for c in (one.hottest_c, one.limit.value_c, usual)
        )
        now = f"{described} as described, " if one.case != "as described" else ""
        whose = one.limit.source.removeprefix("from memory: ").split(";")[0]
        look = PLATE.get(one.limit.nature, "ask the maker")
        said.append(
            f"{one.piece.label}: {now}{hottest} ({one.case}); {one.limit.name}: {limit}. "
            f"Not a published limit but from memory ({whose}): {look}."
        )
    return said


def _useful(study: HotStudy) -> list[Relief]:
    found = study.reliefs

    def helps(old: Heat, new: Heat) -> bool:
        pairs = ((old.face_c, new.face_c), (old.frame_c, new.frame_c), (old.studs_c, new.studs_c))
        return any(was is not None and (now is None or was - now >= LEAST_K) for was, now in pairs)

    return [
        way for way in found.ways if helps(found.described, way.described) or helps(found.worst, way.worst)
    ]


def _relief(way: Relief, study: HotStudy, project: Project, reader: Reader) -> dict[str, Any]:
    found = study.reliefs
    if way.name == METAL:
        told = "no wood stands in the hot zone any more; metal carries heat inward, to what it is screwed to"
    else:
        described = _cooler(found.described, way.described, reader)
        parts = [
            (described, "everything working"),
            (_cooler(found.worst, way.worst, reader), found.worst_case),
        ]
        parts.sort(key=lambda part: part[0] == NOTHING)
        told = "; ".join(f"{cooler} with {case}" for cooler, case in parts)
    name = (
        f"mineral wool, {measure(WOOL_M, reader)}, between absorber and studs"
        if way.name == WOOL
        else way.name
    )
    return {
        "name": name,
        "told": f"{told[:1].upper()}{told[1:]}.",
        "changes": relief_changes(way.name, project),
        "by_hand": BY_HAND.get(way.name, "") or _in_season(way.name, study, project, reader),
    }


def _in_season(name: str, study: HotStudy, project: Project, reader: Reader) -> str:
    """Return in which month a cover would have to hang, or a gap stand open, to help in the worst hours."""
    if name not in SEASONAL:
        return ""
    worst = next(case for case in study.cases if case.case == study.reliefs.worst_case)
    worst_months = {study.cases[0].worst_month, worst.worst_month}
    months = listed([MONTHS[month - 1] for month in sorted(worst_months)])
    does = "hang" if name == COVER else "stand open"
    said = f"It would have to {does} in {months}, when the worst hours come"
    if not outside_season(project, worst_months):
        return f"{said}. What it costs in heat stands on the page Too warm."
    days = " and ".join(f"{reader.day_text(a)} to {reader.day_text(b)}" for a, b in cover_season(project))
    whose = "its dates in the project" if project.wall.cover.hung else "the usual warm season"
    return (
        f"{said}, and the shop commonly wants that heat. From {days} ({whose}) it does not {does} then. "
        "More on the page Too warm."
    )


def _cooler(old: Heat, new: Heat, reader: Reader) -> str:
    """Return "absorber 33 K cooler, frame 33 K cooler"; hotter where it is, `NOTHING` for no difference."""
    pairs = (
        ("absorber", old.face_c, new.face_c),
        ("frame", old.frame_c, new.frame_c),
        ("studs", old.studs_c, new.studs_c),
    )
    said = [
        f"{name} {kelvins(abs(was - now), reader)} {'cooler' if was > now else 'hotter'}"
        for name, was, now in pairs
        if was is not None and now is not None and abs(was - now) >= LEAST_K
    ]
    return ", ".join(said) or NOTHING
