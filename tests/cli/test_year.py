"""``noonwall year`` and ``demo``: what is printed, what is written, what is refused."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed

pytestmark = pytest.mark.usefixtures("quick")


def test_prints_the_page(typed: Typed, project: Path) -> None:
    told = typed("year", project)
    assert told.code == 0
    for part in (
        "THE WALL",
        "THE SHOP",
        "THE SHOP IN JANUARY",
        "Fuel not burned",
        "HOTTEST MOMENTS",
        "licensed trades",
    ):
        assert part in told.out


def test_json_is_one_document_and_nothing_else(typed: Typed, project: Path) -> None:
    told = typed("year", project, "--json")
    assert json.loads(told.out)["schema"] == "noonwall.year/1"
    alone = json.loads(typed("year", project, "--json", "--without-wall").out)
    assert alone["year"]["delivered_kwh"] is None


@pytest.mark.parametrize(
    ("word", "seconds"),
    [("1min", 60), ("5min", 300), ("300s", 300), ("300", 300), ("1h", 3600), ("15 min", 900), ("10s", 10)],
)
def test_step_is_read(typed: Typed, project: Path, quick: list[int], word: str, seconds: int) -> None:
    assert typed("year", project, "--step", word).code == 0
    assert quick == [seconds]


@pytest.mark.parametrize(
    "word", ["7min", "0", "2h", "-5min", "5 furlongs", "", "nan", "1e3s", "5s", "9" * 40]
)
def test_a_step_that_does_not_fit_is_refused(
    typed: Typed, project: Path, quick: list[int], word: str
) -> None:
    told = typed("year", project, f"--step={word}")
    assert told.code == 2
    assert "--step" in told.complaint
    assert quick == []


def test_files_are_written(typed: Typed, project: Path, tmp_path: Path) -> None:
    csv, png = tmp_path / "year.csv", tmp_path / "year.png"
    told = typed("year", project, "--csv", csv, "--png", png)
    assert told.code == 0
    assert csv.read_text().startswith("time,air_c,")
    assert png.read_bytes().startswith(b"\x89PNG")
    assert {entry.name for entry in tmp_path.iterdir()} == {"shop", "year.csv", "year.png"}


@pytest.mark.parametrize(
    ("option", "name", "words"),
    [
        ("--csv", "no/year.csv", "does not exist"),
        ("--png", ".", "is a folder"),
        ("--png", "year.jpeg", ".png, .svg or .pdf"),
        ("--csv", "", "is a folder"),
        ("--csv", "x" * 300, "too long"),
    ],
)
def test_a_file_that_cannot_be_written_is_refused_before_the_calculation(
    typed: Typed,
    project: Path,
    quick: list[int],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    option: str,
    name: str,
    words: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    told = typed("year", project, option, name)
    assert told.code == 2
    assert words in told.complaint
    assert quick == []
    assert [entry.name for entry in tmp_path.iterdir()] == ["shop"]


def test_without_the_wall_there_is_no_picture(typed: Typed, project: Path, tmp_path: Path) -> None:
    told = typed("year", project, "--without-wall", "--png", tmp_path / "a.png")
    assert told.code == 2
    assert "no picture to draw" in told.complaint


def test_units_by_option_and_by_environment(
    typed: Typed, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "kBtu" in typed("year", project, "--units", "us").out
    monkeypatch.setenv("NOONWALL_UNITS", "us")
    assert "kBtu" in typed("year", project).out
    assert "kBtu" not in typed("year", project, "--units", "metric").out


def test_demo_needs_nothing_and_says_what_to_do_next(
    typed: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    told = typed("demo")
    assert told.code == 0
    assert "(an invented example)" in told.out.splitlines()[0]
    assert "noonwall new my-shop" in told.out
    assert not list(tmp_path.iterdir())
    assert json.loads(typed("demo", "--json").out)["schema"] == "noonwall.year/1"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"name = ", "TOML"),
        ("name = 'x'".encode("utf-16"), "UTF-16"),
        (b"\xff\xfe\x00", "UTF-16"),
        (b"name = 'x'\x00", "zero bytes"),
        (b"name = '\xe9'", "UTF-8"),
        (b"name = 'x'", "missing keys"),
    ],
)
def test_a_broken_project_is_one_line(
    typed: Typed, project: Path, quick: list[int], content: bytes, words: str
) -> None:
    (project / "noonwall.toml").write_bytes(content)
    told = typed("year", project)
    assert told.code == 2
    assert words in told.complaint
    assert told.out == ""
    assert quick == []


def test_no_project_an_empty_folder_and_a_device_are_one_line(typed: Typed, tmp_path: Path) -> None:
    assert "no such file or folder" in typed("year", tmp_path / "nothing").complaint
    assert "no noonwall.toml in this folder" in typed("year", tmp_path).complaint
    assert typed("year", os.devnull).code == 2
    assert "missing argument" in typed("year").complaint.lower()
