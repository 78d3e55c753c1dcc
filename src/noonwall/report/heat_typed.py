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
_FUEL_WORDS = {"heating oil": "oil", "cordwood": "wood"}
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
_EXAMPLES = {  # how much of a fuel makes a likely claim, by its unit; the units of a reader's bills first
    "us": (("gallon", 50), ("cord", 2), ("bag", 60), ("short ton", 2), ("ccf", 50)),
    "metric": (("litre", 200), ("m3", 150), ("kg", 900), ("tonne", 2)),
}
_SAVED = re.compile(r"\b(?:saved?|saves|saving|spared?|spares|less)\b", re.I)
_BEFORE = (
    "i", "we", "it", "he", "she", "they", "you", "the", "wall", "that", "this", "my", "our", "has", "have", "had",
    "saved", "save", "saves", "spared", "spares", "burned", "burnt", "used", "use", "got", "made", "gave", "brought",
    "in", "about", "around", "roughly", "nearly", "almost", "approximately", "approx", "some", "ca", "circa", "only",
    "just", "over", "maybe", "perhaps", "more", "than", "up", "to", "heat", "fuel",
)  # fmt: skip
_AFTER = re.compile(
    r" (?:saved|spared|less|of heat|of fuel|in all|or so|(?:this|last) (?:year|winter|season))$", re.I
)
_NUMBERS = {
    "one and a half": 1.5, "half an": 0.5, "half a": 0.5, "a half": 0.5, "half": 0.5, "a quarter of a": 0.25,
    "a quarter": 0.25, "a couple of": 2, "a dozen": 12, "an": 1, "a": 1, "one": 1, "two": 2, "three": 3, "four": 4,
    "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "twelve": 12, "twenty": 20,
}  # fmt: skip
_FRACTION = re.compile(r"(?:(?P<whole>\d{1,3}) )?(?P<over>\d)/(?P<under>[2-9])(?= )")
_FUELS = {"oil": "heating oil", "fuel oil": "heating oil", "wood": "cordwood", "firewood": "cordwood",
          "gas": "natural gas", "lp": "propane", "pellet": "pellets"}  # fmt: skip


@dataclass(frozen=True)
class HeatTyped:
    """An amount of heat: ``how`` it was understood where that is more than a unit; ``yearly`` when said of a year.

    ``saved``  whether it is said of what the heater did not have to give: an amount of fuel, or "saved"
    """

    kwh: float
    how: str | None
    yearly: bool
    saved: bool = False


def claim_examples(reader: Reader, heater: Heater | None = None) -> str:
    """Return how a claim may be typed with its unit, the shop's own fuel first, in the units of a reader's bills.

    heater  the shop's own
    """
    if reader.us:
        usual, yearly = (
            ("90 gallons of oil", "2 cords of wood", "15 million Btu", "4,350 kWh"),
            "15 million Btu a year",
        )
    else:
        usual, yearly = ("400 litres of oil", "900 kg of pellets", "16 GJ", "4.4 MWh"), "4,350 kWh a year"
    own = _own_example(reader, heater)
    several = (own, *usual[2:], usual[1]) if own else usual
    return (
        f"Or with its unit: {', '.join(dict.fromkeys(several))}; a year's figure as '{yearly}'. An amount of fuel is "
        "taken as fuel saved."
    )


def _own_example(reader: Reader, heater: Heater | None) -> str:
    """Return an amount of the fuel that the shop's own heater burns; empty where it burns none that is sold so."""
    if heater is None:
        return ""
    spec = fuel_named(heater.fuel)
    usual = _EXAMPLES["us" if reader.us else "metric"]
    bought = [pair for pairs in _EXAMPLES.values() for pair in pairs if pair[0] == heater.price_unit]
    for unit, number in (*bought, *usual):
        if unit in spec.kwh_per:
            return f"{number} {_counted(number, unit)} of {_FUEL_WORDS.get(spec.name, spec.name)}"
    return ""


def heat_typed(written: str, reader: Reader, heater: Heater | None = None) -> HeatTyped:
    """Return an amount of heat as somebody types it; without a unit it is in the reader's.

    heater  the shop's own: a fuel it burns gives heat by its efficiency, another by what is usual for it
    Raises  UnitError when it is none, or not above nought

    >>> from noonwall.report.reader import Reader
    >>> [round(heat_typed(text, Reader()).kwh) for text in ("4,350 kWh", "10 million BTU a year", "2 cords of wood")]
    [4350, 2931, 7033]
    """
    written = _tidy(written, reader, heater)
    found = _TYPED.fullmatch(_bare(written))
    if not found:
        raise UnitError(_wanted(written, reader, heater))
    number = float(found["number"].replace(",", "")) * _TIMES[(found["times"] or "").lower()]
    what = " ".join(re.sub(r"[.]", "", found["what"]).lower().split())
    if found["times"] and not what:
        raise UnitError(f'{quoted(written)}: {found["times"]} what? Write for example "{written} Btu"')
    kwh, how = _heat(number, what or reader.heat_unit.lower(), written, reader, heater)
    if not 0.0 < kwh < MOST_KWH:
        raise UnitError(_wanted(written, reader, heater))
    return HeatTyped(kwh, how, bool(found["yearly"]), how is not None or bool(_SAVED.search(written)))


def _bare(written: str) -> str:
    """Return an amount without the words around it, its number in figures: "saved half a cord" is "0.5 cord".

    >>> [_bare(text) for text in ("I saved about 200 gallons", "a cord of wood", "1 1/2 cords", "ten gallons less")]
    ['200 gallons', '1 cord of wood', '1.5 cords', '10 gallons']
    """
    words = written.split(" ")
    while len(words) > 1 and words[0].lower().rstrip(",.") in _BEFORE:
        words.pop(0)
    bare = _AFTER.sub("", " ".join(words)).removeprefix("~")
    if part := _FRACTION.match(bare):
        number = int(part["whole"] or 0) + int(part["over"]) / int(part["under"])
        return f"{number:.4g}{bare[part.end() :]}"
    for said, value in _NUMBERS.items():
        if bare.lower().startswith(f"{said} "):
            return f"{value:g}{bare[len(said) :]}"
    return bare


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
    taken = ""
    if unit and not burnt and heater is not None and unit in fuel_named(heater.fuel).kwh_per:
        burnt = fuel_named(heater.fuel).name
        taken = f" taken as {burnt}, the shop's fuel,"
    if unit and not burnt and unit not in _ALONE:
        raise UnitError(
            f"{quoted(written)}: {_counted(2, unit)} of what? "
            f'Write for example "{number:g} {_counted(number, unit)} of {_that_comes_by(unit)}"'
        )
    burnt = burnt or _ALONE.get(unit, "")
    name = _FUELS.get(burnt, _FUELS.get(_single(burnt), burnt))
    if not unit or not known("fuel", name):
        raise UnitError(_wanted(written, reader, heater))
    spec = fuel_named(name)
    if unit not in spec.kwh_per:
        raise UnitError(f"{quoted(written)}: {spec.name} comes by {', '.join(spec.kwh_per)}")
    own = heater is not None and fuel_named(heater.fuel).name == spec.name
    share = heater.efficiency if own and heater is not None else spec.usual_efficiency
    whose = "your heater's" if own else "usual for it"
    of = taken or f" of {spec.name},"
    how = f"{number:g} {_counted(number, unit)}{of} burnt at {percent(share)} ({whose})"
    return number * spec.kwh_per[unit] * share, how


def _apart(what: str) -> tuple[str, str]:
    """Return the unit and the fuel of "gallons heating oil"."""
    words = what.split()
    for n in (2, 1):
        if _single(" ".join(words[:n])) in _FUEL_UNITS:
            return " ".join(words[:n]), " ".join(words[n:])
    return what, ""


def _tidy(written: str, reader: Reader, heater: Heater | None) -> str:
    """Return what was typed with single blanks; refuse what is longer than any amount of heat."""
    tidy = " ".join(written.split())
    if len(tidy) > MOST_LETTERS:
        raise UnitError(_wanted(tidy, reader, heater))
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


def _wanted(written: str, reader: Reader, heater: Heater | None) -> str:
    """Return what is told of what is no heat, with examples: the shop's own fuel first."""
    fuels = [own] if (own := _own_example(reader, heater)) else ["90 gallons of oil", "2 cords"]
    examples = [*fuels, "15 million Btu", f"4350 {reader.heat_unit}"]
    return (
        f"{quoted(written)}: wanted an amount of heat or of fuel above zero, such as {', '.join(examples[:-1])} or "
        f"{examples[-1]}"
    )
