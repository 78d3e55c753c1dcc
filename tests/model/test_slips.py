"""A unit left out or a point forgotten is asked about, in the units of the builder."""

from __future__ import annotations

import pytest

from noonwall.model import file
from noonwall.model.templates import demo_text, new_text

US = new_text("x", "us")
# what to replace, by what, the key that is told, words that the line must hold
SLIPS = [
    ('close = "110 F"', "close = 110", "switch[1].close", "230 °F is seldom reached in the wall"),
    ('close = "110 F"', "close = 110", "switch[1].close", 'did you mean "110 F"?'),
    ('r = "R-13"', "r = 11", "shop.part[1].r", 'did you mean "R-11"?'),
    ('r = "R-13"', 'r = "11"', "shop.part[1].r", 'did you mean "R-11"?'),
    ('r = "R-13"', 'r = "R-60"', "shop.part[1].r", "is that meant?"),
    ('r = "R-30"', "r = 30", "shop.part[4].r", 'did you mean "R-30"?'),
    ('r = "R-15"', "r = 15", "wall.backing[1].r", 'did you mean "R-15"?'),
    ('kind = "slab" ', 'edge_insulation = 10\nkind = "slab" ', "shop.slab.edge_insulation", '"R-10"'),
    ('height = "8 ft"', 'height = "12 ft"', "wall.height", "13 ft above the ground, the eaves are at 9 ft"),
    ('height = "4 in"', 'height = "40 in"', "wall.vents.bottom.height", "was a tenth of it meant?"),
    ("# efficiency = 0.8", "price = 260", "shop.heater.price", "did you mean 2.60?"),
    ("[[fan]]", "[money]\nelectricity = 18\n\n[[fan]]", "money.electricity", "did you mean 0.18?"),
]


def doubts(text):
    return file.doubts_about(file.from_text(text), text)


@pytest.mark.parametrize(("old", "new", "key", "expected"), SLIPS)
def test_a_figure_that_a_missing_unit_explains_is_asked_about(old, new, key, expected):
    assert old in US
    assert any(d.key == key and expected in d.text for d in doubts(US.replace(old, new, 1)))


@pytest.mark.parametrize(
    ("old", "new"),
    [('r = "R-30"', 'r = "R-60"'), ("# efficiency = 0.8", "price = 2.60"), ('"110 F"', "43")],
)
def test_what_is_usual_is_not_asked_about(old, new):
    assert doubts(US.replace(old, new, 1)) == []


def test_a_price_in_another_currency_is_left_alone():
    text = US.replace("# efficiency = 0.8", "price = 2600", 1).replace("# [money]", "[money]")
    assert doubts(text.replace('# currency = "USD"', 'currency = "HUF"')) == []


def test_doubts_speak_the_units_of_the_file():
    slow = demo_text().replace('open = "32 C"', 'open = "41 C"', 1)
    assert "2 K apart" in doubts(slow)[0].text
    marked = slow.replace("[site]", "[site]", 1).replace("name =", 'units = "us"\nname =', 1)
    assert "3.6 °F apart; 5.4 °F to 45 °F is usual" in doubts(marked)[0].text
