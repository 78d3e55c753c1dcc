"""Reads a weather file of any known form into one record, checked and without gaps."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate import checks
from noonwall.climate.complete import bridged, complete
from noonwall.climate.distance import distance_km
from noonwall.climate.epw import is_epw, read_epw
from noonwall.climate.plain import is_known_layout, read_plain
from noonwall.climate.psm import is_psm, read_psm
from noonwall.climate.pvgis import is_json, is_pvgis_csv, read_pvgis_csv, read_pvgis_json
from noonwall.climate.rows import EXTRA
from noonwall.climate.sunhours import SunHours, sun_hours
from noonwall.climate.text import WANTED, TextFile, read_text
from noonwall.climate.timeline import Timeline, lay_out
from noonwall.climate.tmy3 import is_tmy3, read_tmy3
from noonwall.climate.weather import Weather

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.climate.rows import Floats, Rows
    from noonwall.model.site import Site

FORMS: tuple[tuple[Callable[[TextFile], bool], Callable[[TextFile], Rows]], ...] = (
    (is_epw, read_epw),
    (is_tmy3, read_tmy3),
    (is_psm, read_psm),
    (is_pvgis_csv, read_pvgis_csv),
    (is_json, read_pvgis_json),
)


def read_weather(
    path: Path | str,
    columns: dict[str, str] | None = None,
    site: Site | None = None,
    *,
    whole_year: bool = True,
) -> Weather:
    """Read a weather file; its form is told from its content, never from its name.

    path        the file;  columns   for a plain CSV: figure -> column name
    site        the builder's place: gives a plain CSV its position, others their distance
    whole_year  whether anything but 365 or 366 whole days is refused
    Returns     the weather, without gaps, each figure a mean over its step
    Raises      WeatherError, one line: file, line, reason, what would be right
    """
    file = read_text(Path(path))
    rows = _rows(file, columns or {}, site)
    for name, values in rows.columns.items():
        if name not in EXTRA:
            checks.require_possible(file, name, values, rows.lines)
    line = lay_out(rows, whole_year)
    return _finish(rows, line, site)


def _rows(file: TextFile, columns: dict[str, str], site: Site | None) -> Rows:
    """Read the rows by the form the content shows; named columns make a plain CSV of any other file."""
    for fits, read in FORMS:
        if fits(file):
            return read(file)
    if columns or is_known_layout(file):
        return read_plain(file, columns, site)
    raise file.error(
        1, f"not a known form of weather file; wanted {WANTED} with weather.columns naming its columns"
    )


def _finish(rows: Rows, line: Timeline, site: Site | None) -> Weather:
    """Check, repair and complete the figures of a laid-out file."""
    file = rows.file
    sun = sun_hours(
        rows.latitude_deg, rows.longitude_deg, rows.utc_offset_h, line.start, line.step_s, len(line.lines)
    )
    notes = [*rows.notes, *line.notes]
    filled, repaired = bridged(rows, line, sun, notes)
    complete(rows, filled, sun, notes)
    notes += checks.check_night(file, filled["ghi_w_m2"], line.lines, sun)
    checks.require_alive(file, filled["air_c"], filled["ghi_w_m2"])
    notes += checks.check_noon(file, filled["ghi_w_m2"], sun)
    notes += checks.check_parts(file, filled, line.lines, sun)
    hours = float(repaired.sum()) * line.step_s / 3600.0
    if hours:
        notes.append(f"{hours:g} h had gaps that were bridged between their neighbours")
    return Weather(
        kind=rows.kind,
        place=rows.place,
        latitude_deg=rows.latitude_deg,
        longitude_deg=rows.longitude_deg,
        elevation_m=rows.elevation_m,
        utc_offset_h=rows.utc_offset_h,
        start=line.start,
        step_s=line.step_s,
        air_c=filled["air_c"],
        dewpoint_c=np.minimum(filled["dewpoint_c"], filled["air_c"]),
        pressure_pa=filled["pressure_pa"],
        wind_m_s=filled["wind_m_s"],
        ghi_w_m2=_light(filled["ghi_w_m2"], sun),
        dni_w_m2=_light(filled["dni_w_m2"], sun),
        dhi_w_m2=_light(filled["dhi_w_m2"], sun),
        sky_infrared_w_m2=filled.get("sky_infrared_w_m2"),
        cloud_share=filled.get("cloud_share"),
        albedo=filled.get("albedo"),
        snow_depth_m=filled.get("snow_depth_m"),
        distance_km=None
        if site is None
        else distance_km(rows.latitude_deg, rows.longitude_deg, site.latitude_deg, site.longitude_deg),
        hours_repaired=hours,
        notes=tuple(notes),
    )


def _light(values: Floats, sun: SunHours) -> Floats:
    """Return light without the small negatives of cold instruments and without light at night."""
    return np.where(sun.highest_deg < checks.NIGHT_DEG, 0.0, np.maximum(values, 0.0))
