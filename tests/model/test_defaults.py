"""What a builder left open: every default has a reason and a source, and those that matter are listed."""

from __future__ import annotations

import pytest

from noonwall.model import file
from noonwall.model.defaults import assumed
from noonwall.model.fields import ABSENT, facts_of, record_in
from noonwall.model.project import Project
from noonwall.model.templates import demo_text, new_text

DEMO = demo_text()


def every_field(kind, at=""):
    for field in kind.model_fields.values():
        path = f"{at}{field.alias}"
        inner = record_in(field)
        if inner is None:
            yield path, facts_of(field)
        else:
            for choice in inner.classes:
                yield from every_field(choice, f"{path}.")


FIELDS = list(every_field(Project))


@pytest.mark.parametrize(("path", "facts"), FIELDS, ids=[p for p, _ in FIELDS])
def test_every_key_is_described_and_every_default_has_a_reason_and_a_source(path, facts):
    assert len(facts.doc) >= 6
    assert facts.key.replace("_", "").isalnum()
    if facts.default is not ... and facts.source != ABSENT:
        assert len(facts.why) >= 4, path
        assert len(facts.source) >= 8, path


def test_every_default_lies_in_its_own_range():
    for path, facts in FIELDS:
        if facts.kind and isinstance(facts.default, float):
            assert facts.low is None or facts.default >= facts.low, path
            assert facts.high is None or facts.default <= facts.high, path


def test_the_demo_lists_what_it_left_open():
    found = {a.key: a for a in assumed(DEMO)}
    assert found["wall.glazing.dirt"].value == "3 %"
    assert found["site.utc_offset"].value == "-5 h"
    # Witness: WAC 51-11C-61061, table A106.1: 2 ft down, R-10: F 0.54.
    assert {a.key: a.value for a in assumed(DEMO, "us")}["shop.slab.edge_loss"] == "0.54 Btu/h ft F"
    assert found["switch[1].lag"].value == "90 s"
    assert found["fan[1].shutoff_pressure"].value == "80 Pa"
    assert found["weather.file"].value == "a year made from monthly figures"
    for key in (
        "wall.gap",
        "wall.absorber.absorptance",
        "shop.contents.mass",
        "wall.flap",
        "wall.cover.passes",
        "wall.absorber.mesh_openness",
        "wall.glazing.sheet_gap",
        "circuit.series",
    ):
        assert key not in found
    assert all(a.why and a.source and a.value for a in found.values())


def test_what_is_given_is_not_listed():
    text = DEMO.replace('gap = "90 mm"\n', "")
    assert "wall.gap" in {a.key for a in assumed(text)}
    assert "wall.gap" not in {a.key for a in assumed(DEMO)}


def test_the_same_left_open_in_many_parts_is_one_entry():
    (entry,) = [a for a in assumed(DEMO) if a.key.endswith("absorptance")]
    assert entry.key == "shop.part[1, 2, 3, 4, 6, 8, 9].absorptance"


def test_assumed_values_are_those_that_the_calculation_gets():
    """Write each assumed quantity into the file: the project must stay the same."""
    text = DEMO.replace("[wall.glazing]", "[wall.glazing]\ndirt = 0.03")
    assert file.from_text(text) == file.from_text(DEMO)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_fresh_project_leaves_open_what_its_notes_say(system):
    keys = {a.key for a in assumed(new_text("x", system), system)}
    for key in (
        "wall.foot",
        "wall.leakage",
        "shop.volume",
        "shop.contents.mass",
        "site.ground",
        "wall.frame.share",
    ):
        assert key in keys
