"""What readings taught, ready for a page: values with their spread, and how far each channel is off day by day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.learn_page import NAMES, shown

if TYPE_CHECKING:
    from noonwall.engine.year import Month
    from noonwall.logs.learn.story import Curve, Learned, Value
    from noonwall.report.reader import Reader

DAY_S = 86_400
TEMPERATURES = ("room_c", "gap_bottom_c", "gap_top_c", "vent_c")


def learn_rows(learned: Learned, reader: Reader) -> dict[str, Any]:
    """Return "values" and "curves" as plain data, in the reader's units."""
    return {
        "values": [_value(value, reader) for value in learned.values],
        "curves": [
            _curve(curve, learned, reader) for curve in learned.curves if curve.channel in TEMPERATURES
        ],
        "degree": reader.degree,
        "days": round(learned.days, 1),
    }


def _value(value: Value, reader: Reader) -> dict[str, Any]:
    assumed, found, interval, unit = shown(value, reader)
    whole = value.assumed if not value.plus and value.assumed else None
    return {
        "key": value.key,
        "title": value.title,
        "unit": unit,
        "assumed": assumed,
        "learned": found,
        "interval": interval,
        "told": value.told,
        "at_bound": value.at_bound,
        "percent": None if whole is None else [round(100.0 * v / whole, 1) for v in _figures(value)],
    }


def heat_beside(now: Month, then: Month, reader: Reader) -> list[tuple[str, str, str, str]]:
    """Return two years' heat side by side: what it is, as calculated now, with what was learned, how much more.

    now, then   sums of the same weather year
    """
    pairs = (
        ("heat into the shop", now.delivered_kwh, then.delivered_kwh),
        ("of that, of use", now.useful_kwh, then.useful_kwh),
        ("heat of the backup heater", now.backup_kwh, then.backup_kwh),
    )
    return [(what, reader.heat_text(a), reader.heat_text(b), _more(b - a, reader)) for what, a, b in pairs]


def _more(kwh: float, reader: Reader) -> str:
    text = reader.heat_text(kwh)
    return f"+{text}" if kwh > 0.0 and not text.startswith("0 ") else text.replace("-0 ", "0 ")


def _figures(value: Value) -> tuple[float, float, float]:
    return value.low, value.learned, value.high


def _curve(curve: Curve, learned: Learned, reader: Reader) -> dict[str, Any]:
    """Return one channel's calculated less measured, as means of days."""
    per = max(1, DAY_S // curve.step_s)
    days = len(curve.measured) // per
    first = learned.start.astype("datetime64[D]")
    return {
        "channel": curve.channel,
        "name": NAMES[curve.channel],
        "days": [reader.day_text(first + np.timedelta64(i, "D"), short=True, year=True) for i in range(days)],
        "learned": _daily(curve.learned - curve.measured, per, days, reader),
        "assumed": _daily(curve.assumed - curve.measured, per, days, reader),
        "judges": [bool(part.any()) for part in curve.judges[: days * per].reshape(days, per)],
    }


def _daily(rest: np.ndarray, per: int, days: int, reader: Reader) -> list[float | None]:
    parts = rest[: days * per].reshape(days, per)
    return [
        round(reader.kelvins(float(np.nanmean(part))), 2) if np.isfinite(part).any() else None
        for part in parts
    ]
