"""Complaints of a page: without file, line and keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from noonwall.errors import ProjectError
from noonwall.web.parts.complaint import plain

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        (
            "obstacle[3].height",
            "300 mm",
            "fir 3, lowest branches at: the lowest branches, at 800 mm, are not below the top, 300 mm",
        ),
        ("obstacle[3].height", None, 'fir 3: "fir 3" has no height; give height or top angle'),
        ("wall.height", "100 m", '100 m is outside 0.3-15 m; did you mean "100 cm"?'),
        (
            "wall.vents.top.count",
            2,
            "fan 1, count: 3 fans in the top row, which has 2 openings; each fan sits in one",
        ),
    ],
)
def test_thing_and_box_are_named(key: str, value: str | int | None, told: str, bench: Bench) -> None:
    desk = bench.desk
    with pytest.raises(ProjectError) as refused:
        desk.set(key, value, desk.value(key))
    assert plain(str(refused.value), key, desk.text, {"obstacle[3].crown_base": "Lowest branches at"}) == told


def test_a_change_of_no_one_value_names_its_thing_too(bench: Bench) -> None:
    line = "noonwall.toml:250: obstacle[3].crown_base: give crown_base, not out_of_place"
    assert plain(line, "", bench.desk.text, {}) == "fir 3, crown base: give crown base, not out_of_place"


def test_what_is_not_there_yet_has_no_number(bench: Bench) -> None:
    line = "noonwall.toml:300: obstacle[99].bearing: is missing"
    assert plain(line, "", bench.desk.text, {}) == "the new one, bearing: is missing"


def test_a_line_without_a_key_stays(bench: Bench) -> None:
    assert plain("wanted: something else", "wall.gap", bench.desk.text, {}) == "wanted: something else"
