"""Hours of the day as a builder writes them."""

from __future__ import annotations

import pytest

from noonwall.errors import ProjectError
from noonwall.model.calendar import minute_of_day


@pytest.mark.parametrize(("text", "minutes"), [("00:00", 0), ("7:05", 425), ("23:59", 1439), ("24:00", 1440)])
def test_hours_read(text: str, minutes: int) -> None:
    assert minute_of_day(text) == minutes


@pytest.mark.parametrize(
    "text", ["", "7", "7.30", "24:01", "12:60", "-1:00", "noon", "07:30:00", "0x7:00", "٣:٠٠" * 9]
)
def test_other_words_are_refused_in_one_line(text: str) -> None:
    with pytest.raises(ProjectError, match="no hour of the day"):
        minute_of_day(text)
