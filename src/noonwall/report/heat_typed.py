"""An amount of heat as somebody says it: kWh, million BTU, therms, megajoules, gallons of oil, cords of wood."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import UnitError
from noonwall.model.catalogue import fuel as fuel_named
from noonwall.model.catalogue import known, names
from noonwall.report.reader import KBTU_PER_KWH, percent
from noonwall.units import quoted

if TYPE_CHECKING:
    from noonwall.model.shop import Heater
    from noonwall.report.reader import Reader

MOST_KWH = 1e9
BTU_KWH = 0.001 / KBTU_PER_KWH
THERM_BTU = 100_000.0  # by definition
MOST_LETTERS = 60
_TYPED = re.compile(  # blanks single and few letters, as `_tidy` leaves them: else many blanks take it hours
    r"(?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+) ?(?P<times>thousand|million|billion)? ?"
    r"(?P<what>(?:[^\d]|(?<=m)3)*?) ?"
    r"(?P<yearly>(?:a|per|each|every|/) ?(?:year|yr|annum)|(?:per|/) ?[ay]|annually|yearly|p\.a)? ?\.?",
    re.I,
)
_TIMES = {"": 1.0, "thousand": 1e3, "million": 1e6, "billion": 1e9}
_KWH = {
    "kwh": 1.0, "mwh": 1e3, "wh": 1e-3, "gwh": 1e6, "kilowatt hour": 1.0, "kilowatt-hour": 1.0,
    "btu": BTU_KWH, "kbtu": 1e3 * BTU_KWH, "mmbtu": 1e6 * BTU_KWH, "therm": THERM_BTU * BTU_KWH,
    "j": 1.0 / 3.6e6, "kj": 1.0 / 3600.0, "mj": 1.0 / 3.6, "gj": 1000.0 / 3.6,
}  # fmt: skip
_TWO_MEANINGS = ("mbtu",)
_FUEL_UNITS = {
    "gallon": "gallon", "gal": "gallon", "litre": "litre", "liter": "litre", "l": "litre", "cord": "cord",
    "bag": "bag", "ton": "short ton", "short ton": "short ton", "tonne": "tonne", "kg": "kg", "m3": "m3", "ccf": "ccf",
}  # fmt: skip
_SAME_IN_PLURAL = ("m3", "kg", "ccf")
_ALONE = {"cord": "cordwood", "bag": "pellets"}  # units that are of one fuel only
_FUELS = {"oil": "heating oil", "fuel oil": "heating oil", "wood": "cordwood", "firewood": "cordwood",
          "gas": "natural gas", "lp": "propane", "pellet": "pellets"}  # fmt: skip


@dataclass(frozen=True)
class HeatTyped:
    """An amount of heat: ``how`` it was understood where that is more than a unit; ``yearly`` when said of a year."""

    kwh: float
    how: str | None
    yearly: bool


def claim_examples(reader: Reader) -> str:
    """Return how a claim may be typed with its unit, in the units that such a reader's bills are in."""
    if reader.us:
        return (
            "Or with its unit: 15 million Btu, 120 therms, 4,350 kWh, 90 gallons of oil, 2 cords of wood; a year's "
            "figure as '15 million Btu a year'."
        )
    return "Or with its unit: 16 GJ, 4.4 MWh, 400 litres of oil, 900 kg of pellets; a year's figure as '4,350 kWh a year'."


def heat_typed(written: str, reader: Reader, heater: Heater | None = None) -> HeatTyped:
    """Return an amount of heat as somebody types it; without a unit it is in the reader's.

    heater  the shop's own: a fuel it burns gives heat by its efficiency, another by what is usual for it
    Raises  UnitError when it is none, or not above nought

    >>> from noonwall.report.reader import Reader
    >>> [round(heat_typed(text, Reader()).kwh) for text in ("4,350 kWh", "10 million BTU a year", "2 cords of wood")]
    [4350, 2931, 7033]
    """
    written = _tidy(written, reader)
    found = _TYPED.fullmatch(written)
    if not found:
        raise UnitError(_wanted(written, reader))
    number = float(found["number"].replace(",", "")) * _TIMES[(found["times"] or "").lower()]
    what = " ".join(re.sub(r"[.]", "", found["what"]).lower().split())
    if found["times"] and not what:
        raise UnitError(f'{quoted(written)}: {found["times"]} what? Write for example "{written} Btu"')
    kwh, how = _heat(number, what or reader.heat_unit.lower(), written, reader, heater)
    if not 0.0 < kwh < MOST_KWH:
        raise UnitError(_wanted(written, reader))
    return HeatTyped(kwh, how, bool(found["yearly"]))


def _heat(
    number: float, what: str, written: str, reader: Reader, heater: Heater | None
) -> tuple[float, str | None]:
    if _single(what) in _TWO_MEANINGS:
        raise UnitError(
            f"{quoted(written)}: MBtu is a thousand Btu to some and a million to others; write kBtu or million Btu"
        )
    if (each := _KWH.get(_single(what))) is not None:
        return number * each, None
    unit, _, burnt = what.partition(" of ")
    if not burnt:
        unit, burnt = _apart(what)
    unit = _FUEL_UNITS.get(_single(unit), "")
    if unit and not burnt and unit not in _ALONE:
        raise UnitError(
            f"{quoted(written)}: {_counted(2, unit)} of what? "
            f'Write for example "{number:g} {_counted(number, unit)} of {_that_comes_by(unit)}"'
        )
    burnt = burnt or _ALONE.get(unit, "")
    name = _FUELS.get(burnt, _FUELS.get(_single(burnt), burnt))
    if not unit or not known("fuel", name):
        raise UnitError(_wanted(written, reader))
    spec = fuel_named(name)
    if unit not in spec.kwh_per:
        raise UnitError(f"{quoted(written)}: {spec.name} comes by {', '.join(spec.kwh_per)}")
    own = heater is not None and fuel_named(heater.fuel).name == spec.name
    share = heater.efficiency if own and heater is not None else spec.usual_efficiency
    whose = "your heater's" if own else "usual for it"
    how = f"{number:g} {_counted(number, unit)} of {spec.name}, burnt at {percent(share)} ({whose})"
    return number * spec.kwh_per[unit] * share, how


def _apart(what: str) -> tuple[str, str]:
    """Return the unit and the fuel of "gallons heating oil"."""
    words = what.split()
    for n in (2, 1):
        if _single(" ".join(words[:n])) in _FUEL_UNITS:
            return " ".join(words[:n]), " ".join(words[n:])
    return what, ""


def _tidy(written: str, reader: Reader) -> str:
    """Return what was typed with single blanks; refuse what is longer than any amount of heat."""
    tidy = " ".join(written.split())
    if len(tidy) > MOST_LETTERS:
        raise UnitError(_wanted(tidy, reader))
    return tidy


def _counted(number: float, unit: str) -> str:
    return unit if number == 1 or unit in _SAME_IN_PLURAL else f"{unit}s"


def _that_comes_by(unit: str) -> str:
    """Return a fuel that is sold by a unit: heating oil where it is, else the catalogue's first."""
    sold = [name for name in names("fuel") if unit in fuel_named(name).kwh_per]
    return "oil" if "heating oil" in sold else sold[0]


def _single(word: str) -> str:
    """Return a unit in the singular: "therms" is "therm"."""
    return word if word in _KWH or word in _FUEL_UNITS else word.removesuffix("s")


def _wanted(written: str, reader: Reader) -> str:
    return (
        f"{quoted(written)}: wanted an amount of heat above zero, such as 4350 {reader.heat_unit}, 15 million Btu, "
        "120 therms, 90 gallons of oil or 2 cords"
    )
