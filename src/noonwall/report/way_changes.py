"""What a variant changes in the project, key by key: what was there and what comes, in the reader's units and dates."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.model.fields import Record, facts_of
from noonwall.model.file import from_text
from noonwall.studies.change import changed_by
from noonwall.studies.remedies import cover_season

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.model.fields import Facts
    from noonwall.model.project import Project, Variant
    from noonwall.report.reader import Reader
    from noonwall.units import Kind

NONE = "none"
DATE, CLOCK = re.compile(r"\d\d-\d\d"), re.compile(r"\d\d:\d\d")
TIMES = {"hung", "open", "closed", "days", "hours", "shut_hours"}  # lists of dates or hours: empty is never
PAIR = 2
SEASONAL = {"cover", "vent out", "vent out=top", "awning"}  # as changes without dates are written


@dataclass(frozen=True)
class Difference:
    """One thing that a way has otherwise than the project."""

    key: str  # of the project file: "wall.gap", "switch[3]"
    name: str  # of a member of a list, empty else
    was: str
    now: str  # empty for a thing that comes anew and is told by ``parts``
    parts: tuple[tuple[str, str], ...] = ()  # key and value of what a new thing says


def differences(text: str, way: Variant, reader: Reader) -> tuple[Difference, ...]:
    """Return what a way changes in the project that a text describes.

    Raises  ProjectError when the way does not fit
    """
    before: Project = from_text(text)
    after = changed_by(text, way.name, way.change).project
    fed = any(fan.supply == "pv" for fan in (*before.fans, *after.fans))
    found = _apart(before, after, "", reader)
    # How fans on a module are wired says nothing of fans on the mains.
    return tuple(one for one in found if fed or one.key != "circuit.module_fans")


def season_words(project: Project, changes: Sequence[str], reader: Reader) -> str:
    """Return where the dates of a cover, an awning or an opening to outdoors are from that a way names without any."""
    if not SEASONAL & {change.strip().lower() for change in changes}:
        return ""
    days = " and ".join(f"{reader.day_text(a)} to {reader.day_text(b)}" for a, b in cover_season(project))
    if project.wall.cover.hung:
        return f"Its dates are those of the project's own cover, {days}."
    return f"Its dates are the usual warm season, {days}; the page Too warm finds those of this place."


def _apart(before: Record, after: Record, at: str, reader: Reader) -> list[Difference]:
    found: list[Difference] = []
    for name, field in type(after).model_fields.items():
        old, new = getattr(before, name), getattr(after, name)
        facts = facts_of(field)
        key = f"{at}{facts.key}"
        if old == new or facts.key == "variant":
            continue
        if isinstance(old, Record) and type(old) is type(new):
            found += _apart(old, new, f"{key}.", reader)
        elif facts.many:
            found += _members(old, new, key, reader)
        elif isinstance(old, Record) or isinstance(new, Record):
            found.append(_whole(old, new, key, reader))
        elif (was := _told(old, facts, before, reader)) != (now := _told(new, facts, after, reader)):
            found.append(Difference(key, "", was, now))  # what reads alike is no change to a builder
    return found


def _members(old: Any, new: Any, key: str, reader: Reader) -> list[Difference]:
    """Return what differs in a list of things, those of one name held against each other."""
    found: list[Difference] = []
    left = list(enumerate(old or (), start=1))
    for place, item in enumerate(new or (), start=1):
        same = next((pair for pair in left if _name(pair[1], pair[0]) == _name(item, place)), None)
        if same is None or type(same[1]) is not type(item):
            found.append(_whole(None, item, f"{key}[{place}]", reader))
            continue
        left.remove(same)
        found += _apart(same[1], item, f"{key}[{place}].", reader)
    return found + [_whole(item, None, f"{key}[{place}]", reader) for place, item in left]


def _name(item: Any, place: int) -> str:
    return str(getattr(item, "name", "") or place)


def _whole(old: Any, new: Any, key: str, reader: Reader) -> Difference:
    """Return the difference of a thing that comes or goes as a whole."""
    name = str(getattr(new or old, "name", ""))
    if not isinstance(new, Record):
        return Difference(key, name, "there", NONE)
    parts: list[tuple[bool, tuple[str, str]]] = []
    for attribute, field in type(new).model_fields.items():
        facts, value = facts_of(field), getattr(new, attribute)
        usual = value == facts.default
        if value is not None and value != () and not (usual and isinstance(value, str | bool)):
            parts.append((usual, (facts.key, _told(value, facts, new, reader))))
    said = tuple(
        part for _, part in sorted(parts, key=lambda part: part[0]) if part[0] not in {"name", "kind"}
    )
    return Difference(key, name, NONE if old is None else "another", "", said)


def _told(value: Any, facts: Facts, record: Record, reader: Reader) -> str:
    """Return a value as a builder reads it."""
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        empty = "never" if facts.key in TIMES else NONE
        return "; ".join(_item(item, facts, reader) for item in value) or empty
    kind = facts.kind
    if facts.kind_if is not None and _other(record, facts.kind_if[0]) == facts.kind_if[1]:
        kind = facts.kind_if[2]
    return _one(value, kind, reader)


def _other(record: Record, key: str) -> Any:
    return next(
        (getattr(record, name) for name, field in type(record).model_fields.items() if field.alias == key),
        None,
    )


def _item(item: Any, facts: Facts, reader: Reader) -> str:
    """Return one member of a list: a stretch of dates or hours, a quantity, a name or several side by side."""
    each = facts.each if isinstance(facts.each, str) else None
    if not isinstance(item, tuple):
        return _one(item, each, reader)
    kinds = facts.each if isinstance(facts.each, tuple) else (None,) * len(item)
    words = [_one(part, kind, reader) for part, kind in zip(item, kinds, strict=False)]
    if len(item) == PAIR and all(
        isinstance(p, str) and (DATE.fullmatch(p) or CLOCK.fullmatch(p)) for p in item
    ):
        return " to ".join(words)
    return (", " if isinstance(facts.each, tuple) else " or ").join(words)


def _one(value: Any, kind: Kind | None, reader: Reader) -> str:
    if isinstance(value, str):
        if DATE.fullmatch(value):
            return reader.day_text(value)
        return reader.clock_text(f"T{value}") if CLOCK.fullmatch(value) else value
    if kind is None or isinstance(value, bool):
        return f"{value:g}" if isinstance(value, float) else str(value)
    return reader.show(float(value), kind)


__all__ = ["Difference", "differences", "season_words"]
