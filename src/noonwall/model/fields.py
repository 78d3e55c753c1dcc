"""What one line of a project file may hold: kind of quantity, range, default and the reason for it.

A record's attribute is SI with its unit in the name (``gap_m``); its key in the file is the plain word (``gap``).
A bare number in the file is SI (metre, square metre, degree Celsius, kelvin, cubic metre per second, pascal,
watt, degree of angle, second, kilogram, share from 0 to 1).
"""

from __future__ import annotations

import types
from typing import Any, NamedTuple, Union, get_args, get_origin

from annotated_types import Ge, Le
from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from noonwall.units import Kind

__all__ = ["Facts", "Kind", "Record", "entry", "facts_of", "record_in", "word"]

COMMON = "common practice, no source"


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
) -> Any:
    """Describe one entry that is not one quantity: a name, a choice, a count, a list or a nested record.

    key, default, doc, why, source  as for ``entry``;  low, high  closed range of a whole number
    each     for a list of quantities: the kind of each; a tuple of kinds for a list of pairs
    """
    return Field(
        default,
        alias=key,
        ge=low,
        le=high,
        description=doc,
        json_schema_extra={"kind": None, "why": why, "source": source, "each": each},  # type: ignore[dict-item]
    )


class Facts(NamedTuple):
    """What a field's description says, ready to use."""

    key: str
    kind: Kind | None
    each: Kind | tuple[Kind, ...] | None
    kind_if: tuple[str, str, Kind] | None
    low: float | None
    high: float | None
    default: Any  # ... when it must be given
    doc: str
    why: str
    source: str


def facts_of(field: FieldInfo) -> Facts:
    """Return what ``entry`` or ``word`` wrote down for a field."""
    extra: dict[str, Any] = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    low = next((m.ge for m in field.metadata if isinstance(m, Ge)), None)
    high = next((m.le for m in field.metadata if isinstance(m, Le)), None)
    return Facts(
        key=field.alias or "",
        kind=extra.get("kind"),
        each=extra.get("each"),
        kind_if=extra.get("kind_if"),
        low=low,  # type: ignore[arg-type]
        high=high,  # type: ignore[arg-type]
        default=... if field.is_required() else field.get_default(call_default_factory=True),
        doc=field.description or "",
        why=extra.get("why", ""),
        source=extra.get("source", ""),
    )


def record_in(field: FieldInfo) -> tuple[type[Record], bool] | None:
    """Return the record class a field holds and whether it is a list of them; None for anything else."""
    for option in _options(field.annotation):
        if isinstance(option, type) and issubclass(option, Record):
            return option, False
        inner = get_args(option)
        if (
            get_origin(option) is tuple
            and inner
            and isinstance(inner[0], type)
            and issubclass(inner[0], Record)
        ):
            return inner[0], True
    return None


def _options(annotation: Any) -> tuple[Any, ...]:
    """Return the members of a union, or the annotation alone."""
    return get_args(annotation) if get_origin(annotation) in (Union, types.UnionType) else (annotation,)
