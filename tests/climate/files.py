"""Weather files for tests: the shared real ones, and a made year written in every form."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from noonwall.climate.humid import humidity
from noonwall.climate.monthly import year_from_figures
from noonwall.model.site import Site

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather

SHARED = Path(__file__).parents[3] / "shared"
SITE = Site(latitude=46.1, longitude=-67.8, elevation=150.0, utc_offset=-5.0)
JYVASKYLA = Site(latitude=62.4, longitude=25.68, elevation=139.0, utc_offset=2.0)
YEARS = (2003, 1996, 2003, 2002, 1998, 1991, 2004, 1997, 2002, 2005, 2002, 2000)


def shared(name: str) -> Path:
    """Return a shared data file, or skip the test where the folder is absent."""
    path = SHARED / name
    if not path.exists():
        pytest.skip(f"shared data file {name} is not here")
    return path


def pvlib_data(name: str) -> Path:
    """Return a data file that comes with pvlib."""
    import pvlib

    path = Path(pvlib.__file__).parent / "data" / name
    if not path.exists():
        pytest.skip(f"this pvlib has no {name}")
    return path


@cache
def made() -> Weather:
    """Return a made year at the demo's site."""
    return year_from_figures(SITE, 3)


def _stamp(hour: int) -> tuple[int, int, int]:
    """Return month, day and hour of the beginning of an hour of a common year."""
    moment = np.datetime64("2019-01-01T00", "h") + hour
    text = str(moment)
    return int(text[5:7]), int(text[8:10]), int(text[11:13])


def _at_ends(values: np.ndarray) -> np.ndarray:
    """Return readings at the ends of hours whose means over the hours are about the given ones."""
    return 0.5 * (values + np.roll(values, -1))


@cache
def epw_lines() -> tuple[str, ...]:
    """Return the made year as an EPW file, months from different years."""
    w = made()
    air, dew = _at_ends(w.air_c), _at_ends(w.dewpoint_c)
    head = [
        "LOCATION,Testville,ME,USA,made,000000,46.10,-67.80,-5.0,150.0",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,made for tests",
        "COMMENTS 2,",
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
    ]
    for i in range(8760):
        month, day, hour = _stamp(i)
        head.append(
            f"{YEARS[month - 1]},{month},{day},{hour + 1},0,?9?9?9?9E0,{air[i]:.2f},{dew[i]:.2f},70,"
            f"{w.pressure_pa[i]:.0f},0,0,9999,{w.ghi_w_m2[i]:.2f},{w.dni_w_m2[i]:.2f},{w.dhi_w_m2[i]:.2f},0,0,0,0,180,{w.wind_m_s[i]:.2f},"
            "99,99,16.1,77777,9,999999999,60,0.0410,0,88,999.0,999.0,99.0"
        )
    return tuple(head)


@cache
def tmy3_lines() -> tuple[str, ...]:
    """Return the made year as a TMY3 file."""
    w = made()
    air, dew = _at_ends(w.air_c), _at_ends(w.dewpoint_c)
    lines = [
        '726000,"TESTVILLE",ME,-5.0,46.100,-67.800,150',
        (
            "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Dew-point (C),"
            "RHum (%),Pressure (mbar),Wspd (m/s),OpqCld (tenths),Alb (unitless)"
        ),
    ]
    for i in range(8760):
        month, day, hour = _stamp(i)
        lines.append(
            f"{month:02d}/{day:02d}/{YEARS[month - 1]},{hour + 1:02d}:00,{w.ghi_w_m2[i]:.2f},"
            f"{w.dni_w_m2[i]:.2f},{w.dhi_w_m2[i]:.2f},{air[i]:.2f},{dew[i]:.2f},70,"
            f"{w.pressure_pa[i] / 100:.1f},{w.wind_m_s[i]:.2f},-9900,-9900"
        )
    return tuple(lines)


def _pvgis_rows() -> list[dict[str, str | float]]:
    """Return the made year in UTC as PVGIS has it: the row at UTC hour h is the local hour h - 5."""
    w = made()
    share = humidity(w.air_c, w.dewpoint_c) * 100.0
    rows: list[dict[str, str | float]] = []
    for i in range(8760):
        month, day, hour = _stamp(i)
        j = (i - 5) % 8760
        rows.append(
            {
                "time(UTC)": f"{YEARS[month - 1]}{month:02d}{day:02d}:{hour:02d}00",
                "T2m": round(float(w.air_c[j]), 2), "RH": round(float(share[j]), 2),
                "G(h)": round(float(w.ghi_w_m2[j]), 2), "Gb(n)": round(float(w.dni_w_m2[j]), 2),
                "Gd(h)": round(float(w.dhi_w_m2[j]), 2), "IR(h)": 250.0 + round(float(w.air_c[j]), 2),
                "WS10m": round(float(w.wind_m_s[j]), 2), "WD10m": 180.0,
                "SP": round(float(w.pressure_pa[j]), 0),
            }
        )  # fmt: skip
    return rows


@cache
def pvgis_lines() -> tuple[str, ...]:
    """Return the made year as a PVGIS CSV, the light on the half hour."""
    rows = _pvgis_rows()
    head = ["Latitude (decimal degrees): 46.100", "Longitude (decimal degrees): -67.800",
            "Elevation (m): 150.0", "Irradiance Time Offset (h): 0.5",
            "month,year", *(f"{m + 1},{YEARS[m]}" for m in range(12)),
            ",".join(rows[0])]  # fmt: skip
    body = [",".join(str(value) for value in row.values()) for row in rows]
    return (*head, *body, "", "T2m: 2-m air temperature (degree Celsius)", "PVGIS (c) European Communities")


@cache
def pvgis_json() -> str:
    """Return the made year as PVGIS JSON."""
    rows = _pvgis_rows()
    return json.dumps(
        {
            "inputs": {"location": {"latitude": 46.1, "longitude": -67.8, "elevation": 150.0,
                                    "irradiance_time_offset": 0.5}},
            "outputs": {"months_selected": [{"month": m + 1, "year": YEARS[m]} for m in range(12)],
                        "tmy_hourly": rows},
            "meta": {"inputs": {}},
        },
        indent=0,
    )  # fmt: skip


@cache
def psm_lines() -> tuple[str, ...]:
    """Return the made year as an hourly NSRDB PSM file, satellite moments on the half hour."""
    w = made()
    lines = [
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone",
        "NSRDB,1,-,-,-,46.1,-67.8,-5,150,-5",
        "Year,Month,Day,Hour,Minute,DHI,GHI,DNI,Dew Point,Surface Albedo,Wind Speed,Temperature,Pressure",
    ]
    for i in range(8760):
        month, day, hour = _stamp(i)
        lines.append(
            f"2019,{month},{day},{hour},30,{w.dhi_w_m2[i]:.2f},{w.ghi_w_m2[i]:.2f},{w.dni_w_m2[i]:.2f},{w.dewpoint_c[i]:.2f},"
            f"0.2,{w.wind_m_s[i]:.2f},{w.air_c[i]:.2f},{w.pressure_pa[i] / 100:.0f}"
        )
    return tuple(lines)


@cache
def csv_lines() -> tuple[str, ...]:
    """Return the made year as a plain CSV in builder's units, hour-ending, decimal commas."""
    w = made()
    lines = ["# my own station", "when;t_f;rh;wind_mph;sun"]
    share = humidity(w.air_c, w.dewpoint_c) * 100.0
    for i in range(8760):
        moment = np.datetime64("2019-01-01T01", "h") + i
        lines.append(
            f"{str(moment)[:10]} {str(moment)[11:13]}:00;{w.air_c[i] * 1.8 + 32:.2f};{share[i]:.1f};"
            f"{w.wind_m_s[i] / 0.44704:.2f};{w.ghi_w_m2[i] * 3.6:.3f}".replace(".", ",")
        )
    return tuple(lines)


CSV_COLUMNS = {
    "time": "when", "air": "t_f", "air_unit": "degF", "humidity": "rh", "wind": "wind_mph",
    "wind_unit": "mph", "global": "sun", "global_unit": "kJ/m2", "stamps": "end", "readings": "mean",
}  # fmt: skip


def write(folder: Path, name: str, lines: tuple[str, ...] | list[str]) -> Path:
    """Write lines to a file and return its path."""
    path = folder / name
    path.write_text("\n".join(lines), encoding="utf-8")
    return path
