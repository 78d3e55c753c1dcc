"""``noonwall new`` and ``climate``."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from noonwall.cli.main import COMMANDS
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from pathlib import Path

    from fakes.commands import Typed


@pytest.mark.parametrize("options", [[], ["--units", "us"], ["--name", "Barn of Ann"]])
def test_a_new_project_reads_well(typed: Typed, tmp_path: Path, options: list[str]) -> None:
    folder = tmp_path / "shop"
    told = typed("new", folder, *options)
    assert told.code == 0
    assert f"noonwall year {folder}" in told.out
    assert "the shop in it is a template's" in told.out
    assert [entry.name for entry in folder.iterdir()] == ["noonwall.toml"]
    checked = typed("check", folder)
    assert checked.code == 0
    assert "Nothing looks odd" in checked.out
    assert "Not your shop yet" in checked.out
    assert "(shop.part)" in checked.out


def test_a_copy_of_the_demo_is_the_demo(typed: Typed, tmp_path: Path) -> None:
    folder = tmp_path / "copy"
    told = typed("new", folder, "--demo")
    assert told.code == 0
    assert "INVENTED" in told.err
    assert (folder / "noonwall.toml").read_text() == demo_text()
    assert typed("new", tmp_path / "other", "--lived").code == 2


def test_the_lived_demo_has_a_year_of_readings_and_says_that_all_is_invented(
    typed: Typed, tmp_path: Path
) -> None:
    folder = tmp_path / "shed"
    told = typed("new", folder, "--demo", "--lived")
    assert told.code == 0
    assert f"noonwall recap {folder}" in told.out
    assert "INVENTED" in told.err
    names = sorted(entry.name for entry in folder.iterdir())
    assert names == [
        "README-invented.txt", "noonwall.toml", "readings-invented.csv", "readings-map.toml", "readings.db",
    ]  # fmt: skip
    assert "invented" in (folder / "README-invented.txt").read_text()
    assert (folder / "readings-invented.csv").read_text().startswith("Invented readings")
    checked = typed("check", folder)
    assert checked.code == 0
    assert "Nothing looks odd" in checked.out


def test_nothing_is_overwritten(typed: Typed, project: Path) -> None:
    before = (project / "noonwall.toml").read_bytes()
    told = typed("new", project)
    assert told.code == 2
    assert "there already" in told.complaint
    assert (project / "noonwall.toml").read_bytes() == before


def test_a_folder_that_cannot_be_made(typed: Typed, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert typed("new", tmp_path / "file").code == 2
    assert typed("new", tmp_path / "file" / "shop").code == 2
    assert typed("new", tmp_path / ("x" * 300)).code == 2
    assert typed("new").code == 2


def test_climate_tells_months_and_where_they_come_from(typed: Typed, project: Path) -> None:
    told = typed("climate", project)
    assert told.code == 0
    assert "THE WEATHER" in told.out
    assert "monthly figures" in told.out
    document = json.loads(typed("climate", project, "--json").out)
    assert document["schema"] == "noonwall.climate/1"
    assert len(document["months"]) == 12


def test_new_and_demo_name_every_question_there_is(typed: Typed, tmp_path: Path, quick: list[int]) -> None:
    asked = [name for name in COMMANDS if name not in {"demo", "new", "climate"}]
    own = typed("new", tmp_path / "my shop").out
    shown = typed("demo").out
    assert quick
    for name in asked:
        assert f"noonwall {name} " in own
        assert f"noonwall {name} " in shown
    assert f"noonwall year '{tmp_path}/my shop'" in own
    assert "noonwall readings add my-shop FILE..." in shown


def test_the_next_wall_begins_as_a_copy_without_readings(typed: Typed, tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    typed("new", first, "--demo")
    (first / "readings.db").write_bytes(b"kept where it is")
    (first / "learned.toml").write_text("", encoding="utf-8")
    told = typed("new", second, "--from", first)
    assert told.code == 0
    assert sorted(entry.name for entry in second.iterdir()) == ["noonwall.toml"]
    text = (second / "noonwall.toml").read_text()
    assert ", the next wall" in text
    head = text.splitlines()[0]
    assert head.startswith('# A copy of "Boat-repair shed", folder first, on ')
    assert head.endswith(": shop, site and wall as they were there, without its readings.")
    assert 'height = "2.4 m"' in text
    assert typed("new", tmp_path / "us", "--from", second, "--units", "us").code == 0
    other = (tmp_path / "us" / "noonwall.toml").read_text()
    assert other.count("# A copy of") == 1
    assert 'units = "us"' in other
    assert 'height = "2.4 m"' in other
    assert "invented" in text
    assert typed("check", second).code == 0
    assert typed("new", second, "--from", first).code == 2
    assert (second / "noonwall.toml").read_text() == text
    assert typed("new", tmp_path / "third", "--from", first, "--demo").code == 2
    assert typed("new", tmp_path / "third", "--from", tmp_path / "nowhere").code == 2


def test_a_copy_takes_the_files_with_it_that_the_project_names(typed: Typed, tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    typed("new", first, "--demo")
    file = first / "noonwall.toml"
    file.write_text(file.read_text().replace("[site]", '[site]\nhorizon_file = "south/skyline.csv"', 1))
    missing = typed("new", second, "--from", first)
    assert missing.code == 2
    assert "skyline.csv: the project names it, but it is not there" in missing.err
    assert not (second / "noonwall.toml").exists()
    (first / "south").mkdir()
    (first / "south" / "skyline.csv").write_text("0,1\n180,5\n")
    assert typed("new", second, "--from", first, "--name", "Sail loft").code == 0
    assert (second / "south" / "skyline.csv").read_text() == "0,1\n180,5\n"
    assert 'name = "Sail loft"' in (second / "noonwall.toml").read_text()
