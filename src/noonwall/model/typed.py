"""What a builder types into one box of a form, the value it means in the project file, and back.

Nothing is guessed from a number's size: a number alone gets the unit that stands beside its box.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, get_args, get_origin

from noonwall.errors import ProjectError, UnitError
from noonwall.model import catalogue, species
from noonwall.model.defaults import Assumed, assumed
from noonwall.model.edit import Value, path_of
from noonwall.model.fields import Facts, Inner, Record, facts_of, record_in
from noonwall.model.file import parse_toml
from noonwall.model.project import Project
from noonwall.model.spans import day_in_words, days_of, hours_of, kept_day, span_words
from noonwall.units import SI_UNIT, US_UNIT, in_feet, in_reader_units, parse, quoted, show, significant

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

    from noonwall.units import Kind, System

_NUMBER = re.compile(r"[+-]?(?:\d+[ -]+\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)")
_ENDING = re.compile(rf"\s*{_NUMBER.pattern}\s*(?![eE][+-]?\d)([^\d\s,.](?:\D|(?<=[A-Za-z])[23](?!\d))*?)\s*")
_ONE_SIGN = re.compile("[\u00bc-\u00be\u2150-\u215e]")  # a fraction in one sign, as keyboards and pads put it
_FOOT_MARK = re.compile("['\"\u2018\u2019\u201c\u201d\u2032\u2033]")
_R_FIRST = re.compile(r"(RSI|R)[\s\d-]", re.I)  # an American resistance, or a metric one with its name first
_OWN_UNIT = {"circuit.wire": "mm2"}  # whatever the reader's units: what is printed on the cable
FOOT = 0.3048
_PLACES = ("east", "north", "along", "out", "distance")  # told in feet however near, as the lists tell them
_ONE_DAY = ("leaf_out", "leaf_fall")
_WRITTEN = {"°C": "C", "°F": "degF"}  # what a keyboard has
_SHELVES: dict[str, catalogue.Shelf] = {
    "wall.glazing.kind": "glazing", "wall.absorber.face": "face", "shop.heater.fuel": "fuel",
    "shop.air.tightness": "tightness", "wall.frame.material": "material", "wall.frame.studs": "material",
    "wall.absorber.layer.material": "material", "wall.backing.material": "material",
    "shop.part.layer.material": "material",
}  # fmt: skip


class Spot(NamedTuple):
    """One value of a project file: where it stands and what may stand there."""

    key: str
    field: FieldInfo
    facts: Facts
    kind: Kind | None  # of its quantity, as the values beside it make it
    raw: Any  # as typed in the file, None where it is left open


class Beside(NamedTuple):
    """What stands beside a box: the unit of a number alone, and what was typed in the reader's units."""

    unit: str
    reads: str  # "= 2.44 m", or empty where what was typed says it already


def spot(key: str, raw: dict[str, Any]) -> Spot:
    """Return what is known of a key.

    key     "wall.gap", "fan[1].flow";  raw  the project file's tables
    raises  ProjectError for a key that no project has

    >>> spot("wall.gap", {}).kind
    'length'
    """
    record: type[Record] | None = Project
    here: Any = raw
    field: FieldInfo | None = None
    facts: Facts | None = None
    inner: Inner | None = None
    table: Any = raw
    for step in path_of(key):
        if isinstance(step, int):
            here = here[step] if isinstance(here, list) and step < len(here) else None
            record = inner.chosen(here or {}) if inner else None
            continue
        known = _known(record, step) if record else None
        if known is None:
            raise ProjectError(f"{quoted(key)} is no key of a project")
        field, facts, inner = known
        table, here = here, here.get(step) if isinstance(here, dict) else None
        record = inner.classes[0] if inner and not inner.many else record
    if field is None or facts is None:
        raise ProjectError(f"{quoted(key)} is no key of a project")
    return Spot(key, field, facts, _kind(facts, table), here)


@cache
def _known(record: type[Record], key: str) -> tuple[FieldInfo, Facts, Inner | None] | None:
    """Return what a record says of one of its keys, None for a key it does not have."""
    field = next((f for f in record.model_fields.values() if f.alias == key), None)
    return None if field is None else (field, facts_of(field), record_in(field))


def _kind(facts: Facts, table: Any) -> Kind | None:
    turned = facts.kind_if
    if turned and isinstance(table, dict) and table.get(turned[0]) == turned[1]:
        return turned[2]
    return facts.kind


def choices(where: Spot) -> tuple[str, ...]:
    """Return the words a value is chosen from: a fixed list, or a shelf of the catalogue; empty for any text."""
    plain = re.sub(r"\[\d+\]", "", where.key)
    if plain == "obstacle.species":
        return tuple(sorted(species.catalogue()))
    shelf = _SHELVES.get(plain)
    if shelf is not None:
        return catalogue.names(shelf)
    return tuple(str(word) for word in _words(where.field.annotation))


def is_flag(where: Spot) -> bool:
    """Whether a value is yes or no."""
    return bool in (where.field.annotation, *get_args(where.field.annotation))


def is_count(where: Spot) -> bool:
    """Whether a value is a whole number."""
    return int in (where.field.annotation, *get_args(where.field.annotation))


def _words(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return next((found for a in get_args(annotation) if (found := _words(a))), ())


def shown(where: Spot) -> str:
    """Return what stands in the box of a value: as typed in the file, a bare number with the unit it means."""
    return _text(where.raw, where.kind, where.facts)


def _text(raw: Any, kind: Kind | None, facts: Facts) -> str:
    if raw is None:
        return ""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, int | float):
        return f"{raw:.10g} {SI_UNIT[kind]}".rstrip() if kind else f"{raw:.10g}"
    if isinstance(raw, list):
        return "; ".join(_member(item, facts) for item in raw)
    return str(raw)


def _member(item: Any, facts: Facts) -> str:
    if not isinstance(item, list):
        return _text(item, None, facts)
    if isinstance(facts.each, tuple):
        return ", ".join(_text(v, None, facts) for v in item)
    return (" | " if facts.key == "series" else " to ").join(str(v) for v in item)


def beside(where: Spot, system: System) -> Beside:
    """Return the unit that a number alone gets, and how what is typed now reads in the reader's units.

    system  the reader's units

    >>> beside(spot("wall.width", {"wall": {"width": "8 ft"}}), "metric")
    Beside(unit='m', reads='= 2.44 m')
    """
    kind, text = where.kind, shown(where)
    if kind is None or kind in ("number", "money"):
        return Beside(_of_each(where.facts, system), "")
    value = _si(text, kind)
    if kind == "share":
        return Beside("", f"= {_said(value, kind, system)}" if value is not None and "%" not in text else "")
    if own := _OWN_UNIT.get(where.key):
        return Beside(own, "")
    if value is None:
        return Beside(in_reader_units(_usual(where.facts), kind, system)[1], "")
    unit = "ft" if _of_place(where, system) else in_reader_units(value, kind, system)[1]
    if kind == "r_value" and system == "us" and text.lstrip().upper().startswith("R-"):
        return Beside(unit, "")
    if kind == "bearing":
        said = text.removesuffix("deg").strip()
        return Beside(unit, "" if _NUMBER.fullmatch(_spelled(said)) else f"= {_said(value, kind, system)}")
    ending = _ENDING.fullmatch(_spelled(text))
    if ending and (_alike(kind) or bool(US_UNIT.search(ending[1])) == (system == "us")):
        return Beside(ending[1], "")
    said = _feet(value) if _of_place(where, system) else _said(value, kind, system)
    return Beside(unit, "" if said == text.strip() else f"= {said}")


def reads(key: str, raw: Any, system: System) -> str:
    """Return how a value reads in a heading: as typed, or in the reader's units where it was typed in others.

    key  whose value it is;  raw  as typed in the file;  system  the reader's units

    >>> reads("wall.width", "8 ft", "us"), reads("wall.width", "8 ft", "metric")
    ('8 ft', '2.44 m')
    """
    where = spot(key, {})._replace(raw=raw)
    said = beside(where, system)
    if said.reads:
        return said.reads.removeprefix("= ")
    return f"{shown(where)} {said.unit}" if _NUMBER.fullmatch(shown(where)) and said.unit else shown(where)


def faced(where: Spot, system: System) -> str:
    """Return what stands in the box of a value for a reader: as typed, or converted where the reader has other units.

    system  the reader's units

    >>> here = spot("wall.width", {"wall": {"width": "8 ft 6 in"}})
    >>> faced(here, "us"), faced(here, "metric")
    ('8 ft 6 in', '2.59 m')
    """
    text, kind = shown(where), where.kind
    if system == "us" and _of_spans(where) and isinstance(where.raw, list):
        return "; ".join(span_words(item, hours=_of_hours(where.facts)) for item in where.raw)
    if system == "us" and where.facts.key in _ONE_DAY:
        return day_in_words(text)
    if _kinds(where.facts) and isinstance(where.raw, list):
        return _faced_list(where, system)
    if kind in (None, "number", "money", "share") or where.key in _OWN_UNIT or _own(text, kind, system):
        return text
    value = _si(text, kind)
    if value is None:
        return text
    if _of_place(where, system):
        return _feet(value)
    return re.sub(r"^(\S+) h ft2 F/Btu$", r"R-\1", _said(value, kind, system))


def _of_place(where: Spot, system: System) -> bool:
    """Whether a value is how far off something stands, for a US reader."""
    return system == "us" and where.kind == "length" and where.facts.key in _PLACES


def _feet(metres: float) -> str:
    """Return a length in feet alone, however short.

    >>> _feet(-0.9)
    '-2.95 ft'
    """
    return f"{significant(metres / FOOT)} ft"


def _said(value: float, kind: Kind, system: System) -> str:
    """Return a quantity as it is said beside a box or stands in it."""
    return in_feet(value, system) if kind == "length" else show(value, kind, system)


def _of_spans(where: Spot) -> bool:
    """Whether a value is a list of spans of days, or of hours."""
    return not _kinds(where.facts) and "tuple[tuple" in str(where.field.annotation)


def _of_hours(facts: Facts) -> bool:
    return facts.key.endswith("hours")


def _own(text: str, kind: Kind, system: System) -> bool:
    """Whether a quantity is written in the units of such a reader."""
    if _alike(kind):
        return True
    if kind == "r_value" and (first := _R_FIRST.match(text)):
        return (first[1].upper() == "R") == (system == "us")
    american = US_UNIT.search(text) or (kind == "length" and _FOOT_MARK.search(text))
    return bool(american) == (system == "us")


def _spelled(text: str) -> str:
    """Return a text with its fractions in figures: "3½ in" reads "3 1/2 in"."""
    apart = _ONE_SIGN.sub(lambda m: f" {unicodedata.normalize('NFKC', m[0])}", text)
    return " ".join(apart.replace("⁄", "/").split())


def _kinds(facts: Facts) -> tuple[Kind, ...]:
    """Return the kinds of the figures of a list's member, () for a list of something else."""
    return facts.each if isinstance(facts.each, tuple) else (facts.each,) if facts.each else ()


def _of_each(facts: Facts, system: System) -> str:
    """Return the units that bare numbers of a list are in: those of the file, for a US reader his own."""
    units = [_unit_of_each(kind, system) for kind in _kinds(facts)]
    return ", ".join(unit for unit in units if unit)


def _unit_of_each(kind: Kind, system: System) -> str:
    return SI_UNIT[kind] if system == "metric" or _alike(kind) else in_reader_units(1.0, kind, system)[1]


def _faced_list(where: Spot, system: System) -> str:
    """Return a list of figures as a reader has them, each in the reader's units, told where they are others."""
    return "; ".join(_faced_member(item, _kinds(where.facts), system) for item in where.raw)


def _faced_member(item: Any, kinds: tuple[Kind, ...], system: System) -> str:
    figures = item if isinstance(item, list) else [item]
    return ", ".join(
        _faced_figure(figure, kind, system)
        for figure, kind in zip(figures, (*kinds, *kinds[-1:] * len(figures)), strict=False)
    )


def _faced_figure(figure: Any, kind: Kind, system: System) -> str:
    text = f"{figure:.10g}" if isinstance(figure, int | float) else str(figure)
    bare = _NUMBER.fullmatch(_spelled(text)) is not None
    if _alike(kind) or (bare and system == "metric") or (not bare and _own(text, kind, system)):
        return text
    value = _si(text, kind)
    if value is None:
        return text
    return _feet(value) if system == "us" and kind == "length" else _said(value, kind, system)


def _alike(kind: Kind) -> bool:
    """Whether both kinds of readers use the same units."""
    return in_reader_units(1.0, kind, "metric") == in_reader_units(1.0, kind, "us")


def _si(text: str, kind: Kind) -> float | None:
    try:
        return parse(text, kind) if text else None
    except UnitError:
        return None


def _usual(facts: Facts) -> float:
    """Return a size such as the value may have, to choose a unit by."""
    if isinstance(facts.default, int | float) and facts.default:
        return float(facts.default)
    return (facts.low or 0.0) * 0.8 + 0.2 * facts.high if facts.high is not None else 1.0


def typed(text: str, where: Spot, unit: str) -> Value | None:
    """Return the value of the file that a text in a box means; None for an empty one: the value is left open.

    text  as typed;  where  the value it is for;  unit  what a number alone is in
    raises  ProjectError for a count that is no whole number, a flag that is neither yes nor no

    >>> typed("90", spot("wall.gap", {}), "mm"), typed(" 8 ft", spot("wall.gap", {}), "mm")
    ('90 mm', '8 ft')
    """
    text = " ".join(text.split())
    if not text:
        return None
    if is_flag(where):
        return _flag(text)
    if where.kind:
        return quantity(text, where.kind, unit)
    if is_count(where):
        return _whole(text)
    if where.facts.key in _ONE_DAY:
        return str(kept_day(text))
    if "tuple" in str(where.field.annotation) and text not in choices(where):
        return _list(text, where, unit)
    return text


def is_bare(text: str) -> bool:
    """Whether a text is a number alone, which gets the unit beside its box."""
    return _NUMBER.fullmatch(_spelled(text)) is not None


def quantity(text: str, kind: Kind, unit: str) -> str | float:
    """Return one quantity for the file: with its unit as typed, a number alone with the unit told."""
    if not _NUMBER.fullmatch(_spelled(text)):
        return text
    if kind == "r_value" and unit == "h ft2 F/Btu":
        return f"R-{text}"
    if unit:
        return f"{text} {_WRITTEN.get(unit, unit)}"
    return text if "/" in _spelled(text) else float(text) if "." in text else int(text)


def _flag(text: str) -> bool:
    word = text.casefold()
    if word not in ("yes", "no", "true", "false"):
        raise ProjectError(f"{quoted(text)} is neither yes nor no")
    return word in ("yes", "true")


def _whole(text: str) -> int:
    if not re.fullmatch(r"[+-]?\d{1,9}", text):
        raise ProjectError(f"{quoted(text)} is no whole number, such as 3")
    return int(text)


def _list(text: str, where: Spot, unit: str) -> Value:
    facts, kinds = where.facts, _kinds(where.facts)
    if text.startswith("["):
        found: Value = parse_toml(f"it = {text}")["it"]
        return found
    if kinds:
        system: System = "us" if unit and unit != _of_each(facts, "metric") else "metric"
        as_was = _as_was(where, system)
        signs = ";" if isinstance(facts.each, tuple) else ";,"
        return [as_was.get(item, _figures(item, facts, system)) for item in _items(text, signs)]
    if facts.key == "series":
        return [_group(item) for item in _items(text, ";")]
    if _of_spans(where):
        return [(hours_of if _of_hours(facts) else days_of)(item) for item in _items(text, ";,")]
    return _items(text, ";")


def _items(text: str, signs: str) -> list[Any]:
    return [item.strip() for item in re.split(f"[{signs}]", text) if item.strip()]


def _as_was(where: Spot, system: System) -> dict[str, Any]:
    """Return a list's members as the file has them, by how they are shown: what nobody has touched is kept."""
    rows = where.raw if isinstance(where.raw, list) else []
    return {_faced_member(item, _kinds(where.facts), system): item for item in rows}


def _figures(item: str, facts: Facts, system: System) -> Value:
    """Return what was typed for one member of a list: a figure, or a pair; bare ones get the units told."""
    if not isinstance(facts.each, tuple):
        return _figure(item, _kinds(facts)[0], system)
    kinds = (*facts.each, *facts.each)  # one too many is refused later, by what the file may hold
    return [_figure(part, kind, system) for part, kind in zip(_items(item, ","), kinds, strict=False)]


def _figure(text: str, kind: Kind, system: System) -> Value:
    return quantity(text, kind, "" if _alike(kind) or system == "metric" else _unit_of_each(kind, system))


def _group(item: str) -> Value:
    parts = _items(item, "|")
    return parts if len(parts) > 1 else item


@lru_cache(maxsize=4)
def taken(text: str, system: System) -> tuple[Assumed, ...]:
    """Return what is assumed for the values left open, as ``assumed`` does, remembered for the last few texts."""
    return tuple(assumed(text, system))


def assumed_by_key(text: str, system: System) -> dict[str, Assumed]:
    """Return what is assumed for each value left open, by its own key: "shop.part[3].absorptance".

    text  the project file;  system  units to show values in
    raises  ProjectError for a text that is no project
    """
    found = {}
    for item in taken(text, system):
        for key in _each(item.key):
            found[key] = item
    return found


def _each(key: str) -> list[str]:
    several = re.search(r"\[(\d+(?:, \d+)+)\]", key)
    if several is None:
        return [key]
    return [key.replace(several[0], f"[{number}]", 1) for number in several[1].split(", ")]
