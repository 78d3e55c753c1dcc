"""A year day by day, and some days of it hour by hour: numbers for charts that can be looked into."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.errors import ProjectError

if TYPE_CHECKING:
    from noonwall.engine.year import Floats, Year
    from noonwall.report.reader import Reader

MOST_DAYS, MOST_POINTS = 31, 600
ROOM_AIR_KG_M3 = (
    1.2  # dry air at 20 °C and sea level: flow is told as that of room air, whatever it is warmed to
)
# What is shown of a stretch of time: column of the year's table, words, kind of quantity.
TEMPERATURES = (
    ("absorber_c", "absorber"), ("gap_top_c", "air, top of the gap"), ("gap_bottom_c", "air, foot of the gap"),
    ("glazing_inner_c", "glazing, inner face"), ("glazing_outer_c", "glazing, outer face"), ("room_c", "shop"),
    ("room_without_c", "shop without the wall"), ("floor_c", "floor"), ("contents_c", "contents"),
    ("air_c", "outdoors"), ("sky_c", "sky"),
)  # fmt: skip
POWERS = (
    ("sun_on_wall_w", "sun on the glazing"), ("delivered_w", "into the shop"), ("reversed_w", "carried back out"),
    ("backup_w", "heater"), ("back_w", "through the wall's back"),
)  # fmt: skip
SWITCHES = (("fan_share", "fans run"), ("cover_share", "cover hangs"))


def daily(year: Year, reader: Reader) -> dict[str, Any]:
    """Return each day of a year in the reader's units.

    Returns  days (ISO dates), labels (the same as the reader says them), and a list a day of:
             sun, delivered, carried_out (heat), low, high (the shop), fans_h
    """
    t, a_day = year.table, 86_400 // year.step_s
    days = len(t.time) // a_day

    def by_day(values: Floats) -> Floats:
        return values[: days * a_day].reshape(days, a_day)

    def heat(power: Floats) -> list[float]:
        return _rounded([reader.heat(float(v)) for v in by_day(power).sum(axis=1) * year.step_s / 3.6e6], 2)

    room = by_day(t.room_c)
    dates = [str(day) for day in t.time[: days * a_day : a_day].astype("datetime64[D]")]
    return {
        "days": dates,
        "labels": [reader.day_text(day, short=True) for day in dates],
        "sun": heat(t.sun_on_wall_w),
        "delivered": heat(t.delivered_w),
        "carried_out": heat(t.reversed_w),
        "low": _rounded([reader.degrees(float(v)) for v in room.min(axis=1)], 1),
        "high": _rounded([reader.degrees(float(v)) for v in room.max(axis=1)], 1),
        "fans_h": _rounded(by_day(t.fan_share).sum(axis=1) * year.step_s / 3600.0, 2),
    }


def course(year: Year, first: str, days: int, reader: Reader) -> dict[str, Any]:
    """Return some days of a year step by step: every temperature, flow, power and switch.

    first    ISO date of the first day, days  how many, 1 to 31
    Returns  times, labels (the same as the reader says them), and under temperatures, powers, switches a list of
             {name, values}; powers and flow with their units
    Raises   ProjectError when the year does not hold that day
    """
    t = year.table
    begin = _day(first)
    chosen = (t.time >= begin) & (t.time < begin + np.timedelta64(min(max(days, 1), MOST_DAYS), "D"))
    if not np.any(chosen):
        raise ProjectError(f"{first}: is not in the calculated year, which begins on {str(t.time[0])[:10]}")
    every = max(1, int(np.ceil(chosen.sum() / MOST_POINTS)))
    columns = t.columns()

    def values(name: str) -> Floats:
        picked: Floats = np.asarray(columns[name][chosen], dtype=np.float64)
        return picked[: len(picked) // every * every].reshape(-1, every).mean(axis=1)  # type: ignore[no-any-return]

    times = t.time[chosen]
    times = times[: len(times) // every * every : every]
    stamps = [str(time.astype("datetime64[m]")) for time in times]
    one_day = stamps[0][:10] == stamps[-1][:10]
    flow = values("flow_kg_s") / ROOM_AIR_KG_M3 * (2118.88 if reader.us else 3600.0)
    return {
        "times": stamps,
        "labels": [reader.clock_text(t) if one_day else reader.moment_text(t, short=True) for t in stamps],
        "temperatures": [
            {"name": word, "values": _rounded([reader.degrees(float(v)) for v in values(name)], 1)}
            for name, word in TEMPERATURES
        ],
        "powers": [
            {"name": word, "values": _rounded(reader.heat(1.0) * values(name) / 1000.0, 3)}
            for name, word in POWERS
        ],
        "power_unit": reader.power_unit,
        "switches": [{"name": word, "values": _rounded(values(name), 2)} for name, word in SWITCHES],
        "flow": _rounded(flow, 1),
        "flow_unit": "cfm" if reader.us else "m³/h",
    }


def _day(text: str) -> np.datetime64:
    try:
        return np.datetime64(text[:10], "D")
    except ValueError:
        raise ProjectError(f"{text[:20]!r}: is no date such as 2019-02-05") from None


def _rounded(values: Any, digits: int) -> list[float]:
    return [round(float(v), digits) for v in values]
