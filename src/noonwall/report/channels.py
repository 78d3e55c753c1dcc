"""Channels of readings over time, ready for a chart: in the reader's units, on the site's own clock."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from noonwall.logs.drawn import MOST_POINTS, drawn
from noonwall.logs.reception import silent
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from noonwall.logs.reception import Tell
    from noonwall.model.site import Site
    from noonwall.report.reader import Reader

SQUARE_FOOT_M2 = 0.09290304
BTU_H_W = 3.412142
CFM_PER_M3_S = 2118.88
MPH_PER_M_S = 2.236936


def channel_course(
    folder: Path,
    names: Sequence[str],
    start_s: int | None,
    end_s: int | None,
    site: Site,
    reader: Reader,
    tell: Tell = silent,
    most: int = MOST_POINTS,
) -> dict[str, Any]:
    """Return some channels over a stretch of time, thinned so that nothing seen is lost.

    start_s, end_s   [s since 1970 UTC], None: all there is
    Returns          "from", "to" and "whole" [ms on the site's clock], and "channels", each with its title, "unit",
                     "points" and "aside" as [ms, value], how many "readings", whether any are "mended"
    """
    offset_s = round(site.clock_h * 3600.0)
    with Store(folder) as store:
        first, last = store.span() or (0, 0)
        start, end = first if start_s is None else start_s, last + 1 if end_s is None else end_s
        rows = []
        for i, name in enumerate(names):
            tell(i, len(names))
            found = drawn(store, store.channel(name), start, end, most)
            scale, unit = in_units(found.channel.measure, reader)
            rows.append({
                "name": name, "title": found.channel.title, "unit": unit, "state": found.channel.kind == "state",
                "points": _points(found.time_s.tolist(), found.value.tolist(), offset_s, scale),
                "aside": _points(found.aside_time_s.tolist(), found.aside_value.tolist(), offset_s, scale),
                "readings": found.readings, "mended": found.mended, "has_aside": found.has_aside,
            })  # fmt: skip
    whole = [(first + offset_s) * 1000, (last + offset_s) * 1000]
    return {
        "from": (start + offset_s) * 1000,
        "to": (end + offset_s) * 1000,
        "whole": whole,
        "channels": rows,
    }


def _points(
    times: list[int], values: list[float], offset_s: int, scale: Callable[[float], float]
) -> list[list[float | None]]:
    return [
        [(time + offset_s) * 1000, None if math.isnan(value) else round(scale(value), 3)]
        for time, value in zip(times, values, strict=True)
    ]


def in_units(measure: str, reader: Reader) -> tuple[Callable[[float], float], str]:
    """Return what turns SI values of a measure into the reader's unit, and that unit."""
    plain: dict[str, tuple[Callable[[float], float], str]] = {
        "temperature": (reader.degrees, reader.degree),
        "irradiance": (lambda v: v, "W/m2"),
        "power": (lambda v: v, "W"),
        "energy": (reader.heat, reader.heat_unit),
        "share": (lambda v: 100.0 * v, "%"),
        "state": (lambda v: v, "on = 1"),
        "speed": (lambda v: v, "m/s"),
        "pressure": (lambda v: v / 100.0, "hPa"),
        "flow": (lambda v: v * 3600.0, "m3/h"),
        "time": (lambda v: v / 60.0, "min"),
        "volume": (lambda v: v * 1000.0, "L"),
        "mass": (lambda v: v, "kg"),
        "number": (lambda v: v, ""),
    }
    us: dict[str, tuple[Callable[[float], float], str]] = {
        "irradiance": (lambda v: v * BTU_H_W * SQUARE_FOOT_M2, "Btu/h ft2"),
        "speed": (lambda v: v * MPH_PER_M_S, "mph"),
        "flow": (lambda v: v * CFM_PER_M3_S, "cfm"),
    }
    return (us.get(measure) if reader.us else None) or plain.get(measure, plain["number"])
