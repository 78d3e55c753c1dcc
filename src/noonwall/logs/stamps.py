"""Reads the dates and times loggers write, fast: each day and each time of day is worked out once.

A stamp is a day, a time of day and perhaps a zone. A file has few different days and few different times of
day, so both are looked up in a table that fills itself; only an unknown text goes through the patterns.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from noonwall.logs.records import Whole

Order = Literal["ymd", "dmy", "mdy"]
Form = Literal["stamp", "day and time", "parts", "epoch s", "epoch ms", "epoch us", "serial day"]

DAY_S = 86_400
BAD = np.iinfo(np.int64).min  # stands where a stamp does not read
NO_ZONE = np.iinfo(np.int32).min
EARLIEST_YEAR, LATEST_YEAR = 1995, 2100  # before that no such logger existed, after that its clock is wrong
_REMEMBER = 200_000
_EPOCH = dt.date(1970, 1, 1).toordinal()
_SERIAL_ZERO = dt.date(1899, 12, 30).toordinal() - _EPOCH

_MONTHS: dict[str, int] = {}
for _names in (
    "jan feb mar apr may jun jul aug sep oct nov dec",
    "january february march april june july august september october november december",
    "januar februar märz mai juni juli oktober dezember sept mrz okt dez maerz",
    "janvier février mars avril juin juillet août septembre octobre novembre décembre janv févr avr juil",
):
    for _name in _names.split():
        _MONTHS[_name] = 0
_STEMS = (
    ("jan",), ("feb", "fév"), ("mar", "mär", "mrz", "mae"), ("apr", "avr"), ("may", "mai"), ("jun", "juin"),
    ("jul", "juil"), ("aug", "aoû"), ("sep",), ("oct", "okt"), ("nov",), ("dec", "dez", "déc"),
)  # fmt: skip
for _name in list(_MONTHS):
    _MONTHS[_name] = next(i + 1 for i, stems in enumerate(_STEMS) if _name.startswith(stems))

ZONES = {
    "z": 0, "utc": 0, "gmt": 0, "ut": 0, "wet": 0, "west": 60, "bst": 60, "cet": 60, "cest": 120, "mez": 60,
    "mesz": 120, "eet": 120, "eest": 180, "msk": 180, "nst": -210, "ndt": -150, "ast": -240, "adt": -180,
    "est": -300, "edt": -240, "cst": -360, "cdt": -300, "mst": -420, "mdt": -360, "pst": -480, "pdt": -420,
    "akst": -540, "akdt": -480, "hst": -600, "jst": 540, "aest": 600, "aedt": 660, "nzst": 720, "nzdt": 780,
}  # fmt: skip

_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
_NUMBERED = re.compile(_WEEKDAY + r"(\d{1,4})\s?([-/.])\s?(\d{1,2})\s?\2\s?(\d{1,4})\.?", re.I)
_NAMED_DMY = re.compile(
    _WEEKDAY + r"(\d{1,2})(?:st|nd|rd|th)?[-\s./]*([a-zäéû]{3,9})\.?,?[-\s./]*(\d{4}|\d{2})", re.I
)
_NAMED_MDY = re.compile(_WEEKDAY + r"([a-zäéû]{3,9})\.?[-\s]*(\d{1,2})(?:st|nd|rd|th)?,?[-\s]+(\d{4})", re.I)
_NAMED_YMD = re.compile(r"(\d{4})[-\s]([a-z]{3,9})[-\s](\d{1,2})", re.I)
_RUN = re.compile(r"(\d{4})(\d{2})(\d{2})")
_ZONE = re.compile(r"(?:UTC|GMT)?\s*([+-])\s?(\d{1,2})(?::?(\d{2}))?", re.I)
_TIME = re.compile(
    r"(\d{1,2})(?:[:.h](\d{2}))?(?:[:.m](\d{2})(?:s|[.,:](\d{1,9}))?)?"
    r"(?:\s*([ap])(?:\.?\s?m\b\.?|\b))?(?:\s*(\S.*?))?",
    re.I,
)
_TIME_RUN = re.compile(r"(\d{2})(\d{2})(\d{2})?(?:\s*(\S.*?))?")
# where the day ends and the time begins
_CUT = re.compile(
    r"(?<=\d)T(?=\d\d)|(?<=\d)[\s,;_]+(?=\d{1,2}(?:[:.h]\d\d|\s?[ap]\.?m))|(?<=\d{8})\s(?=\d{4})|"
    r"(?<=\d{4}-\d\d-\d\d)[_-](?=\d\d)",
    re.I,
)
_LONGEST = 60


@dataclass(frozen=True)
class StampRule:
    """How a file says when: the form, which cells hold it, the order of day, month and year."""

    form: Form
    columns: tuple[int, ...]
    order: Order = "ymd"


def parse_day(text: str, order: Order) -> int | None:
    """Return days since 1970 of a date, None when it does not read as one.

    order   what the fields of an all-number date are; a four-digit field is the year whatever it says

    >>> parse_day("03/02/2025", "dmy"), parse_day("2025-02-03", "mdy"), parse_day("Feb 3, 2025", "dmy")
    (20122, 20122, 20122)
    """
    text = text.strip().strip('"').strip()
    if not 5 <= len(text) <= _LONGEST:
        return None
    if found := _NUMBERED.fullmatch(text):
        first, second, third = found[1], found[3], found[4]
        if len(first) == 4:
            return _day(first, second, third)
        if len(first) == 3 or len(third) in (1, 3):
            return None
        if order == "ymd":
            return _day(first, second, third) if len(third) == 2 else None
        return _day(third, second, first) if order == "dmy" else _day(third, first, second)
    if found := _RUN.fullmatch(text):
        return _day(found[1], found[2], found[3])
    for pattern, (year, month, day) in (
        (_NAMED_DMY, (3, 2, 1)),
        (_NAMED_MDY, (3, 1, 2)),
        (_NAMED_YMD, (1, 2, 3)),
    ):
        if (found := pattern.fullmatch(text)) and found[month].lower() in _MONTHS:
            return _day(found[year], str(_MONTHS[found[month].lower()]), found[day])
    return None


def _day(year: str, month: str, day: str) -> int | None:
    try:
        full = int(year) + (2000 if len(year) <= 2 else 0)
        return dt.date(full, int(month), int(day)).toordinal() - _EPOCH
    except ValueError:
        return None


def parse_time(text: str) -> tuple[int, int] | None:
    """Return seconds since midnight and the zone's offset [s] of a time of day, None when it reads as none.

    The offset is NO_ZONE where none is written. 24:00 is the end of the day. Half a second rounds up.

    >>> parse_time("1:05 PM"), parse_time("13:05:00Z"), parse_time("00:00:00-07:00")
    ((47100, -2147483648), (47100, 0), (0, -25200))
    """
    text = text.strip().strip('"').strip()
    if not text or len(text) > _LONGEST:
        return None
    found = _TIME.fullmatch(text)
    if found and (found[2] or found[5]):
        hour, minute, second, fraction, half, zone = found.groups()
    elif found := _TIME_RUN.fullmatch(text):
        hour, minute, second, zone = found.groups()
        fraction = half = None
    else:
        return None
    offset = parse_zone(zone) if zone else NO_ZONE
    h, m, s = int(hour), int(minute or 0), int(second or 0)
    if half:
        if not 1 <= h <= 12:
            return None
        h = h % 12 + (12 if half.lower() == "p" else 0)
    if offset is None or m > 59 or s > 60 or h > 24 or (h == 24 and (m or s)):
        return None
    return h * 3600 + m * 60 + s + (1 if fraction and fraction[0] >= "5" else 0), offset


def parse_zone(text: str) -> int | None:
    """Return the offset from UTC [s] of "Z", "+02:00", "UTC-7", "MST"; None for anything else."""
    text = text.strip().strip("()").strip()
    if text.lower() in ZONES:
        return ZONES[text.lower()] * 60
    if found := _ZONE.fullmatch(text):
        offset = int(found[2]) * 3600 + int(found[3] or 0) * 60
        return (-offset if found[1] == "-" else offset) if offset <= 15 * 3600 else None
    return None


def split_stamp(text: str) -> tuple[str, str]:
    """Return the day's part and the time's part of a stamp; the latter is empty when there is none."""
    if found := _CUT.search(text[:_LONGEST]):
        return text[: found.start()], text[found.end() :]
    if re.fullmatch(r"\d{12}(\d{2})?(\s?\S+)?", text):
        return text[:8], text[8:]
    return text, ""


class StampReader:
    """Reads the stamps of one file by one rule."""

    def __init__(self, rule: StampRule) -> None:
        self.rule = rule
        self._days: dict[str, int] = {}
        self._times: dict[str, tuple[int, int]] = {}
        self._cut: str | None = None

    def with_order(self, order: Order) -> StampReader:
        """Return a reader that takes the fields of a date in another order."""
        return StampReader(replace(self.rule, order=order))

    def read(self, cells: Sequence[Sequence[str]]) -> tuple[Whole, Whole]:
        """Read many stamps.

        cells     for each of the rule's columns its cells, all of the same length n
        returns   clock time [s since 1970-01-01 on the clock's own face], BAD where a stamp does not read,
                  and the offset from UTC written with it [s], NO_ZONE where none is; shape (n,) each
        """
        form = self.rule.form
        if form in ("epoch s", "epoch ms", "epoch us", "serial day"):
            clock = _numbered(cells[0], form)
            return clock, np.full(len(clock), 0 if form != "serial day" else NO_ZONE, np.int64)
        if form == "stamp":
            pairs: Iterable[tuple[str, str]] = map(self._split, cells[0])
        elif form == "day and time":
            pairs = zip(cells[0], cells[1], strict=True)
        else:
            pairs = map(_joined, zip(*cells, strict=True))
        return self._read_pairs(pairs, len(cells[0]))

    def _split(self, text: str) -> tuple[str, str]:
        """Split as the stamp before was split; fall back on the patterns when that does not fit."""
        if self._cut is not None:
            day, found, time = text.partition(self._cut)
            if found and day in self._days:
                return day, time
        day, time = split_stamp(text.strip().strip('"').strip())
        if time:
            self._cut = text[len(day) : len(text) - len(time)] or None
        return day, time

    def _read_pairs(self, pairs: Iterable[tuple[str, str]], n: int) -> tuple[Whole, Whole]:
        days, times = self._days, self._times
        if len(times) > _REMEMBER or len(days) > _REMEMBER:
            days.clear()
            times.clear()
        clock, offset = [0] * n, [0] * n
        for i, (day_text, time_text) in enumerate(pairs):
            day = days.get(day_text)
            if day is None:
                found = parse_day(day_text, self.rule.order)
                day = days[day_text] = BAD if found is None else found
            pair = times.get(time_text)
            if pair is None:
                read = parse_time(time_text) if time_text.strip() else (0, NO_ZONE)
                pair = times[time_text] = (BAD, NO_ZONE) if read is None else read
            clock[i] = BAD if day == BAD or pair[0] == BAD else day * DAY_S + pair[0]
            offset[i] = pair[1]
        return np.array(clock, np.int64), np.array(offset, np.int64)


def _joined(cells: tuple[str, ...]) -> tuple[str, str]:
    """Return a day and a time from cells of year, month, day, hour and perhaps minute, second."""
    year, month, day, hour = (cell.strip().partition(".")[0] for cell in cells[:4])
    rest = [cell.strip().partition(".")[0].zfill(2) for cell in cells[4:]]
    return f"{year}-{month}-{day}", ":".join([hour.zfill(2), *(rest or ["00"])])


_PER_SECOND = {"epoch s": 1.0, "epoch ms": 1e3, "epoch us": 1e6}


def _numbered(cells: Sequence[str], form: Form) -> Whole:
    """Return clock seconds of epoch counts or of a spreadsheet's serial days."""
    try:
        numbers = np.array(list(map(float, cells)))
    except ValueError:
        numbers = np.array([_float(cell) for cell in cells])
    serial = form == "serial day"
    seconds = (numbers + _SERIAL_ZERO) * DAY_S if serial else numbers / _PER_SECOND[form]
    good = np.isfinite(seconds) & (np.abs(seconds) < 1e11)
    out = np.full(len(seconds), BAD, np.int64)
    out[good] = np.floor(seconds[good] + 0.5).astype(np.int64)
    return out


def _float(cell: str) -> float:
    try:
        return float(cell.strip().strip('"').replace(",", "."))
    except ValueError:
        return float("nan")


def year_bounds() -> tuple[int, int]:
    """Return the first and the last clock second a stamp may have."""
    low = dt.date(EARLIEST_YEAR, 1, 1).toordinal() - _EPOCH
    high = dt.date(LATEST_YEAR, 1, 1).toordinal() - _EPOCH
    return low * DAY_S, high * DAY_S


def shown(clock_s: int) -> str:
    """Return a clock second as a reader sees it on the clock's face: 2025-02-03 13:05."""
    moment = dt.datetime(1970, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=int(clock_s))
    return moment.strftime("%Y-%m-%d %H:%M:%S" if moment.second else "%Y-%m-%d %H:%M")
