"""The stretch of days a recap is about, on the site's own clock."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.errors import ReadingsError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.logs.store import Store

STEP_S = 900
DAY_S = 86_400
LEAD_DAYS = 21  # calculated before a stretch that is no whole year, so that floor and contents are warm
WHOLE_YEAR_DAYS = 360
BREAK_DAYS = 7  # a longer time without any reading parts one stretch from the next


@dataclass(frozen=True)
class Period:
    """Whole days in local standard time: ``days`` from ``first``."""

    first: np.datetime64  # a day
    days: int
    utc_offset_h: float

    @property
    def start_s(self) -> int:
        """Beginning of the first day [s since 1970 UTC]."""
        return int(self.first.astype("datetime64[s]").astype(np.int64) - round(self.utc_offset_h * 3600))

    @property
    def end_s(self) -> int:
        """End of the last day [s since 1970 UTC]."""
        return self.start_s + self.days * DAY_S

    @property
    def last(self) -> np.datetime64:
        """The last day."""
        return self.first + np.timedelta64(self.days - 1, "D")

    @property
    def lead_days(self) -> int:
        """Days calculated beforehand; a whole year is entered by way of its own end and needs none."""
        return 0 if self.days >= WHOLE_YEAR_DAYS else LEAD_DAYS

    @property
    def time(self) -> NDArray[np.datetime64]:
        """Beginning of each step in local standard time, shape (n,)."""
        steps = np.arange(self.days * DAY_S // STEP_S) * np.timedelta64(STEP_S, "s")
        return np.asarray(self.first.astype("datetime64[s]") + steps)

    @property
    def day(self) -> NDArray[np.int64]:
        """Day of each step, 0 for the first, shape (n,)."""
        return np.arange(self.days * DAY_S // STEP_S) * STEP_S // DAY_S

    def day_of(self, utc_s: int) -> str:
        """Return the day on the site's clock of a moment [s since 1970 UTC], as 2025-02-08."""
        return str(np.datetime64(utc_s + round(self.utc_offset_h * 3600), "s").astype("datetime64[D]"))

    def date(self, day: int) -> str:
        """Return the date of a day counted from the first, as 2025-02-08."""
        return str(self.first + np.timedelta64(day, "D"))


def period_of(store: Store, utc_offset_h: float, first: str | None = None, last: str | None = None) -> Period:
    """Return the days between two dates, or all for which there are readings.

    first, last   dates, both included, as 2025-01-31; None: where the readings begin or end
    Raises        ReadingsError for a date that does not read, without readings, or without a day
    """
    span = store.span()
    if span is None:
        raise ReadingsError("no readings are kept yet; `noonwall readings add PROJECT FILE` reads some")
    begin, end = (np.datetime64(round(s + utc_offset_h * 3600), "s").astype("datetime64[D]") for s in span)
    low = begin if first is None else _date(first, "--from")
    high = end if last is None else _date(last, "--to")
    if high < low:
        raise ReadingsError(f"from {low} to {high}: there is no such time; give the earlier date first")
    if high < begin or low > end:
        raise ReadingsError(f"from {low} to {high}: nothing was read then; readings go from {begin} to {end}")
    low, high = max(low, begin), min(high, end)
    return Period(low, int((high - low).astype(np.int64)) + 1, utc_offset_h)


def unbroken(store: Store, utc_offset_h: float) -> list[tuple[str, str]]:
    """Return first and last day of each time that was read without a break of more than a week, the earliest first."""
    out: list[list[int]] = []
    for begin, end in store.stretches():
        if out and begin - out[-1][1] <= BREAK_DAYS * DAY_S:
            out[-1][1] = max(out[-1][1], end)
        else:
            out.append([begin, end])
    at = Period(np.datetime64("1970-01-01"), 1, utc_offset_h)
    return [(at.day_of(begin), at.day_of(end)) for begin, end in out]


def _date(text: str, option: str) -> np.datetime64:
    try:
        day: np.datetime64 = np.datetime64(text.strip(), "D")
    except ValueError:
        day = np.datetime64("NaT", "D")
    if np.isnat(day) or len(text.strip()) != len("2025-01-31"):
        raise ReadingsError(f"{option}: {text[:30]!r} is no date; write it as 2025-01-31")
    return day
