"""Where a key stands, against texts whose lines can be counted by eye."""

from __future__ import annotations

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.model.lines import line_of, lines_of

TEXT = '''# a note
name = "x"

[site]
latitude = 1
horizon = [[0, 1],
  [90, 2]]   # two lines
"quoted key" = 3

[shop]
note = """
[not.a.table]
gap = 3
"""
part = [{ name = "a", u = 1 },
        { name = "b",
          u = 2 }]

[[fan]]
flow = 1
[fan.more]
a.b = 2
[[fan]]
flow = 2

[[shop.list]]
[[shop.list.layer]]
r = 1
[[shop.list.layer]]
r = 2
'''


def test_every_kind_of_key_has_its_line():
    lines = lines_of(TEXT)
    assert lines["name",] == 2
    assert lines["site",] == 4
    assert lines["site", "latitude"] == 5
    assert lines["site", "horizon"] == 6
    assert lines["site", "horizon", 1] == 7
    assert lines["site", "quoted key"] == 8
    assert lines["shop", "note"] == 11
    assert lines["shop", "part", 0, "u"] == 15
    assert lines["shop", "part", 1, "u"] == 17
    assert lines["fan", 0, "flow"] == 20
    assert lines["fan", 0, "more", "a", "b"] == 22
    assert lines["fan", 1, "flow"] == 24
    assert lines["shop", "list", 0, "layer", 0, "r"] == 28
    assert lines["shop", "list", 0, "layer", 1, "r"] == 30


def test_what_is_not_there_has_the_line_of_the_table_above():
    lines = lines_of(TEXT)
    assert line_of(lines, ("site", "longitude")) == 4
    assert line_of(lines, ("fan", 1, "power")) == 23
    assert line_of(lines, ("nothing",)) is None


KEYS = st.sampled_from(["a", "b", '"c d"', "'e'", "f-1"])
VALUES = st.sampled_from(
    [
        "1",
        '"t"',
        "'t'",
        '"""x\n[y]\n"""',
        "'''\n#'''",
        "[1,\n 2]",
        "{a = 1}",
        '[{a = "]"}, {b = 2}]',
        "true",
        '"\\""',
    ]
)
HEADERS = st.sampled_from(["[t]", "[[u]]", "[t.v]", "[[u.w]]", "[ 't' . x ]"])


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(st.one_of(HEADERS, st.tuples(KEYS, VALUES)), max_size=14))
def test_every_key_a_parser_finds_has_a_line_that_holds_it(pieces):
    text = "\n".join(p if isinstance(p, str) else f"{p[0]} = {p[1]} # {i}" for i, p in enumerate(pieces))
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    lines = lines_of(text)
    rows = text.split("\n")

    def visit(value, path):
        if path:
            line = line_of(lines, path)
            assert line is not None
            name = next(p for p in reversed(path) if isinstance(p, str))
            assert path not in lines or name in rows[line - 1] or isinstance(path[-1], int)
        if isinstance(value, dict):
            for key, inner in value.items():
                visit(inner, (*path, key))
        elif isinstance(value, list):
            for i, inner in enumerate(value):
                visit(inner, (*path, i))

    visit(raw, ())
