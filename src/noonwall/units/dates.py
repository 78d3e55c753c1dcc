"""Dates as a reader says them: "5 February", or "February 5" with US units. Files keep ISO dates."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.units.table import System

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
SHORT = 3
MOMENT = re.compile(r"(?<![\w\"-])\d{4}-(?:0[1-9]|1[0-2])-\d\d \d\d:\d\d(?![\w:])")
ISO = re.compile(r"(?<![\w-])(\d{4})-(?:0[1-9]|1[0-2])-\d\d(?![\w-])")


def day_words(
    day: object, system: System = "metric", *, short: bool = False, year: bool = False, hour: bool = False
) -> str:
    """Return a day in words.

    day     "02-05", "2019-02-05", a longer ISO text or a moment that reads as one
    system  "metric" or "us"
    short   month in three letters;  year  with its year, where the day has one;  hour  with the hour, where it has one

    >>> day_words("2019-02-05"), day_words("02-05", "us"), day_words("2019-02-05", "us", short=True, year=True)
    ('5 February', 'February 5', 'Feb 5, 2019')
    >>> day_words("2019-02-05T13:05", hour=True), day_words("2019-02-05T13:05", "us", hour=True)
    ('5 February 13:05', 'February 5 1:05 pm')
    """
    date, _, clock = str(day).replace(" ", "T").partition("T")
    *years, month, number = date.split("-")
    name = MONTHS[int(month) - 1][: SHORT if short else None]
    us = system == "us"
    said = f"{name} {int(number)}" if us else f"{int(number)} {name}"
    if year and years:
        said += f", {years[0]}" if us else f" {years[0]}"
    return f"{said} {clock_words(clock, system)}" if hour and clock else said


def dates_in(text: str, system: System = "metric") -> str:
    """Return a text with its ISO dates in words; their years only where the text is of more than one.

    >>> dates_in("stood still 2025-02-08 to 2025-02-16", "us"), dates_in("2024-12-30 to 2025-01-02")
    ('stood still Feb 8 to Feb 16', '30 Dec 2024 to 2 Jan 2025')
    """
    years = {hit[1] for hit in ISO.finditer(text)}
    return ISO.sub(lambda hit: day_words(hit[0], system, short=True, year=len(years) > 1), text)


def moments_in(text: str, system: System = "metric") -> str:
    """Return a text with its ISO moments in words; what stands between quotes is a file's own and stays.

    >>> moments_in('2025-02-08 00:00 to 2025-02-08 13:05 ("2025-02-09 01:00")', "us")
    'February 8, 2025 12 am to February 8, 2025 1:05 pm ("2025-02-09 01:00")'
    """
    return MOMENT.sub(lambda hit: day_words(hit[0], system, year=True, hour=True), text)


def clock_words(clock: str, system: System = "metric") -> str:
    """Return a time of day: "13:05", or "1:05 pm" with US units.

    >>> clock_words("13:05:00"), clock_words("13:05", "us"), clock_words("07:00", "us")
    ('13:05', '1:05 pm', '7 am')
    """
    hour, minute = (int(part) for part in clock[:5].split(":"))
    if system != "us":
        return f"{hour:02d}:{minute:02d}"
    return f"{(hour - 1) % 12 + 1}{f':{minute:02d}' if minute else ''} {'am' if hour < 12 else 'pm'}"
