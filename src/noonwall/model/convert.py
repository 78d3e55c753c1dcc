"""From what stands in a file to records: unit strings to SI, and every fault told in the builder's words."""

from __future__ import annotations

import datetime as dt
import difflib
import math
import re
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from pydantic import ValidationError

from noonwall.errors import UnitError
from noonwall.model.fields import Facts, Inner, Record, facts_of, record_in
from noonwall.units import KINDS, SI_UNIT, Kind, examples, parse, quoted, show, significant

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pydantic_core import ErrorDetails

    from noonwall.model.lines import Path
    from noonwall.units import System

Ends = tuple[float | None, float | None]

_IMPERIAL = re.compile(
    r"(?:\b|[\d.])(?:deg\s*)?(?:ft2?|in2?|inch|inches|feet|foot|degf|f|cfm|mph|btu|lbs?|inwg|psi|gal)\b"
    r"|\d\s*['\"]|^\s*R\s*-",
    re.I,
)
_METRIC = re.compile(r"\d\s*(?:m|mm|cm|m2|cm2|c|degc|kg|pa|l/s|m3/h|m3/s|km/h|m/s|k)\b|^\s*RSI", re.I)
_TRIED: dict[Kind, tuple[str, ...]] = {
    "length": ("cm", "mm", "in", "ft", "m"),
    "area": ("cm2", "in2", "ft2", "mm2", "m2"),
    "volume": ("L", "ft3", "gal", "m3"),
    "flow": ("L/s", "m3/h", "cfm", "m3/s"),
    "temperature": ("F", "C", "K"),
    "pressure": ("Pa", "inwg", "mbar"),
    "power": ("W", "kW", "Btu/h"),
    "share": ("%",),
    "mass": ("kg", "lb", "t"),
    "u_value": ("W/m2K", "Btu/h ft2 F"),
    "r_value": ("m2K/W", "h ft2 F/Btu"),
    "density": ("kg/m3", "lb/ft3", "g/cm3"),
    "specific_heat": ("J/kgK", "kJ/kgK", "Btu/lb F"),
    "conductivity": ("W/mK", "Btu in/h ft2 F"),
    "loss_per_length": ("W/mK", "Btu/h ft F"),
    "time": ("s", "min", "h"),
}


LONGEST_NAME, LONGEST_NOTE = 200, 20_000
MOST_MEMBERS = 1000  # of any list
MOST_FAULTS = 100  # more would help nobody
# what is said for a word of a fixed list; "gas" alone is natural gas to some and propane to others
_OTHER_WORDS = {
    "lp": "propane", "lp gas": "propane", "lpg": "propane", "lp-gas": "propane", "bottled gas": "propane",
    "oil": "heating oil", "fuel oil": "heating oil", "diesel": "heating oil", "#2 oil": "heating oil",
    "methane": "natural gas", "ng": "natural gas", "mains gas": "natural gas", "wood": "cordwood",
    "firewood": "cordwood", "logs": "cordwood", "wood pellets": "pellets", "electric": "electricity",
    "heat pump": "electricity", "mains electricity": "electricity", "paraffin": "kerosene",
    "concrete": "slab", "attic": "ceiling", "skylight": "window", "lawn": "grass", "dirt": "bare soil",
    "blacktop": "asphalt", "thermostat": "close on rise", "timer": "clock", "manual": "by hand",
}  # fmt: skip
_WANTED = {
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_type": 'text in quotes, such as "shed"',
    "bool_type": "true or false",
    "tuple_type": "a list in square brackets",
    "dict_type": "a table",
}

LONGEST_QUANTITY = 40

R = TypeVar("R", bound=Record)


class Fault(NamedTuple):
    """Something wrong with one key."""

    path: Path
    text: str
    missing: bool = False

    @property
    def key(self) -> str:
        """The key as a builder reads it, list members counted from 1."""
        return dotted(self.path)


def dotted(path: Path) -> str:
    """Return a path as a builder reads it.

    >>> dotted(("fan", 0, "flow"))
    'fan[1].flow'
    """
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return text.lstrip(".")


def written_in(raw: dict[str, Any]) -> System:
    """Return the units a file is written in: what its ``units`` says, else what most of its quantities have."""
    if raw.get("units") in ("metric", "us"):
        return "us" if raw["units"] == "us" else "metric"
    texts = [text for text in _texts(raw) if len(text) <= LONGEST_QUANTITY and re.search(r"\d", text)]
    us = sum(bool(_IMPERIAL.search(text)) for text in texts)
    return "us" if us > sum(bool(_METRIC.search(text)) for text in texts) else "metric"


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _texts(item)


def to_record(kind: type[R], raw: dict[str, Any], system: System = "metric") -> tuple[R | None, list[Fault]]:
    """Return the record that a file's tables describe, or None and everything that is wrong with them.

    kind    record class, the project as a rule;  raw  tables as a TOML parser gives them
    system  units to offer first where one was left out
    """
    faults = _Found(system)
    ready = _table(kind, raw, (), faults)
    failed = {f.path for f in faults}
    record = None
    try:
        record = kind.model_validate(ready, strict=True)
    except ValidationError as error:
        for detail in error.errors(include_url=False)[:MOST_FAULTS]:
            place = _place(kind, detail["loc"])
            if place.path not in failed and not _told_already(place, faults):
                faults += _told(place, detail, system)
    return (None if faults else record), faults


def _table(kind: type[Record], raw: dict[str, Any], at: Path, faults: _Found) -> dict[str, Any]:
    """Convert one table: unknown keys told, quantities to SI, lists to tuples; faulty keys left out."""
    known = {field.alias: field for field in kind.model_fields.values()}
    ready: dict[str, Any] = {}
    for key, value in raw.items():
        if len(faults) >= MOST_FAULTS:
            break
        path = (*at, key)
        field = known.get(key)
        if field is None:
            faults.append(Fault(path, _unknown(kind, key, at)))
            continue
        inner = record_in(field)
        try:
            if inner and inner.many:
                ready[key] = _tables(inner, value, path, faults)
            elif inner:
                ready[key] = _table(inner.classes[0], _as_table(value, path), path, faults)
            else:
                ready[key] = _value(facts_of(field), value, raw, faults.system)
        except _NotThatError as error:
            faults.append(Fault(path, str(error)))
    return ready


class _Found(list["Fault"]):
    """The faults found so far, and the units to speak in."""

    def __init__(self, system: System) -> None:
        super().__init__()
        self.system: System = system


class _NotThatError(Exception):
    """One value does not fit its key; caught where the key is known."""


def _as_table(value: Any, path: Path) -> dict[str, Any]:
    if not isinstance(value, dict):
        name = dotted(tuple(p for p in path if isinstance(p, str)))
        raise _NotThatError(f"{_said(value)} is not a table; write [{name}] with its keys below")
    return value


def _tables(inner: Inner, value: Any, path: Path, faults: _Found) -> tuple[dict[str, Any], ...]:
    name = dotted(tuple(p for p in path if isinstance(p, str)))
    if not isinstance(value, list) or any(not isinstance(item, dict) for item in value):
        raise _NotThatError(f"{_said(value)} is not a list of tables; write [[{name}]] once for each")
    _not_too_many(value)
    ready = []
    for i, item in enumerate(value):
        kind = inner.chosen(item)
        if kind is None:
            faults.append(_untold(inner, item, (*path, i)))
        else:
            ready.append(_table(kind, item, (*path, i), faults))
    return tuple(ready)


def _not_too_many(value: list[Any]) -> None:
    if len(value) > MOST_MEMBERS:
        raise _NotThatError(f"holds {len(value)} members, wanted {MOST_MEMBERS} at most")


def _untold(inner: Inner, item: dict[str, Any], path: Path) -> Fault:
    """Return the fault of a table that does not say, or wrongly says, what it is."""
    words = [str(w) for c in inner.classes for w in inner.words(c)]
    if inner.tag not in item:
        return Fault((*path, inner.tag or ""), f"missing; it says what this is: {_listed(words)}")
    return Fault((*path, inner.tag), _no_choice(item[inner.tag], words))


def _value(facts: Facts, value: Any, beside: dict[str, Any], system: System) -> Any:
    """Convert one value that is no table."""
    if isinstance(value, list):
        _not_too_many(value)
    if facts.kind:
        kind = facts.kind
        if facts.kind_if and beside.get(facts.kind_if[0]) == facts.kind_if[1]:
            kind = facts.kind_if[2]
        return _quantity(value, kind, (facts.low, facts.high), system)
    if isinstance(facts.each, tuple):
        return _pairs(value, facts.each, system) if isinstance(value, list) else _frozen(value)
    if facts.each and isinstance(value, list):
        return tuple(_quantity(item, facts.each, (facts.low, facts.high), system) for item in value)
    if facts.members and isinstance(value, list):
        return tuple(_members(item, facts.members, system) for item in value)
    if isinstance(value, str):
        _readable(value, LONGEST_NOTE if facts.key == "note" else LONGEST_NAME)
    if isinstance(value, int) and not isinstance(value, bool):
        _inside(value, value, "number", (facts.low, facts.high), system)
    return _frozen(value)


def _members(value: Any, kinds: dict[str, Kind], system: System) -> dict[str, float]:
    """Convert a small table of quantities."""
    if not isinstance(value, dict):
        raise _NotThatError(f"{_said(value)} is not a table such as {{ {next(iter(kinds))} = 1 }}")
    for key in value:
        if key not in kinds:
            raise _NotThatError(f"unknown word {quoted(key)}; there are {', '.join(kinds)}")
    ready = {}
    for key, item in value.items():
        try:
            ready[key] = _quantity(item, kinds[key], (None, None), system)
        except _NotThatError as error:
            raise _NotThatError(f"{key}: {error}") from None
    return ready


def _readable(text: str, longest: int) -> None:
    """Refuse text that no line could show."""
    if len(text) > longest:
        raise _NotThatError(f"{quoted(text)} has {len(text)} letters, wanted {longest} at most")
    if not all(c.isprintable() or (c == "\n" and longest == LONGEST_NOTE) for c in text):
        raise _NotThatError(f"{quoted(text)} holds a line break or a sign that cannot be printed")


def _pairs(value: list[Any], kinds: tuple[Kind, ...], system: System) -> tuple[tuple[float, ...], ...]:
    """Convert a list of short lists of quantities."""
    nouns = " and ".join(KINDS[k].noun for k in kinds)
    rows = []
    for item in value:
        if not isinstance(item, list) or len(item) != len(kinds):
            raise _NotThatError(f"{_said(item)} is not a list of {nouns}, such as [[0, 10], [90, 12]]")
        rows.append(tuple(_quantity(v, k, (None, None), system) for v, k in zip(item, kinds, strict=True)))
    return tuple(rows)


def _quantity(value: Any, kind: Kind, ends: Ends, system: System) -> float:
    """Convert one quantity and hold it against its range."""
    if isinstance(value, list | dict | bool | dt.date | dt.time):
        raise _NotThatError(f"{_said(value)} is not {KINDS[kind].noun}, such as {examples(kind, system)}")
    try:
        number = parse(value, kind, system)
    except UnitError as error:
        raise _NotThatError(str(error)) from None
    _inside(value, number, kind, ends, system)
    return number


def _inside(written: Any, number: float, kind: Kind, ends: Ends, system: System) -> None:
    """Refuse a number outside its closed range, with the unit that was perhaps meant."""
    low, high = ends
    if (low is None or number >= low - 1e-12) and (high is None or number <= high + 1e-12):
        return
    us = system == "us"
    if isinstance(written, str) and (_IMPERIAL.search(written) or _METRIC.search(written)):
        us = bool(_IMPERIAL.search(written))
    shown = quoted(written)[1:-1]
    if SI_UNIT[kind] and not re.search("[A-Za-z%°]", shown):
        shown = f"{shown} {SI_UNIT[kind]}"
    meant = _meant(written, kind, ends, us=us)
    hint = f'; did you mean "{meant}"?' if meant else ""
    raise _NotThatError(f"{shown} is outside {range_text(low, high, kind, us=us)}{hint}")


def range_text(low: float | None, high: float | None, kind: Kind, *, us: bool = False) -> str:
    """Return a closed range of SI values for reading, in SI or in US units.

    >>> range_text(0.01, 2.0, "length"), range_text(0.01, 2.0, "length", us=True)
    ('0.01-2 m', '0.394 in to 6.56 ft')
    """
    ends = [e for e in (low, high) if e is not None]
    if us and SI_UNIT[kind]:
        said = [show(e, kind, "us") for e in ends]
        if low is None or high is None:
            return f"{'at least' if high is None else 'at most'} {said[0]}"
        alike = said[0].split(" ", 1)[-1] == said[1].split(" ", 1)[-1]
        return f"{said[0].split(' ', 1)[0] if alike else said[0]} to {said[1]}"
    texts = [significant(e, 4) for e in ends]
    if low is None or high is None:
        return f"{'at least' if high is None else 'at most'} {texts[0]} {SI_UNIT[kind]}".rstrip()
    return f"{texts[0]}{'-' if ends[0] >= 0 else ' to '}{texts[1]} {SI_UNIT[kind]}".rstrip()


def _meant(written: Any, kind: Kind, ends: Ends, *, us: bool) -> str | None:
    """Return the same number with the first other unit that would bring it into the range."""
    found = re.match(r"\s*(-?[\d.]+)", str(written))
    for form in _tried(kind, us=us) if found else ():
        text = form.format(found[1]) if found else ""
        try:
            number = parse(text, kind)
        except UnitError:
            return None
        if (ends[0] is None or number >= ends[0]) and (ends[1] is None or number <= ends[1]):
            return text
    return None


def _tried(kind: Kind, *, us: bool) -> list[str]:
    """Return how a number might have been meant, the likelier units first."""
    forms = ["R-{}" if unit == "h ft2 F/Btu" else f"{{}} {unit}" for unit in _TRIED.get(kind, ())]
    return sorted(forms, key=lambda form: bool(_IMPERIAL.search(form.format("1"))) is not us) if us else forms


def _frozen(value: Any) -> Any:
    """Return lists as tuples, and refuse numbers that are none."""
    if isinstance(value, list):
        return tuple(_frozen(item) for item in value)
    if isinstance(value, dict):
        return {key: _frozen(item) for key, item in value.items()}
    if isinstance(value, float) and not math.isfinite(value):
        raise _NotThatError(f"{value} is not a finite number")
    return value


def _said(value: Any) -> str:
    """Return a value as the builder wrote it, short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list" if value else "an empty list"
    return quoted(value)[1:-1]


def _unknown(kind: type[Record], key: str, at: Path) -> str:
    """Return the message for an unknown key: the nearest key here, or all that may stand here."""
    names = {f.alias or n: f.alias or n for n, f in kind.model_fields.items()}
    names |= {n: f.alias or n for n, f in kind.model_fields.items()}
    told = dotted((*at, quoted(key)[1:-1]))
    if near := difflib.get_close_matches(key, names, 1, 0.6):
        return f"unknown key {told}; nearest is {dotted((*at, names[near[0]]))}"
    here = dotted(at) or "the file's top"
    return f"unknown key {told}; {here} may hold {', '.join(sorted(set(names.values())))}"


def _listed(words: list[str]) -> str:
    return ", ".join(f'"{w}"' for w in words)


def _no_choice(value: Any, choices: list[str]) -> str:
    """Return the message for a word that is none of those allowed."""
    near = difflib.get_close_matches(value, choices, 1, 0.6) if isinstance(value, str) else []
    meant = _OTHER_WORDS.get(" ".join(value.casefold().split())) if isinstance(value, str) else None
    nearest = meant if meant in choices else near[0] if near else None
    hint = f'; nearest is "{nearest}"' if nearest else ""
    return f"{_said(value)} is none of {_listed(choices)}{hint}"


class _Place(NamedTuple):
    """Where a validator's location leads."""

    path: Path
    facts: Facts | None  # of the last key
    record: type[Record] | None  # class of the table at the path, if it is one


def _place(kind: type[Record], loc: tuple[int | str, ...]) -> _Place:
    """Follow a validator's location as far as it stands in the file."""
    path: Path = ()
    current: type[Record] | None = kind
    waiting: Inner | None = None
    facts = None
    for step in loc:
        if isinstance(step, int):
            path = (*path, step)
        elif waiting and waiting.tag and (chosen := waiting.chosen(step)):
            current, waiting = chosen, None
        else:
            fields = current.model_fields.values() if current else ()
            field = next((f for f in fields if f.alias == step), None)
            if field is None:
                break
            path, facts, waiting = (*path, step), facts_of(field), record_in(field)
            current = waiting.classes[0] if waiting else None
    return _Place(path, facts, current)


def _told_already(place: _Place, faults: list[Fault]) -> bool:
    """Return whether another form of the same key was complained about: one key, one line."""
    return any(place.path[: len(fault.path)] == fault.path for fault in faults if not fault.missing)


def _told(place: _Place, detail: ErrorDetails, system: System) -> list[Fault]:
    """Return a validator's complaint in the builder's words."""
    value, path = detail.get("input"), place.path
    if detail["type"] == "missing":
        return [Fault(path, text, missing=True) for path, text in _required(place, system)]
    expected = str(detail.get("ctx", {}).get("expected", ""))
    if detail["type"] == "literal_error" and expected:
        choices = re.findall(r"'([^']*)'", expected) or [c.strip() for c in expected.split("or")]
        form = f"; wanted {place.facts.doc}" if place.facts and place.facts.each else ""
        return [Fault(path, _no_choice(value, choices) + form)]
    about = f" ({place.facts.doc})" if place.facts and place.facts.doc else ""
    if wanted := _WANTED.get(detail["type"]):
        return [Fault(path, f"{_said(value)} is not {wanted}{about}")]
    said = " ".join(detail["msg"].split()).removeprefix("Value error, ")
    return [Fault(path, f"{said[:1].lower()}{said[1:]}{about}")]


def _required(place: _Place, system: System) -> Iterator[tuple[Path, str]]:
    """Yield a missing key and what to write, or in place of a missing table the keys it must hold."""
    many = place.facts is not None and place.facts.many
    if place.record is None or many:
        yield place.path, _example(place, system)
        return
    for field in place.record.model_fields.values():
        if field.is_required():
            inner = record_in(field)
            below = inner.classes[0] if inner else None
            yield from _required(_Place((*place.path, field.alias or ""), facts_of(field), below), system)


def _example(place: _Place, system: System) -> str:
    """Return how a missing key may be written; "" when its last word says nothing about that."""
    facts = place.facts
    if facts is None or not isinstance(place.path[-1], str):
        return ""
    key, table = place.path[-1], dotted(tuple(p for p in place.path[:-1] if isinstance(p, str)))
    if facts.many:
        return f"write [[{dotted(tuple(p for p in place.path if isinstance(p, str)))}]] once for each"
    where = f" in [{table}]" if table else ""
    listed = any(isinstance(p, int) for p in place.path)
    where = f" in [[{table}]]" if table and listed else where
    shown = f'"{_fitting(facts.kind, (facts.low, facts.high), system)}"' if facts.kind else "..."
    return f"write {key} = {shown}{where} ({facts.doc})"


def _fitting(kind: Kind, ends: Ends, system: System) -> str:
    """Return the first example of a kind that lies in a range, in the wanted units if there is one."""
    texts = sorted(
        KINDS[kind].examples, key=lambda text: bool(_IMPERIAL.search(text)) is not (system == "us")
    )
    low, high = -math.inf if ends[0] is None else ends[0], math.inf if ends[1] is None else ends[1]
    return next((text for text in texts if low <= parse(text, kind) <= high), texts[0])
