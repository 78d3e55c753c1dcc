"""Reads NSRDB PSM CSV: satellite moments, not means; each is taken for the step around it."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.rows import Rows
from noonwall.climate.table import data_lines, number, numbers, parse, require_fields, without

if TYPE_CHECKING:
    from noonwall.climate.rows import Floats
    from noonwall.climate.text import TextFile

HEADER_LINES = 3
NEEDED = ("Year", "Month", "Day", "Hour", "Minute", "GHI", "DNI", "DHI", "Temperature")


def is_psm(file: TextFile) -> bool:
    """Tell whether the file begins as NSRDB's site data do."""
    return file.lines[0].startswith("Source,Location ID,")


def read_psm(file: TextFile) -> Rows:
    """Read an NSRDB PSM file.

    file     text of the file
    Returns  rows, stamped with the satellite's moment: light stands for the step around that moment
    Raises   WeatherError with file, line and reason
    *Source* NSRDB user documentation (moments, fill flags); parsed by pvlib
    """
    place = _place(file)
    lines = data_lines(file, HEADER_LINES)
    columns = next(csv.reader([file.lines[2]]), [])
    absent = [name for name in NEEDED if name not in columns]
    if absent:
        raise file.error(3, f"no column {absent[0]!r}; ask the service for it")
    require_fields(file, lines, 1 + max(columns.index(name) for name in NEEDED))
    text = "\n".join([*file.lines[:HEADER_LINES], *(file.lines[line - 1] for line in lines.tolist())])
    frame, _ = parse(file, "NSRDB PSM", lines, lambda: _pvlib(text))

    def column(name: str) -> Floats:
        if name not in frame.columns:
            return np.full(len(lines), np.nan)
        return without(numbers(file, lines, frame, name), -9999.0, -999.0, -9900.0)

    stamps = frame.index.tz_localize(None).to_numpy().astype("datetime64[s]")
    return Rows(
        kind="psm",
        file=file,
        stamps=stamps,
        lines=lines,
        light_from_steps=-0.5,
        typical=len(np.unique(stamps.astype("datetime64[Y]"))) > 1,
        columns={
            "air_c": column("temp_air"),
            "dewpoint_c": column("temp_dew"),
            "humidity_share": column("relative_humidity") / 100.0,
            "pressure_pa": column("pressure") * 100.0,
            "wind_m_s": column("wind_speed"),
            "ghi_w_m2": column("ghi"),
            "dni_w_m2": column("dni"),
            "dhi_w_m2": column("dhi"),
            "albedo": column("albedo"),
        },
        **place,
    )


def _pvlib(text: str) -> Any:
    from pvlib.iotools import read_nsrdb_psm4

    return read_nsrdb_psm4(io.StringIO(text))


def _place(file: TextFile) -> dict[str, Any]:
    if len(file.lines) < HEADER_LINES:
        raise file.error(len(file.lines), "the file ends within its header; fetch it again")
    head = dict(zip(file.lines[0].split(","), file.lines[1].split(","), strict=False))
    wanted = {
        "Latitude": 90.0,
        "Longitude": 180.0,
        "Elevation": 6000.0,
        "Time Zone": 14.0,
        "Local Time Zone": 14.0,
    }
    found = {}
    for name, limit in wanted.items():
        if name not in head:
            raise file.error(1, f"no {name!r} in the header; fetch the file again")
        found[name] = number(file, 2, name, head[name], -limit, limit)
    return {
        "place": f"NSRDB cell {head.get('Location ID', '?')}",
        "latitude_deg": found["Latitude"],
        "longitude_deg": found["Longitude"],
        "elevation_m": found["Elevation"],
        "utc_offset_h": found["Local Time Zone"],
        "stamp_offset_h": found["Time Zone"],
    }
