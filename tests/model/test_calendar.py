"""Hours of the day as a builder writes them."""

from __future__ import annotations

import pytest

from noonwall.errors import ProjectError
from noonwall.model.calendar import minute_of_day
from noonwall.model.edit import set_value
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("00:00", 0), ("7:05", 425), ("23:59", 1439), ("24:00", 1440), ("7:30 pm", 1170), ("12 am", 0)],
)
def test_hours_read(text: str, minutes: int) -> None:
    assert minute_of_day(text) == minutes


@pytest.mark.parametrize(
    "text", ["", "7", "7.30", "24:01", "12:60", "-1:00", "noon", "07:30:00", "0x7:00", "٣:٠٠" * 9]
)
def test_other_words_are_refused_in_one_line(text: str) -> None:
    with pytest.raises(ProjectError, match="no hour of the day"):
        minute_of_day(text)


def test_a_project_file_takes_hours_with_am_and_pm_and_days_with_their_month() -> None:
    """What is kept is the usual form, whatever was written."""
    written = (
        '\n[wall.cover]\nhung = [["May 15", "15 September"]]\n[wall.summer_vent]\ntop_area = "0.1 m2"\n'
        'open = [["05-15", "Oct 1"]]\n'
    )
    text = set_value(demo_text(), "wall.vents.shut_hours", [["5 pm", "7:30 am"]]) + written
    wall = from_text(text).wall
    assert wall.vents.shut_hours == (("17:00", "07:30"),)
    assert wall.cover is not None
    assert wall.cover.hung == (("05-15", "09-15"),)
    assert wall.summer_vent is not None
    assert wall.summer_vent.open == (("05-15", "10-01"),)


def test_a_time_that_is_none_is_told_with_times_that_are() -> None:
    with pytest.raises(ProjectError, match=r"write a time like 7:30, 14:05 or 2:05 pm"):
        minute_of_day("half past")
