"""Reads a quantity as a builder writes it."""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from functools import lru_cache

from noonwall.errors import UnitError
from noonwall.units.table import ENERGY, FOOT, KINDS, ONE, SPELLINGS, UNITS, Dims, Kind, System

# kinds that may be written in two or three steps, largest unit first
_STEPWISE = ("length", "angle", "latitude", "longitude", "bearing", "time", "mass")
_LONGEST_TEXT, _LONGEST_SHOWN = 80, 30
INCHES = 12.0  # of a foot
_NUMBER = r"(?:\d+[ -]+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_TERM = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*(?=\s[\d.]++(?!/[A-Za-z])|$)")
_TOKEN = re.compile(r"([A-Za-z%]+)(-?\d)?")
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
              "⅓": "1/3", "⅔": "2/3"}  # fmt: skip
_WATER = re.compile(
    r"\b(in|inch|inches|mm)\.?\s*(?:of\s+)?(?:w\.?\s*[gc]\b\.?|h2o\b|water(?:\s+(?:gauge|column))?)", re.I
)
US_UNIT = re.compile(
    r"ft|foot|feet|\bin\b|in2|inwg|inch|yard|\byds?\b|cfm|fpm|F\b|lb|ounce|\boz\b|short ?ton|ps[if]|gal|mph|Btu|R-"
)  # what marks a quantity as written in US units
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
    for unit, words in SPELLINGS.items():
        for spelling in words.split():
            table.setdefault(spelling.lower(), set()).add(unit)
    return {spelling: units.pop() for spelling, units in table.items() if len(units) == 1}


_ANY_CASE = _lookup()


def quoted(text: object) -> str:
    """Return what the builder wrote, short and on one line, in quotes."""
    flat = " ".join(str(text)[: _LONGEST_TEXT + 1].split())
    flat = "".join(c if c.isprintable() else "?" for c in flat)
    return f'"{flat[:40]}..."' if len(flat) > 40 else f'"{flat}"'


def own_examples(kind: Kind, system: System = "metric") -> str:
    """Return how a reader would write a quantity of this kind, for a page of help: in the reader's own units alone.

    >>> own_examples("pressure", "us"), own_examples("temperature")
    ('"0.1 inwg"', '"43 C"')
    """
    every = KINDS[kind].examples
    american = [example for example in every if US_UNIT.search(example)]
    others = [example for example in every if example not in american]
    own = (american if system == "us" else others) or every
    return _any_of(tuple(own))


def _any_of(written: tuple[str, ...]) -> str:
    shown = [f'"{example}"' for example in written]
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " or " + shown[-1]


def examples(kind: Kind, system: System = "metric") -> str:
    """Return how a quantity of this kind may be written, for a message or a page of help; the reader's units first.

    >>> examples("pressure"), examples("pressure", "us")
    ('"25 Pa" or "0.1 inwg"', '"0.1 inwg" or "25 Pa"')
    """
    written = KINDS[kind].examples
    if system == "us":
        written = tuple(sorted(written, key=lambda example: US_UNIT.search(example) is None))
    return _any_of(written)


def _reads_like(kind: Kind) -> str:
    return f"{KINDS[kind].noun} reads like {examples(kind)}"


def parse(value: str | float, kind: Kind, system: System = "metric") -> float:
    """Read a quantity as SI.

    value   text with a unit, or a number that is SI already [unit of SI_UNIT for the kind]
    kind    kind of quantity, fixes the accepted units
    system  the reader's units, for the examples of a message
    returns finite number in the kind's SI unit (°C for a temperature, degrees for an angle)
    raises  UnitError with one line for anything else

    >>> parse("8 ft 6 in", "length")
    2.5908
    >>> round(parse("110 degF", "temperature"), 2)
    43.33
    >>> round(parse("350 cfm", "flow"), 4)
    0.1652
    """
    try:
        return _parsed(value, kind)
    except UnitError as error:
        if system == "metric":
            raise
        raise UnitError(str(error).replace(examples(kind), examples(kind, system))) from None


def _parsed(value: str | float, kind: Kind) -> float:
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


@lru_cache(maxsize=4096)  # pages read the same file again and again
def _from_text(text: str, kind: Kind) -> float:
    """Read a text as SI, with the forms of one kind (R-19, compass points) first."""
    if len(text) > _LONGEST_TEXT:
        raise UnitError(f"{quoted(text)} is too long for a quantity; {_reads_like(kind)}")
    plain = _plain(text, kind)
    if kind == "money" and (found := re.fullmatch(r"[^\d.-]*([\d.]+)\s*[^\d.].*|[^\d.-]+([\d.]+)", plain)):
        number = found[1] or found[2]
        raise UnitError(f"{quoted(text)}: the currency stands in money.currency; write {number} alone")
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
    written = text
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
            f"{quoted(written)}: a comma may mean thousands or a decimal; write {_comma_less(written)}"
        )
    return " ".join(_WATER.sub(lambda m: "mmwg" if m[1].lower() == "mm" else "inwg", text).split())


def _comma_less(text: str) -> str:
    """Return how a number with a comma may be written: both ways where it may mean both."""
    flat = " ".join(text.split())
    if len(flat) > _LONGEST_SHOWN:
        return 'it without, like "12000" or "12.5"'
    decimal = flat.replace(",", ".") if flat.count(",") == 1 else None
    if re.search(r"(?<![\d.,])[1-9]\d{0,2}(,\d{3})+(?![\d,])", flat):
        whole = re.sub(r"(?<=\d),(?=\d{3})", "", flat)
        return f'"{whole}"' + (f' or "{decimal}"' if decimal and "." not in flat else "")
    return f'"{decimal}"' if decimal and "." not in flat else 'it without, like "12000" or "12.5"'


def _direction(plain: str, kind: Kind, text: str) -> float:
    """Read a latitude, a longitude or a bearing."""
    named = re.sub("|".join(_WINDS), lambda m: _WINDS[m[0].lower()], plain, flags=re.I)
    if kind == "bearing":
        point = named.upper().replace(" ", "").replace("-", "")
        if point in _COMPASS:
            return _COMPASS[point]
        if found := re.fullmatch(r"([NS])\s*(\d.*?)\s*([EW])", named, re.I):
            base, turn = _COMPASS[found[1].upper()], _COMPASS[found[3].upper()]
            off = _terms(found[2], "angle", text)
            if off > 90.0:
                raise UnitError(
                    f"{quoted(text)}: more than 90 degrees from {found[1].upper()}; {_reads_like(kind)}"
                )
            side = 1.0 if (turn - base) % 360.0 == 90.0 else -1.0
            return (base + side * off) % 360.0
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
        if not unit and terms == 2 and last == FOOT and number < INCHES and found.end() == len(rest):
            unit = "in"  # "8 ft 3": what follows the feet alone can only be inches
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
    if kind == "power" and dims == ENERGY:
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
