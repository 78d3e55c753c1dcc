"""The one table of units, their spellings and the kinds of quantity they measure.

Source  factors: NIST SP 811 (2008), appendix B; British thermal unit of the International Table;
        water and mercury columns conventional
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

Kind = Literal[
    "length", "area", "volume", "temperature", "temperature_difference", "flow", "pressure", "power",
    "angle", "latitude", "longitude", "bearing", "u_value", "r_value", "conductivity", "density",
    "specific_heat", "mass", "heat_capacity", "time", "share", "per_year", "per_kelvin", "per_hour", "growth",
    "loss_per_length", "leak_per_length", "speed", "daily_sun", "irradiance", "resistance", "current",
    "voltage", "number", "money",
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
LENGTH, MASS, TIME, KELVIN = Dims(m=1), Dims(kg=1), Dims(s=1), Dims(k=1)
VOLUME, ENERGY, POWER = Dims(m=3), Dims(2, 1, -2), Dims(2, 1, -3)
PRESSURE, FLOW = Dims(-1, 1, -2), Dims(m=3, s=-1)
FOOT, POUND, BTU, HOUR, YEAR = 0.3048, 0.45359237, 1055.05585262, 3600.0, 31_557_600.0

# unit, factor to SI, dimension; exact by definition unless the digits end
UNITS: dict[str, tuple[float, Dims]] = {
    "m": (1.0, LENGTH),
    "cm": (0.01, LENGTH),
    "mm": (0.001, LENGTH),
    "km": (1000.0, LENGTH),
    "in": (0.0254, LENGTH),
    "ft": (FOOT, LENGTH),
    "yd": (0.9144, LENGTH),
    "mi": (1609.344, LENGTH),
    "ha": (10_000.0, Dims(m=2)),
    "acre": (4046.873, Dims(m=2)),
    "L": (0.001, VOLUME),
    "mL": (1e-6, VOLUME),
    "gal": (3.785411784e-3, VOLUME),
    "cord": (128.0 * FOOT**3, VOLUME),
    "kg": (1.0, MASS),
    "g": (0.001, MASS),
    "t": (1000.0, MASS),
    "lb": (POUND, MASS),
    "oz": (POUND / 16.0, MASS),
    "shortton": (2000.0 * POUND, MASS),
    "s": (1.0, TIME),
    "min": (60.0, TIME),
    "h": (HOUR, TIME),
    "day": (86_400.0, TIME),
    "week": (604_800.0, TIME),
    "year": (YEAR, TIME),
    "K": (1.0, KELVIN),
    "C": (1.0, KELVIN),
    "F": (5.0 / 9.0, KELVIN),
    "J": (1.0, ENERGY),
    "kJ": (1000.0, ENERGY),
    "MJ": (1e6, ENERGY),
    "Wh": (HOUR, ENERGY),
    "kWh": (1000.0 * HOUR, ENERGY),
    "Btu": (BTU, ENERGY),
    "therm": (1e5 * BTU, ENERGY),
    "kcal": (4186.8, ENERGY),
    "W": (1.0, POWER),
    "mW": (0.001, POWER),
    "kW": (1000.0, POWER),
    "MW": (1e6, POWER),
    "Btuh": (BTU / HOUR, POWER),
    "MBH": (1000.0 * BTU / HOUR, POWER),
    "hp": (745.6999, POWER),
    "Pa": (1.0, PRESSURE),
    "hPa": (100.0, PRESSURE),
    "kPa": (1000.0, PRESSURE),
    "mbar": (100.0, PRESSURE),
    "bar": (1e5, PRESSURE),
    "psi": (6894.757, PRESSURE),
    "psf": (47.88026, PRESSURE),
    "inwg": (249.0889, PRESSURE),
    "mmwg": (9.80665, PRESSURE),
    "inHg": (3386.389, PRESSURE),
    "mmHg": (133.3224, PRESSURE),
    "cfm": (FOOT**3 / 60.0, FLOW),
    "cfh": (FOOT**3 / HOUR, FLOW),
    "cmh": (1.0 / HOUR, FLOW),
    "Lps": (0.001, FLOW),
    "mph": (1609.344 / HOUR, Dims(m=1, s=-1)),
    "kn": (1852.0 / HOUR, Dims(m=1, s=-1)),
    "fpm": (FOOT / 60.0, Dims(m=1, s=-1)),
    "pcf": (POUND / FOOT**3, Dims(m=-3, kg=1)),
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
    "ach": (1.0 / HOUR, Dims(s=-1)),
}

# other ways of writing the same unit, looked up without regard to case
SPELLINGS = {
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
    "length": KindFacts("m", LENGTH, 1.0, "a length", ("90 mm", "2.4 m", "3 1/2 in", "8 ft 6 in")),
    "area": KindFacts("m2", Dims(m=2), 1.0, "an area", ("1.2 m2", "150 cm2", "64 ft2", "20 sq in")),
    "volume": KindFacts("m3", VOLUME, 1.0, "a volume", ("420 m3", "200 L", "15000 ft3")),
    "temperature": KindFacts("°C", KELVIN, 1.0, "a temperature", ("43 C", "110 degF")),
    "temperature_difference": KindFacts(
        "K", KELVIN, 1.0, "a temperature difference", ("8 K", "8 C", "15 degF")
    ),
    "flow": KindFacts("m3/s", FLOW, 1.0, "an air flow", ("0.1 m3/s", "100 L/s", "350 m3/h", "210 cfm")),
    "pressure": KindFacts("Pa", PRESSURE, 1.0, "a pressure", ("25 Pa", "0.1 inwg")),
    "power": KindFacts("W", POWER, 1.0, "a power", ("40 W", "6 kW", "12000 Btu/h")),
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
    "mass": KindFacts("kg", MASS, 1.0, "a mass", ("2500 kg", "2.5 t", "5000 lb")),
    "heat_capacity": KindFacts(
        "J/m2K", Dims(0, 1, -2, -1), 1.0, "a heat capacity per area", ("15 kJ/m2K", "0.8 Btu/ft2 F")
    ),
    "time": KindFacts("s", TIME, 1.0, "a time", ("90 s", "1.5 min", "1 h 30 min")),
    "share": KindFacts("", ONE, 1.0, "a share from 0 to 1", ("0.05", "5 %")),
    "per_year": KindFacts("/year", Dims(s=-1), 1.0 / YEAR, "a share per year", ("0.01", "1 %/year")),
    "per_kelvin": KindFacts("/K", Dims(k=-1), 1.0, "a share per kelvin", ("-0.0035", "-0.35 %/K")),
    "per_hour": KindFacts(
        "/h", Dims(s=-1), 1.0 / HOUR, "a number per hour (air changes)", ("7", "7 /h", "7 ach")
    ),
    "growth": KindFacts(
        "m/year", Dims(m=1, s=-1), 1.0 / YEAR, "a growth per year", ("0.3 m/year", "12 in/year")
    ),
    "loss_per_length": KindFacts(
        "W/mK", Dims(1, 1, -3, -1), 1.0, "a heat loss per length of edge", ("1.26 W/mK", "0.73 Btu/h ft F")
    ),
    "leak_per_length": KindFacts(
        "m2/m", LENGTH, 1.0, "a leak per length of edge", ("1 cm2/m", "0.05 in2/ft")
    ),
    "speed": KindFacts("m/s", Dims(m=1, s=-1), 1.0, "a speed", ("3 m/s", "11 km/h", "7 mph")),
    "daily_sun": KindFacts(
        "kWh/m2 day", Dims(0, 1, -3), 3.6e6 / 86_400.0, "a day's sun", ("3.2 kWh/m2 day", "1010 Btu/ft2 day")
    ),
    "irradiance": KindFacts("W/m2", Dims(0, 1, -3), 1.0, "a strength of sun", ("300 W/m2", "95 Btu/h ft2")),
    "resistance": KindFacts("ohm", UNITS["ohm"][1], 1.0, "an electrical resistance", ("12 ohm", "20 mohm")),
    "current": KindFacts("A", Dims(a=1), 1.0, "a current", ("0.4 A", "400 mA")),
    "voltage": KindFacts("V", UNITS["V"][1], 1.0, "a voltage", ("17 V", "250 mV")),
    "number": KindFacts("", ONE, 1.0, "a plain number", ("6", "0.5")),
    "money": KindFacts("", ONE, 1.0, "a plain amount, the currency stands in money.currency", ("2.60",)),
}

SI_UNIT: dict[Kind, str] = {kind: facts.si_unit for kind, facts in KINDS.items()}
