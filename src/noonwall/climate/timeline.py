"""Lays the rows of a file on even steps: order, gaps, repeats, leap days, seams between picked months."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.rows import LIGHT, Figure, Floats, Ints, Rows

if TYPE_CHECKING:
    from numpy.typing import NDArray

COMMON_YEAR = 2019  # typical years are dated so: no leap day, middle of the four-year cycle for TMY3's years
DAY_S = 86400
YEAR_S = 365 * DAY_S
LEAP_YEAR_S = 366 * DAY_S
STEPS_S = (60, 120, 180, 300, 360, 600, 720, 900, 1200, 1800, 3600)


@dataclass(frozen=True)
class Timeline:
    """Rows in the order of time, at equal steps.

    start   beginning of the first light step, local standard time;  step_s   length of a step [s]
    lines   : shape (n,)   line of each row
    columns   figures, means over each step, shape (n,), NaN = missing
    """

    start: np.datetime64
    step_s: int
    lines: Ints
    columns: dict[Figure, Floats]
    notes: tuple[str, ...]


def lay_out(rows: Rows, whole_year: bool = True) -> Timeline:
    """Lay rows on even steps.

    rows        as read;  whole_year   whether anything but 365 or 366 whole days is refused
    Returns     the timeline, rotated so that it begins in January where the year is typical
    Raises      WeatherError with the line: rows shuffled, repeated, missing, too few or too many
    """
    notes: list[str] = []
    seconds = _seconds(rows, notes)
    step_s = _step(rows, seconds)
    light = seconds + round(rows.light_from_steps * step_s) + rows.light_from_s
    span_s = _span(rows, seconds, step_s, light) if whole_year else None
    if span_s is not None:
        first = _year_begins(rows, light)
        light = (light - first) % span_s + first
    roll = int(np.argmin(light))
    if roll:
        notes.append(
            f"{min(roll, len(light) - roll)} row(s) were moved from one end of the year to the other, so "
            "that it begins in January local standard time"
        )
    _require_even(rows, np.roll(light, -roll), np.roll(rows.lines, -roll), step_s)
    columns = {name: np.roll(values, -roll) for name, values in rows.columns.items()}
    columns = {
        name: values if name in LIGHT else _recentre(values, _lead(rows, step_s), span_s is not None)
        for name, values in columns.items()
    }
    start = np.datetime64(int(light[roll]), "s")
    return Timeline(start, step_s, np.roll(rows.lines, -roll), columns, tuple(notes))


def _seconds(rows: Rows, notes: list[str]) -> Ints:
    """Return the stamps as seconds since 1970, local standard time, picked months on one common year."""
    stamps = rows.stamps
    if rows.typical:
        dates = stamps.astype("datetime64[D]")
        month = stamps.astype("datetime64[M]").astype(np.int64) % 12
        day = (dates - stamps.astype("datetime64[M]").astype("datetime64[D]")).astype(np.int64)
        leap = np.flatnonzero((month == 1) & (day == 28))
        if len(leap):
            raise rows.file.error(
                int(rows.lines[leap[0]]), "29 February in a typical year; a typical year has 365 days"
            )
        common = np.datetime64(f"{COMMON_YEAR}-01", "M") + month
        stamps = common.astype("datetime64[s]") + day * np.timedelta64(DAY_S, "s") + (stamps - dates)
        notes.append(
            f"months come from different years; all are dated {COMMON_YEAR}, and figures jump a little "
            "between them"
        )
    shift_s = round((rows.utc_offset_h - rows.stamp_offset_h) * 3600)
    return np.asarray(stamps.astype(np.int64) + shift_s)


def _step(rows: Rows, seconds: Ints) -> int:
    if len(seconds) < 24:
        raise rows.file.error(None, f"holds {len(seconds)} rows of weather; a year has 8760 hours")
    apart, count = np.unique(np.diff(seconds), return_counts=True)
    step_s = int(apart[np.argmax(count)])
    if step_s <= 0:
        does = "repeats the moment of" if step_s == 0 else "goes back in time after"
        line = int(np.flatnonzero(np.diff(seconds) == step_s)[0])
        raise rows.file.error(
            int(rows.lines[line + 1]), f"{does} line {rows.lines[line]}; rows must follow the clock"
        )
    if step_s not in STEPS_S:
        raise rows.file.error(
            int(rows.lines[1]), f"rows are {step_s} s apart; wanted 1 minute to 1 hour, dividing the hour"
        )
    return step_s


def _span(rows: Rows, seconds: Ints, step_s: int, light: Ints) -> int:
    """Return how long the year is [s], or say how the file misses it."""
    covered = len(seconds) * step_s
    if covered == YEAR_S:
        return YEAR_S
    leap_day = np.datetime64("1970-01-01T00:00:00") + np.median(light).astype(np.int64)
    year = int(str(leap_day)[:4])
    if covered == LEAP_YEAR_S and not rows.typical and year % 4 == 0:
        return LEAP_YEAR_S
    _require_even(rows, light, rows.lines, step_s)
    unit = "hours" if step_s == 3600 else f"rows of {step_s // 60} min"
    wanted = YEAR_S // step_s
    last = int(rows.lines[-1])
    verb = "ends too early" if covered < YEAR_S else "goes on too long"
    raise rows.file.error(last, f"the file {verb}: {len(seconds)} {unit}; a year has {wanted}")


def _year_begins(rows: Rows, light: Ints) -> int:
    """Return when the year begins: 1 January for typical years, else the midnight nearest the first row."""
    if rows.typical:
        return int(np.datetime64(f"{COMMON_YEAR}-01-01", "s").astype(np.int64))
    return round(int(light[0]) / DAY_S) * DAY_S


def _require_even(rows: Rows, light: Ints, lines: Ints, step_s: int) -> None:
    """Refuse rows that are not exactly one step apart, naming the first that is not."""
    apart = np.diff(light)
    odd = np.flatnonzero(apart != step_s)
    if len(odd) == 0:
        return
    i = int(odd[0])
    line, before = int(lines[i + 1]), int(lines[i])
    count = f"{len(light)} rows, {YEAR_S // step_s} make a year"
    if apart[i] == 0:
        reason = f"repeats the moment of line {before}; each moment once ({count})"
    elif apart[i] < 0 or apart[i] > 40 * DAY_S:
        reason = f"goes back in time after line {before}; rows must follow the clock ({count})"
    else:
        missing = _moment(int(light[i]) + step_s)
        reason = f"nothing for {missing} after line {before}; every step needs its row ({count})"
    raise rows.file.error(line, reason)


def _moment(seconds: int) -> str:
    return str(np.datetime64(seconds, "s"))[5:16].replace("T", " ")


def _lead(rows: Rows, step_s: int) -> float:
    """Return how long after its light step's middle a row's reading was taken, in steps."""
    if rows.reading_at_s is None:
        return 0.0
    middle_s = rows.light_from_steps * step_s + rows.light_from_s + 0.5 * step_s
    return (rows.reading_at_s - middle_s) / step_s


def _recentre(values: Floats, lead: float, wrap: bool) -> Floats:
    """Move readings to the middle of the light steps by linear interpolation between neighbours."""
    if lead == 0.0:
        return values
    whole = int(np.floor(lead))
    part = lead - whole
    earlier, later = np.roll(values, whole + 1), np.roll(values, whole)
    moved = part * earlier + (1.0 - part) * later
    if not wrap:
        edge = abs(whole) + 1
        moved[:edge], moved[-edge:] = values[:edge], values[-edge:]
    return np.asarray(moved)


def months(start: np.datetime64, step_s: int, steps: int) -> NDArray[np.int64]:
    """Return the month, 0 to 11, of the middle of each step, shape (steps,)."""
    middle = start.astype("datetime64[s]") + (np.arange(steps) * step_s + step_s // 2).astype(
        "timedelta64[s]"
    )
    return np.asarray(middle.astype("datetime64[M]").astype(np.int64) % 12)
