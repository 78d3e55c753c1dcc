"""From a logger's clock to UTC: fixed offsets, zones with daylight saving, the hour that comes twice."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.errors import ReadingsError
from noonwall.logs.stamps import EARLIEST_YEAR, LATEST_YEAR, parse_zone, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.records import Whole

_WEEK_S = 7 * 86_400
_HALF_HOUR_S = 1800
# one zone an offset and rule, for a proposal only: the builder's word decides
_PROPOSALS = (
    "America/St_Johns", "America/Halifax", "America/New_York", "America/Chicago", "America/Denver",
    "America/Los_Angeles", "America/Anchorage", "Europe/London", "Europe/Berlin", "Europe/Helsinki",
    "America/Santiago", "Australia/Sydney", "Pacific/Auckland",
)  # fmt: skip


@dataclass(frozen=True)
class Zone:
    """A clock's offset from UTC through the years.

    ``changes_s``   shape (k,), instants at which it changes [s since 1970 UTC]
    ``offsets_s``   shape (k + 1,), before the first change, after it, ... [s]
    """

    name: str
    changes_s: Whole
    offsets_s: Whole

    @property
    def saves_daylight(self) -> bool:
        """Whether the clock is ever put on or back."""
        return len(self.changes_s) > 0


@lru_cache(maxsize=32)
def zone_of(text: str) -> Zone:
    """Return the zone of "UTC", "UTC-7", "+02:00", "MST" or "America/Denver".

    raises   ReadingsError for anything else
    """
    fixed = parse_zone(text)
    if fixed is not None:
        return Zone(text, np.empty(0, np.int64), np.array([fixed], np.int64))
    try:
        place = zoneinfo.ZoneInfo(text)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        raise ReadingsError(
            f'unknown zone "{text[:40]}"; write "UTC", an offset as "UTC-7", a place as "America/Denver"'
        ) from None
    low, high = (int(dt.datetime(y, 1, 1, tzinfo=dt.UTC).timestamp()) for y in (EARLIEST_YEAR, LATEST_YEAR))
    weeks = range(low, high, _WEEK_S)
    offsets = [_offset(place, week) for week in weeks]
    changes = [
        _change(place, weeks[i], weeks[i + 1]) for i in range(len(weeks) - 1) if offsets[i] != offsets[i + 1]
    ]
    after = [_offset(place, moment) for moment in changes]
    return Zone(text, np.array(changes, np.int64), np.array([offsets[0], *after], np.int64))


def near(offset_h: float | None) -> str | None:
    """Return a zone with daylight saving whose standard time is that of a site; None where none is known.

    >>> near(-5.0), near(1.0), near(9.0)
    ('America/New_York', 'Europe/Berlin', None)
    """
    if offset_h is None:
        return None
    return next((name for name in _PROPOSALS if abs(_standard_h(zone_of(name)) - offset_h) <= 0.01), None)


def _standard_h(zone: Zone) -> float:
    return int(min(zone.offsets_s[-2:])) / 3600.0


def standard_throughout(name: str, first_clock_s: int, last_clock_s: int) -> bool:
    """Return whether a zone's clock shows standard time from one moment on its face to another."""
    zone = zone_of(name)
    standard = round(_standard_h(zone) * 3600)
    eras = np.searchsorted(zone.changes_s, np.array([first_clock_s, last_clock_s]) - standard, side="right")
    return bool(eras[0] == eras[1] and zone.offsets_s[eras[0]] == standard)


def _offset(place: zoneinfo.ZoneInfo, utc_s: int) -> int:
    found = dt.datetime.fromtimestamp(utc_s, place).utcoffset()
    return int(found.total_seconds()) if found is not None else 0


def _change(place: zoneinfo.ZoneInfo, low: int, high: int) -> int:
    before = _offset(place, low)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _offset(place, middle) == before else (low, middle)
    return high


class Clock:
    """Turns one logger's clock into UTC, stamp after stamp in the file's order.

    In the hour that comes twice, stamps count as the first pass until the clock is seen to step back.
    """

    def __init__(self, zone: Zone, *, descending: bool = False) -> None:
        self.zone = zone
        self.one_pass: list[int] = []  # clock seconds of twofold hours that came once only
        self._sign = -1 if descending else 1
        self._late = descending
        self._last: int | None = None  # last stamp inside a twofold hour, None outside
        self._turned = False
        z = zone
        ends = np.stack([z.changes_s + z.offsets_s[:-1], z.changes_s + z.offsets_s[1:]])
        self._low, self._high = ends.min(axis=0), ends.max(axis=0)  # clock seconds that are doubtful
        self._twice = z.offsets_s[1:] < z.offsets_s[:-1]

    def utc(self, clock_s: Whole) -> tuple[Whole, Whole]:
        """Return UTC seconds, and the places of stamps the clock never showed (in the hour that is left out).

        clock_s   shape (n,), seconds on the clock's face, in the file's order, all readable
        """
        zone = self.zone
        if not zone.saves_daylight:
            return clock_s - zone.offsets_s[0], np.empty(0, np.int64)
        era = np.searchsorted(self._high, clock_s, side="right")  # changes that are surely past
        offset = zone.offsets_s[era]
        near = np.minimum(era, len(self._low) - 1)
        doubtful = (era < len(self._low)) & (clock_s >= self._low[near])
        missing = np.flatnonzero(doubtful & ~self._twice[near])
        twofold = np.flatnonzero(doubtful & self._twice[near])
        if len(twofold) or self._last is not None:
            self._settle(clock_s, twofold, near, offset)
        return clock_s - offset, missing

    def _settle(self, clock_s: Whole, twofold: Whole, near: Whole, offset: Whole) -> None:
        """Decide for each stamp of a twofold hour which pass it belongs to; alters ``offset``."""
        before = -1
        for place in twofold.tolist():
            if place != before + 1:
                self._leave()
            now = int(clock_s[place])
            if self._last is not None and self._sign * now <= self._sign * self._last:
                self._turned = True
            second = self._turned != self._late
            offset[place] = self.zone.offsets_s[near[place] + (1 if second else 0)]
            self._last, before = now, place
        if before != len(clock_s) - 1:
            self._leave()

    def _leave(self) -> None:
        if self._last is not None and not self._turned:
            self.one_pass.append(self._last)
        self._last, self._turned = None, False


def never_shown(zone: Zone, clock_s: int) -> str:
    """Return the sentence on a stamp that no clock of the zone ever showed."""
    return (
        f"time {shown(clock_s)} does not exist in {zone.name} (clocks went forward); "
        "give the clock's real zone, for a clock that is never put on one like --map zone=UTC-7"
    )


def put_back(jumps: Sequence[tuple[int, int]], step_s: int) -> list[int]:
    """Return the clock seconds at which a clock was put back an hour on a Sunday night.

    jumps   (stamp before, stamp after) where the clock stepped back;  step_s   usual step [s]
    """
    found = []
    for before, after in jumps:
        moved = after - before - step_s
        day = dt.date(1970, 1, 1) + dt.timedelta(days=after // 86_400)
        if (
            -3600 - step_s <= moved <= -_HALF_HOUR_S
            and day.weekday() == 6
            and day.month in (3, 4, 10, 11)
            and before % 86_400 < 4 * 3600
        ):
            found.append(before)
    return found


def put_on(jumps: Sequence[tuple[int, int]], step_s: int) -> list[int]:
    """Return the clock seconds at which a clock may have been put on an hour on a Sunday night.

    jumps   (stamp before, stamp after) where the clock leapt on;  step_s   usual step [s]
    """
    found = []
    for before, after in jumps:
        day = dt.date(1970, 1, 1) + dt.timedelta(days=after // 86_400)
        an_hour = abs(after - before - step_s - 3600) <= 60
        if an_hour and day.weekday() == 6 and day.month in (3, 4, 9, 10) and before % 86_400 < 4 * 3600:
            found.append(before + step_s)
    return found


def proposal(offset_h: float | None, turned_back: Sequence[int], turned_on: Sequence[int] = ()) -> str | None:
    """Return the name of a zone whose clock was put back, and on, at these moments; None when none fits.

    offset_h      standard time's offset at the site [h], None when it is not known
    turned_back   clock seconds as `put_back` gives them;  turned_on   as `put_on` does
    """
    for name in _PROPOSALS:
        zone = zone_of(name)
        if offset_h is not None and abs(_standard_h(zone) - offset_h) > 0.01:
            continue
        back = zone.offsets_s[1:] < zone.offsets_s[:-1]
        shown_s = zone.changes_s + zone.offsets_s[:-1]
        backs = all(np.any(np.abs(shown_s[back] - moment) <= 3600) for moment in turned_back)
        if backs and all(np.any(np.abs(shown_s[~back] - moment) < 1800) for moment in turned_on):
            return name
    return None
