"""Metric figures in running text, for a US reader behind the US figure of each: "1.5 in (38 mm) wide"."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from noonwall.units.shown import in_reader_units

if TYPE_CHECKING:
    from noonwall.units.table import Kind, System

_KINDS: dict[str, tuple[Kind, float]] = {
    "mm": ("length", 0.001), "cm": ("length", 0.01), "m": ("length", 1.0), "m2": ("area", 1.0), "m²": ("area", 1.0),
    "Pa": ("pressure", 1.0), "MPa": ("pressure", 1e6), "m/s": ("speed", 1.0), "kg": ("mass", 1.0),
    "L": ("volume", 0.001), "°C": ("temperature", 1.0), "K": ("temperature_difference", 1.0),
    "W/m2": ("irradiance", 1.0),
}  # fmt: skip
_KM_PER_MILE = 1.609344
_NUMBER = r"-?\d[\d,]*(?:\.\d+)?"
_FIGURE = re.compile(
    rf"(?<![\w.])({_NUMBER})(?: to ({_NUMBER}))? ?(km|W/m2|m/s|MPa|Pa|mm|cm|m2|m²|m|kg|L|K|°C)(?![\w/²³°]| K\b)"
    r"( \(\d[^()]*\))?"
)
_LEAK = re.compile(rf"({_NUMBER}) ?(cm2|cm²) for each metre")
_SAID = re.compile(rf" \(({_NUMBER}(?: to {_NUMBER})? ?(?:°F|in|ft|ft2|in2|inwg|psi|mph|lb|gal|miles?))\)")


def in_both(text: str, system: System = "metric") -> str:
    """Return a text with the US figure before each metric one; a metric reader's text stays.

    >>> in_both("verticals 38 mm wide every 1.2 m", "us")
    'verticals 1.5 in (38 mm) wide every 3.9 ft (1.2 m)'
    >>> in_both("0.3 to 1 K, at 60 to 75 °C, not 100 °C (212 °F)", "us")
    '0.54 to 1.8 °F, at 140 to 167 °F (60 to 75 °C), not 212 °F (100 °C)'
    >>> in_both("0.2 to 3 m, R of 2 m2 K/W", "us")
    '7.9 in to 9.8 ft (0.2 to 3 m), R of 2 m2 K/W'
    """
    return _FIGURE.sub(_told, _LEAK.sub(_leak, text)) if system == "us" else text


def _leak(hit: re.Match[str]) -> str:
    number, _ = in_reader_units(float(hit[1]) * 1e-4, "leak_per_length", "us")
    return f"{_two_digits(number)} in2 for each foot ({hit[0]})"


def _told(hit: re.Match[str]) -> str:
    if hit[4]:  # something in brackets follows: the US figure, as the text has it, or a word that is none
        said = _SAID.fullmatch(hit[4])
        return f"{said[1]} ({hit[0][: -len(hit[4])]})" if said else hit[0]
    metric = "" if hit[3] == "K" else f" ({hit[0]})"  # a difference in kelvin says nothing to a US reader
    pairs = [_us(float(text.replace(",", "")), hit[3]) for text in hit.group(1, 2) if text is not None]
    if len({unit for _, unit in pairs}) > 1:  # a range that begins in inches and ends in feet
        return f"{' to '.join(f'{number} {unit}' for number, unit in pairs)}{metric}"
    return f"{' to '.join(number for number, _ in pairs)} {pairs[-1][1]}{metric}"


def _us(value: float, unit: str) -> tuple[str, str]:
    """Return the figure in US units, as finely as running text wants it, and its unit."""
    if unit == "km":
        return _two_digits(value / _KM_PER_MILE), "miles"
    kind, factor = _KINDS[unit]
    number, name = in_reader_units(value * factor, kind, "us")
    return f"{number:.0f}" if kind == "temperature" else _two_digits(number), name


def _two_digits(number: float) -> str:
    if number == 0.0:
        return "0"
    places = 1 - math.floor(math.log10(abs(number)))
    text = f"{round(number, places):,.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
