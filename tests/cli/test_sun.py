"""``noonwall sun``, ``cuts`` and ``awning``: what they print and write, what they refuse, how they stop."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from fakes import suns
from fakes.projects import plain_text

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed

COMMANDS = ("sun", "cuts", "awning")


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, ...]]:
    """Put what was calculated once in place of new calculations; the list tells what was asked for."""
    calls: list[tuple[object, ...]] = []

    def remembered(answer):
        def ask(*words, **named):
            calls.append((*words[2:], named))
            return answer()

        return ask

    monkeypatch.setattr("noonwall.studies.sunlight.sunlight", remembered(suns.demo_sun))
    monkeypatch.setattr("noonwall.studies.trees.rank_cuts", remembered(suns.demo_cuts))
    monkeypatch.setattr("noonwall.studies.awning.awning_curve", remembered(suns.demo_awning))
    return calls


@pytest.mark.usefixtures("asked")
@pytest.mark.parametrize("command", COMMANDS)
def test_page_and_document(typed: Typed, project: Path, command: str) -> None:
    page = typed(command, project)
    assert page.code == 0
    assert page.out.startswith("Boat-repair shed (an invented example)")
    document = typed(command, project, "--json")
    assert document.code == 0
    assert json.loads(document.out)["schema"] == f"noonwall.{command}/1"
    assert "kBtu" in typed(command, project, "--units", "us").out


@pytest.mark.usefixtures("asked")
def test_pictures_go_into_a_folder_that_is_made(
    typed: Typed, project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("noonwall.report.ink.DPI", 60)
    folder = tmp_path / "pictures"
    assert typed("sun", project, "--png", folder).code == 0
    assert {file.name for file in folder.iterdir()} == {"sky.png", "carpet.png", "plan.png", "months.png"}
    curve = tmp_path / "curve.svg"
    assert typed("awning", project, "--png", curve).code == 0
    assert b"<svg" in curve.read_bytes()


@pytest.mark.usefixtures("asked")
def test_pictures_take_the_place_of_older_ones(
    typed: Typed, project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("noonwall.report.sun_figures.sun_pictures", lambda *_: {"sky.png": lambda: b"new"})
    (tmp_path / "sky.png").write_bytes(b"old")
    assert typed("sun", project, "--png", tmp_path).code == 0
    assert (tmp_path / "sky.png").read_bytes() == b"new"


def test_options_reach_the_study(typed: Typed, project: Path, asked: list[tuple[object, ...]]) -> None:
    assert typed("sun", project, "--date", "12-21 14:30", "--years-on", "5").code == 0
    when, years, _ = asked[-1]
    assert (when.month, when.day, when.minute, years) == (12, 21, 870, 5.0)
    assert typed("cuts", project, "--way", "top", "--top", "20 ft", "--thin", "30 %", "--most", "3").code == 0
    wanted = asked[-1][0]
    assert (wanted.way, wanted.thin, wanted.most) == ("top", 0.3, 3)
    assert abs(wanted.top_m - 6.096) < 1e-6
    assert typed("awning", project, "--keep", "0.8", "--of", "modules", "--points", "5").code == 0
    assert asked[-1][:4] == (0.8, "modules", 0.0, 5)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("sun", "--date", "2-30"), "no such day"),
        (("sun", "--date", "noon"), "month-day"),
        (("sun", "--date", "2-29"), "29 February"),
        (("sun", "--date", "2-5 25:00"), "no time of day"),
        (("sun", "--years-on", "-1"), "--years-on"),
        (("sun", "--years-on", "nan"), "--years-on"),
        (("sun", "--png", "{project}/noonwall.toml"), "is a file"),
        (("sun", "--png", "no/such"), "does not exist"),
        (("cuts", "--way", "fell"), "'out', 'top', 'thin'"),
        (("cuts", "--top", "5 kg"), "wanted a length"),
        (("cuts", "--top", "900 m"), "outside"),
        (("cuts", "--thin", "150 %"), "outside"),
        (("cuts", "--most", "0"), "--most"),
        (("awning", "--keep", "120"), "outside"),
        (("awning", "--keep", "much"), "share"),
        (("awning", "--png", "curve.jpeg"), ".png, .svg or .pdf"),
    ],
    ids=str,
)
def test_a_wrong_word_is_one_line_before_anything_is_calculated(
    typed: Typed,
    project: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    asked: list[tuple[object, ...]],
    words: tuple[str, ...],
    told: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    command, *options = (word.replace("{project}", str(project)) for word in words)
    found = typed(command, project, *options)
    assert found.code == 2
    assert told in found.complaint
    assert asked == []


TREE = '\n[[obstacle]]\nkind = "tree"\nname = "oak"\nform = "broadleaf"\nheight = 8\ncrown_width = 4\n'
ROW = (
    '\n[[obstacle]]\nkind = "row"\nname = "spruces"\nform = "conifer"\nline = [[-9, -20], [9, -20]]\nspacing = 3\n'
    "height_low = 9\nheight_high = 12\n"
)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("added", "told"),
    [
        (TREE + "east = 0\nnorth = 4\n", "stands inside the shop"),
        (ROW + "crown_width = 5\n", "do not fit 3 m apart"),
        (TREE + "bearing = 170\ndistance = 20\n", "no standing point"),
        (TREE + 'bearing = 170\ndistance = 20\nfrom = "gate"\n', "no standing point"),
        (TREE.replace("oak", "fir 1") + "east = 0\nnorth = -30\n", "is there already"),
    ],
    ids=["in the shop", "wide crowns", "from nowhere", "unknown point", "two names"],
)
def test_a_site_that_cannot_be_is_one_line_with_its_place(
    typed: Typed, project: Path, asked: list[tuple[object, ...]], command: str, added: str, told: str
) -> None:
    with (project / "noonwall.toml").open("a") as file:
        file.write(added)
    found = typed(command, project)
    assert found.code == 2
    assert told in found.complaint
    assert "noonwall.toml:" in found.complaint
    assert asked == []


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            'ground = "grass"',
            'ground = "grass"\nhorizon = [[90, 5], [180, 8], [270, 4]]',
            "does not go round",
        ),
        ('lower_edge_above_glazing = "-0.5 m"', 'lower_edge = "-1 m"', "below the ground"),
    ],
    ids=["horizon", "modules"],
)
def test_a_horizon_with_a_hole_and_buried_modules(
    typed: Typed, project: Path, asked: list[tuple[object, ...]], command: str, old: str, new: str, told: str
) -> None:
    file = project / "noonwall.toml"
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))
    found = typed(command, project)
    assert found.code == 2
    assert told in found.complaint
    assert asked == []


def test_a_name_that_hangs_nowhere(typed: Typed, project: Path) -> None:
    found = typed("awning", project, "--of", "sail")
    assert found.code == 2
    assert 'there is "modules"' in found.complaint


@pytest.mark.parametrize(
    ("command", "study"),
    [("sun", "sunlight.sunlight"), ("cuts", "trees.rank_cuts"), ("awning", "awning.awning_curve")],
)
def test_ctrl_c_is_told_and_leaves_nothing(
    typed: Typed, project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str, study: str
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(f"noonwall.studies.{study}", stopped)
    found = typed(command, project)
    assert found.code == 130
    assert "stopped" in found.complaint
    assert found.out == ""
    assert {entry.name for entry in tmp_path.iterdir()} == {"shop"}


def test_a_wall_without_trees_or_modules_for_real(
    typed: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("noonwall.studies.trees.STEP_S", 3600)
    folder = tmp_path / "plain"
    folder.mkdir()
    (folder / "noonwall.toml").write_text(plain_text())
    sun = json.loads(typed("sun", folder, "--json").out)
    assert [item["name"] for item in sun["obstacles"]] == ["overhang"]
    assert sun["months"][0]["pv_kwh"] is None
    cuts = typed("cuts", folder)
    assert cuts.code == 0
    assert "Nothing grows on this site that could be cut" in cuts.out
