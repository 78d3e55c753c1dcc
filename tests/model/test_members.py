"""Members of a list copied and moved, their comments with them."""

from __future__ import annotations

import pytest

from noonwall.errors import ProjectError
from noonwall.model.file import from_text
from noonwall.model.members import copy_member, move_member
from noonwall.model.templates import demo_text


def test_a_copy_stands_beside_its_model_under_a_name_of_its_own() -> None:
    text = copy_member(copy_member(demo_text(), "shop.part[9]"), "shop.part[9]")
    names = [part.name for part in from_text(text).shop.parts]
    assert names[-3:] == ["roof", "roof 3", "roof 2"]
    assert from_text(text).shop.parts[-1].layers == from_text(text).shop.parts[-3].layers


def test_a_move_keeps_the_comment() -> None:
    text = move_member(demo_text(), "wall.backing[1]", 1)
    assert [layer.material for layer in from_text(text).wall.backing] == [
        "oriented strand board",
        "mineral wool",
    ]
    assert text.count("# 140 mm of mineral wool between studs") == 1
    assert from_text(move_member(text, "wall.backing[2]", -1)) == from_text(demo_text())


def test_nothing_moves_past_the_ends() -> None:
    assert from_text(move_member(demo_text(), "wall.backing[2]", 5)) == from_text(demo_text())


@pytest.mark.parametrize("key", ["fan[9]", "fan", "wall", "wall.gap[1]", "nothing[1]"])
def test_no_such_member(key: str) -> None:
    with pytest.raises(ProjectError, match="there is no such entry"):
        copy_member(demo_text(), key)
