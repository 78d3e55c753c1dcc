"""Is this a year that can have happened? Each check refuses with a line, or leaves a plain sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.rows import WORDS, Figure, Floats, Ints

if TYPE_CHECKING:
    from noonwall.climate.sunhours import SunHours
    from noonwall.climate.text import TextFile

# Widest ever seen at the ground, rounded out: World Meteorological Organization, archive of extremes.
POSSIBLE: dict[Figure, tuple[float, float, str]] = {
    "air_c": (-75.0, 60.0, "degC"),
    "dewpoint_c": (-90.0, 40.0, "degC"),
    "pressure_pa": (40000.0, 110000.0, "Pa"),
    "wind_m_s": (0.0, 100.0, "m/s"),
    "ghi_w_m2": (-20.0, 1800.0, "W/m2"),
    "dni_w_m2": (-20.0, 1400.0, "W/m2"),
    "dhi_w_m2": (-20.0, 1000.0, "W/m2"),
    "sky_infrared_w_m2": (40.0, 700.0, "W/m2"),
    "humidity_share": (-0.01, 1.10, "as a share"),
    "cloud_share": (0.0, 1.0, "as a share"),
    "albedo": (0.0, 1.0, "as a share"),
    "snow_depth_m": (0.0, 20.0, "m"),
}
NIGHT_DEG = -6.0
NIGHT_W_M2 = 5.0
MOST_NIGHT_STEPS_SHARE = 0.003
PARTS_APART_W_M2, PARTS_APART_SHARE = 50.0, 0.15
MOST_APART_SHARE = 0.2


def require_possible(file: TextFile, name: Figure, values: Floats, lines: Ints) -> None:
    """Refuse the first value that no weather can have; NaN passes."""
    low, high, unit = POSSIBLE[name]
    wrong = np.flatnonzero((values < low) | (values > high))
    if len(wrong):
        row = int(wrong[0])
        raise file.error(
            int(lines[row]),
            f"{WORDS[name]} is {values[row]:.4g} {unit}; possible are {low:g} to {high:g}"
            + (f" ({len(wrong)} such rows)" if len(wrong) > 1 else ""),
        )


def is_possible(name: Figure, values: Floats) -> bool:
    """Tell whether all values are such as weather can have."""
    low, high, _ = POSSIBLE[name]
    return bool(((values >= low) & (values <= high)).all())


def require_alive(file: TextFile, air_c: Floats, ghi: Floats) -> None:
    """Refuse a year without any light, or with an air temperature that never moves."""
    if float(ghi.max()) < 20.0:
        raise file.error(
            None, "there is no light in the whole file; is the column of global irradiance right?"
        )
    if len(air_c) >= 24 and float(np.ptp(air_c)) < 0.5:
        raise file.error(None, f"air temperature stands still at {air_c[0]:.1f} degC; is the column right?")


def check_night(file: TextFile, ghi: Floats, lines: Ints, sun: SunHours) -> tuple[str, ...]:
    """Refuse light in the middle of the night: clock, time zone or the hour's meaning is wrong."""
    wrong = np.flatnonzero((sun.highest_deg < NIGHT_DEG) & (ghi > NIGHT_W_M2))
    if len(wrong) > MOST_NIGHT_STEPS_SHARE * len(ghi):
        row = int(wrong[0])
        raise file.error(
            int(lines[row]),
            f"{ghi[row]:.0f} W/m2 with the sun {-sun.highest_deg[row]:.0f} degrees below the horizon, and so "
            f"in {len(wrong)} rows; check time zone, latitude, longitude and what moment the stamps mean",
        )
    if len(wrong):
        return (f"{len(wrong)} rows show light at night; it was set to zero",)
    return ()


def check_noon(file: TextFile, ghi: Floats, sun: SunHours) -> tuple[str, ...]:
    """Look for a clock that is off: light before solar noon should be about as much as after it."""
    lit = sun.lit == 1.0
    level = sun.extra_w_m2 * sun.mean_up
    # A shift of the light by a small angle w moves mean(ghi * east) by mean(ghi_sym * north-ish part) * w.
    tilt = float((ghi[lit] * sun.east[lit]).sum() / (level[lit] * np.abs(sun.east[lit])).sum())
    share = float(ghi[lit].sum() / level[lit].sum())
    skew = tilt / max(share, 0.01)
    if abs(skew) > 0.45:
        when = "morning" if skew > 0.0 else "afternoon"
        raise file.error(
            None,
            f"nearly all light falls in the {when}; check time zone, longitude, what moment the stamps mean",
        )
    if abs(skew) > 0.15:
        when = "mornings are" if skew > 0.0 else "afternoons are"
        return (f"{when} much brighter than the other half of the day; doubt the file's clock or time zone",)
    return ()


def check_parts(file: TextFile, columns: dict[Figure, Floats], lines: Ints, sun: SunHours) -> tuple[str, ...]:
    """Hold global light against beam on the level plus diffuse, with the sun clear of the horizon."""
    ghi, dni, dhi = columns["ghi_w_m2"], columns["dni_w_m2"], columns["dhi_w_m2"]
    parts = dni * sun.mean_up * sun.lit + dhi
    high = (sun.lit == 1.0) & (sun.mean_up > 0.17) & (np.maximum(ghi, parts) > 20.0)
    apart = high & (np.abs(ghi - parts) > PARTS_APART_W_M2 + PARTS_APART_SHARE * np.maximum(ghi, parts))
    count = max(int(high.sum()), 1)
    share = apart.sum() / count
    if share > MOST_APART_SHARE:
        row = int(np.flatnonzero(apart)[0])
        raise file.error(
            int(lines[row]),
            f"global irradiance {ghi[row]:.0f} but beam and diffuse add up to {parts[row]:.0f} W/m2, and so "
            f"in {share:.0%} of the bright rows; are the columns mixed up?",
        )
    if share > 0.02:
        return (
            f"in {share:.0%} of the bright rows global irradiance and its parts disagree by more than 15 %",
        )
    return ()


def usable_infrared(infrared: Floats, air_c: Floats) -> bool:
    """Tell whether long-wave from the sky can be meant: always a fair part of what air would send."""
    black = 5.670374e-8 * (air_c + 273.15) ** 4
    ratio = infrared / black
    with np.errstate(invalid="ignore"):
        good = (ratio > 0.4) & (ratio < 1.15)
    return bool(good.mean() > 0.98 and np.nanstd(ratio) > 0.005)
