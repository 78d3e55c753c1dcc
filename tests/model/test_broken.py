"""Broken projects by the hundred: never anything but a project, or one line that says what to mend."""

from __future__ import annotations

import random
import tomllib

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.errors import NoonwallError, ProjectError
from noonwall.model import file
from noonwall.model.convert import to_record
from noonwall.model.defaults import assumed
from noonwall.model.project import Project
from noonwall.model.sense import faults
from noonwall.model.templates import demo_text, new_text

DEMO, NEW = demo_text(), new_text()
QUIET = settings(max_examples=120, deadline=None, derandomize=True)


def held(text):
    """Load a text: a project that all later questions can be asked of, or one short line."""
    try:
        project = file.from_text(text)
        file.doubts_about(project, text)
        assumed(text)
        assumed(text, "us")
    except NoonwallError as error:
        assert isinstance(error, ProjectError)
        line = str(error)
        assert line.startswith("noonwall.toml")
        assert "\n" not in line
        assert len(line) < 1500
        return None
    return project


def leaves(raw, at=()):
    items = raw.items() if isinstance(raw, dict) else enumerate(raw)
    for key, value in items:
        if isinstance(value, dict | list) and value:
            yield from leaves(value, (*at, key))
        yield (*at, key)


RAW = tomllib.loads(DEMO)
PATHS = sorted(leaves(RAW), key=str)

ODD = st.one_of(
    st.sampled_from(
        [
            "",
            " ",
            "-1 m",
            "9 m",
            "1e30 mm",
            "90 W",
            "461 N",
            "R-0",
            "-40 F",
            "1/0 in",
            "nan",
            "\u202e",
            "a\nb",
            "5 %",
            "12-31",
            "02-30",
            "13-01",
            "own",
            "none",
            "pv",
            "x" * 300,
            "46.1",
            "90 mm 3 mm",
            "R-19",
            "°",
            "½",
        ]
    ),
    st.sampled_from([-1, 0, 1, 2, 5, 461, 10**18, 10**400, -(10**9), True, False]),
    st.sampled_from([-1.0, 0.0, 1e-9, 1e300, float("nan"), float("inf"), float("-inf"), 0.5]),
    st.sampled_from(
        [[], {}, [[]], [{}], [[1, 2]], [1, 2, 3], ["x"], [["05-01", "09-01"]], {"a": 1}, [{"a": {}}]]
    ),
    st.text(max_size=20),
)


def put(raw, path, value):
    """Return a copy with one value replaced."""
    if not path:
        return value
    copied = dict(raw) if isinstance(raw, dict) else list(raw)
    copied[path[0]] = put(raw[path[0]], path[1:], value)
    return copied


def typed(raw):
    """Write tables as TOML; None when the values cannot stand in such a file."""
    try:
        return tomlkit.dumps(raw)
    except (ValueError, TypeError, OverflowError):
        return None


@QUIET
@given(st.sampled_from(PATHS), ODD)
def test_any_value_in_any_place(path, value):
    text = typed(put(RAW, path, value))
    if text is not None:
        held(text)


@QUIET
@given(st.lists(st.tuples(st.sampled_from(PATHS), ODD), min_size=2, max_size=5))
def test_several_odd_values_at_once(changes):
    raw = RAW
    for path, value in changes:
        try:
            raw = put(raw, path, value)
        except (KeyError, IndexError, TypeError, AttributeError):
            continue
    faults_found = to_record(Project, raw)[1] or faults(to_record(Project, raw)[0])
    for fault in faults_found:
        assert "\n" not in fault.text
        assert "\n" not in fault.key


@QUIET
@given(st.sampled_from(PATHS), st.sampled_from(["", "x", "_", "s"]))
def test_any_key_misspelled_or_left_out(path, tail):
    *above, last = path
    if isinstance(last, int):
        return
    raw = RAW
    for step in above:
        raw = raw[step]
    renamed = {(k + tail if k == last else k): v for k, v in raw.items() if tail or k != last}
    text = typed(put(RAW, tuple(above), renamed))
    project = held(text)
    assert (project is None) or not tail


@QUIET
@given(st.integers(0, len(DEMO) - 1), st.text(max_size=3), st.integers(0, 40))
def test_texts_damaged_in_one_place(place, inserted, taken):
    held(DEMO[:place] + inserted + DEMO[place + taken :])


@QUIET
@given(st.integers(0, len(NEW)))
def test_texts_cut_short(place):
    held(NEW[:place])


@QUIET
@given(st.binary(max_size=200))
def test_any_bytes(raw):
    from noonwall.model.disk import decode

    try:
        held(decode(raw, "noonwall.toml"))
    except ProjectError as error:
        assert "\n" not in str(error)


def test_lines_shuffled():
    rows = DEMO.split("\n")
    for seed in range(25):
        random.Random(seed).shuffle(rows)
        held("\n".join(rows))


def test_two_demos_in_one_file():
    held(DEMO + DEMO)
    held(DEMO + NEW)
