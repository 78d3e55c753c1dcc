"""Shows SI in the units a reader wants, with sensible digits."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import NamedTuple

from noonwall.units.table import BTU, FOOT, HOUR, POUND, SI_UNIT, UNITS, Kind, System

Show = Callable[[float, Kind], str]  # ``show`` for one reader


class Step(NamedTuple):
    """One unit to show a kind in: used when the size in it is at least ``least``."""

    unit: str
    factor: float
    least: float


def _steps(*rows: tuple[str, float, float]) -> tuple[Step, ...]:
    return tuple(Step(*row) for row in rows)


_INCH, _FT2 = 0.0254, FOOT**2
INCHES_PER_FOOT = 12
FILM_MM, THIN_MM = 2.0, 5.0
QUARTERS = 4  # of an inch: what a tape is read to
LEAST_FEET, MOST_FEET = 3.0, 100.0  # shorter is told in inches, longer in feet alone
_METRIC: dict[Kind, tuple[Step, ...]] = {
    "length": _steps(("m", 1.0, 1.0), ("mm", 0.001, 0.0)),
    "area": _steps(("m2", 1.0, 0.1), ("cm2", 1e-4, 0.0)),
    "volume": _steps(("m3", 1.0, 1.0), ("L", 0.001, 0.0)),
    "power": _steps(("kW", 1000.0, 1.0), ("W", 1.0, 0.0)),
    "flow": _steps(("L/s", 0.001, 0.0)),
    "pressure": _steps(("kPa", 1000.0, 2.0), ("Pa", 1.0, 0.0)),
    "leak_per_length": _steps(("cm2/m", 1e-4, 0.0)),
    "mass": _steps(("t", 1000.0, 10.0), ("kg", 1.0, 0.0)),
    "heat_capacity": _steps(("kJ/m2K", 1000.0, 0.0)),
    "time": _steps(("h", 3600.0, 1.0), ("min", 60.0, 2.0), ("s", 1.0, 0.0)),
    "share": _steps(("%", 0.01, 0.0)),
    "per_year": _steps(("%/year", 0.01, 0.0)),
    "per_kelvin": _steps(("%/K", 0.01, 0.0)),
    "temperature": _steps(("°C", 1.0, -math.inf)),
    "temperature_difference": _steps(("K", 1.0, 0.0)),
}
_US: dict[Kind, tuple[Step, ...]] = {
    **_METRIC,
    "length": _steps(("ft", FOOT, LEAST_FEET), ("in", _INCH, 0.0)),
    "area": _steps(("ft2", _FT2, 1.0), ("in2", _INCH**2, 0.0)),
    "volume": _steps(("ft3", FOOT**3, 0.0)),
    "power": _steps(("W", 1.0, 0.0)),
    "flow": _steps(("cfm", UNITS["cfm"][0], 0.0)),
    "pressure": _steps(("psi", 6894.757, 1.0), ("inwg", 249.0889, 0.0)),
    "mass": _steps(("lb", POUND, 0.0)),
    "u_value": _steps(("Btu/h ft2 F", BTU / HOUR / _FT2 * 1.8, 0.0)),
    "r_value": _steps(("h ft2 F/Btu", HOUR * _FT2 / BTU / 1.8, 0.0)),
    "conductivity": _steps(("Btu in/h ft2 F", BTU / HOUR / _FT2 * 1.8 * _INCH, 0.0)),
    "density": _steps(("lb/ft3", POUND / FOOT**3, 0.0)),
    "specific_heat": _steps(("Btu/lb F", BTU / POUND * 1.8, 0.0)),
    "heat_capacity": _steps(("Btu/ft2 F", BTU / _FT2 * 1.8, 0.0)),
    "loss_per_length": _steps(("Btu/h ft F", BTU / HOUR / FOOT * 1.8, 0.0)),
    "speed": _steps(("mph", 1609.344 / HOUR, 0.0)),
    "daily_sun": _steps(("Btu/ft2 day", BTU / _FT2 / 3.6e6, 0.0)),
    "irradiance": _steps(("Btu/h ft2", BTU / HOUR / _FT2, 0.0)),
    "leak_per_length": _steps(("in2/ft", _INCH**2 / FOOT, 0.0)),
    "growth": _steps(("ft/year", FOOT, 1.0), ("in/year", _INCH, 0.0)),
    "temperature_difference": _steps(("°F", 5.0 / 9.0, 0.0)),
}


def in_reader_units(value: float, kind: Kind, system: System = "metric") -> tuple[float, str]:
    """Return number and unit for a reader.

    value   SI, in the unit SI_UNIT names;  kind  kind of quantity;  system  "metric" or "us"
    returns (number, unit); the unit is one that ``parse`` reads for the same kind, "" for a plain number
    """
    if kind == "temperature" and system == "us":
        return value * 1.8 + 32.0, "°F"
    table = _METRIC if system == "metric" else _US
    steps = table.get(kind) or _steps((SI_UNIT[kind], 1.0, 0.0))
    size = abs(value) if value else 1.0  # nothing at all is shown in the SI unit, or what is nearest to it
    step = next((s for s in steps if size >= s.least * s.factor * (1.0 - 1e-12)), steps[-1])
    return value / step.factor, step.unit


def show(value: float, kind: Kind, system: System = "metric", digits: int = 3) -> str:
    """Return a quantity as a reader wants it, with its unit and sensible digits.

    value   SI;  kind  kind of quantity;  system  "metric" or "us"
    digits  significant digits; temperatures keep one decimal instead

    >>> show(0.09, "length"), show(0.09, "length", "us"), show(43.333, "temperature", "us")
    ('90 mm', '3.54 in', '110 °F')
    """
    if not math.isfinite(value):
        return "-"
    number, unit = in_reader_units(value, kind, system)
    if kind in ("temperature", "temperature_difference"):
        text = _trimmed(f"{number:.1f}")
    elif kind in ("latitude", "longitude", "bearing", "angle"):
        text = _trimmed(f"{number:.{max(digits, 3) - 1}f}")
    else:
        text = significant(number, digits)
    return f"{text} {unit}".rstrip() if not unit.startswith("/") else f"{text}{unit}"


def by_tape(metres: float, system: System = "metric") -> str:
    """Return a length as it is read off a tape: with US units in feet and whole inches, under a foot in half inches.

    >>> by_tape(0.5, "us"), by_tape(0.09, "us"), by_tape(2.4, "us"), by_tape(-0.61, "us"), by_tape(0.5)
    ('1 ft 8 in', '3 1/2 in', '7 ft 10 in', '-2 ft', '500 mm')
    """
    if system != "us" or not math.isfinite(metres):
        return show(metres, "length", system)
    sign, halves = "-" if metres < 0.0 else "", round(2.0 * abs(metres) / _INCH)
    if halves < 2 * INCHES_PER_FOOT:
        return f"{sign if halves else ''}{_half_inches(halves)} in"
    feet, inches = divmod(round(abs(metres) / _INCH), INCHES_PER_FOOT)
    return f"{sign}{feet} ft{f' {inches} in' if inches else ''}"


def in_feet(metres: float, system: System = "metric") -> str:
    """Return a length as ``show`` does, with feet and quarter inches where that would write a fraction of a foot.

    >>> in_feet(2.4, "us"), in_feet(2.4384, "us"), in_feet(0.5, "us"), in_feet(9.2, "us"), in_feet(40.0, "us")
    ('7 ft 10 1/2 in', '8 ft', '19.7 in', '30 ft 2 1/4 in', '131 ft')
    """
    least, most = LEAST_FEET * FOOT, MOST_FEET * FOOT
    if system != "us" or not least * (1.0 - 1e-9) <= abs(metres) < most:
        return show(metres, "length", system)
    feet, quarters = divmod(round(abs(metres) / _INCH * QUARTERS), INCHES_PER_FOOT * QUARTERS)
    whole, part = divmod(quarters, QUARTERS)
    inches = " ".join(
        [*([str(whole)] if whole else []), *([("1/4", "1/2", "3/4")[part - 1]] if part else [])]
    )
    return f"{'-' if metres < 0.0 else ''}{feet} ft{f' {inches} in' if inches else ''}"


_NAMED = re.compile(r"(\d+(?:\.\d+)?) mm\b(?! \()")


def in_inches(text: str, system: System = "metric") -> str:
    """Return a trade name with its thickness in inches too, for a US reader, as such a sheet is sold there.

    >>> in_inches("twin-wall polycarbonate 10 mm", "us"), in_inches("glass 4 mm")
    ('twin-wall polycarbonate 10 mm (3/8 in)', 'glass 4 mm')
    >>> in_inches("plastic film 0.1 mm", "us"), in_inches("twin-wall polycarbonate 4 mm", "us")
    ('plastic film 0.1 mm (0.004 in)', 'twin-wall polycarbonate 4 mm (5/32 in)')
    """
    return (
        _NAMED.sub(lambda found: f"{found[0]} ({_parts(float(found[1]))} in)", text)
        if system == "us"
        else text
    )


def _parts(millimetres: float) -> str:
    """Return the nearest sixteenth of an inch as a fraction, of a thin sheet the nearest 32nd; of a film a decimal."""
    if millimetres < FILM_MM:
        return f"{millimetres / 25.4:.1g}"
    finest = 16 if millimetres >= THIN_MM else 32
    whole, part = divmod(round(millimetres / 25.4 * finest), finest)
    shared = math.gcd(part, finest)
    fraction = f"{part // shared}/{finest // shared}" if part else ""
    return " ".join([*([str(whole)] if whole else []), *([fraction] if fraction else [])]) or "0"


def _half_inches(halves: int) -> str:
    whole, half = divmod(halves, 2)
    return " ".join([*([str(whole)] if whole or not half else []), *(["1/2"] if half else [])])


def significant(number: float, digits: int = 3) -> str:
    """Return a number rounded to significant digits, without exponent or trailing zeros.

    >>> significant(12345.6), significant(0.012345), significant(2.0)
    ('12350', '0.0123', '2')
    """
    if number == 0.0:
        return "0"
    shown = max(digits, 4) if abs(number) >= 1000.0 else digits
    places = shown - 1 - math.floor(math.log10(abs(number)))
    return _trimmed(f"{round(number, places):.{max(places, 0)}f}")


def _trimmed(text: str) -> str:
    """Return a decimal without trailing zeros and without a minus before zero."""
    trimmed = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if trimmed == "-0" else trimmed
