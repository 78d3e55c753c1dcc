"""The reference page is what the records say, and what it says can be done."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from noonwall.model import catalogue, reference
from noonwall.units import KINDS, parse

PAGE = Path(__file__).parents[2] / "docs" / "project-file.md"


def test_the_page_is_written_from_the_records_as_they_are():
    text = PAGE.read_text(encoding="utf-8")
    told = "docs/project-file.md is old; run: python -m noonwall.model.reference > docs/project-file.md"
    assert text == reference.page(), told


def test_the_page_names_every_key_and_every_catalogue_row():
    text = reference.page()
    for key in (
        "latitude",
        "edge_insulation",
        "stagnant_gap",
        "shutoff_pressure",
        "crown_width",
        "bypass_parts",
    ):
        assert f"| `{key}` |" in text
    for shelf in ("material", "glazing", "face", "fuel", "tightness"):
        for name in catalogue.names(shelf):
            assert f"| `{name}` |" in text


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_in_the_page_reads(kind):
    (row,) = [r for r in reference.page().split("\n") if r.startswith(f"| {KINDS[kind].noun} |")][:1]
    for example in re.findall(r"`([^`]*)`", row):
        parse(example, kind)
