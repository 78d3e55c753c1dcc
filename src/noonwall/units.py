"""A builder's quantities and SI: reads "8 ft 3 in", "110 degF", "R-19"; shows SI in the reader's units.

Every factor stands in one table here; nothing is guessed from the size of a number. A quantity without a unit
is SI in the unit that ``SI_UNIT`` names for its kind. Temperatures and temperature differences are two kinds:
50 degF is 10 °C, a difference of 50 degF is 27.8 K.

Source  factors: NIST SP 811 (2008), appendix B; British thermal unit of the International Table;
        water and mercury columns conventional. "R-19" is hour square foot degree Fahrenheit per Btu.
"""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from typing import Literal, NamedTuple

from noonwall.errors import UnitError

Kind = Literal[
    "length", "area", "volume", "temperature", "temperature_difference", "flow", "pressure", "power",
    "angle", "latitude", "longitude", "bearing", "u_value", "r_value", "conductivity", "density",
    "specific_heat", "mass", "heat_capacity", "time", "share", "per_year", "per_kelvin", "per_hour", "growth",
    "loss_per_length", "leak_per_length", "speed", "daily_sun", "resistance", "current", "voltage", "number",
    "money",
]  # fmt: skip
System = Literal["metric", "us"]


class Dims(NamedTuple):
    """Powers of metre, kilogram, second, kelvin, ampere and degree of angle."""

    m: int = 0
    kg: int = 0
    s: int = 0
    k: int = 0
    a: int = 0
    deg: int = 0


ONE = Dims()
_LENGTH, _MASS, _TIME, _KELVIN = Dims(m=1), Dims(kg=1), Dims(s=1), Dims(k=1)
_VOLUME, _ENERGY, _POWER = Dims(m=3), Dims(2, 1, -2), Dims(2, 1, -3)
_PRESSURE, _FLOW = Dims(-1, 1, -2), Dims(m=3, s=-1)
_FOOT, _POUND, _BTU, _HOUR, _YEAR = 0.3048, 0.45359237, 1055.05585262, 3600.0, 31_557_600.0

# unit, factor to SI, dimension; exact by definition unless the digits end
UNITS: dict[str, tuple[float, Dims]] = {
    "m": (1.0, _LENGTH),
    "cm": (0.01, _LENGTH),
    "mm": (0.001, _LENGTH),
    "km": (1000.0, _LENGTH),
    "in": (0.0254, _LENGTH),
    "ft": (_FOOT, _LENGTH),
    "yd": (0.9144, _LENGTH),
    "mi": (1609.344, _LENGTH),
    "ha": (10_000.0, Dims(m=2)),
    "acre": (4046.873, Dims(m=2)),
    "L": (0.001, _VOLUME),
    "mL": (1e-6, _VOLUME),
    "gal": (3.785411784e-3, _VOLUME),
    "cord": (128.0 * _FOOT**3, _VOLUME),
    "kg": (1.0, _MASS),
    "g": (0.001, _MASS),
    "t": (1000.0, _MASS),
    "lb": (_POUND, _MASS),
    "oz": (_POUND / 16.0, _MASS),
    "shortton": (2000.0 * _POUND, _MASS),
    "s": (1.0, _TIME),
    "min": (60.0, _TIME),
    "h": (_HOUR, _TIME),
    "day": (86_400.0, _TIME),
    "week": (604_800.0, _TIME),
    "year": (_YEAR, _TIME),
    "K": (1.0, _KELVIN),
    "C": (1.0, _KELVIN),
    "F": (5.0 / 9.0, _KELVIN),
    "J": (1.0, _ENERGY),
    "kJ": (1000.0, _ENERGY),
    "MJ": (1e6, _ENERGY),
    "Wh": (_HOUR, _ENERGY),
    "kWh": (1000.0 * _HOUR, _ENERGY),
    "Btu": (_BTU, _ENERGY),
    "therm": (1e5 * _BTU, _ENERGY),
    "kcal": (4186.8, _ENERGY),
    "W": (1.0, _POWER),
    "mW": (0.001, _POWER),
    "kW": (1000.0, _POWER),
    "MW": (1e6, _POWER),
    "Btuh": (_BTU / _HOUR, _POWER),
    "MBH": (1000.0 * _BTU / _HOUR, _POWER),
    "hp": (745.6999, _POWER),
    "Pa": (1.0, _PRESSURE),
    "hPa": (100.0, _PRESSURE),
    "kPa": (1000.0, _PRESSURE),
    "mbar": (100.0, _PRESSURE),
    "bar": (1e5, _PRESSURE),
    "psi": (6894.757, _PRESSURE),
    "psf": (47.88026, _PRESSURE),
    "inwg": (249.0889, _PRESSURE),
    "mmwg": (9.80665, _PRESSURE),
    "inHg": (3386.389, _PRESSURE),
    "mmHg": (133.3224, _PRESSURE),
    "cfm": (_FOOT**3 / 60.0, _FLOW),
    "cfh": (_FOOT**3 / _HOUR, _FLOW),
    "cmh": (1.0 / _HOUR, _FLOW),
    "Lps": (0.001, _FLOW),
    "mph": (1609.344 / _HOUR, Dims(m=1, s=-1)),
    "kn": (1852.0 / _HOUR, Dims(m=1, s=-1)),
    "fpm": (_FOOT / 60.0, Dims(m=1, s=-1)),
    "pcf": (_POUND / _FOOT**3, Dims(m=-3, kg=1)),
    "A": (1.0, Dims(a=1)),
    "mA": (0.001, Dims(a=1)),
    "V": (1.0, Dims(2, 1, -3, 0, -1)),
    "mV": (0.001, Dims(2, 1, -3, 0, -1)),
    "ohm": (1.0, Dims(2, 1, -3, 0, -2)),
    "mohm": (0.001, Dims(2, 1, -3, 0, -2)),
    "deg": (1.0, Dims(deg=1)),
    "rad": (180.0 / math.pi, Dims(deg=1)),
    "arcmin": (1.0 / 60.0, Dims(deg=1)),
    "arcsec": (1.0 / 3600.0, Dims(deg=1)),
    "%": (0.01, ONE),
    "ach": (1.0 / _HOUR, Dims(s=-1)),
}

# other ways of writing the same unit, looked up without regard to case
_SPELLINGS = {
    "m": "metre metres meter meters",
    "cm": "centimetre centimetres centimeter centimeters",
    "mm": "millimetre millimetres millimeter millimeters",
    "km": "kilometre kilometres kilometer kilometers",
    "in": "inch inches",
    "ft": "foot feet",
    "yd": "yard yards",
    "mi": "mile miles",
    "L": "litre litres liter liters ltr",
    "gal": "gallon gallons gals usgal",
    "cord": "cords",
    "kg": "kilo kilos kilogram kilograms kilogramme kilogrammes kgs",
    "g": "gram grams gramme grammes",
    "t": "tonne tonnes",
    "lb": "lbs pound pounds lbm",
    "oz": "ounce ounces",
    "s": "sec secs second seconds",
    "min": "mins minute minutes",
    "h": "hr hrs hour hours",
    "day": "days d",
    "week": "weeks wk",
    "year": "years yr yrs",
    "K": "kelvin kelvins degk",
    "C": "celsius centigrade degc",
    "F": "fahrenheit degf",
    "J": "joule joules",
    "Btu": "btus",
    "therm": "therms",
    "W": "watt watts",
    "kW": "kilowatt kilowatts",
    "hp": "horsepower",
    "Pa": "pascal pascals",
    "mbar": "millibar millibars mb",
    "psi": "lbf/in2",
    "inwg": "iwg iwc inwc inh2o",
    "mmwg": "mmwc mmh2o",
    "cmh": "m3h",
    "kn": "knot knots kt kts",
    "A": "amp amps ampere amperes",
    "mA": "milliamp milliamps",
    "V": "volt volts vdc",
    "ohm": "ohms",
    "mohm": "milliohm milliohms",
    "deg": "degree degrees degs °",
    "rad": "radian radians",
    "arcmin": "arcminute arcminutes",
    "arcsec": "arcsecond arcseconds",
    "%": "percent pct",
}


class KindFacts(NamedTuple):
    """What is known of a kind: SI unit as shown, factor from the unit of its name to base SI, dimension."""

    si_unit: str
    dims: Dims
    scale: float
    noun: str
    examples: tuple[str, ...]


# scale: SI base units in one unit of the record (a growth in metres per year, air changes per hour)
KINDS: dict[Kind, KindFacts] = {
    "length": KindFacts("m", _LENGTH, 1.0, "a length", ("90 mm", "2.4 m", "3 1/2 in", "8 ft 6 in")),
    "area": KindFacts("m2", Dims(m=2), 1.0, "an area", ("1.2 m2", "150 cm2", "64 ft2", "20 sq in")),
    "volume": KindFacts("m3", _VOLUME, 1.0, "a volume", ("420 m3", "200 L", "15000 ft3")),
    "temperature": KindFacts("°C", _KELVIN, 1.0, "a temperature", ("43 C", "110 degF", "316 K")),
    "temperature_difference": KindFacts(
        "K", _KELVIN, 1.0, "a temperature difference", ("8 K", "8 C", "15 degF")
    ),
    "flow": KindFacts("m3/s", _FLOW, 1.0, "an air flow", ("0.1 m3/s", "100 L/s", "350 m3/h", "210 cfm")),
    "pressure": KindFacts("Pa", _PRESSURE, 1.0, "a pressure", ("25 Pa", "0.1 inwg")),
    "power": KindFacts("W", _POWER, 1.0, "a power", ("40 W", "6 kW", "12000 Btu/h")),
    "angle": KindFacts("deg", Dims(deg=1), 1.0, "an angle", ("30 deg", "0.5 rad", "12 deg 30 min")),
    "latitude": KindFacts("deg", Dims(deg=1), 1.0, "a latitude", ("46.1 N", "46 deg 6 min N", "-33.9")),
    "longitude": KindFacts("deg", Dims(deg=1), 1.0, "a longitude", ("67.8 W", "-67.8", "25 deg 30 min E")),
    "bearing": KindFacts("deg", Dims(deg=1), 1.0, "a bearing", ("172", "8 deg east of south", "SSE")),
    "u_value": KindFacts(
        "W/m2K", Dims(0, 1, -3, -1), 1.0, "a heat loss coefficient", ("0.35 W/m2K", "0.06 Btu/h ft2 F")
    ),
    "r_value": KindFacts(
        "m2K/W", Dims(0, -1, 3, 1), 1.0, "a heat resistance", ("R-19", "RSI 3.3", "3.3 m2K/W")
    ),
    "conductivity": KindFacts(
        "W/mK", Dims(1, 1, -3, -1), 1.0, "a heat conductivity", ("0.12 W/mK", "0.8 Btu in/h ft2 F")
    ),
    "density": KindFacts("kg/m3", Dims(m=-3, kg=1), 1.0, "a density", ("500 kg/m3", "32 lb/ft3")),
    "specific_heat": KindFacts(
        "J/kgK", Dims(2, 0, -2, -1), 1.0, "a specific heat", ("900 J/kgK", "1.6 kJ/kgK", "0.3 Btu/lb F")
    ),
    "mass": KindFacts("kg", _MASS, 1.0, "a mass", ("2500 kg", "2.5 t", "5000 lb")),
    "heat_capacity": KindFacts(
        "J/m2K", Dims(0, 1, -2, -1), 1.0, "a heat capacity per area", ("15 kJ/m2K", "0.8 Btu/ft2 F")
    ),
    "time": KindFacts("s", _TIME, 1.0, "a time", ("90 s", "1.5 min", "1 h 30 min")),
    "share": KindFacts("", ONE, 1.0, "a share from 0 to 1", ("0.05", "5 %")),
    "per_year": KindFacts("/year", Dims(s=-1), 1.0 / _YEAR, "a share per year", ("0.01", "1 %/year")),
    "per_kelvin": KindFacts("/K", Dims(k=-1), 1.0, "a share per kelvin", ("-0.0035", "-0.35 %/K")),
    "per_hour": KindFacts(
        "/h", Dims(s=-1), 1.0 / _HOUR, "a number per hour (air changes)", ("7", "7 /h", "7 ach")
    ),
    "growth": KindFacts(
        "m/year", Dims(m=1, s=-1), 1.0 / _YEAR, "a growth per year", ("0.3 m/year", "12 in/year")
    ),
    "loss_per_length": KindFacts(
        "W/mK", Dims(1, 1, -3, -1), 1.0, "a heat loss per length of edge", ("1.26 W/mK", "0.73 Btu/h ft F")
    ),
    "leak_per_length": KindFacts(
        "m2/m", _LENGTH, 1.0, "a leak per length of edge", ("1 cm2/m", "0.05 in2/ft")
    ),
    "speed": KindFacts("m/s", Dims(m=1, s=-1), 1.0, "a speed", ("3 m/s", "11 km/h", "7 mph")),
    "daily_sun": KindFacts(
        "kWh/m2 day", Dims(0, 1, -3), 3.6e6 / 86_400.0, "a day's sun", ("3.2 kWh/m2 day", "1010 Btu/ft2 day")
    ),
    "resistance": KindFacts("ohm", UNITS["ohm"][1], 1.0, "an electrical resistance", ("12 ohm", "20 mohm")),
    "current": KindFacts("A", Dims(a=1), 1.0, "a current", ("0.4 A", "400 mA")),
    "voltage": KindFacts("V", UNITS["V"][1], 1.0, "a voltage", ("17 V", "250 mV")),
    "number": KindFacts("", ONE, 1.0, "a plain number", ("6", "0.5")),
    "money": KindFacts("", ONE, 1.0, "a plain amount, the currency stands in money.currency", ("2.60",)),
}

# kinds that may be written in two or three steps, largest unit first
_STEPWISE = ("length", "angle", "latitude", "longitude", "bearing", "time", "mass")
_LONGEST_TEXT = 80
_NUMBER = r"(?:\d+[ -]+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_TERM = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*(?=\s[\d.]++(?!/[A-Za-z])|$)")
_TOKEN = re.compile(r"([A-Za-z%]+)(-?\d)?")
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
              "⅓": "1/3", "⅔": "2/3"}  # fmt: skip
_WATER = re.compile(
    r"\b(in|inch|inches|mm)\.?\s*(?:of\s+)?(?:w\.?\s*[gc]\b\.?|h2o\b|water(?:\s+(?:gauge|column))?)", re.I
)
_COMPASS = {
    "N": 0.0, "NNE": 22.5, "NE": 45.0, "ENE": 67.5, "E": 90.0, "ESE": 112.5, "SE": 135.0, "SSE": 157.5,
    "S": 180.0, "SSW": 202.5, "SW": 225.0, "WSW": 247.5, "W": 270.0, "WNW": 292.5, "NW": 315.0, "NNW": 337.5,
}  # fmt: skip
_WINDS = {"north": "N", "south": "S", "east": "E", "west": "W"}


def _lookup() -> dict[str, str]:
    """Return spelling without case -> unit, for every spelling that means one unit only."""
    table: dict[str, set[str]] = {}
    for unit in UNITS:
        table.setdefault(unit.lower(), set()).add(unit)
    for unit, words in _SPELLINGS.items():
        for spelling in words.split():
            table.setdefault(spelling.lower(), set()).add(unit)
    return {spelling: units.pop() for spelling, units in table.items() if len(units) == 1}


_ANY_CASE = _lookup()


def quoted(text: object) -> str:
    """Return what the builder wrote, short and on one line, in quotes."""
    flat = " ".join(str(text)[: _LONGEST_TEXT + 1].split())
    flat = "".join(c if c.isprintable() else "?" for c in flat)
    return f'"{flat[:40]}..."' if len(flat) > 40 else f'"{flat}"'


def examples(kind: Kind) -> str:
    """Return how a quantity of this kind may be written, for a message or a page of help."""
    shown = [f'"{e}"' for e in KINDS[kind].examples]
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " or " + shown[-1]


def _reads_like(kind: Kind) -> str:
    return f"{KINDS[kind].noun} reads like {examples(kind)}"


def parse(value: str | float, kind: Kind) -> float:
    """Read a quantity as SI.

    value   text with a unit, or a number that is SI already [unit of SI_UNIT for the kind]
    kind    kind of quantity, fixes the accepted units
    returns finite number in the kind's SI unit (°C for a temperature, degrees for an angle)
    raises  UnitError with one line for anything else

    >>> parse("8 ft 6 in", "length")
    2.5908
    >>> round(parse("110 degF", "temperature"), 2)
    43.33
    >>> round(parse("350 cfm", "flow"), 4)
    0.1652
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise UnitError(f"{quoted(value)} is no quantity; {_reads_like(kind)}")
    if isinstance(value, str):
        number = _from_text(value, kind)
    else:
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
    if not math.isfinite(number):
        raise UnitError(f"{quoted(value)} is not a finite number; {_reads_like(kind)}")
    return number


def _from_text(text: str, kind: Kind) -> float:
    """Read a text as SI, with the forms of one kind (R-19, compass points) first."""
    if len(text) > _LONGEST_TEXT:
        raise UnitError(f"{quoted(text)} is too long for a quantity; {_reads_like(kind)}")
    plain = _plain(text, kind)
    if kind == "r_value":
        if found := re.fullmatch(rf"R\s*-?\s*({_NUMBER})", plain, re.I):
            return _number(found[1], text) * _factor_of("h ft2 F/Btu", kind, text)
        if found := re.fullmatch(rf"RSI\s*-?\s*({_NUMBER})", plain, re.I):
            return _number(found[1], text)
    if kind in ("latitude", "longitude", "bearing"):
        return _direction(plain, kind, text)
    return _terms(plain, kind, text)


def _plain(text: str, kind: Kind) -> str:
    """Return the text with fractions, marks, signs and superscripts in plain letters."""
    for sign, fraction in _FRACTIONS.items():
        text = text.replace(sign, f" {fraction}")
    if re.search(r"\d[⁰¹²³⁴⁵⁶⁷⁸⁹]", text):
        raise UnitError(f"{quoted(text)} holds a raised digit after a number; {_reads_like(kind)}")
    text = unicodedata.normalize("NFKC", text).replace("⁄", "/").replace("Ω", "ohm")
    text = re.sub(r"[\u2212\u2010-\u2013]", "-", text)
    text = re.sub(r"[\u2032\u2019]", "'", text)
    text = re.sub(r"[\u2033\u201d]|''", '"', text)
    minute, second = ("arcmin", "arcsec") if KINDS[kind].dims.deg else ("ft", "in")
    text = text.replace('"', f" {second} ").replace("'", f" {minute} ").replace("°", " deg ")
    if KINDS[kind].dims.deg:
        text = re.sub(r"\b(min|minutes?)\b", "arcmin", text, flags=re.I)
        text = (
            re.sub(r"\b(s|sec|seconds?)\b(?=\s*([NSEW]\b|$))", "arcsec", text) if "arcmin" in text else text
        )
    if "," in text:
        raise UnitError(
            f'{quoted(text)}: a comma may mean thousands or a decimal; write "12000" or "12.5" without it'
        )
    return " ".join(_WATER.sub(lambda m: "mmwg" if m[1].lower() == "mm" else "inwg", text).split())


def _direction(plain: str, kind: Kind, text: str) -> float:
    """Read a latitude, a longitude or a bearing."""
    named = re.sub("|".join(_WINDS), lambda m: _WINDS[m[0].lower()], plain, flags=re.I)
    if kind == "bearing":
        point = named.upper().replace(" ", "").replace("-", "")
        if point in _COMPASS:
            return _COMPASS[point]
        if found := re.fullmatch(r"(.+?)\s*([NSEW])\s+of\s+(?:due\s+)?([NSEW])", named, re.I):
            base, turn = _COMPASS[found[3].upper()], _COMPASS[found[2].upper()]
            if abs(base - turn) % 180.0 == 90.0:
                side = 1.0 if (turn - base) % 360.0 == 90.0 else -1.0
                return (base + side * _terms(found[1], "angle", text)) % 360.0
        return _terms(plain, kind, text)
    positive, negative = ("N", "S") if kind == "latitude" else ("E", "W")
    if found := re.fullmatch(rf"([^-].*?)(?<![A-Za-z])([{positive}{negative}])", named, re.I):
        return _terms(found[1], kind, text) * (1.0 if found[2].upper() == positive else -1.0)
    return _terms(plain, kind, text)


def _terms(plain: str, kind: Kind, text: str) -> float:
    """Read one term, or several from the largest unit down."""
    sign = -1.0 if plain.startswith("-") else 1.0
    rest = plain[1:] if plain[:1] in ("-", "+") else plain
    total, last, place, terms = 0.0, math.inf, 0, 0
    while place < len(rest):
        found = _TERM.match(rest, place)
        if not found or found.end() == place:
            raise UnitError(f"{quoted(text)} does not read as a quantity; {_reads_like(kind)}")
        number, unit, terms = _number(found[1], text), found[2], terms + 1
        if not unit and (terms > 1 or found.end() < len(rest)):
            raise UnitError(f"{quoted(text)} holds a number without a unit; {_reads_like(kind)}")
        if kind == "temperature":
            return _temperature(sign * number, unit, text, alone=found.end() == len(rest))
        factor = _factor_of(unit, kind, text) if unit else 1.0
        if terms > 1 and (kind not in _STEPWISE or factor >= last):
            raise UnitError(f"{quoted(text)} is more than one quantity; {_reads_like(kind)}")
        total, last, place = total + number * factor, factor, found.end()
    if terms == 0:
        raise UnitError(f"{quoted(text)} holds no number; {_reads_like(kind)}")
    return sign * total


def _number(text: str, whole: str) -> float:
    """Read "12", "1.5e3", "3/8", "2 1/2" or "2-1/2"."""
    total = 0.0
    for piece in re.split(r"[ ]+|(?<=\d)-+(?=\d+/)", text.strip()):
        above, _, below = piece.partition("/")
        try:
            total += float(above) / float(below) if below else float(above)
        except ZeroDivisionError:
            raise UnitError(f"{quoted(whole)} divides by zero") from None
    return total


def _temperature(number: float, unit: str, text: str, *, alone: bool) -> float:
    """Return °C from a number and its scale."""
    scale = "C" if not unit else _scale(unit)
    if not alone or scale is None:
        said = ' say "deg C" or "deg F";' if unit.lower().startswith("deg") else ""
        raise UnitError(f"{quoted(text)} is no temperature;{said} {_reads_like('temperature')}")
    celsius = {"C": number, "K": number - 273.15, "F": (number - 32.0) * 5.0 / 9.0}[scale]
    if celsius < -273.15 - 1e-9:
        raise UnitError(f"{quoted(text)} is below absolute zero")
    return celsius


def _scale(unit: str) -> str | None:
    """Return C, F or K when the unit names a temperature scale."""
    word = re.sub(r"^deg(?:rees?|s)?\.?\s*", "", unit, flags=re.I) or unit
    found = _ANY_CASE.get(word.lower())
    return found if found in ("C", "F", "K") else None


def _factor_of(unit: str, kind: Kind, text: str) -> float:
    """Return the factor from a written unit to the kind's SI unit."""
    facts = KINDS[kind]
    factor, dims = _expression(unit, kind, text)
    if dims == facts.dims:
        return factor / facts.scale
    if dims == ONE and factor == 0.01 and kind in ("per_year", "per_kelvin"):
        raise UnitError(f"{quoted(text)} leaves out per what; {_reads_like(kind)}")
    is_other = next((f.noun for f in KINDS.values() if f.dims == dims and dims != ONE), None)
    if kind == "power" and dims == _ENERGY:
        is_other = "an amount of heat (a heater's power is Btu per hour)"
    reason = f"is {is_other}, wanted {facts.noun}" if is_other else f"is not {facts.noun}"
    raise UnitError(f"{quoted(text)} {reason}; {_reads_like(kind)}")


def _expression(unit: str, kind: Kind, text: str) -> tuple[float, Dims]:
    """Return factor and dimension of a unit such as "Btu/h ft2 F": all after the first slash divides."""
    tidy = re.sub(r"\bper\b", "/", unit, flags=re.I)
    tidy = re.sub(r"\*\*|\^", "", tidy)
    tidy = re.sub(r"\bshort\s+ton(s|nes)?\b", "shortton", tidy, flags=re.I)
    tidy = re.sub(r"\b(?:us|u\.s\.)\s*gal", "gal", tidy, flags=re.I)
    tidy = re.sub(r"\bdeg(?:rees?|s)?\.?\s*(?=(?:[CFK]|celsius|fahrenheit|kelvin)\b)", "", tidy, flags=re.I)
    above, slash, below = tidy.partition("/")
    factor, powers, power_next = 1.0, [0] * len(ONE), 1
    for part, side in ((above, 1), (below, -1)):
        cleaned = re.sub(r"[()\[\]*·×/.]|-(?!\d)", " ", part)
        if side == 1 and slash and cleaned.strip() in ("", "1"):
            continue
        if not cleaned.strip() and (side == 1 or slash):
            raise UnitError(f"{quoted(text)} has a unit cut short; {_reads_like(kind)}")
        for word in cleaned.split():
            if word.lower() in ("sq", "square", "cu", "cubic"):
                power_next = 2 if word.lower().startswith("sq") else 3
                continue
            for name, power in _split(word, kind, text):
                size, dims = UNITS[name]
                times = side * power * power_next
                factor *= size**times
                powers = [p + times * d for p, d in zip(powers, dims, strict=True)]
                power_next = 1
    return factor, Dims(*powers)


def _split(word: str, kind: Kind, text: str) -> list[tuple[str, int]]:
    """Return the units run together in a word such as "m2K" with their powers."""
    units: list[tuple[str, int]] = []
    place = 0
    while place < len(word):
        found = _TOKEN.match(word, place)
        if not found:
            raise UnitError(f"{quoted(text)}: {quoted(word)} is no unit; {_reads_like(kind)}")
        names = _letters(found[1])
        if not names:
            raise UnitError(_unknown_unit(found[1], kind, text))
        units += [(n, 1) for n in names[:-1]]
        units.append((names[-1], int(found[2] or 1)))
        place = found.end()
    return units


def _letters(letters: str) -> list[str]:
    """Return the units that make up a run of letters: itself if it is one, else longest pieces first."""
    named = letters if letters in UNITS else _ANY_CASE.get(letters.lower())
    if named:
        return [named]
    for cut in range(len(letters) - 1, 0, -1):
        head = letters[:cut] if letters[:cut] in UNITS else _ANY_CASE.get(letters[:cut].lower())
        if head and len(letters) <= 8 and (tail := _letters(letters[cut:])):
            return [head, *tail]
    return []


def _unknown_unit(word: str, kind: Kind, text: str) -> str:
    """Return the message for a word that is no unit."""
    if word.lower() in ("ton", "tons"):
        return f'{quoted(text)}: a ton may be short or metric; say "short ton" or "tonne"'
    dims = KINDS[kind].dims
    known = [s for s, unit in _ANY_CASE.items() if UNITS[unit][1] == dims]
    near = difflib.get_close_matches(word.lower(), known, 1, 0.7)
    hint = f'nearest is "{_ANY_CASE[near[0]]}"; ' if near else ""
    return f"{quoted(text)}: unknown unit {quoted(word)}; {hint}{_reads_like(kind)}"


class Step(NamedTuple):
    """One unit to show a kind in: used when the size in it is at least ``least``."""

    unit: str
    factor: float
    least: float
    decimals: int | None = None


def _steps(*rows: tuple[str, float, float] | tuple[str, float, float, int]) -> tuple[Step, ...]:
    return tuple(Step(*row) for row in rows)


_INCH, _FT2 = 0.0254, _FOOT**2
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
    "temperature": _steps(("°C", 1.0, -math.inf, 1)),
    "temperature_difference": _steps(("K", 1.0, 0.0, 1)),
}
_US: dict[Kind, tuple[Step, ...]] = {
    **_METRIC,
    "length": _steps(("ft", _FOOT, 3.0), ("in", _INCH, 0.0)),
    "area": _steps(("ft2", _FT2, 1.0), ("in2", _INCH**2, 0.0)),
    "volume": _steps(("ft3", _FOOT**3, 0.0)),
    "power": _steps(("W", 1.0, 0.0)),
    "flow": _steps(("cfm", UNITS["cfm"][0], 0.0)),
    "pressure": _steps(("psi", 6894.757, 1.0), ("inwg", 249.0889, 0.0)),
    "mass": _steps(("lb", _POUND, 0.0)),
    "u_value": _steps(("Btu/h ft2 F", _BTU / _HOUR / _FT2 * 1.8, 0.0)),
    "r_value": _steps(("h ft2 F/Btu", _HOUR * _FT2 / _BTU / 1.8, 0.0)),
    "conductivity": _steps(("Btu in/h ft2 F", _BTU / _HOUR / _FT2 * 1.8 * _INCH, 0.0)),
    "density": _steps(("lb/ft3", _POUND / _FOOT**3, 0.0)),
    "specific_heat": _steps(("Btu/lb F", _BTU / _POUND * 1.8, 0.0)),
    "heat_capacity": _steps(("Btu/ft2 F", _BTU / _FT2 * 1.8, 0.0)),
    "loss_per_length": _steps(("Btu/h ft F", _BTU / _HOUR / _FOOT * 1.8, 0.0)),
    "speed": _steps(("mph", 1609.344 / _HOUR, 0.0)),
    "daily_sun": _steps(("Btu/ft2 day", _BTU / _FT2 / 3.6e6, 0.0)),
    "leak_per_length": _steps(("in2/ft", _INCH**2 / _FOOT, 0.0)),
    "growth": _steps(("ft/year", _FOOT, 1.0), ("in/year", _INCH, 0.0)),
    "temperature_difference": _steps(("°F", 5.0 / 9.0, 0.0, 1)),
}
SI_UNIT: dict[Kind, str] = {kind: facts.si_unit for kind, facts in KINDS.items()}


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
