"""Variants in words: every remedy and key does what it says; anything else is one plain line."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from fakes.projects import plain_text
from noonwall.errors import ProjectError
from noonwall.model.edit import set_value
from noonwall.model.file import from_text, with_files
from noonwall.studies.change import changed_by, remedy_words, toml_value, varied
from noonwall.studies.compare import REMEDIES

if TYPE_CHECKING:
    from pathlib import Path

TEXT = plain_text()
PLAIN = from_text(TEXT)
QUIET = settings(max_examples=150, deadline=None, derandomize=True)


def project(written: str):
    return varied(TEXT, written).project


WORDS = [
    ("flap", lambda p: p.wall.flap.leak_share == 0.03),
    ("flap=none", lambda p: p.wall.flap is None),
    ("flap=5 %", lambda p: p.wall.flap.leak_share == approx(0.05)),
    ("flap=top", lambda p: p.wall.flap.row == "top"),
    ("shutters", lambda p: p.wall.vents.shut_hours == (("17:00", "08:00"),)),
    ("shutters=20:00..6:30", lambda p: p.wall.vents.shut_hours == (("20:00", "6:30"),)),
    ("room limit", lambda p: [s.name for s in p.switches] == ["gap switch", "room limit"]),
    ("room limit=75 F", lambda p: p.switches[-1].open == approx(23.889, abs=0.001)),
    ("room limit + room limit=none", lambda p: [s.name for s in p.switches] == ["gap switch"]),
    ("fans=off", lambda p: p.circuit.fans == "off"),
    ("cover", lambda p: p.wall.cover.hung == (("05-01", "09-15"),)),
    ("cover=06-01..08-31", lambda p: p.wall.cover.hung == (("06-01", "08-31"),)),
    ("cover=none", lambda p: p.wall.cover.hung == ()),
    ("vent out", lambda p: p.wall.summer_vent.top_area_m2 == approx(0.18) and p.wall.vents.closed),
    ("metal frame", lambda p: p.wall.frame.stud_material == "steel sheet"),
    ("metal frame=aluminium sheet", lambda p: p.wall.frame.material == "aluminium sheet"),
    ("overhang=2 ft", lambda p: p.wall.overhang.depth_m == approx(0.6096)),
    ("overhang=none", lambda p: p.wall.overhang is None),
    (
        "vent out=top",
        lambda p: p.wall.summer_vent.bottom_area_m2 == 0.0 and p.wall.summer_vent.top_area_m2 > 0.1,
    ),
    ("awning", lambda p: [(o.depth_m, o.hung) for o in p.obstacles] == [(1.0, (("05-01", "09-15"),))]),
    ("awning=4 ft + awning=none", lambda p: p.obstacles == ()),
    ("wall.gap=120 mm", lambda p: p.wall.gap_m == approx(0.12)),
    ("wall.flap.leak=0.1", lambda p: p.wall.flap.leak_share == 0.1),
    ("fan[1].count=2", lambda p: p.fans[0].count == 2),
    ("wall.vents.closed=[['05-01','09-15']]", lambda p: p.wall.vents.closed == (("05-01", "09-15"),)),
    ("shop.heater=none", lambda p: p.shop.heater is None),
    ("wall.glazing.kind=float glass 4 mm + flap", lambda p: p.wall.flap and "glass" in p.wall.glazing.kind),
]


@pytest.mark.parametrize(("written", "held"), WORDS, ids=[w for w, _ in WORDS])
def test_words_do_what_they_say(written: str, held) -> None:
    changed = project(written)
    assert held(changed)


def test_a_name_may_stand_before_a_colon() -> None:
    found = varied(TEXT, "wide: wall.gap=120 mm + shutters=17:00..8:00")
    assert found.name == "wide"
    assert found.changes == ("wall.gap=120 mm", "shutters=17:00..8:00")
    assert varied(TEXT, "shutters=17:00..8:00").name == "shutters=17:00..8:00"


def test_what_is_not_named_stays_as_it_is() -> None:
    assert project("wall.gap=90 mm") == PLAIN
    assert project("flap").model_copy(update={"wall": PLAIN.wall}) == PLAIN


def test_the_usual_remedies_all_fit_the_demo() -> None:
    for name, pieces in REMEDIES:
        assert changed_by(TEXT, name, pieces).project != PLAIN


def test_variants_of_the_demo_read() -> None:
    assert PLAIN.variants[0].name == "flap"
    for one in PLAIN.variants:
        changed_by(TEXT, one.name, one.change)


FAULTS = [
    ("", "empty change"),
    ("flap+", "empty change"),
    ("flup", 'nearest is "flap"'),
    ("kryptonite", "there are flap"),
    ("flap=7", "no share from 0 to 1"),
    ("flap=wood", "share"),
    ("wall.gap", "has no value"),
    ("wall.gap=", "has no value"),
    ("wall.gap=9 m", "outside 0.01-0.6 m"),
    ("wall.gab=90 mm", "nearest is wall.gap"),
    ("fan[9].count=1", "no such entry"),
    ("fan[1].count=9", "5 openings"),
    ("room limit=900 C", "outside its range"),
    ("room limit=22 m", "no temperature"),
    ("cover=05-01", "from..to"),
    ("cover=02-30..04-01", "no day of the year"),
    ("shutters=25:00..1:00", "no hour of the day"),
    ("fans=maybe", "fans=off"),
    ("overhang=99 m", "outside its range"),
    ("metal frame=kryptonite", "no material"),
    ("shop.heater.setpoint=none", "missing key"),
    ("site.latitude=120", "outside"),
    ("wall=1", "a key has a dot in it"),
    ("a: b: c", "no remedy"),
    ("x" * 500, "no remedy"),
    ("flap=\x00", "share"),
]


@pytest.mark.parametrize(("written", "words"), FAULTS, ids=[w[:30] or "nothing" for w, _ in FAULTS])
def test_anything_else_is_one_line(written: str, words: str) -> None:
    with pytest.raises(ProjectError) as caught:
        project(written)
    line = str(caught.value)
    assert words in line
    assert line.startswith("variant ")
    assert "\n" not in line
    assert len(line) < 1500


@given(
    st.one_of(
        st.text(max_size=40), st.builds("{}={}".format, st.sampled_from(remedy_words()), st.text(max_size=12))
    )
)
@QUIET
def test_any_words_are_a_project_or_one_line(written: str) -> None:
    try:
        varied(TEXT, written)
    except ProjectError as error:
        assert "\n" not in str(error)


def test_values_read_as_the_file_would_read_them() -> None:
    assert toml_value("0.3") == 0.3
    assert toml_value("true") is True
    assert toml_value("120 mm") == "120 mm"
    assert toml_value('"120 mm"') == "120 mm"
    assert toml_value("[1, 2]") == [1, 2]
    assert toml_value("{ a = 1 }") == "{ a = 1 }"
    assert toml_value("2001-01-01") == "2001-01-01"


def test_a_way_of_a_project_with_a_skyline_file_keeps_its_skyline(tmp_path: Path) -> None:
    (tmp_path / "hills.csv").write_text("0, 0\n90, 5\n180, 11\n270, 5\n")
    text = set_value(plain_text(), "site.horizon_file", "hills.csv")
    way = changed_by(text, "flap", ("flap",), partial(with_files, folder=tmp_path))
    assert way.project.site.horizon == ((0.0, 0.0), (90.0, 5.0), (180.0, 11.0), (270.0, 5.0))
