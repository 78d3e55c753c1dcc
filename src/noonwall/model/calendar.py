"""Days of the year and hours of the day as a builder writes them."""

from __future__ import annotations

import re

from noonwall.errors import ProjectError
from noonwall.model.spans import kept_hour

_HOUR = re.compile(r"(\d{1,2}):(\d{2})")
DAY_MIN = 1440


def minute_of_day(text: str) -> int:
    """Return minutes after midnight for HH:MM, or a time with am or pm; 24:00 is the day's end.

    Raises  ProjectError for a text that is no such hour

    >>> minute_of_day("07:30"), minute_of_day("7:30 pm"), minute_of_day("24:00")
    (450, 1170, 1440)
    """
    found = _HOUR.fullmatch(kept_hour(text))
    minutes = int(found[1]) * 60 + int(found[2]) if found and int(found[2]) < 60 else DAY_MIN + 1
    if minutes > DAY_MIN:
        raise ProjectError(f'"{text}" is no hour of the day; write a time like 7:30, 14:05 or 2:05 pm')
    return minutes
