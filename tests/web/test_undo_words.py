"""What undo and redo say they would do: in the words of the forms, in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from noonwall.model.templates import demo_text
from noonwall.report.reader import Reader
from noonwall.web.desk import Desk
from noonwall.web.parts.changes import step_words, undone_words

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(
    ("key", "value", "us", "metric"),
    [
        ("wall.height", "8 ft 3 in", "glazed height (wall): 7 ft 10 1/2 in to 8 ft 3 in",
         "glazed height (wall): 2.4 m to 2.51 m"),
        ("wall.gap", "89 mm", "depth of the air gap (wall): 3.54 in to 3.5 in",
         "depth of the air gap (wall): 90 mm to 89 mm"),
        ("switch[1].close", "110 degF", "starts fans at (gap switch): 109.4 \u00b0F to 110 degF",
         "starts fans at (gap switch): 43 C to 43.3 \u00b0C"),
        ("wall.inlet_from", "outdoors", "the gap takes its air from (wall): the shop to outdoors",
         "the gap takes its air from (wall): the shop to outdoors"),
        ("wall.foot", None, "foot above the ground (wall): 19.7 in to left open",
         "foot above the ground (wall): 0.5 m to left open"),
        ("obstacle[1].height", "16 m", "height (fir 1): 49 ft 2 1/2 in to 52 ft 6 in", "height (fir 1): 15 m to 16 m"),
        ("wall.vents.closed", [["05-15", "09-15"]], "shut for part of the year (vents): left open to May 15 to Sep 15",
         "shut for part of the year (vents): left open to 05-15 to 09-15"),
    ],
)  # fmt: skip
def test_a_step_is_told_as_the_form_calls_it(
    tmp_path: Path, key: str, value: Any, us: str, metric: str
) -> None:
    (tmp_path / "noonwall.toml").write_text(demo_text(), "utf-8")
    desk = Desk(tmp_path)
    desk.set(key, value, desk.value(key))
    assert desk.last is not None
    assert step_words(desk.last, Reader("us")) == us
    was, _, _ = us.rpartition(": ")[2].partition(" to ")
    assert undone_words(desk.last, Reader("us")) == f"{us.rpartition(': ')[0]} is {was} again"
    assert step_words(desk.last, Reader()) == metric
    desk.undo()
    assert desk.last is None
    assert desk.next is not None
    assert step_words(desk.next, Reader()) == metric


def test_a_step_of_several_values_tells_each(tmp_path: Path) -> None:
    (tmp_path / "noonwall.toml").write_text(demo_text(), "utf-8")
    desk = Desk(tmp_path)
    desk.change(lambda text: text.replace("15 m", "16 m"), "trees grown")
    assert desk.last is not None
    assert step_words(desk.last, Reader("us")) == "trees grown"
