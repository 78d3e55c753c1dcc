"""Reads TMY3 CSV: hour-ending rows in local standard time, -9900 for 'missing'."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.rows import Rows
from noonwall.climate.table import data_lines, number, numbers, parse, require_fields, without

if TYPE_CHECKING:
    from noonwall.climate.rows import Floats, Ints
    from noonwall.climate.text import TextFile

HEADER_LINES = 2
DATE, TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
MISSING = -9900.0


def is_tmy3(file: TextFile) -> bool:
    """Tell whether the second line is TMY3's list of columns."""
    return len(file.lines) > 1 and file.lines[1].startswith(DATE)


def read_tmy3(file: TextFile) -> Rows:
    """Read a TMY3 file, or a measured series written in its form.

    file     text of the file
    Returns  rows, stamped with the beginning of their step (the file writes its end)
    Raises   WeatherError with file, line and reason
    *Source* Wilcox and Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156; parsed by pvlib
    """
    site = _site(file)
    lines = data_lines(file, HEADER_LINES)
    columns = file.lines[1].split(",")
    needed = [DATE, TIME, "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Dew-point (C)",
              "Pressure (mbar)", "Wspd (m/s)"]  # fmt: skip
    absent = [name for name in needed if name not in columns]
    if absent:
        raise file.error(2, f"no column {absent[0]!r}; is the header damaged?")
    require_fields(file, lines, 1 + max(columns.index(name) for name in needed))
    ends = _ends(file, lines)
    text = "\n".join([file.lines[0], file.lines[1], *(file.lines[line - 1] for line in lines.tolist())])
    frame, _ = parse(file, "TMY3", lines, lambda: _pvlib(text))

    def column(name: str, *codes: float) -> Floats:
        if name not in frame.columns:
            return np.full(len(lines), np.nan)
        return without(numbers(file, lines, frame, name), MISSING, -99.0, *codes, above=9999.0)

    step = np.median(np.diff(ends).astype(np.int64)) if len(ends) > 1 else 3600
    begins = ends - np.timedelta64(int(step), "s")
    years = np.unique(begins.astype("datetime64[Y]"))
    return Rows(
        kind="tmy3",
        file=file,
        stamps=begins,
        stamp_offset_h=site["utc_offset_h"],
        lines=lines,
        light_from_steps=0.0,
        reading_at_s=int(step),
        typical=len(years) > 1,
        columns={
            "air_c": column("temp_air"),
            "dewpoint_c": column("temp_dew"),
            "humidity_share": column("relative_humidity") / 100.0,
            "pressure_pa": column("pressure", 0.0) * 100.0,
            "wind_m_s": column("wind_speed"),
            "ghi_w_m2": column("ghi"),
            "dni_w_m2": column("dni"),
            "dhi_w_m2": column("dhi"),
            "cloud_share": column("OpqCld (tenths)") / 10.0,
            "albedo": column("albedo", 0.0),
        },
        **site,
    )


def _pvlib(text: str) -> Any:
    from pvlib.iotools import read_tmy3 as pvlib_read_tmy3

    return pvlib_read_tmy3(io.StringIO(text))


def _site(file: TextFile) -> dict[str, Any]:
    fields = [field.strip().strip('"') for field in file.lines[0].split(",")]
    if len(fields) < 7:
        raise file.error(
            1, "the first line needs station, name, state, time zone, latitude, longitude, elevation"
        )
    return {
        "place": f"{fields[1]}, {fields[2]}",
        "utc_offset_h": number(file, 1, "time zone", fields[3], -12.0, 14.0),
        "latitude_deg": number(file, 1, "latitude", fields[4], -90.0, 90.0),
        "longitude_deg": number(file, 1, "longitude", fields[5], -180.0, 180.0),
        "elevation_m": number(file, 1, "elevation", fields[6], -500.0, 6000.0),
    }


def _ends(file: TextFile, lines: Ints) -> Any:
    """Return the moments written in the file, 24:00 as the next day's midnight."""
    seconds = np.empty(len(lines), dtype=np.int64)
    for i, line in enumerate(lines.tolist()):
        date, time = file.lines[line - 1].split(",", 2)[:2]
        try:
            month, day, year = (int(part) for part in date.split("/"))
            hour, minute = (int(part) for part in time.split(":")[:2])
            midnight = np.datetime64(f"{year:04d}-{month:02d}-{day:02d}", "s").astype(np.int64)
        except ValueError:
            raise file.error(
                line, f"{date[:20]!r}, {time[:20]!r} is no date and time; wanted 01/31/1999,13:00"
            ) from None
        if not (0 <= hour <= 24 and 0 <= minute < 60):
            raise file.error(line, f"{time[:20]!r} is no time of day; wanted 01:00 to 24:00")
        seconds[i] = midnight + hour * 3600 + minute * 60
    return seconds.astype("datetime64[s]")
