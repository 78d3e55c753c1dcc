"""What to do about a hot wall: what is above its limit, what lowers it, what is lived with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes import studies
from fakes.projects import plain, plain_text
from noonwall.engine.simulate import simulate
from noonwall.model.file import from_text
from noonwall.model.project import Hot, Project
from noonwall.report.hot_document import hot_document
from noonwall.report.hot_page import findings, hot_page
from noonwall.report.hot_sheet import touch_words
from noonwall.report.hot_steps import hot_steps, limits_heat_wall
from noonwall.report.reader import Reader
from noonwall.studies.adopt import adopted
from noonwall.studies.hot import with_accepted
from noonwall.studies.reliefs import (
    CLEAR,
    COVER,
    METAL,
    NO_LIMIT,
    SEASONAL,
    TALL,
    VENT,
    WOOL,
    Relief,
    relief_changes,
)
from noonwall.studies.remedies import with_room_limit

METRIC, US = Reader("metric"), Reader("us")


@pytest.mark.parametrize("reader", [METRIC, US])
def test_what_is_above_a_limit_comes_with_what_lowers_it(reader: Reader) -> None:
    steps = hot_steps(studies.hot_of_plain(), plain(), reader)
    assert any(line.startswith("frame (softwood): ") and reader.degree in line for line in steps["over"])
    names = [relief["name"] for relief in steps["reliefs"]]
    assert names[0] == METAL
    assert all(relief["changes"] or relief["by_hand"] for relief in steps["reliefs"])
    assert not any(" K " in relief["told"] for relief in steps["reliefs"]) or reader is METRIC
    assert {"case", "told", "accepted", "pieces", "needless"} == set(steps["cases"][0])


@pytest.mark.parametrize("reader", [METRIC, US])
def test_a_usual_year_is_told_first_then_the_worst_hour(reader: Reader) -> None:
    study = studies.hot_of_plain()
    usual, described, worst, wood = hot_steps(study, plain(), reader)["lead"]
    assert (usual["name"], usual["note"]) == ("hottest hour of a usual year", "everything working")
    assert described["name"] == worst["name"] == "worst credible hour"
    shown = [int(figure["value"].split()[0]) for figure in (usual, described, worst)]
    assert shown == sorted(set(shown))
    assert wood["name"] == "limit in lasting heat, frame (softwood)"
    assert wood["value"] == reader.degrees_text(77.0)
    assert "h above it in a usual year" in wood["note"]
    first, second = findings(study, plain(), reader)[:2]
    assert first.index(usual["value"]) < first.index(described["value"])
    assert "everything working" in first
    assert worst["value"] in second
    usual_c = simulate(plain(), studies.plain_weather(), 300).peaks.absorber_c.value_c
    assert usual["value"] == reader.degrees_text(usual_c)  # as the key figures of the year tell it


def test_a_cool_wall_has_nothing_to_do() -> None:
    cool = tuple(replace(one, margin_k=5.0) for one in studies.hot_of_plain().standings)
    steps = hot_steps(replace(studies.hot_of_plain(), standings=cool), plain(), METRIC)
    assert steps["over"] == steps["reliefs"] == []


@pytest.mark.parametrize("name", [METAL, TALL])
def test_a_relief_goes_into_the_file_in_one_piece(name: str) -> None:
    before = from_text(plain_text())
    after = from_text(adopted(plain_text(), name, relief_changes(name, before)))
    if name == METAL:
        assert after.wall.frame.material == after.wall.frame.stud_material == "steel sheet"
    else:
        # Twice as high, within what the wall has room for.
        assert after.wall.vents.top.height_m == pytest.approx(2.0 * before.wall.vents.top.height_m, abs=1e-3)


def test_what_no_key_makes_has_no_change() -> None:
    assert relief_changes(WOOL, plain()) == ()
    assert relief_changes(NO_LIMIT, plain()) == ("room limit=none",)


def test_a_room_limit_that_heats_the_wall_is_named_with_both_temperatures() -> None:
    study = studies.hot_of_plain()
    cooler = replace(study.reliefs.described, face_c=study.reliefs.described.face_c - 20.0)
    ways = (*study.reliefs.ways, Relief(NO_LIMIT, cooler, study.reliefs.worst))
    said = " ".join(findings(replace(study, reliefs=replace(study.reliefs, ways=ways)), plain(), US))
    assert "The room limit keeps the shop cooler but the wall hotter" in said
    assert (
        f"{US.degrees_text(study.reliefs.described.face_c)} with it, {US.degrees_text(cooler.face_c)} without"
        in said
    )
    assert "room limit" not in " ".join(findings(study, plain(), US))


def test_air_too_hot_for_usual_fans_is_told_but_decides_nothing() -> None:
    study = studies.hot_of_plain()
    (told,) = (
        line for line in hot_steps(study, plain(), US)["unsure"] if line.startswith("air in the gap: ")
    )
    # Witness: limits.toml, "fans and plain cable": 60 degrees C, seen from memory.
    assert "fans and plain cable: 140 °F. Not a published limit" in told
    assert "read the plate of your fan" in told
    assert "air in the gap" not in {piece.name for _, piece, _ in study.breaches}
    page = str(hot_page(study, plain(), studies.plain_weather(), US))
    assert "† above a figure from memory, not published" in page
    assert told.split(";")[0] in " ".join(page.split())


def test_a_piece_says_which_kind_of_limit_it_is_above() -> None:
    document = hot_document(studies.hot_of_plain(), studies.plain_weather())
    above = {piece["piece"]: piece["above"] for case in document["cases"] for piece in case["pieces"]}
    assert above["air in the gap"] == "memory"
    assert "published" in above.values()
    accepted = [replace(case, accepted=True) for case in studies.hot_of_plain().cases]
    same = hot_document(replace(studies.hot_of_plain(), cases=tuple(accepted)), studies.plain_weather())
    assert [c["pieces"] for c in same["cases"]] == [c["pieces"] for c in document["cases"]]


def test_what_helps_only_when_something_fails_begins_with_that() -> None:
    found = studies.hot_of_plain().reliefs
    cooler = replace(found.worst, face_c=found.worst.face_c - 40.0)
    ways = (Relief(CLEAR, found.described, cooler),)
    study = replace(studies.hot_of_plain(), reliefs=replace(found, ways=ways))
    (relief,) = hot_steps(study, plain(), METRIC)["reliefs"]
    assert relief["told"].startswith("Absorber 40 K cooler with ")
    assert relief["told"].endswith("nothing cooler with everything working.")


def test_a_sheet_that_can_touch_the_absorber_is_told_of_among_the_findings() -> None:
    study = studies.hot_of_plain()
    assert study.sheet is not None
    roomy = replace(study, sheet=replace(study.sheet, gap_m=10.0))
    assert touch_words(roomy, METRIC) == []
    narrow = replace(study, sheet=replace(study.sheet, gap_m=0.001, tight_bow_m=0.05))
    (told,) = touch_words(narrow, METRIC)
    assert "bow into the absorber" in told
    assert "50 mm set tight" in told
    assert told.split(":")[0] in str(hot_page(narrow, plain(), studies.plain_weather(), METRIC))


def test_the_wall_pays_for_a_room_limit_on_its_fans() -> None:
    limited = with_room_limit(plain())
    assert limits_heat_wall(limited) == bool(plain().fans)
    assert not limits_heat_wall(limited.model_copy(update={"fans": ()}))


def test_dead_fans_that_change_nothing_are_told_with_what_stopped_them() -> None:
    study, limited = studies.hot_of_plain(), with_room_limit(plain())
    dead = next(case for case in study.cases if case.case == "fans dead")
    cases = tuple(
        replace(dead, case=case.case) if case.case == "as described" else case for case in study.cases
    )
    found = replace(study.reliefs.described, face_c=study.reliefs.described.face_c - 20.0)
    ways = (Relief(NO_LIMIT, found, study.reliefs.worst),)
    same = replace(study, cases=cases, reliefs=replace(study.reliefs, ways=ways))
    assert '"room limit", the limit on its warmth, has stopped them' in " ".join(findings(same, limited, US))
    none = replace(same, reliefs=replace(study.reliefs, ways=()))
    assert "they do not run then as it is" in " ".join(findings(none, plain(), US))


def test_a_cover_stands_last_where_the_worst_hour_wants_its_heat() -> None:
    reliefs = hot_steps(studies.hot_of_plain(), plain(), US)["reliefs"]
    names = [relief["name"] for relief in reliefs]
    assert set(names[-2:]) <= {COVER, VENT} or names[-1] in SEASONAL
    cover = next(relief for relief in reliefs if relief["name"] == COVER)
    assert "when the worst hours come" in cover["by_hand"]
    assert "the usual warm season" in cover["by_hand"]


def _accepting(rows: tuple[tuple[str, str, str], ...]) -> Project:
    return plain().model_copy(update={"hot": Hot(accepted=("as described",), accepted_for=rows)})


def test_what_was_accepted_stays_in_sight_with_day_and_limit() -> None:
    study, case = studies.hot_of_plain(), "as described"
    pieces = next(c["pieces"] for c in hot_steps(study, plain(), US)["cases"] if c["case"] == case)
    project = _accepting(tuple((case, "2026-03-01", piece) for piece in pieces))
    judged = with_accepted(study, project.hot)
    steps = hot_steps(judged, project, US)
    (told,) = steps["accepted"]
    assert told.startswith("as described: accepted by you on March 1, 2026: ")
    assert "limit " in told
    assert told in " ".join(str(hot_page(judged, project, studies.plain_weather(), US)).split())
    assert next(c for c in steps["cases"] if c["case"] == case)["accepted"]
    assert case not in {name for name, _, _ in judged.breaches}


def test_an_acceptance_counts_for_its_own_pieces_only() -> None:
    study = studies.hot_of_plain()
    project = _accepting((("as described", "2026-03-01", "frame (oak)"),))
    judged = with_accepted(study, project.hot)
    (told,) = hot_steps(judged, project, US)["accepted"]
    assert told.endswith("The warning stands.")
    assert "for frame (oak), not for " in told
    assert "as described" in {name for name, _, _ in judged.breaches}


def test_an_acceptance_of_what_no_longer_gets_too_hot_is_told_as_needless() -> None:
    study = studies.hot_of_plain()
    cool = tuple(
        replace(one, pieces=tuple(replace(heat, hottest_c=20.0) for heat in one.pieces))
        for one in study.cases
    )
    project = _accepting((("as described", "2026-03-01", "frame (softwood)"),))
    judged = with_accepted(replace(study, cases=cool), project.hot)
    steps = hot_steps(judged, project, US)
    assert "for frame (softwood), no longer needed" in steps["accepted"][0]
    assert [(c["case"], c["needless"]) for c in steps["cases"]] == [("as described", True)]
