"""Changing one value keeps everything else as typed."""

from __future__ import annotations

import difflib
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.projects import plain_text
from noonwall.errors import ProjectError
from noonwall.model import file
from noonwall.model.edit import add_item, path_of, remove_item, set_value
from noonwall.model.templates import new_text

DEMO = plain_text()


def changed_lines(before, after):
    rows = difflib.unified_diff(before.split("\n"), after.split("\n"), n=0, lineterm="")
    return [row for row in rows if row[:1] in "+-" and not row.startswith(("---", "+++"))]


@pytest.mark.parametrize(
    ("key", "value", "rows"),
    [
        ("wall.gap", "80 mm", ['-gap = "90 mm"', '+gap = "80 mm"']),
        (
            "shop.air.extra_air_changes",
            0.2,
            [
                "-extra_air_changes = 0.1  # the big door is opened a few times a day",
                "+extra_air_changes = 0.2  # the big door is opened a few times a day",
            ],
        ),
        ("fan[1].flow", "210 cfm", ['-flow = "0.10 m3/s"', '+flow = "210 cfm"']),
        ("invented", False, ["-invented = true", "+invented = false"]),
        ("shop.part[9].layer[4].thickness", "9 mm", ['-thickness = "12.5 mm"', '+thickness = "9 mm"']),
        ("fan[1].pressure", None, ['-pressure = "0 Pa"']),
        ("wall.overhang.depth", "1 m", ['-depth = "1.1 m"', '+depth = "1 m"']),
    ],
)
def test_one_value_changes_one_line(key, value, rows):
    after = set_value(DEMO, key, value)
    assert changed_lines(DEMO, after) == rows
    file.from_text(after)


def test_a_missing_table_is_made_and_nothing_else_moves():
    after = set_value(set_value(DEMO, "wall.flap.leak", 0.05), "wall.flap.stuck", "open")
    assert all(row.startswith("+") for row in changed_lines(DEMO, after))
    flap = file.from_text(after).wall.flap
    assert (flap.leak_share, flap.stuck) == (0.05, "open")


def test_taking_out_what_is_not_there_changes_nothing():
    assert set_value(DEMO, "wall.flap.leak", None) == DEMO
    assert set_value(DEMO, "wall.foot_of_nothing", None) == DEMO


def test_members_of_lists_come_and_go():
    fan = {"count": 1, "row": "top", "flow": "50 L/s", "power": "10 W"}
    two = add_item(DEMO, "fan", fan)
    assert [f.flow_m3_s for f in file.from_text(two).fans] == [0.1, 0.05]
    assert remove_item(two, "fan[2]") == DEMO
    assert file.from_text(remove_item(two, "fan[1]")).fans[0].flow_m3_s == 0.05
    tree = {
        "kind": "tree",
        "form": "conifer",
        "name": "fir",
        "height": "12 m",
        "crown_width": "5 m",
        "east": 0,
        "north": -20,
    }
    with_tree = add_item(add_item(DEMO, "obstacle", tree), "obstacle", tree | {"name": "pine"})
    assert [o.name for o in file.from_text(with_tree).obstacles] == ["fir", "pine"]
    bare = remove_item(remove_item(with_tree, "obstacle[2]"), "obstacle[1]")
    assert file.from_text(bare) == file.from_text(DEMO)
    part = {"name": "hatch", "kind": "door", "area": "1 m2", "u": "3 W/m2K"}
    assert file.from_text(add_item(DEMO, "shop.part", part)).shop.parts[-1].name == "hatch"
    layer = {"material": "gypsum board", "thickness": "12 mm"}
    assert len(file.from_text(add_item(DEMO, "shop.part[9].layer", layer)).shop.parts[8].layers) == 5


def test_lists_written_in_one_line_take_members_too():
    inline = 'name = "x"\nfan = [{ count = 1 }]\n'
    assert tomllib.loads(add_item(inline, "fan", {"count": 2}))["fan"] == [{"count": 1}, {"count": 2}]


@pytest.mark.parametrize(
    "key",
    [
        "",
        ".",
        "wall.",
        "wall gap",
        "fan[0].flow",
        "fan[x]",
        "fan[9].flow",
        "wall.gap.more",
        "wall",
        "fan",
        "fan[1]",
        "site.latitude[1].x",
        "name.x",
        "fan[99999].flow",
        "a\nb",
    ],
)
def test_keys_that_lead_nowhere_are_told(key):
    with pytest.raises(ProjectError) as caught:
        set_value(DEMO, key, 1)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("key", ["fan", "fan[2]", "wall", "site[1]", "obstacle[1]", "wall.gap[1]"])
def test_members_that_are_not_there_are_told(key):
    with pytest.raises(ProjectError) as caught:
        remove_item(DEMO, key)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("key", ["wall.gap", "wall", "name", "fan[1]"])
def test_only_lists_of_tables_take_members(key):
    with pytest.raises(ProjectError):
        add_item(DEMO, key, {"a": 1})


def test_text_that_does_not_read_is_told():
    with pytest.raises(ProjectError, match="TOML"):
        set_value("a = ", "wall.gap", 1)


KEYS = [
    "wall.gap",
    "site.latitude",
    "shop.part[2].area",
    "switch[1].close",
    "money.currency",
    "note",
    "wall.cover.hung",
]
WRITTEN = st.one_of(
    st.text(max_size=12),
    st.integers(-9, 9),
    st.floats(allow_nan=False),
    st.booleans(),
    st.lists(st.integers(0, 3)),
)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.sampled_from(KEYS), WRITTEN, st.sampled_from([DEMO, new_text()]))
def test_whatever_is_set_is_what_is_read_and_the_rest_stays(key, value, text):
    after = set_value(text, key, value)
    raw, expected = tomllib.loads(after), tomllib.loads(text)
    here, there = raw, expected
    *above, last = path_of(key)
    for step in above:
        here = here[step]
        if isinstance(step, str) and step not in there:
            there[step] = {}
        there = there[step]
    assert here[last] == value
    there[last] = value
    assert raw == expected
    assert [row for row in text.split("\n") if "#" in row and row.strip()[:1] == "#"] == [
        row for row in after.split("\n") if "#" in row and row.strip()[:1] == "#" and row in text.split("\n")
    ]
