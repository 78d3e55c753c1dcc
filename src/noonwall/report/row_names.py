"""Names of a recap's rows: a month of which only some days are in the period says so."""

from __future__ import annotations

import calendar
from typing import TYPE_CHECKING

from noonwall.units import MONTHS, day_words

if TYPE_CHECKING:
    from noonwall.units import System

FULL_DAYS = {
    "October to April": 212,
    "May to September": 153,
    "April to October": 214,
    "November to March": 151,
}
SHORT = {"October to April": "Oct-Apr", "May to September": "May-Sep", "April to October": "Apr-Oct",
         "November to March": "Nov-Mar"}  # fmt: skip


def row_name(
    name: str, first: str, last: str, days: int, system: System = "metric", between: str = " "
) -> str:
    """Return a row's name, with its days where a month or a season is not there as a whole.

    name         "2025-02-08", "2025-02" or a season's;  first, last, days   first and last day in it, and how many
    between      what stands between the month and its days

    >>> row_name("2025-02", "2025-02-14", "2025-02-28", 15), row_name("2025-02", "2025-02-03", "2025-02-20", 18)
    ('Feb 2025 from 14th', 'Feb 2025 3rd-20th')
    >>> row_name("2025-02", "2025-02-01", "2025-02-28", 28), row_name("2025-02-08", "2025-02-08", "2025-02-08", 1)
    ('Feb 2025', '8 Feb 2025')
    >>> row_name("October to April", "2025-02-03", "2025-03-01", 27)
    'part of Oct-Apr'
    """
    if name in FULL_DAYS:
        return f"part of {SHORT[name]}" if days < FULL_DAYS[name] else name
    if len(name) == len("2025-02-08"):
        return day_words(name, system, short=True, year=True)
    if len(name) != len("2025-02"):
        return name
    month, part = f"{MONTHS[int(name[5:]) - 1][:3]} {name[:4]}", part_of_month(first, last)
    return f"{month}{between}{part}" if part else month


def part_of_month(first: str, last: str) -> str:
    """Return "from 14th", "to 20th", "3rd-20th" or "only 5th"; empty for a whole month."""
    begin, end = int(first[8:10]), int(last[8:10])
    whole = calendar.monthrange(int(first[:4]), int(first[5:7]))[1]
    if begin == 1 and end == whole:
        return ""
    if begin == end:
        return f"only {_nth(begin)}"
    if end == whole:
        return f"from {_nth(begin)}"
    return f"to {_nth(end)}" if begin == 1 else f"{_nth(begin)}-{_nth(end)}"


def _nth(number: int) -> str:
    ending = "th" if 10 < number % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"
