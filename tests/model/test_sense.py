"""What does not go together in a project: one line, with the key to mend."""

from __future__ import annotations

import pytest

from fakes.projects import plain_text
from noonwall.errors import ProjectError
from noonwall.model import file
from noonwall.model.templates import demo_text

DEMO = plain_text()
TOP = '[wall.vents.top]\ncount = 5\nwidth = "360 mm"\nheight = "100 mm"\n'
LIMIT = (
    '\n[[switch]]\nname = "room limit"\nkind = "open on rise"\nspot = "room"\nopen = "22 C"\nclose = "20 C"\n'
)
PART = '[[shop.part]]\nname = "side door"\nkind = "door"\narea = "2.0 m2"\nu = "2.8 W/m2K"\n'
assert TOP in DEMO
assert PART in DEMO

POST = """
[[obstacle]]
kind = "post"
name = "mast"
width = 0.2
height = 5
from = "door"
bearing = 180
distance = 10
"""
SWITCH = """[[switch]]
name = "gap switch"
kind = "close on rise"
spot = "gap top"
close = "43 C"
open = "32 C"
"""

# what to replace (nothing: added at the end), by what, the key that is told, words that the line must hold
CASES = [
    # vents
    (TOP, TOP.replace("360 mm", "2 m"), "wall.vents.top.width", "the wall is 9.2 m wide"),
    (TOP, TOP.replace("count = 5", "count = 26"), "wall.vents.top.width", "26 openings of 360 mm are 9.36 m"),
    (TOP, TOP.replace("100 mm", "2 m") + 'centre = "2 m"\n', "wall.vents.top.centre", "from 1 m to 3 m"),
    (TOP, TOP + 'centre = "2.4 m"\n', "wall.vents.top.centre", "2.45 m"),
    (TOP, TOP + 'centre = "0.06 m"\n', "wall.vents.top", "above the bottom row"),
    ('height = "2.4 m"', 'height = "0.3 m"\n', None, ""),
    # wall
    ('width = "9.2 m"', 'width = "13 m"', "wall.width", "wider than the shop's longest side, 12.8 m"),
    (
        'material = "cement board"',
        'material = "cemment board"',
        "wall.absorber.layer[1].material",
        'nearest is "cement board"',
    ),
    (
        '[[wall.absorber.layer]]\nmaterial = "cement board"\nthickness = "12 mm"\n',
        "layer = []\n",
        "wall.absorber.layer",
        "made of nothing",
    ),
    (
        "[wall.overhang]",
        '[wall.frame]\nmaterial = "softwod"\n[wall.overhang]',
        "wall.frame.material",
        "softwood",
    ),
    # glazing
    (
        'kind = "twin-wall polycarbonate 10 mm"',
        'kind = "twinwall polycarbonate 10 mm"',
        "wall.glazing.kind",
        'nearest is "twin-wall polycarbonate 10 mm"',
    ),
    (
        'kind = "twin-wall polycarbonate 10 mm"',
        'kind = "twin-wall 10 mm"\nsheets = 2',
        "wall.glazing.sheets",
        "4 skins in all",
    ),
    ('kind = "twin-wall polycarbonate 10 mm"', 'kind = "own"', "wall.glazing.skin", "missing"),
    (
        "",
        '\n[[wall.glazing.skin]]\nthickness = "3 mm"\nrefractive_index = 1.5\nextinction = 4\n',
        "wall.glazing.kind",
        'kind is "own"',
    ),
    # fans
    ("count = 3", "count = 6", "fan[1].count", "6 fans in the top row, which has 5 openings"),
    (
        'pressure = "0 Pa"',
        'pressure = "90 Pa"\nshutoff_pressure = "80 Pa"',
        "fan[1].shutoff_pressure",
        "not above",
    ),
    ('pressure = "0 Pa"', "curve = [[0, 10], [0.1, 20]]", "fan[1].curve", "pressure falling"),
    ('pressure = "0 Pa"', 'curve = [["0 cfm", "0.2 inwg"]]', "fan[1].curve", "two points"),
    # switches and circuit
    ('open = "32 C"', 'open = "52 C"', "switch[1].open", "52 °C is not below close, 43 °C"),
    ('open = "32 C"', 'open = "43 C"', "switch[1].open", "not below"),
    ("", LIMIT.replace("22 C", "18 C"), "switch[2].open", "18 °C is not above close, 20 °C"),
    ("", LIMIT.replace("room limit", "gap switch"), "switch[2].name", "is there already"),
    ("", LIMIT.replace("room limit", " "), "switch[2].name", "is empty"),
    (
        'kind = "close on rise"\nspot = "gap top"',
        'kind = "difference"\nspot = "room"',
        "switch[1].spot",
        "another spot",
    ),
    ("", '\n[circuit]\nseries = ["gap swich"]\n', "circuit.series", 'there are "gap switch"'),
    ("", '\n[circuit]\nseries = ["gap switch", ["gap switch"]]\n', "circuit.series", "twice"),
    ("", "\n[circuit]\nseries = [[]]\n", "circuit.series", "empty group"),
    # shop
    (PART, PART.replace("side door", "roof"), "shop.part[9].name", "is there already"),
    (PART, PART.replace('u = "2.8 W/m2K"\n', ""), "shop.part[8]", "needs one of u, r or layer"),
    (PART, PART + "r = 1\n", "shop.part[8].r", "has u and r; keep one"),
    (PART, PART + "solar_gain = 0.5\n", "shop.part[8].solar_gain", "only a window"),
    ('azimuth = "82"\n', "", "shop.part[5].azimuth", "which way it faces"),
    (
        'material = "steel sheet"\nthickness = "0.5 mm"',
        'material = "steel sheet"',
        "shop.part[9].layer[1]",
        '"steel sheet" needs a thickness',
    ),
    ('kind = "slab"', 'kind = "none"', "shop.slab.kind", 'kind = "floor"'),
    ("by_hour = [0, 0,", "by_hour = [0,", "shop.gains.by_hour", "holds 23 figures, wanted 24"),
    ("by_hour = [0, 0,", "by_hour = [-5, 0,", "shop.gains.by_hour", "below 0"),
    ("[shop.heater]", "[shop.comfort]\nlimit = 8\n[shop.heater]", "shop.comfort", "below limit"),
    ("[shop.heater]", "[shop.comfort]\nhours = [8, 25]\n[shop.heater]", "shop.comfort.hours", "0.5 to 24"),
    ("[shop.heater]", "[shop.comfort]\nhours = []\n[shop.heater]", "shop.comfort.hours", "one to six"),
    ('price_unit = "gallon"', 'price_unit = "cord"', "shop.heater.price_unit", "no unit of propane"),
    ('efficiency = "80 %"', 'efficiency = "300 %"', "shop.heater.efficiency", "heat pump"),
    # site
    ('snow = "auto"', "snow = [1, 1, 0]", "site.snow", "holds 3 shares, wanted 12"),
    ('snow = "auto"', "snow = [1, 1, 1, 0.5, 0, 0, 0, 0, 0, 0, 0, 31]", "site.snow", "31 is no share"),
    ('snow = "auto"', "horizon = [[10, 95]]", "site.horizon", "no point of a skyline"),
    ('snow = "auto"', "horizon = [[0, 5], [360, 6]]", "site.horizon", "twice"),
    ('snow = "auto"', "utc_offset = -4.7", "site.utc_offset", "quarter hours"),
    # days of the year
    (TOP, '[wall.vents]\nclosed = [["05-01", "09-31"]]\n' + TOP, "wall.vents.closed", '"09-31" is no day'),
    (
        "[wall.overhang]",
        '[wall.cover]\nhung = [["5/1", "09-15"]]\n[wall.overhang]',
        "wall.cover.hung",
        "write a date like Feb 15 (or 02-15)",
    ),
    ("[wall.overhang]", '[wall.cover]\nhung = [["05-01"]]\n[wall.overhang]', "wall.cover.hung", ""),
    (
        "[wall.overhang]",
        '[wall.summer_vent]\nopen = [["5-1", "9-1"]]\n[wall.overhang]',
        "wall.summer_vent.open",
        "write a date like Feb 15",
    ),
    # the rest
    ("schema_version = 1", "schema_version = 2", "schema_version", "reads version 1"),
    ('name = "Boat-repair shed"', 'name = " "', "name", "is empty"),
    ("", '\n[weather]\nfile = "w.epw"\nmonths = [{}, {}]\n', "weather.months", "wanted 12"),
    ("", '\n[weather]\nfile = " "\n', "weather.file", "is empty"),
    ("", POST, "obstacle[1].from", "no standing point"),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case[2]}: {case[3]}")
def test_what_cannot_be_is_told_with_its_key(case):
    old, new, key, expected = case
    assert old in DEMO
    text = DEMO.replace(old, new, 1) if old else DEMO + new
    if key is None:
        file.from_text(text)
        return
    with pytest.raises(ProjectError) as caught:
        file.from_text(text)
    line = str(caught.value)
    assert key in line
    assert expected in line
    assert "\n" not in line
    assert line.startswith("noonwall.toml:")


def test_the_fault_stands_on_its_line():
    text = DEMO.replace('open = "32 C"', 'open = "52 C"')
    _, problems = file.examine(text)
    (line,) = [i for i, row in enumerate(text.split("\n"), 1) if row == 'open = "52 C"']
    assert [(p.key, p.line) for p in problems] == [("switch[1].open", line)]


def test_a_room_limit_in_series_is_well():
    project = file.from_text(DEMO + LIMIT + '\n[circuit]\nseries = ["gap switch", ["room limit"]]\n')
    assert project.circuit.series == ("gap switch", ("room limit",))


def doubts(old, new):
    assert old in DEMO
    text = DEMO.replace(old, new, 1) if old else DEMO + new
    return file.doubts_about(file.from_text(text), text)


def test_the_demo_raises_no_doubts():
    for text in (DEMO, demo_text()):
        assert file.doubts_about(file.from_text(text), text) == []


DOUBTS = [
    ('azimuth = "8 deg east of south"', 'azimuth = "8 deg east of north"', "wall.azimuth", "172 deg away"),
    ('longitude = "67.8 W"', 'longitude = "67.8 W"\nutc_offset = 5', "site.utc_offset", "is the sign right"),
    ('area = "137.4 m2"', 'area = "13.2 m2"', "shop.part", "roof and ceiling"),
    ('area = "39.5 m2"', 'area = "395 m2"', "shop.part", "walls, windows, doors"),
    ('volume = "565 m3"', 'volume = "56 m3"', "shop.volume", "floor times eaves"),
    ('setpoint = "5 C"', 'setpoint = "22 C"', "shop.heater.setpoint", "not needed"),
    ("price = 2.60\n", "", "shop.heater.price_unit", "no price"),
    ('flow = "0.10 m3/s"', 'flow = "10 cfm"', "fan[1].flow", "is usual"),
    ('flow = "0.10 m3/s"', 'flow = "0.3 m3/s"', "fan[1].flow", "8.3 m/s"),
    ('open = "32 C"', 'open = "42 C"', "switch[1].open", "1 K apart"),
    ('depth = "1.1 m"', 'depth = "3 m"', "wall.overhang.depth", "midwinter noon"),
    (
        "[wall.overhang]",
        '[wall.summer_vent]\ntop_area = "0.2 m2"\n[wall.overhang]',
        "wall.summer_vent.open",
        "no time",
    ),
    (TOP, TOP.replace("100 mm", "15 mm"), "wall.vents.top", "is usual"),
    ('height = "100 mm"', 'height = "2 m"', "wall.vents.bottom", "is usual"),
    ('arrangement = "air in front"', 'arrangement = "air in front"', None, ""),
    (SWITCH, "", "circuit.fans", "never run"),
    ('power = "32 W"', 'power = "32 W"\nsupply = "pv"', "fan", "no [[pv]]"),
]


@pytest.mark.parametrize("case", DOUBTS, ids=lambda case: f"{case[2]}: {case[3]}")
def test_odd_figures_are_told_and_stop_nothing(case):
    old, new, key, expected = case
    found = doubts(old, new)
    if key is None:
        assert found == []
        return
    assert key in [d.key for d in found]
    assert any(expected in d.text for d in found)
    assert all("\n" not in d.told() for d in found)
