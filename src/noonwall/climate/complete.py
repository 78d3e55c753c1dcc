"""Makes a file's figures whole: short gaps bridged, missing columns worked out, useless ones dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate import checks
from noonwall.climate.gaps import bridge
from noonwall.climate.humid import dewpoint
from noonwall.climate.rows import EXTRA, LIGHT, WORDS, Figure, Floats
from noonwall.climate.split import split_global
from noonwall.climate.sunplace import standard_pressure

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.climate.rows import Rows
    from noonwall.climate.sunhours import SunHours
    from noonwall.climate.timeline import Timeline

Columns = dict[Figure, Floats]
USUAL_HUMIDITY_SHARE = 0.7
USUAL_WIND_M_S = 3.0
SUN: tuple[Figure, ...] = LIGHT[:3]


def bridged(rows: Rows, line: Timeline, sun: SunHours, notes: list[str]) -> tuple[Columns, NDArray[np.bool_]]:
    """Return every figure the file has, gaps bridged, and which rows needed it, shape (n,).

    rows, line   the file and its timeline;  sun   sun at its steps;  notes   gains a sentence for each column
                 that is left out
    Raises       WeatherError where a gap is too long
    """
    repaired = np.zeros(len(line.lines), dtype=bool)
    filled: Columns = {}
    known = {name: values for name, values in line.columns.items() if np.isfinite(values).any()}
    _dew_from_humidity(known)
    for name, values in known.items():
        if name in EXTRA:
            if np.isfinite(values).all() and checks.is_possible(name, values):
                filled[name] = values
            else:
                notes.append(f"the file's {WORDS[name]} has gaps or impossible values and is not used")
            continue
        dark = sun.lit == 0.0 if name in SUN else None
        filled[name], mask = bridge(rows.file, name, values, line.lines, line.step_s, dark)
        repaired |= mask
    return filled, repaired


def _dew_from_humidity(known: Columns) -> None:
    """Fill gaps of the dew point where air temperature and humidity were read."""
    if {"dewpoint_c", "humidity_share", "air_c"} <= set(known):
        dew = known["dewpoint_c"]
        other = dewpoint(known["air_c"], known["humidity_share"])
        known["dewpoint_c"] = np.where(np.isfinite(dew), dew, other)


def complete(rows: Rows, filled: Columns, sun: SunHours, notes: list[str]) -> None:
    """Add to ``filled`` what the file lacks from what it has, drop what cannot be meant, tell it in ``notes``.

    Raises   WeatherError where air temperature or light is missing altogether
    """
    if "air_c" not in filled:
        raise rows.file.error(None, f"no column of {WORDS['air_c']}; a weather year needs it")
    air = filled["air_c"]
    _complete_light(rows, filled, sun, notes)
    if "dewpoint_c" not in filled:
        share = filled.get("humidity_share")
        if share is None:
            notes.append(f"no humidity in the file; {USUAL_HUMIDITY_SHARE:.0%} all along is assumed")
            share = np.full(len(air), USUAL_HUMIDITY_SHARE)
        filled["dewpoint_c"] = dewpoint(air, share)
    if "pressure_pa" not in filled:
        filled["pressure_pa"] = np.full(len(air), standard_pressure(rows.elevation_m))
        notes.append("no pressure in the file; the standard atmosphere's at this elevation is used")
    if "wind_m_s" not in filled:
        filled["wind_m_s"] = np.full(len(air), USUAL_WIND_M_S)
        notes.append(f"no wind in the file; {USUAL_WIND_M_S:g} m/s all along is assumed")
    _drop_unusable(filled, notes)


def _complete_light(rows: Rows, filled: Columns, sun: SunHours, notes: list[str]) -> None:
    """Work out a missing part of the light; its mean sun height is that of the sunlit part of each step."""
    up = sun.mean_up
    if "ghi_w_m2" not in filled:
        if not {"dni_w_m2", "dhi_w_m2"} <= set(filled):
            raise rows.file.error(None, f"no column of {WORDS['ghi_w_m2']}; a weather year needs it")
        filled["ghi_w_m2"] = filled["dni_w_m2"] * up + filled["dhi_w_m2"]
        notes.append("the file has no global light; it was taken as beam and diffuse together")
    ghi = filled["ghi_w_m2"]
    if "dni_w_m2" not in filled and "dhi_w_m2" not in filled:
        extra = sun.extra_w_m2 * np.maximum(sun.lit, 1e-3)
        filled["dni_w_m2"], filled["dhi_w_m2"] = split_global(ghi, up, extra)
        notes.append(
            "the file has global light only; beam and diffuse were split by Erbs' correlation of 1982"
        )
    elif "dhi_w_m2" not in filled:
        filled["dhi_w_m2"] = np.maximum(ghi - filled["dni_w_m2"] * up, 0.0)
        notes.append("the file has no diffuse light; it was taken as global less beam")
    elif "dni_w_m2" not in filled:
        level = np.maximum(ghi - filled["dhi_w_m2"], 0.0)
        beam = np.where(up > 0.05, level / np.maximum(up, 0.05), 0.0)
        filled["dni_w_m2"] = np.minimum(beam, 1100.0)
        notes.append(
            "the file has no beam; it was taken from global less diffuse, none with the sun below 3 degrees"
        )


def _drop_unusable(filled: Columns, notes: list[str]) -> None:
    infrared = filled.get("sky_infrared_w_m2")
    if infrared is not None and not checks.usable_infrared(infrared, filled["air_c"]):
        del filled["sky_infrared_w_m2"]
        notes.append("the file's long-wave from the sky is not plausible; the sky's temperature is estimated")
    depth = filled.get("snow_depth_m")
    if depth is not None and float(depth.max()) < 0.01:
        del filled["snow_depth_m"]
        notes.append("the file's snow depth is zero all year, which means 'not recorded'; it is not used")
