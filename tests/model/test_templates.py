"""The projects to start from: they read, their notes are true, and nothing is ever overwritten."""

from __future__ import annotations

import re

import pytest
from pytest import approx

from noonwall.errors import NoonwallError, OutputError
from noonwall.model import file
from noonwall.model.templates import create, demo_text, new_text

SYSTEMS = ("metric", "us")


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_fresh_project_reads_and_raises_no_doubts(system):
    text = new_text("My shop", system)
    assert file.doubts_about(file.from_text(text), text) == []
    assert "|" not in re.sub(r"#.*", "", text)
    assert "{" not in text


def test_both_systems_describe_about_the_same_shop():
    metric, us = (file.from_text(new_text("x", s)) for s in SYSTEMS)
    assert us.shop.length_m == approx(metric.shop.length_m, rel=0.03)
    assert us.wall.area_m2 == approx(metric.wall.area_m2, rel=0.04)
    assert us.wall.gap_m == approx(metric.wall.gap_m, rel=0.04)
    assert us.switches[0].close == approx(metric.switches[0].close, abs=0.5)
    assert us.shop.parts[0].r_m2k_w == approx(metric.shop.parts[0].r_m2k_w, rel=0.03)


def uncommented(text):
    """Take the mark off every line that holds a key, one whole block at a time."""
    lines = text.split("\n")
    out = []
    for line in lines:
        found = re.match(r"# (\[+[a-z_.]+\]+|[a-z_0-9]+ = .*)", line)
        out.append(found[1] if found and not found[1].startswith("volume") else line)
    return "\n".join(out)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_note_that_shows_a_key_is_true(system):
    text = uncommented(new_text("x", system))
    text = text.replace('file = "weather.epw"', "seed = 1")
    project, problems = file.examine(text)
    assert problems == []
    # Witness: 0.0012 inches of water are 0.2989 Pa by the conventional column (SP 811), as near as two digits come.
    assert project.wall.flap.opening_pa == (0.3 if system == "metric" else pytest.approx(0.2989, abs=1e-4))
    assert project.shop.comfort.limit_c == approx(20.0, abs=0.1)
    assert project.site.snow_albedo == file.from_text(new_text()).site.snow_albedo


@pytest.mark.parametrize("name", ['Jo\'s "big" shop', "Åse's båthus", "a\\b", "x" * 200])
def test_any_name_that_prints_is_kept(name):
    assert file.from_text(new_text(name)).name == name


def test_creating_makes_the_folder_and_names_the_project_after_it(tmp_path):
    path = create(tmp_path / "a" / "my shop")
    assert path.read_text() == new_text("my shop")
    assert file.load(tmp_path / "a" / "my shop").name == "my shop"
    assert create(tmp_path / "demo", demo=True).read_text() == demo_text()


def test_nothing_is_overwritten(tmp_path):
    create(tmp_path, name="first")
    with pytest.raises(OutputError, match="is there already"):
        create(tmp_path, demo=True)
    assert file.load(tmp_path).name == "first"


def test_other_files_in_the_folder_stay(tmp_path):
    (tmp_path / "weather.epw").write_text("w")
    create(tmp_path, name="x")
    assert (tmp_path / "weather.epw").read_text() == "w"


def test_places_that_cannot_be_are_told(tmp_path):
    (tmp_path / "file").write_text("")
    for folder in (tmp_path / "file", tmp_path / "file" / "deeper", "a\0b", "/proc/nowhere/x"):
        with pytest.raises(NoonwallError) as caught:
            create(folder, name="x")
        assert "\n" not in str(caught.value)


@pytest.mark.parametrize("name", ["", " ", "a\nb", "x" * 201])
def test_names_that_are_none_write_nothing(tmp_path, name):
    with pytest.raises(NoonwallError):
        create(tmp_path / "new", name=name)
    assert not (tmp_path / "new").exists()


def test_the_demo_says_that_it_is_invented():
    assert "Invented" in demo_text().split("\n")[0]
    assert file.from_text(demo_text()).invented


# Witness: by hand, 9.6 x 12.8 m, eaves 3.4 m, roof rising 6 in 12 (2.4 m): gable 9.6 (3.4 + 1.2) = 44.16 m2,
# side 43.52 m2, roof 12.8 x 9.6 / cos 26.565 deg = 137.4 m2, volume 122.88 (3.4 + 1.2) = 565.2 m3.
def test_the_demos_envelope_closes():
    project = file.from_text(demo_text())
    area = {part.name: part.area_m2 for part in project.shop.parts}
    assert area["roof"] == approx(137.4, abs=0.1)
    assert project.shop.air_m3 == approx(565.2, abs=0.5)
    upright = sum(area.values()) - area["roof"] + project.wall.area_m2
    assert upright == approx(2 * 44.16 + 2 * 43.52, abs=0.3)


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_fresh_project_names_the_units_it_was_asked_for(system):
    assert file.from_text(new_text("x", system)).units == system
