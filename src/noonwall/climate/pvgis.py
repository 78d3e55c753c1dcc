"""Reads PVGIS typical years, CSV and JSON: moments in UTC, the light some minutes off the full hour."""

from __future__ import annotations

import io
import json
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.rows import Rows
from noonwall.climate.table import number, numbers, parse, without

if TYPE_CHECKING:
    from noonwall.climate.rows import Floats, Ints
    from noonwall.climate.text import TextFile

HOURS = 8760
GRAIN_S = 300  # the offset of the light is rounded to this, so that steps of five minutes still fit
HEADER = "time(UTC)"
NEEDED = ("T2m", "G(h)", "Gb(n)", "Gd(h)")


def is_pvgis_csv(file: TextFile) -> bool:
    """Tell whether the file begins as PVGIS' CSV does."""
    return file.lines[0].startswith("Latitude (decimal degrees)")


def is_json(file: TextFile) -> bool:
    """Tell whether the file is JSON."""
    return next((line for line in file.lines if line.strip()), "").lstrip().startswith("{")


def read_pvgis_csv(file: TextFile) -> Rows:
    """Read a PVGIS typical year in CSV.

    file     text of the file
    Returns  rows, stamped in UTC; light stands for the hour around its moment
    Raises   WeatherError with file, line and reason
    *Source* PVGIS user manual, typical meteorological year; parsed by pvlib
    """
    head = next((i for i, line in enumerate(file.lines[:60]) if line.startswith(HEADER)), None)
    if head is None or head < 15:
        raise file.error(
            None, f"no line beginning {HEADER!r} after the twelve months; is the file cut short?"
        )
    offset = 0.0
    for i, line in enumerate(file.lines[:head]):
        if line.startswith("Irradiance Time Offset"):
            offset = number(file, i + 1, "Irradiance Time Offset", line.partition(":")[2], -1.0, 1.0)
    columns = [name.strip() for name in file.lines[head].split(",")]
    _require_columns(file, head + 1, columns)
    lines = _csv_lines(file, head + 1, len(columns))
    text = "\n".join(file.lines).encode()
    frame, meta = parse(file, "PVGIS CSV", lines, lambda: _pvlib(io.BytesIO(text), "csv"))
    return _rows(file, lines, frame, _place(file, meta["inputs"]), offset)


def read_pvgis_json(file: TextFile) -> Rows:
    """Read a PVGIS typical year in JSON; arguments, result and errors as `read_pvgis_csv`."""
    text = "\n".join(file.lines)
    try:
        content = json.loads(text)
    except json.JSONDecodeError as problem:
        raise file.error(problem.lineno, f"is not valid JSON ({problem.msg}); fetch the file again") from None
    hourly = (
        content.get("outputs", {}).get("tmy_hourly") if isinstance(content.get("outputs"), dict) else None
    )
    inputs = content.get("inputs")
    location = inputs.get("location") if isinstance(inputs, dict) else None
    if not isinstance(hourly, list) or not isinstance(location, dict) or not hourly:
        raise file.error(
            None, "holds no outputs.tmy_hourly with inputs.location; wanted a PVGIS typical year"
        )
    if not all(isinstance(row, dict) for row in hourly):
        raise file.error(None, "outputs.tmy_hourly holds something else than rows; fetch the file again")
    where = [i + 1 for i, line in enumerate(file.lines) if f'"{HEADER}"' in line]
    lines = np.array(where if len(where) == len(hourly) else [1] * len(hourly), dtype=np.int64)
    _require_columns(file, int(lines[0]), [HEADER, *hourly[0]] if HEADER in hourly[0] else list(hourly[0]))
    frame, _ = parse(file, "PVGIS JSON", lines, lambda: _pvlib(io.StringIO(text), "json"))
    offset = number(file, 1, "irradiance_time_offset", location.get("irradiance_time_offset", 0.0), -1.0, 1.0)
    return _rows(file, lines, frame, _place(file, location), offset)


def _pvlib(text: io.IOBase, form: str) -> Any:
    from pvlib.iotools import read_pvgis_tmy

    return read_pvgis_tmy(text, pvgis_format=form)


def _require_columns(file: TextFile, line: int, columns: list[str]) -> None:
    for name in (HEADER, *NEEDED):
        if name not in columns:
            raise file.error(line, f"no column {name!r}; wanted a PVGIS typical year")


def _csv_lines(file: TextFile, first: int, fields: int) -> Ints:
    """Return the lines of the 8760 rows; refuse a file that has fewer, naming where they end."""
    for i in range(HOURS):
        line = file.lines[first + i] if first + i < len(file.lines) else ""
        if line[:8].isdigit() and line.count(",") == fields - 1:
            continue
        raise file.error(
            min(first + i + 1, len(file.lines)), f"the rows end after {i} hours; a typical year has {HOURS}"
        )
    after = file.lines[first + HOURS] if first + HOURS < len(file.lines) else ""
    if after[:8].isdigit():
        raise file.error(first + HOURS + 1, f"more than {HOURS} hours; a typical year has {HOURS}")
    return np.arange(first + 1, first + 1 + HOURS, dtype=np.int64)


def _place(file: TextFile, location: dict[str, Any]) -> dict[str, float]:
    return {
        "latitude_deg": number(file, 1, "latitude", location.get("latitude"), -90.0, 90.0),
        "longitude_deg": number(file, 1, "longitude", location.get("longitude"), -180.0, 180.0),
        "elevation_m": number(file, 1, "elevation", location.get("elevation"), -500.0, 6000.0),
    }


def _rows(file: TextFile, lines: Ints, frame: Any, place: dict[str, float], offset_h: float) -> Rows:
    def column(name: str) -> Floats:
        if name not in frame.columns:
            return np.full(len(lines), np.nan)
        return without(numbers(file, lines, frame, name))

    clock_h = float(round(place["longitude_deg"] / 15.0))
    light_s = round(offset_h * 3600.0 / GRAIN_S) * GRAIN_S
    return Rows(
        kind="pvgis",
        file=file,
        place=f"PVGIS cell {place['latitude_deg']:.2f} N, {place['longitude_deg']:.2f} E",
        utc_offset_h=clock_h,
        stamps=frame.index.tz_localize(None).to_numpy().astype("datetime64[s]"),
        stamp_offset_h=0.0,
        lines=lines,
        light_from_steps=-0.5,
        light_from_s=light_s,
        typical=True,
        columns={
            "air_c": column("temp_air"),
            "humidity_share": column("relative_humidity") / 100.0,
            "pressure_pa": column("pressure"),
            "wind_m_s": column("wind_speed"),
            "ghi_w_m2": column("ghi"),
            "dni_w_m2": column("dni"),
            "dhi_w_m2": column("dhi"),
            "sky_infrared_w_m2": column("IR(h)"),
        },
        notes=(
            f"the file counts UTC; hours are kept in UTC{clock_h:+g}, the zone by longitude",
            f"light is the satellite's, {light_s // 60} min after the hour, taken for the hour around it",
        ),
        latitude_deg=place["latitude_deg"],
        longitude_deg=place["longitude_deg"],
        elevation_m=place["elevation_m"],
    )
