"""Reads EPW, the weather form of building simulation: hour-ending rows, silent 'missing' codes."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.rows import Rows
from noonwall.climate.table import data_lines, number, numbers, parse, require_fields, without

if TYPE_CHECKING:
    from noonwall.climate.text import TextFile

HEADER_LINES = 8
FEWEST_FIELDS = 22  # up to wind speed
MOST_FIELDS = 35


def is_epw(file: TextFile) -> bool:
    """Tell whether the file begins as EPW does."""
    return file.lines[0].upper().startswith("LOCATION,")


def read_epw(file: TextFile) -> Rows:
    """Read an EPW file.

    file     text of the file
    Returns  rows, stamped with their hour's beginning (EPW writes its end): light is the mean over the hour,
             other readings hold at its end
    Raises   WeatherError with file, line and reason
    *Source* EnergyPlus Auxiliary Programs, weather format; missing codes from the same; parsed by pvlib
    """
    _require_header(file)
    lines = data_lines(file, HEADER_LINES)
    require_fields(file, lines, FEWEST_FIELDS)
    text = [*file.lines[:HEADER_LINES], *(_cut(file, line) for line in lines.tolist())]
    frame, place = parse(file, "EPW", lines, lambda: _pvlib(text))
    if len(frame) != len(lines):
        raise file.error(
            None, f"{len(lines)} lines of weather but {len(frame)} rows were read; is it damaged?"
        )

    def column(name: str) -> Any:
        return numbers(file, lines, frame, name)

    years = column("year")
    return Rows(
        kind="epw",
        file=file,
        place=_place_name(place),
        latitude_deg=place["latitude"],
        longitude_deg=place["longitude"],
        elevation_m=place["altitude"],
        utc_offset_h=place["TZ"],
        stamps=frame.index.tz_localize(None).to_numpy().astype("datetime64[s]"),
        stamp_offset_h=place["TZ"],
        lines=lines,
        light_from_steps=0.0,
        reading_at_s=3600,
        typical=len(np.unique(years)) > 1 or (len(lines) == 8760 and years[0] % 4 == 0),
        columns={
            "air_c": without(column("temp_air"), 99.9),
            "dewpoint_c": without(column("temp_dew"), 99.9),
            "humidity_share": without(column("relative_humidity"), above=110.0) / 100.0,
            "pressure_pa": without(column("atmospheric_pressure"), 0.0, above=130000.0),
            "wind_m_s": without(column("wind_speed"), above=99.0),
            "ghi_w_m2": without(column("ghi"), above=9999.0),
            "dni_w_m2": without(column("dni"), above=9999.0),
            "dhi_w_m2": without(column("dhi"), above=9999.0),
            "sky_infrared_w_m2": without(column("ghi_infrared"), 0.0, above=999.0),
            "cloud_share": without(column("opaque_sky_cover"), above=11.0) / 10.0,
            "albedo": without(column("albedo"), 0.0, above=1.0),
            "snow_depth_m": without(column("snow_depth"), above=999.0) / 100.0,
        },
    )


def _pvlib(text: list[str]) -> Any:
    from pvlib.iotools import read_epw as pvlib_read_epw

    return pvlib_read_epw(io.StringIO("\n".join(text)))


def _place_name(place: dict[str, Any]) -> str:
    state = place["state-prov"].strip()
    return f"{place['city'].strip()}, {state if state not in ('', '-') else place['country'].strip()}"


def _cut(file: TextFile, line: int) -> str:
    """Drop fields beyond the format's last; some writers end each line with a comma."""
    return ",".join(file.lines[line - 1].split(",")[:MOST_FIELDS])


def _require_header(file: TextFile) -> None:
    fields = file.lines[0].split(",")
    if len(fields) < 10:
        raise file.error(1, f"LOCATION has {len(fields)} fields; wanted 10, the last four being latitude, "
                            "longitude, time zone, elevation")  # fmt: skip
    number(file, 1, "latitude", fields[6], -90.0, 90.0)
    number(file, 1, "longitude", fields[7], -180.0, 180.0)
    number(file, 1, "time zone", fields[8], -12.0, 14.0)
    number(file, 1, "elevation", fields[9], -500.0, 6000.0)
    for i, line in enumerate(file.lines[:HEADER_LINES]):
        words = line.upper().split(",")
        if words[0] == "DATA PERIODS" and len(words) > 2 and words[2].strip() not in ("1", ""):
            raise file.error(i + 1, f"{words[2].strip()} records an hour; only hourly EPW is read")
    if len(file.lines) <= HEADER_LINES or not file.lines[HEADER_LINES - 1].upper().startswith("DATA PERIODS"):
        raise file.error(HEADER_LINES, "the header's eighth line is not DATA PERIODS; is the file cut short?")
