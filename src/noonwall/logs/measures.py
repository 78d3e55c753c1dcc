"""Units as loggers print them, and the way from each to the SI of its measure."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

from noonwall.logs.records import Conversion
from noonwall.units import UNITS

if TYPE_CHECKING:
    from noonwall.logs.roles import Measure

_KWH_J = 3.6e6


def _si(unit: str) -> float:
    return UNITS[unit][0]


# unit as shown: measure, zero, scale (SI = (written - zero) * scale), other spellings
_TABLE: dict[str, tuple[Measure, float, float, str]] = {
    "C": ("temperature", 0.0, 1.0, "degc celsius centigrade deg_c c°"),
    "F": ("temperature", 32.0, 5.0 / 9.0, "degf fahrenheit deg_f f°"),
    "K": ("temperature", 273.15, 1.0, "kelvin degk"),
    "W/m2": ("irradiance", 0.0, 1.0, "w/m^2 wm-2 w.m-2 w*m-2 w/sqm watts/m2 watt/m2 w/qm"),
    "kW/m2": ("irradiance", 0.0, 1000.0, "kw/m^2 kwm-2"),
    "Btu/h ft2": ("irradiance", 0.0, _si("Btuh") / _si("ft") ** 2, "btu/hft2 btu/h/ft2 btu/hrft2"),
    "W": ("power", 0.0, 1.0, "watt watts"),
    "kW": ("power", 0.0, 1000.0, "kilowatt kilowatts"),
    "Btu/h": ("power", 0.0, _si("Btuh"), "btuh btu/hr"),
    "Wh": ("energy", 0.0, 1e-3, "watthours w*h w.h"),
    "kWh": ("energy", 0.0, 1.0, "kw*h kw.h kw-h kilowatthours"),
    "MWh": ("energy", 0.0, 1e3, ""),
    "J": ("energy", 0.0, 1.0 / _KWH_J, "joule joules"),
    "kJ": ("energy", 0.0, 1e3 / _KWH_J, ""),
    "MJ": ("energy", 0.0, 1e6 / _KWH_J, ""),
    "Btu": ("energy", 0.0, _si("Btu") / _KWH_J, "btus"),
    "therm": ("energy", 0.0, _si("therm") / _KWH_J, "therms"),
    "%": ("share", 0.0, 0.01, "percent pct %rh rh% %rf %r.h."),
    "1": ("state", 0.0, 1.0, "on/off 0/1 1/0 onoff bool boolean on-off"),
    "m/s": ("speed", 0.0, 1.0, "ms-1 m.s-1 mps m/sec"),
    "km/h": ("speed", 0.0, 1.0 / 3.6, "kmh kph km/hr"),
    "mph": ("speed", 0.0, _si("mi") / 3600.0, "mi/h miles/h"),
    "kn": ("speed", 0.0, 1852.0 / 3600.0, "kt kts knot knots"),
    "Pa": ("pressure", 0.0, 1.0, "pascal"),
    "hPa": ("pressure", 0.0, 100.0, "mbar millibar mb"),
    "kPa": ("pressure", 0.0, 1000.0, ""),
    "bar": ("pressure", 0.0, 1e5, ""),
    "inHg": ("pressure", 0.0, _si("inHg"), "in.hg"),
    "mmHg": ("pressure", 0.0, _si("mmHg"), "torr"),
    "m3/s": ("flow", 0.0, 1.0, "m^3/s"),
    "m3/h": ("flow", 0.0, _si("cmh"), "m^3/h cmh m3/hr"),
    "L/s": ("flow", 0.0, _si("Lps"), "l/s lps"),
    "cfm": ("flow", 0.0, _si("cfm"), "ft3/min cuft/min"),
    "s": ("time", 0.0, 1.0, "sec secs second seconds"),
    "min": ("time", 0.0, 60.0, "mins minute minutes"),
    "h": ("time", 0.0, 3600.0, "hr hrs hour hours"),
    "L": ("volume", 0.0, _si("L"), "l liter litre liters litres ltr"),
    "m3": ("volume", 0.0, 1.0, "m^3 cbm"),
    "gal": ("volume", 0.0, _si("gal"), "gallon gallons usgal"),
    "ft3": ("volume", 0.0, _si("ft") ** 3, "ft^3 cuft"),
    "kg": ("mass", 0.0, 1.0, "kilogram kilograms kilo"),
    "lb": ("mass", 0.0, _si("lb"), "lbs pound pounds"),
    "V": ("number", 0.0, 1.0, "volt volts vdc"),
    "A": ("number", 0.0, 1.0, "amp amps ampere"),
    "lux": ("number", 0.0, 1.0, "lx klx"),
    "": ("number", 0.0, 1.0, ""),
}
_EXACT = {unit: unit for unit in _TABLE if unit}
_FOLDED: dict[str, str] = {}
for _unit, _facts in _TABLE.items():
    for _word in (_unit.lower(), *_facts[3].split()):
        _FOLDED.setdefault(_word.replace(" ", ""), _unit)
del _FOLDED[""]
# written without regard to case these would mean something else, or a word of a heading
_STRICT = {"s", "h", "l", "k", "j", "v", "a", "1", "min", "pa", "bar", "mb", "kilo", "kt", "kn"}


def unit_of(text: str) -> str | None:
    """Return the unit a text means ('C', 'W/m2', 'kWh' ...), None when it means none.

    >>> unit_of("°F"), unit_of("W/m²"), unit_of("deg C"), unit_of("mph"), unit_of("bench")
    ('F', 'W/m2', 'C', 'mph', None)
    """
    plain = unicodedata.normalize("NFKC", text).strip().strip("[](){}").strip()
    plain = re.sub(r"^(degrees?|deg\.?|grad)\s*(?=[CFK]\b|cels|fahr)|Â?[°ºË]\s*", "", plain, flags=re.I)
    if plain in _EXACT:
        return plain
    folded = plain.lower().replace(" ", "")
    if folded in _STRICT and plain != folded:
        return None
    return _FOLDED.get(folded)


def measure_of(unit: str) -> Measure:
    """Return what a unit of `unit_of` measures."""
    return _TABLE[unit][0]


def conversion(unit: str, measure: Measure) -> Conversion | None:
    """Return the way from a unit to the SI of a measure, None when the unit measures something else.

    A share may be written in per cent or plain, a state as 0 and 1 or in per cent.
    """
    kind, zero, scale, _ = _TABLE[unit]
    if kind == measure or (measure == "state" and kind == "share") or unit == "":
        return Conversion(unit, zero, scale)
    if measure == "share" and kind == "state":
        return Conversion(unit, 0.0, 1.0)
    return None


def units_of(measure: Measure) -> tuple[str, ...]:
    """Return the units a measure may be written in."""
    return tuple(unit for unit, facts in _TABLE.items() if facts[0] == measure and unit)
