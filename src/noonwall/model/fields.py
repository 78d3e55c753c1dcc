"""What one line of a project file may hold: kind of quantity, range, default and the reason for it.

A record's attribute is SI with its unit in the name (``gap_m``); in the file it is a plain word (``gap``).
A bare number in the file is SI (metre, square metre, degree Celsius, kelvin, cubic metre per second, pascal,
watt, degree of angle, second, kilogram, share from 0 to 1).
"""

from __future__ import annotations

import types
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin

from annotated_types import Ge, Le
from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from noonwall.units import Kind

__all__ = ["ABSENT", "COMMON", "Facts", "Inner", "Kind", "Record", "entry", "facts_of", "record_in", "word"]

COMMON = "common practice, no source"
ABSENT = "absent means none"  # not an assumption: the thing is there only if described


class Record(BaseModel):
    """Frozen, typed, nothing unknown: the base of everything a builder describes."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


def entry(
    key: str,
    kind: Kind,
    default: Any = ...,
    *,
    low: float | None = None,
    high: float | None = None,
    doc: str,
    why: str = "",
    source: str = "",
    kind_if: tuple[str, str, Kind] | None = None,
) -> Any:
    """Describe one number of a record.

    key      word in the project file;  kind  kind of quantity, fixes the accepted units
    default  value when the key is absent (``...`` means it must be given)
    low, high  closed range in SI;  doc  what it is, for a builder
    why      why the default is what it is;  source  where the default comes from
    kind_if  (other key, its value, kind): the kind this number has when the other key holds that value
    """
    return Field(
        default,
        alias=key,
        ge=low,
        le=high,
        description=doc,
        json_schema_extra={"kind": kind, "why": why, "source": source, "kind_if": kind_if},  # type: ignore[dict-item]
    )


def word(
    key: str,
    default: Any = ...,
    *,
    low: int | None = None,
    high: int | None = None,
    doc: str,
    why: str = "",
    source: str = "",
    each: Kind | tuple[Kind, ...] | None = None,
    members: dict[str, Kind] | None = None,
) -> Any:
    """Describe one entry that is not one quantity: a name, a choice, a count, a list or a nested record.

    key, default, doc, why, source  as for ``entry``;  low, high  closed range of a whole number
    each     for a list of quantities: the kind of each; a tuple of kinds for a list of pairs
    members  for small tables of quantities: key and kind of each
    """
    return Field(
        default,
        alias=key,
        ge=low,
        le=high,
        description=doc,
        json_schema_extra={"kind": None, "why": why, "source": source, "each": each, "members": members},  # type: ignore[dict-item]
    )


class Facts(NamedTuple):
    """What a field's description says, ready to use."""

    key: str
    kind: Kind | None
    each: Kind | tuple[Kind, ...] | None
    members: dict[str, Kind] | None
    kind_if: tuple[str, str, Kind] | None
    low: float | None
    high: float | None
    default: Any  # ... when it must be given
    doc: str
    why: str
    source: str
    many: bool  # a list of records


# What was read of a field, by its identity, as a field does not hash; it is kept, so no id is used twice.
_FACTS: dict[int, tuple[FieldInfo, Facts]] = {}
_INNER: dict[int, tuple[FieldInfo, Inner | None]] = {}


def facts_of(field: FieldInfo) -> Facts:
    """Return what ``entry`` or ``word`` wrote down for a field."""
    if id(field) not in _FACTS:
        _FACTS[id(field)] = (field, _read_facts(field))
    return _FACTS[id(field)][1]


def _read_facts(field: FieldInfo) -> Facts:
    extra: dict[str, Any] = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    low = next((m.ge for m in field.metadata if isinstance(m, Ge)), None)
    high = next((m.le for m in field.metadata if isinstance(m, Le)), None)
    return Facts(
        key=field.alias or "",
        kind=extra.get("kind"),
        each=extra.get("each"),
        members=extra.get("members"),
        kind_if=extra.get("kind_if"),
        low=low,  # type: ignore[arg-type]
        high=high,  # type: ignore[arg-type]
        default=... if field.is_required() else field.get_default(call_default_factory=True),
        doc=field.description or "",
        why=extra.get("why", ""),
        source=extra.get("source", ""),
        many=bool((inner := record_in(field)) and inner.many),
    )


class Inner(NamedTuple):
    """The records a field holds: of which classes, told apart by which key, one or a list of them."""

    classes: tuple[type[Record], ...]
    tag: str | None  # key whose value names the class, when there is more than one
    many: bool

    def chosen(self, raw: object) -> type[Record] | None:
        """Return the class for a table, None when its tag names none of them."""
        if len(self.classes) == 1:
            return self.classes[0]
        named = raw.get(self.tag) if isinstance(raw, dict) else raw
        return next((c for c in self.classes if named in self.words(c)), None)

    def words(self, kind: type[Record]) -> tuple[object, ...]:
        """Return the values of the tag that mean a class."""
        field = next(f for f in kind.model_fields.values() if f.alias == self.tag)
        return get_args(field.annotation)


def record_in(field: FieldInfo) -> Inner | None:
    """Return which records a field holds; None for a field that holds none."""
    if id(field) not in _INNER:
        _INNER[id(field)] = (field, _read_inner(field))
    return _INNER[id(field)][1]


def _read_inner(field: FieldInfo) -> Inner | None:
    for option in _options(field.annotation):
        inner = get_args(option)
        many = get_origin(option) is tuple and bool(inner)
        tag, classes = _classes(inner[0] if many else option)
        if classes:
            return Inner(classes, tag, many)
    return None


def _classes(annotation: Any) -> tuple[str | None, tuple[type[Record], ...]]:
    """Return the record classes an annotation allows, and the key that tells them apart."""
    tag = None
    if get_origin(annotation) is Annotated:
        annotation, *notes = get_args(annotation)
        tag = next((n.discriminator for n in notes if isinstance(n, FieldInfo)), None)
    options = _options(annotation)
    found = tuple(o for o in options if isinstance(o, type) and issubclass(o, Record))
    return (tag if isinstance(tag, str) else None), found


def _options(annotation: Any) -> tuple[Any, ...]:
    """Return the members of a union, or the annotation alone."""
    return get_args(annotation) if get_origin(annotation) in (Union, types.UnionType) else (annotation,)
