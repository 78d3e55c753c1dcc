"""What to do about a hot wall: what is above its limit, what lowers it, what is lived with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes import studies
from fakes.projects import plain, plain_text
from noonwall.model.file import from_text
from noonwall.report.hot_page import findings
from noonwall.report.hot_steps import hot_steps
from noonwall.report.reader import Reader
from noonwall.studies.adopt import adopted
from noonwall.studies.reliefs import METAL, NO_LIMIT, TALL, WOOL, Relief, relief_changes

METRIC, US = Reader("metric"), Reader("us")


@pytest.mark.parametrize("reader", [METRIC, US])
def test_what_is_above_a_limit_comes_with_what_lowers_it(reader: Reader) -> None:
    steps = hot_steps(studies.hot_of_plain(), plain(), reader)
    assert any(line.startswith("frame (softwood): ") and reader.degree in line for line in steps["over"])
    names = [relief["name"] for relief in steps["reliefs"]]
    assert names[0] == METAL
    assert all(relief["changes"] or relief["by_hand"] for relief in steps["reliefs"])
    assert not any(" K " in relief["told"] for relief in steps["reliefs"]) or reader is METRIC
    assert {"case", "told", "accepted"} == set(steps["cases"][0])


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
    said = " ".join(findings(replace(study, reliefs=replace(study.reliefs, ways=ways)), US))
    assert "The room limit keeps the shop cooler but the wall hotter" in said
    assert (
        f"{US.degrees_text(study.reliefs.described.face_c)} with it, {US.degrees_text(cooler.face_c)} without"
        in said
    )
    assert "room limit" not in " ".join(findings(study, US))
