"""What of a project is still a new project's."""

from __future__ import annotations

import pytest

from noonwall.model.edit import set_value, set_values
from noonwall.model.file import from_text
from noonwall.model.mine import still_template
from noonwall.model.templates import demo_text, new_text


def names(text):
    return [portion.name for portion in still_template(from_text(text))]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_new_project_is_all_template_in_whatever_units(system):
    assert names(new_text(system=system)) == ["place", "room", "envelope", "wall"]


def test_nothing_of_the_demo_is_the_templates():
    assert names(demo_text()) == []


def test_a_changed_figure_makes_its_portion_the_builders():
    text = set_values(new_text(system="us"), {"shop.length": "30 ft", "site.latitude": "44.3 N"})
    assert names(text) == ["envelope", "wall"]
    assert names(set_value(text, "wall.width", "20.5 ft")) == ["envelope"]
    assert names(set_value(text, "shop.part[1].r", "R-19")) == ["wall"]


def test_the_same_figure_in_another_unit_is_still_the_templates():
    assert "room" in names(set_value(new_text(), "shop.length", "9600 mm"))


def test_a_portion_may_be_told_to_be_ones_own():
    assert names('mine = ["wall", "place"]\n' + new_text()) == ["room", "envelope"]
