"""Slips of the pen in a project file: the line tells key, what stands there, and what to write instead."""

from __future__ import annotations

import pytest

from noonwall.errors import NoonwallError
from noonwall.model import file
from noonwall.model.templates import new_text
from noonwall.units import parse

US = new_text("x", "us")
GAP = 'gap = "3 1/2 in"'
LINES = [
    (GAP, 'gap = "3 1/2""', 'write gap = "3 1/2 in"'),
    (GAP, "gap = 3 1/2 in", 'write gap = "3 1/2 in"'),
    (GAP, 'gap = 3 1/2"', 'write gap = "3 1/2 in"'),
    (GAP, "gap = \u201c3 1/2 in\u201d", 'curly; write gap = "3 1/2 in"'),
    (GAP, 'gap = "3 1/2 in', 'closing quote is missing; write gap = "3 1/2 in"'),
    ('width = "20 ft"', "width = 46,0", "write width = 46.0"),
    ('width = "20 ft"', 'width = "6\' 8""', 'write width = "6 ft 8 in"'),
    (GAP, "gap =", 'no value; write gap = "..."'),
    ('fuel = "propane"', "fuel = propane", 'write fuel = "propane"'),
    ('width = "20 ft"\n', "", 'missing key wall.width; write width = "8 ft 6 in" in [wall] (glazed width)'),
    ('fuel = "propane"', 'fuel = "LP gas"', 'nearest is "propane"'),
    ("[site] ", '[site]\nsnow = "lots"\n#', "twelve shares of days with snow"),
    ("[site] ", "[site]\nsnow = [0.5, 0.4]\n#", "holds 2 shares, wanted 12"),
    ("[site] ", '[site]\nsnow = ["lots", 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]\n#', "site.snow: "),
    ("# [wall.cover]", '[wall.cover]\nhung = [["5/1", "09-15"]]', "write a date like Feb 15 (or 02-15)"),
    ('elevation = "500 ft"', 'elevation = "4,900 ft"', 'write "4900 ft" or "4.900 ft"'),
    ('fuel = "propane"', 'fuel = "propane"\nprice = "2.60 USD/gal"', "write 2.60 alone"),
    ('fuel = "propane"', 'fuel = "propane"\nprice = "$2.60"', "write 2.60 alone"),
    (GAP, "gap = 3.5", 'did you mean "3.5 in"?'),
    ('flow = "210 cfm"', "flow = 210", 'did you mean "210 cfm"?'),
    ('height = "4 in"', 'height = "9 ft"', 'outside 0.394 in to 6.56 ft; did you mean "9 in"?'),
    ('width = "20 ft"', 'width = "40 ft"', "40 ft is wider than the shop's longest side, 32 ft"),
    ('open = "90 F"', 'open = "115 F"', "115 °F is not below close, 110 °F"),
]


@pytest.mark.parametrize(("old", "new", "expected"), LINES)
def test_the_line_tells_what_to_write(old, new, expected):
    assert old in US
    _, line = told(US.replace(old, new, 1))
    assert expected in line


def told(text):
    with pytest.raises(NoonwallError) as error:
        file.from_text(text)
    line = str(error.value)
    assert line.startswith("noonwall.toml:")
    assert "more to mend" not in line
    return error, line


def test_twelve_shares_may_be_per_cent():
    text = US.replace("[site] ", '[site]\nsnow = ["90 %", 1, 0.5, 0, 0, 0, 0, 0, 0, 0, 0.2, "80%"]\n#', 1)
    assert file.from_text(text).site.snow[::11] == (0.9, 0.8)


def test_a_surveyors_bearing():
    assert parse("S 15 E", "bearing") == 165.0
    assert parse("S15W", "bearing") == 195.0
    assert parse("N 30 deg E", "bearing") == 30.0
    assert parse("N 30 W", "bearing") == 330.0


def test_every_key_of_a_cure_stays_one_line():
    for junk in ('gap = "' + "9" * 300, "gap = [1, 2", 'gap = {a = "', "gap = \x07"):
        with pytest.raises(NoonwallError) as error:
            file.from_text(US.replace(GAP, junk, 1))
        assert "\n" not in str(error.value)
        assert len(str(error.value)) < 600
