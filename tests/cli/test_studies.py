"""``night``, ``comfort``, ``hot``, ``compare``, ``circuit``: what they print and write, when they refuse."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from fakes import studies
from fakes.projects import plain_text

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed

COMMANDS = ("night", "comfort", "hot", "compare", "circuit")
ACCEPTED = (
    "as described",
    "fans dead",
    "fans stuck on",
    "switch dead",
    "vents blocked",
    "power out for a week",
)


@pytest.fixture
def plain_project(tmp_path: Path) -> Path:
    folder = tmp_path / "plain"
    folder.mkdir()
    (folder / "noonwall.toml").write_text(plain_text())
    return folder


@pytest.fixture
def remembered(monkeypatch: pytest.MonkeyPatch, quick: list[int]) -> None:
    """Put the studies that were calculated once in place of new ones, and an invented year for the circuit."""
    del quick
    monkeypatch.setattr("noonwall.studies.hot.hot_study", lambda *_: studies.hot_of_plain())
    monkeypatch.setattr("noonwall.studies.night.night_study", lambda *_: studies.night_of_plain())
    monkeypatch.setattr("noonwall.studies.comfort.comfort_study", lambda *_: studies.comfort_of_plain())
    monkeypatch.setattr("noonwall.studies.compare.compare_study", lambda *_: studies.compare_of_plain())


@pytest.mark.usefixtures("remembered")
@pytest.mark.parametrize("command", COMMANDS)
def test_page_document_and_picture(typed: Typed, plain_project: Path, tmp_path: Path, command: str) -> None:
    ends = 1 if command == "hot" else 0
    page = typed(command, plain_project)
    assert page.code == ends
    assert page.out.startswith("Boat-repair shed")
    document = typed(command, plain_project, "--json")
    assert document.code == ends
    assert json.loads(document.out)["schema"] == f"noonwall.{command}/1"
    picture = tmp_path / "a.png"
    assert typed(command, plain_project, "--png", picture).code == ends
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert "°F" in typed(command, plain_project, "--units", "us").out


@pytest.mark.usefixtures("remembered")
def test_hot_ends_with_1_for_what_is_not_accepted(
    typed: Typed, plain_project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dataclasses import replace

    assert typed("hot", plain_project).code == 1
    told = replace(studies.hot_of_plain(), breaches=())
    monkeypatch.setattr("noonwall.studies.hot.hot_study", lambda *_: told)
    page = typed("hot", plain_project)
    assert page.code == 0
    assert "No published limit is exceeded in a case that is not accepted" in " ".join(page.out.split())


def test_accepted_cases_are_read_from_the_project(plain_project: Path) -> None:
    from noonwall import load

    file = plain_project / "noonwall.toml"
    file.write_text(f"{plain_text()}\n[hot]\naccepted = {list(ACCEPTED)}\n")
    assert load(plain_project).hot.accepted == ACCEPTED


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--png", "no/a.png", "does not exist"),
        ("--png", "a.jpeg", ".png, .svg or .pdf"),
        ("--units", "ells", "ells"),
    ],
)
def test_options_that_do_not_fit_are_one_line(
    typed: Typed, plain_project: Path, monkeypatch: pytest.MonkeyPatch, command: str, option: str,
    value: str, words: str,
) -> None:  # fmt: skip
    monkeypatch.chdir(plain_project)
    extra = ["--variant", "flap"] if command == "compare" else []
    told = typed(command, plain_project, *extra, option, value)
    assert told.code == 2
    assert words in told.complaint


@pytest.mark.parametrize("command", COMMANDS)
def test_a_broken_project_and_none_are_one_line(typed: Typed, tmp_path: Path, command: str) -> None:
    assert "no such file or folder" in typed(command, tmp_path / "nothing").complaint
    (tmp_path / "noonwall.toml").write_text('name = "x"\n')
    told = typed(command, tmp_path)
    assert told.code == 2
    assert "missing keys" in told.complaint


BROKEN = [
    ('[hot]\naccepted = ["fan dead"]\n', "no case is called"),
    ('[hot]\naccepted_for = [["fan dead", "2026-03-01", "frame"]]\n', "no case is called"),
    ('[hot]\naccepted_for = [["fans dead", "1 March", "frame"]]\n', "is no date"),
    ('[hot]\naccepted_for = [["fans dead", "2026-03-01"]]\n', "hot.accepted_for"),
    ('[[variant]]\nname = "x"\n', "is empty"),
    ('[[variant]]\nname = "x"\nchange = "flap"\n', "variant"),
    ('[[switch]]\nname = "c"\nkind = "clock"\n', "needs hours"),
    ('[[switch]]\nname = "c"\nkind = "clock"\nhours = [["9", "12:00"]]\n', "no hour of the day"),
    ('[[switch]]\nname = "c"\nkind = "clock"\nhours = [["09:00", "09:00"]]\n', "no time at all"),
    ('[[switch]]\nname = "c"\nkind = "light"\nclose_sun = 200\nopen_sun = 300\n', "not below close_sun"),
    ('[[switch]]\nname = "c"\nkind = "by hand"\ndays = [["13-01", "02-01"]]\n', "no day of the year"),
    ('[[switch]]\nname = "c"\nkind = "by hand"\ndays = [["01-01", "02-01"]]\nclose = "40 C"\n', "means nothing"),
    ('[[switch]]\nname = "c"\nclose = "40 C"\nopen = "30 C"\nheight = "3 m"\n', "senses the room"),
    ('[[switch]]\nname = "c"\nkind = "open on rise"\nspot = "room"\nclose = "20 C"\nopen = "22 C"\nheight = "20 m"\n',
     "above the roof"),
    ('[circuit]\nwire = "2.5 mm2"\nwire_gauge = 14\n', "keep one of the two"),
    ('[wall.cover]\ntake_down_below = "10 C"\n', "nothing says when it is hung"),
    ('[wall.cover]\nhang_above = "10 C"\ntake_down_below = "12 C"\n', "not below hang_above"),
    ('[wall.cover]\nhot_days = 9\n', "outside 1-7"),
    ('[wall.frame]\nstuds = "kryptonite"\n', "no material called"),
]  # fmt: skip


@pytest.mark.parametrize(("added", "words"), BROKEN)
def test_what_does_not_fit_in_the_project_is_one_line(
    typed: Typed, plain_project: Path, added: str, words: str
) -> None:
    file = plain_project / "noonwall.toml"
    text = plain_text()
    text = text[: text.index("# Other ways")] if "[[variant]]" in added else text
    file.write_text(text + "\n" + added)
    told = typed("check", plain_project)
    assert told.code == 2
    assert words in told.err + told.out


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--variant", "flup"], 'nearest is "flap"'),
        (["--variant", "wall.gap=9 m"], "outside 0.01-0.6 m"),
        (["--variant", ""], "empty change"),
        (["--variant", "flap"] * 8, "wanted 1 to 7"),
        (["--variant", "flap", "--step", "7min"], "divides an hour"),
    ],
)
def test_variants_that_do_not_fit_are_one_line(
    typed: Typed, plain_project: Path, words: list[str], complaint: str
) -> None:
    told = typed("compare", plain_project, *words)
    assert told.code == 2
    assert complaint in told.err


def test_without_any_variant_compare_says_how_to_name_one(typed: Typed, plain_project: Path) -> None:
    file = plain_project / "noonwall.toml"
    file.write_text(plain_text()[: plain_text().index("# Other ways")])
    told = typed("compare", plain_project)
    assert told.code == 2
    assert "--remedies" in told.complaint


@pytest.mark.parametrize("years", ["2", "41", "many"])
def test_comfort_takes_three_to_forty_years(typed: Typed, plain_project: Path, years: str) -> None:
    assert typed("comfort", plain_project, "--years", years).code == 2
