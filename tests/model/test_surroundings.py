"""What cannot stand around a wall is told in one line, with the key to mend."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fakes.projects import plain_text
from noonwall.errors import ProjectError
from noonwall.model import file
from noonwall.model.fields import ABSENT, facts_of, record_in
from noonwall.model.project import Project
from noonwall.model.surroundings import check_site, site_faults

if TYPE_CHECKING:
    from pathlib import Path

DEMO = plain_text()


def tree(**changes: str) -> str:
    keys = {
        "kind": '"tree"', "form": '"conifer"', "name": '"fir"', "east": "2", "north": "-20", "height": "12",
        "crown_width": "5",
    } | changes  # fmt: skip
    return "\n[[obstacle]]\n" + "".join(f"{k} = {v}\n" for k, v in keys.items() if v != "-")


def row(**changes: str) -> str:
    keys = {
        "kind": '"row"', "form": '"conifer"', "name": '"spruces"', "line": "[[-9, -20], [9, -20]]",
        "spacing": "4", "height_low": "9", "height_high": "12", "crown_width": "3.5",
    } | changes  # fmt: skip
    return "\n[[obstacle]]\n" + "".join(f"{k} = {v}\n" for k, v in keys.items() if v != "-")


def stand(**changes: str) -> str:
    keys = {
        "kind": '"stand"', "form": '"conifer"', "name": '"belt"', "line": "[[-9, -20], [9, -20]]",
        "depth": "5", "height_low": "9", "height_high": "12",
    } | changes  # fmt: skip
    return "\n[[obstacle]]\n" + "".join(f"{k} = {v}\n" for k, v in keys.items() if v != "-")


def modules(**changes: str) -> str:
    keys = {
        "name": '"modules"', "columns": "6", "tilt": "40", "along": "0", "out": "1.6", "lower_edge": "2.4",
    } | changes  # fmt: skip
    return "\n[[pv]]\n" + "".join(f"{k} = {v}\n" for k, v in keys.items() if v != "-")


POINT = '\n[[standing_point]]\nname = "stake"\neast = 1\nnorth = -2\n'
SIGHTED = {"east": "-", "north": "-", "bearing": "172", "distance": "25"}
THING = '\n[[obstacle]]\nname = "thing"\n'
HOUSE = THING + 'kind = "building"\nroof = "gable"\neast = 0\nnorth = -30\nwidth = 5\nlength = 4\n'
MAGNETIC = SIGHTED | {"from": '"stake"', "bearing_is": '"magnetic"'}

CASES = [
    (tree(east="0", north="4"), "obstacle[1]:", "stands inside the shop"),
    (row(crown_width='"6 m"'), "obstacle[1].crown_width:", "do not fit 4 m apart"),
    (tree(**SIGHTED), "obstacle[1]:", "has a bearing but no standing point"),
    (tree(**MAGNETIC) + POINT, "obstacle[1]:", "magnetic declination"),
    (tree() + tree(), "obstacle[2].name:", "is there already"),
    (modules(lower_edge='"-30 cm"'), "pv[1].lower_edge:", "below the ground"),
    (modules(name='"fir"') + tree(), "pv[1].name:", "obstacle's name already"),
    (tree(name='"overhang"'), "obstacle[1].name:", "take another"),
    (modules(strings="[[1, 2, 9]]"), "pv[1].strings:", "no module 9"),
    (modules(strings="[[1, 2], [2, 3]]"), "pv[1].strings:", "wired twice"),
    (modules(lower_edge="-"), "pv[1].lower_edge:", "give either"),
    (tree(east="-"), "obstacle[1]:", "half a place"),
    (tree(along="1", out="9"), "obstacle[1]:", "two places"),
    (tree(height="-"), "obstacle[1]:", "no height"),
    (tree(species='"bananna"'), "obstacle[1]:", "in the catalogue"),
    (tree(form="-"), "obstacle[1]:", "neither species nor form"),
    (tree(crown_base="13"), "obstacle[1].crown_base:", "not below the top"),
    (tree(crown_base="3", topped="2"), "obstacle[1].topped:", "nothing of the crown"),
    (tree(passes_in_leaf="0.3", passes_bare="0.2"), "obstacle[1].passes_bare:", "swapped"),
    (tree(leaf_out='"13-01"'), "obstacle[1].leaf_out:", "write a date like Feb 15"),
    (row(height_low="14"), "obstacle[1].height_low:", "swapped"),
    (row(line="[[1, -20]]"), "obstacle[1].line:", "two points"),
    (stand(depth="-"), "obstacle[1]:", "needs a line"),
    (stand(outline="[[1, -9], [2, -9], [2, -12]]"), "obstacle[1].outline:", "keep one"),
    (HOUSE + "eaves = 3\n", "obstacle[1].ridge:", "missing"),
    (HOUSE + "eaves = 3\nridge = 2.5\n", "obstacle[1].ridge:", "below the eaves"),
    (THING + 'kind = "awning"\ndepth = 0.5\ngap = 0.6\n', "obstacle[1].depth:", "more than gap"),
    (THING + 'kind = "wing wall"\nend = "left"\ndepth=1\nbottom = 3\ntop = 2\n', "obstacle[1].top:", "above"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "key", "said"), CASES, ids=[f"{c[1]} {c[2]}" for c in CASES])
def test_surroundings_that_cannot_be_are_refused_in_one_line(text: str, key: str, said: str):
    with pytest.raises(ProjectError) as caught:
        file.from_text(DEMO + text)
    told = str(caught.value)
    assert "\n" not in told
    assert told.startswith("noonwall.toml:")
    assert key in told
    assert said in told


@pytest.mark.parametrize(
    ("points", "gap"), [("[[90, 5], [180, 8], [270, 4]]", "270 and 90"), ("[[0, 10]]", "0 and 0")]
)
def test_a_skyline_must_go_round(points: str, gap: str):
    with pytest.raises(ProjectError) as caught:
        file.from_text(DEMO.replace("[site]\n", f"[site]\nhorizon = {points}\n"))
    assert f"no point between {gap} deg" in str(caught.value)
    round_one = "[[0, 0], [90, 5], [180, 8], [270, 4]]"
    assert file.from_text(DEMO.replace("[site]\n", f"[site]\nhorizon = {round_one}\n")).site.horizon


ROUND = "azimuth;elevation\n# seen from the wall\n0;2\n90;5\n180;8.5\n270;4\n"


def put(folder: Path, skyline: str, more: str = "") -> None:
    (folder / "noonwall.toml").write_text(
        DEMO.replace("[site]\n", f'[site]\nhorizon_file = "sky.csv"\n{more}')
    )
    (folder / "sky.csv").write_text(skyline)


@pytest.mark.parametrize("separator", [";", ",", "\t", "  "])
def test_a_skyline_may_stand_in_its_own_file(tmp_path: Path, separator: str):
    put(tmp_path, ROUND.replace(";", separator))
    assert file.load(tmp_path).site.horizon == ((0.0, 2.0), (90.0, 5.0), (180.0, 8.5), (270.0, 4.0))


@pytest.mark.parametrize(
    ("skyline", "said"),
    [
        ("", "empty"),
        ("azimuth,elevation\n", "no points"),
        ("90,5\n180,8\n270,4\n", "does not go round"),
        ("0,1\n-90,5\n", "sky.csv:2: azimuth -90 is outside 0-360"),
        ("0,1\n90,95\n", "sky.csv:2: elevation 95"),
        ("0,1\n90\n", "sky.csv:2: wanted two numbers"),
        ("0,1\n90,five\n", "sky.csv:2: wanted two numbers"),
        ("0,1\n90,nan\n", "sky.csv:2: elevation nan"),
        ("0,1\n90,5\n90,6\n", "sky.csv:3: azimuth 90 deg is there twice"),
    ],
)
def test_a_skyline_file_that_does_not_read_is_refused_in_one_line(tmp_path: Path, skyline: str, said: str):
    put(tmp_path, skyline)
    with pytest.raises(ProjectError) as caught:
        file.load(tmp_path)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_skyline_has_one_place(tmp_path: Path):
    put(tmp_path, ROUND, "horizon = [[0, 0], [90, 5], [180, 8], [270, 4]]\n")
    with pytest.raises(ProjectError, match="keep one of the two"):
        file.load(tmp_path)
    (tmp_path / "noonwall.toml").write_text(DEMO.replace("[site]\n", '[site]\nhorizon_file = "none.csv"\n'))
    with pytest.raises(ProjectError, match=r"none\.csv"):
        file.load(tmp_path)


def test_what_can_be_passes():
    text = DEMO + tree() + row() + stand(name='"wood"') + modules() + HOUSE + "eaves = 3\nridge = 4.5\n"
    project = file.from_text(text)
    assert list(site_faults(project)) == []
    check_site(project)


def test_a_project_made_in_code_is_checked_the_same_way():
    good = file.from_text(DEMO + tree())
    inside = good.obstacles[0].model_copy(update={"north_m": 5.0, "east_m": 0.0})
    with pytest.raises(ProjectError, match=r"obstacle\[1\]: .*inside the shop"):
        check_site(good.model_copy(update={"obstacles": (inside,)}))


@pytest.mark.parametrize("key", ["obstacle", "pv", "standing_point"])
def test_every_default_has_a_reason_and_a_source(key: str):
    field = next(f for f in Project.model_fields.values() if f.alias == key)
    for kind in record_in(field).classes:
        for facts in map(facts_of, kind.model_fields.values()):
            assert len(facts.doc) >= 6, facts.key
            if facts.default is not ... and facts.source != ABSENT:
                assert len(facts.why) >= 4, (kind, facts.key)
                assert len(facts.source) >= 8, (kind, facts.key)
