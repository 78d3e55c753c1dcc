"""Reads a plain CSV whose columns the builder names, and layouts that need no naming."""

from __future__ import annotations

import csv
import difflib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.rows import Rows
from noonwall.climate.table import number

if TYPE_CHECKING:
    from noonwall.climate.rows import Figure, Floats, Ints
    from noonwall.climate.text import TextFile
    from noonwall.model.site import Site

# Plain word in the project file -> figure, and the unit a bare column has.
FIGURES: dict[str, tuple[Figure, str]] = {
    "air": ("air_c", "degC"),
    "dewpoint": ("dewpoint_c", "degC"),
    "humidity": ("humidity_share", "%"),
    "pressure": ("pressure_pa", "hPa"),
    "wind": ("wind_m_s", "m/s"),
    "global": ("ghi_w_m2", "W/m2"),
    "beam": ("dni_w_m2", "W/m2"),
    "diffuse": ("dhi_w_m2", "W/m2"),
    "sky_infrared": ("sky_infrared_w_m2", "W/m2"),
    "cloud": ("cloud_share", "%"),
    "albedo": ("albedo", "share"),
    "snow_depth": ("snow_depth_m", "cm"),
}
# Factor and offset to SI; light in energy per row is divided by the step's length.
UNITS: dict[str, tuple[float, float]] = {
    "degC": (1.0, 0.0), "degF": (5.0 / 9.0, -160.0 / 9.0), "K": (1.0, -273.15),
    "%": (0.01, 0.0), "share": (1.0, 0.0), "tenths": (0.1, 0.0), "oktas": (0.125, 0.0),
    "Pa": (1.0, 0.0), "hPa": (100.0, 0.0), "mbar": (100.0, 0.0), "kPa": (1000.0, 0.0),
    "inHg": (3386.389, 0.0),
    "m/s": (1.0, 0.0), "km/h": (1.0 / 3.6, 0.0), "mph": (0.44704, 0.0), "kn": (0.514444, 0.0),
    "W/m2": (1.0, 0.0), "m": (1.0, 0.0), "cm": (0.01, 0.0), "mm": (0.001, 0.0), "in": (0.0254, 0.0),
}  # fmt: skip
ENERGY_UNITS = {"Wh/m2": 3600.0, "kJ/m2": 1000.0, "MJ/m2": 1e6, "J/m2": 1.0, "J/cm2": 1e4, "kWh/m2": 3.6e6}
ALIKE: tuple[tuple[str, ...], ...] = (
    ("degC", "degF", "K"), ("%", "share", "tenths", "oktas"), ("Pa", "hPa", "mbar", "kPa", "inHg"),
    ("m/s", "km/h", "mph", "kn"), ("W/m2", *ENERGY_UNITS), ("m", "cm", "mm", "in"),
)  # fmt: skip
CLOCK = ("time", "time_format", "year", "month", "day", "hour", "minute")
SETTINGS = ("stamps", "readings", "utc_offset", "place", "latitude", "longitude", "elevation")
STAMPS = {"start": 0.0, "middle": -0.5, "end": -1.0}
READINGS = ("at", "mean")
SEPARATORS = (";", ",", "\t")
MISSING_WORDS = {"", "nan", "na", "n/a", "null", "none", "-", "?"}
MISSING_CODES = {-9999.0, -9900.0, -999.0, -99.9, 9999.0, 99999.0}

# Finnish test reference years, FMI open data: light is the mean of the preceding hour.
FMI_HEADER = ("STEP", "YEAR", "MON", "DAY", "HOUR", "TEMP", "RH", "WS")
FMI_COLUMNS = {
    "year": "YEAR", "month": "MON", "day": "DAY", "hour": "HOUR", "air": "TEMP", "humidity": "RH",
    "wind": "WS", "global": "GHI", "diffuse": "DHI", "beam": "DNI",
    "stamps": "end", "readings": "at", "utc_offset": "2",
}  # fmt: skip


@dataclass(frozen=True)
class Grid:
    """A CSV as text: header, cells, and the line of each row."""

    file: TextFile
    header_line: int
    header: tuple[str, ...]
    cells: list[list[str]]
    lines: Ints
    decimal_comma: bool = field(default=False)


def is_known_layout(file: TextFile) -> bool:
    """Tell whether the file's columns are known without being named."""
    return _head(file)[1][: len(FMI_HEADER)] == FMI_HEADER


def read_plain(file: TextFile, columns: dict[str, str], site: Site | None) -> Rows:
    """Read a plain CSV.

    file     text of the file;  site   gives the position unless the columns do
    columns  plain word -> column name: time (with time_format) or year, month, day, hour, minute; air,
             humidity or dewpoint, pressure, wind, global, beam, diffuse, sky_infrared, cloud, albedo,
             snow_depth; a word with ``_unit`` names its unit; stamps ('start', 'middle' or 'end') tells which
             moment of its step a row's time is; readings ('at' or 'mean'); utc_offset; place, latitude,
             longitude, elevation
    Returns  rows;  Raises  WeatherError with file, line and reason
    """
    wanted = dict(columns) if columns else dict(FMI_COLUMNS)
    grid = _grid(file)
    _require_words(file, wanted)
    figures = [word for word in FIGURES if word in wanted]
    for word in (*figures, *(w for w in CLOCK if w in wanted and w != "time_format")):
        _index(grid, word, wanted[word])
    stamps = _stamps(grid, wanted)
    step_s = int(np.median(np.diff(stamps).astype(np.int64))) if len(stamps) > 1 else 3600
    years = np.unique(stamps.astype("datetime64[Y]"))
    position = _position(file, wanted, site)
    default_h = site.utc_offset_h if site is not None and site.utc_offset_h is not None else None
    clock = wanted.get(
        "utc_offset", default_h if default_h is not None else round(position["longitude_deg"] / 15)
    )
    clock_h = number(file, grid.header_line, "utc_offset", clock, -12.0, 14.0)
    at = wanted.get("readings", "at") == "at"
    return Rows(
        kind="csv",
        file=file,
        place=wanted.get("place", file.name),
        utc_offset_h=clock_h,
        stamp_offset_h=clock_h,
        stamps=stamps,
        lines=grid.lines,
        light_from_steps=STAMPS[wanted["stamps"]],
        reading_at_s=0 if at else None,
        typical=len(years) > 2 or (len(years) == 2 and _months_picked(stamps)),
        columns={
            FIGURES[word][0]: _figure(grid, word, wanted[word], wanted.get(f"{word}_unit"), step_s)
            for word in figures
        },
        latitude_deg=position["latitude_deg"],
        longitude_deg=position["longitude_deg"],
        elevation_m=position["elevation_m"],
    )


def _head(file: TextFile) -> tuple[int, tuple[str, ...], str]:
    """Return line, names and separator of the header: the first line that is neither blank nor comment."""
    for i, line in enumerate(file.lines[:200]):
        if line.strip() and not line.startswith("#"):
            separator = max(SEPARATORS, key=line.count)
            names = next(csv.reader([line], delimiter=separator), [])
            return i + 1, tuple(name.strip() for name in names), separator
    return 1, (), ","


def _grid(file: TextFile) -> Grid:
    header_line, header, separator = _head(file)
    if len(header) < 3:
        raise file.error(header_line, "the first line must name the columns, separated by ; or , or tabs")
    cells, lines = [], []
    for i in range(header_line, len(file.lines)):
        text = file.lines[i]
        if not text.strip() or text.startswith("#"):
            continue
        row = next(csv.reader([text], delimiter=separator), [])
        if len(row) < len(header):
            more = any(line.strip() for line in file.lines[i + 1 :])
            why = "the line is damaged; fetch the file again" if more else "is the file cut short?"
            raise file.error(i + 1, f"has {len(row)} fields, the header names {len(header)}; {why}")
        cells.append([cell.strip() for cell in row])
        lines.append(i + 1)
    if not cells:
        raise file.error(header_line, "no rows follow the header; a year has 8760 hours")
    commas = separator != "," and any("," in cell for cell in cells[len(cells) // 2])
    return Grid(file, header_line, header, cells, np.array(lines, dtype=np.int64), commas)


def _require_words(file: TextFile, wanted: dict[str, str]) -> None:
    known = [*FIGURES, *CLOCK, *SETTINGS, *(f"{word}_unit" for word in FIGURES)]
    for word in wanted:
        if word not in known:
            near = difflib.get_close_matches(word, known, 1)
            hint = f"nearest is {near[0]!r}" if near else f"known are {', '.join(FIGURES)}"
            raise file.error(None, f"weather.columns: unknown word {word!r}; {hint}")
    if wanted.get("stamps") not in STAMPS:
        raise file.error(
            None,
            "weather.columns.stamps must say which moment of its step a row's time is: "
            "'start', 'middle' or 'end'",
        )
    if wanted.get("readings", "at") not in READINGS:
        raise file.error(
            None, "weather.columns.readings is 'at' (read at the time) or 'mean' (over the row's step)"
        )
    for word in ("air", "global"):
        if word not in wanted:
            raise file.error(None, f"weather.columns names no column for {word!r}; a weather year needs it")
    if "time" not in wanted and not {"year", "month", "day", "hour"} <= set(wanted):
        raise file.error(
            None, "weather.columns names no time: either 'time', or 'year', 'month', 'day' and 'hour'"
        )


def _index(grid: Grid, word: str, name: str) -> int:
    if name not in grid.header:
        near = difflib.get_close_matches(name, grid.header, 1)
        tail = f"nearest is {near[0]!r}" if near else f"it has {', '.join(grid.header)[:120]}"
        raise grid.file.error(grid.header_line, f"no column {name!r} (for {word}); {tail}")
    return grid.header.index(name)


def _values(grid: Grid, word: str, name: str) -> Floats:
    index = _index(grid, word, name)
    values = np.empty(len(grid.cells))
    for i, row in enumerate(grid.cells):
        cell = row[index].replace(",", ".") if grid.decimal_comma else row[index]
        if cell.lower() in MISSING_WORDS:
            values[i] = np.nan
            continue
        try:
            values[i] = float(cell)
        except ValueError:
            raise grid.file.error(int(grid.lines[i]), f"{name} is {cell[:30]!r}; wanted a number") from None
        if values[i] in MISSING_CODES or not np.isfinite(values[i]):
            values[i] = np.nan
    return values


def _figure(grid: Grid, word: str, name: str, unit: str | None, step_s: int) -> Floats:
    usual = FIGURES[word][1]
    unit = usual if unit is None else unit
    kind = next(units for units in ALIKE if usual in units)
    if unit not in kind:
        raise grid.file.error(None, f"weather.columns.{word}_unit is {unit!r}; one of: {', '.join(kind)}")
    values = _values(grid, word, name)
    if unit in ENERGY_UNITS:
        return values * (ENERGY_UNITS[unit] / step_s)
    factor, offset = UNITS[unit]
    return values * factor + offset


def _stamps(grid: Grid, wanted: dict[str, str]) -> np.ndarray:
    if "time" in wanted:
        return _stamps_from_text(grid, wanted["time"], wanted.get("time_format"))
    parts = {
        word: _values(grid, word, wanted[word])
        for word in ("year", "month", "day", "hour", "minute")
        if word in wanted
    }
    seconds = np.empty(len(grid.cells), dtype=np.int64)
    for i in range(len(seconds)):
        year, month, day, hour = (parts[word][i] for word in ("year", "month", "day", "hour"))
        minute = parts["minute"][i] if "minute" in parts else 0.0
        try:
            midnight = np.datetime64(f"{int(year):04d}-{int(month):02d}-{int(day):02d}", "s").astype(np.int64)
        except (ValueError, OverflowError):
            raise grid.file.error(int(grid.lines[i]), f"{year:g}-{month:g}-{day:g} is no date") from None
        if not (0 <= hour <= 24 and 0 <= minute <= 60):
            raise grid.file.error(int(grid.lines[i]), f"{hour:g}:{minute:g} is no time of day")
        seconds[i] = midnight + round(hour * 3600 + minute * 60)
    return seconds.astype("datetime64[s]")


def _stamps_from_text(grid: Grid, name: str, form: str | None) -> np.ndarray:
    from datetime import UTC, datetime

    index = _index(grid, "time", name)
    wanted = form or "YYYY-MM-DD HH:MM, or weather.columns.time_format"
    seconds = np.empty(len(grid.cells), dtype=np.int64)
    for i, row in enumerate(grid.cells):
        try:
            if form is None:
                seconds[i] = np.datetime64(row[index].removesuffix("Z"), "s").astype(np.int64)
            else:
                seconds[i] = int(datetime.strptime(row[index], form).replace(tzinfo=UTC).timestamp())
        except (ValueError, OverflowError):
            raise grid.file.error(
                int(grid.lines[i]),
                f"time is {row[index][:30]!r}; wanted {wanted}",
            ) from None
    return seconds.astype("datetime64[s]")


def _months_picked(stamps: np.ndarray) -> bool:
    """Tell picked months from a true stretch over New Year: picked months go back in time somewhere."""
    return bool((np.abs(np.diff(stamps).astype(np.int64)) > 40 * 86400).any())


def _position(file: TextFile, wanted: dict[str, str], site: Site | None) -> dict[str, float]:
    def one(word: str, limit: float, own: float | None) -> float:
        if word not in wanted and own is None:
            raise file.error(None, f"weather.columns.{word} is missing, and no site is given")
        return number(file, 1, f"weather.columns.{word}", wanted.get(word, own), -limit, limit)

    return {
        "latitude_deg": one("latitude", 90.0, None if site is None else site.latitude_deg),
        "longitude_deg": one("longitude", 180.0, None if site is None else site.longitude_deg),
        "elevation_m": one("elevation", 6000.0, None if site is None else site.elevation_m),
    }
