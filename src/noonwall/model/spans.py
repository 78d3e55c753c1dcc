"""Days and hours as a builder types them, "May 15 to Sep 15" or "8 pm to 7 am", and as they are kept."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

from noonwall.units import MONTHS, clock_words, day_words

HALF_DAY_H = 12
_SHORT = [name[:3] for name in MONTHS]
_MONTH = "|".join(_SHORT)
_DAY = re.compile(rf"(?:({_MONTH})[a-z]*\.? (\d{{1,2}})|(\d{{1,2}})\.? ({_MONTH})[a-z]*\.?)", re.I)
_CLOCK = re.compile(r"(\d{1,2})(?::(\d\d))? ?([ap])\.?m\.?", re.I)
_ISO_DAY = re.compile(r"(?:0[1-9]|1[0-2])-[0-3]\d")
_ISO_HOUR = re.compile(r"(?:[01]?\d|2[0-3]):[0-5]\d")


def kept_day(text: Any) -> Any:
    """Return a day as it is kept, MM-DD; what is no day written with its month's name stays.

    >>> kept_day("Feb 15"), kept_day("15 February"), kept_day("02-15"), kept_day("midsummer")
    ('02-15', '02-15', '02-15', 'midsummer')
    """
    found = _DAY.fullmatch(text.strip()) if isinstance(text, str) else None
    return _day(found) if found else text


def kept_hour(text: Any) -> Any:
    """Return a time of day as it is kept, HH:MM; what is no time on a clock of twelve hours stays.

    >>> kept_hour("7:30 pm"), kept_hour("12 am"), kept_hour("7:30"), kept_hour("13 pm")
    ('19:30', '00:00', '7:30', '13 pm')
    """
    found = _CLOCK.fullmatch(text.strip()) if isinstance(text, str) else None
    return _clock(found) if found else text


Day = Annotated[str, BeforeValidator(kept_day)]
Hour = Annotated[str, BeforeValidator(kept_hour)]
HourPair = tuple[Hour, Hour]
DayPair = tuple[Day, Day]


def days_of(item: str) -> list[str]:
    """Return a span of days as the file has it; what is no day stays, to be refused as typed.

    >>> days_of("May 15 to 1 October")
    ['05-15', '10-01']
    """
    ends = re.split(r"\s*\bto\b\s*", item, maxsplit=1)
    return [kept_day(end) for end in ends]


def hours_of(item: str) -> list[str]:
    """Return a span of hours as the file has it; what is no hour stays, to be refused as typed.

    >>> hours_of("8 pm to 7:30 am")
    ['20:00', '07:30']
    """
    ends = re.split(r"\s*(?:to|-|\u2013)\s*", item, maxsplit=1)
    return [kept_hour(end) for end in ends]


def span_words(item: Any, *, hours: bool) -> str:
    """Return a span of the file as an American says it; as it stands where it is none.

    item  a pair as typed in the file;  hours  whether it is one of hours, not of days

    >>> span_words(["05-15", "09-15"], hours=False), span_words(["20:00", "07:00"], hours=True)
    ('May 15 to Sep 15', '8 pm to 7 am')
    """
    ends = [str(end) for end in item] if isinstance(item, list) else [str(item)]
    return " to ".join(_hour_words(end) if hours else day_in_words(end) for end in ends)


def _hour_words(end: str) -> str:
    return clock_words(end.zfill(len("00:00")), "us") if _ISO_HOUR.fullmatch(end) else end


def day_in_words(end: str) -> str:
    """Return a day of the file as an American says it, "05-15" as "May 15"; as it stands where it is none."""
    return day_words(end, "us", short=True) if _ISO_DAY.fullmatch(end) else end


def _day(said: re.Match[str]) -> str:
    month, number = (said[1], said[2]) if said[1] else (said[4], said[3])
    return f"{_SHORT.index(month.capitalize()) + 1:02d}-{int(number):02d}"


def _clock(said: re.Match[str]) -> str:
    hour, minute, half = int(said[1]), said[2] or "00", said[3].casefold()
    if not 1 <= hour <= HALF_DAY_H:
        return said[0]  # "13 pm" is refused as it stands
    return f"{hour % HALF_DAY_H + (HALF_DAY_H if half == 'p' else 0):02d}:{minute}"
