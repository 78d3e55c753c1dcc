"""``noonwall readings``: add, list, check, undo."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from noonwall.logs import maps

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Return a logger's file of five days, with one leap in it."""
    rows = [
        f"2025-01-{d:02d} {h:02d}:{m:02d},{-5 + h / 8:.2f},{10 + h / 10 + m / 600:.2f}"
        for d in range(1, 6)
        for h in range(24)
        for m in (0, 10, 20, 30, 40, 50)
    ]
    rows[300] = rows[300].rsplit(",", 1)[0] + ",44.00"
    path = tmp_path / "logger.csv"
    path.write_text("Time,Outdoor (C),Bench\n" + "\n".join(rows) + "\n")
    return path


MAP = ("--map", "Bench=shop at 4 ft; unit=C", "--map", "zone=UTC-5")


def test_a_file_is_told_read_listed_checked_and_taken_back(typed: Typed, project: Path, file: Path) -> None:
    told = typed("readings", "add", project, file, *MAP, "--yes")
    assert told.code == 0, told.err
    assert "  shop; unit=C; name=Bench; height=1.2192 m  (your word)" in told.out
    assert (
        "import 1, 1,440 new of 1,440 readings in 720 rows, 2025-01-01 00:00 to 2025-01-05 23:50" in told.out
    )
    assert "1 thing looks doubtful" in told.out
    assert f"noonwall readings check {project}" in told.out
    assert f"noonwall recap {project}" in told.out
    listed = typed("readings", "list", project)
    assert "logger.csv" in listed.out
    assert "Bench (shop at 1.22 m)" in listed.out
    checked = typed("readings", "check", project)
    assert checked.code == 0
    assert ": spike: Bench: 2025-01-03 02:00 to 2025-01-03 02:00: SET ASIDE" in checked.out
    assert "leaps from 10.2 to 44.0 and back" in checked.out
    little = "Only 5 days of readings: too little to judge whether two were exchanged all the time; "
    assert little in told.out and checked.out.count(little) == 1
    undone = typed("readings", "undo", project, "1")
    assert "import 1 (logger.csv) is taken back" in undone.out
    assert "no readings yet" in typed("readings", "list", project).out


def test_looking_and_refusing_leave_no_store_behind(typed: Typed, project: Path, file: Path) -> None:
    assert "no readings yet" in typed("readings", "list", project).out
    assert "no readings yet" in typed("readings", "check", project).out
    assert typed("readings", "undo", project, "1").code == 2
    assert typed("readings", "add", project, file, *MAP, "--look").code == 0
    assert typed("readings", "add", project, file, *MAP).code == 2
    assert not list(project.glob("readings*"))


def test_the_same_file_twice_adds_nothing_and_its_map_is_remembered(
    typed: Typed, project: Path, file: Path
) -> None:
    typed("readings", "add", project, file, *MAP, "--yes")
    assert (project / maps.FILE).exists()
    again = typed("readings", "add", project, file, "--yes")
    assert again.code == 0
    assert "read already, as import 1; nothing was added" in again.out
    document = json.loads(typed("readings", "list", project, "--json").out)
    assert document["schema"] == "noonwall.readings/1"
    assert [item["id"] for item in document["imports"]] == [1]
    assert {item["role"] for item in document["channels"]} == {"outdoor", "shop"}


def test_the_builder_has_the_last_word_on_a_finding(typed: Typed, project: Path, file: Path) -> None:
    typed("readings", "add", project, file, *MAP, "--yes")
    document = json.loads(typed("readings", "check", project, "--json").out)
    assert document["schema"] == "noonwall.findings/1"
    (finding,) = document["findings"]
    assert document["too_little"].startswith("Only 5 days of readings: too little")
    assert finding["set_aside"]
    told = typed("readings", "check", project, "--use", str(finding["id"]))
    assert "used as they are" in told.out
    assert "used as they are" in typed("readings", "check", project).out
    assert "no finding 99" in typed("readings", "check", project, "--use", "99").complaint


def test_nothing_is_read_without_a_yes(typed: Typed, project: Path, file: Path) -> None:
    told = typed("readings", "add", project, file, *MAP)
    assert told.code == 2
    assert "nothing was read; look at how it is understood, then say --yes" in told.complaint
    assert "Outdoor" in told.out
    assert typed("readings", "add", project, file, *MAP, "--look").code == 0
    assert not (project / "readings.db").exists()


def test_what_the_file_leaves_open_is_asked_in_one_line(typed: Typed, project: Path, tmp_path: Path) -> None:
    path = tmp_path / "open.csv"
    path.write_text("Time,Shop\n" + "\n".join(f"3/2/2025 {h}:00,{h}" for h in range(24)))
    told = typed("readings", "add", project, path, "--yes")
    assert told.code == 2
    assert "day first or month first" in told.complaint
    assert "--map 'dates=dmy'" in told.complaint
    assert told.out.count("must be answered") == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "nowhere.csv", "--yes"), "no such file"),
        (("add", "noonwall.toml", "--yes"), "noonwall.toml"),
        (("undo", "4"), "there is no import 4; imports are none"),
    ],
)
def test_what_cannot_be_gets_one_line(
    typed: Typed, project: Path, words: tuple[str, ...], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(project)
    told = typed("readings", words[0], ".", *words[1:])
    assert told.code == 2
    assert said in told.complaint


def test_headings_that_play_with_the_terminal_are_disarmed(
    typed: Typed, project: Path, tmp_path: Path
) -> None:
    path = tmp_path / "sly.csv"
    path.write_text("Time (UTC),\x1b[2JShop (C)\n" + "\n".join(f"2025-02-01 {h}:00,{h}" for h in range(24)))
    told = typed("readings", "add", project, path, "--yes")
    assert told.code == 0
    assert "\x1b" not in told.out
