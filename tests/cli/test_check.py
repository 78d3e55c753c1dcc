"""``noonwall check``: mistakes, doubts, assumptions."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from fakes.commands import Typed


def edit(project: Path, old: str, new: str) -> None:
    file = project / "noonwall.toml"
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new, 1))


def test_a_good_project_reads_well_and_tells_what_is_assumed(typed: Typed, project: Path) -> None:
    told = typed("check", project)
    assert told.code == 0
    assert "reads well" in told.out
    assert "wall.leakage" in told.out
    assert "no source" in told.out
    document = json.loads(typed("check", project, "--json").out)
    assert document["schema"] == "noonwall.check/1"
    assert any(entry["key"] == "wall.frame.share" for entry in document["assumed"])


def test_one_mistake_is_one_line(typed: Typed, project: Path) -> None:
    edit(project, 'latitude = "46.1 N"', 'latitude = "461 N"')
    told = typed("check", project)
    assert told.code == 2
    assert "site.latitude" in told.complaint
    assert told.out == ""


def test_many_mistakes_are_listed_and_summed_up_in_one_line(typed: Typed, project: Path) -> None:
    edit(project, 'latitude = "46.1 N"', 'latitude = "461 N"')
    edit(project, 'gap = "90 mm"', 'gap = "90 kg"')
    told = typed("check", project)
    assert told.code == 2
    assert "2 things to mend" in told.complaint
    assert "wall.gap" not in told.complaint
    assert len(told.out.splitlines()) == 2
    assert "wall.gap" in told.out


def test_what_looks_odd_stops_nothing(typed: Typed, project: Path) -> None:
    edit(project, 'azimuth = "8 deg east of south"', 'azimuth = "north"')
    told = typed("check", project)
    assert told.code == 0
    assert "LOOKS ODD" in told.out
    assert "wall.azimuth" in told.out


def test_units_of_the_reader(typed: Typed, project: Path) -> None:
    assert "50 °F" in typed("check", project, "--units", "us").out


def test_the_project_file_names_the_units_and_the_typed_word_goes_before_it(
    typed: Typed, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(project, "schema_version = 1", 'schema_version = 1\nunits = "us"')
    assert "50 °F" in typed("check", project).out
    assert "50 °F" not in typed("check", project, "--units", "Metric").out
    monkeypatch.setenv("NOONWALL_UNITS", "metric")
    assert "50 °F" not in typed("check", project).out
    monkeypatch.setenv("NOONWALL_UNITS", "feet")
    assert "NOONWALL_UNITS is 'feet'" in typed("check", project).complaint


def test_the_ten_that_move_the_answer_come_first(typed: Typed, project: Path) -> None:
    short, whole = typed("check", project).out, typed("check", project, "--all").out
    before, _, after = short.partition("AND OF LESS WEIGHT")
    assert "site.horizon" in before
    assert "switch[1].lag" in after
    assert len(short.splitlines()) < len(whole.splitlines()) - 30
    assert "catalogue of fan curves" in whole


def test_a_weather_file_is_opened(typed: Typed, project: Path) -> None:
    with (project / "noonwall.toml").open("a") as stream:
        stream.write('\n[weather]\nfile = "year.epw"\n')
    told = typed("check", project)
    assert told.code == 2
    assert "year.epw: no such file" in told.complaint
