"""A way that was chosen, written into the project's own text: keys as typed, remedies as the keys they come to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.edit import add_item, remove_item, set_value
from noonwall.model.fields import Record, facts_of, record_in
from noonwall.model.file import from_text
from noonwall.studies import remedies
from noonwall.studies.change import keyed, remedied
from noonwall.units import parse, quoted, show

if TYPE_CHECKING:
    from noonwall.model.edit import Value
    from noonwall.model.fields import Facts
    from noonwall.units import Kind, System


def adopted(text: str, name: str, pieces: tuple[str, ...]) -> str:
    """Return a project's text with changes made in it for good; the rest stays as typed, comments too.

    text    the whole project file
    name    what the way is called, for messages;  pieces  its changes, as `studies.change.changed_by` takes them
    Raises  ProjectError: one line with the words that do not fit, or when a change has no place in the file
    """
    where = f"variant {quoted(name)}"
    text, words = keyed(text, pieces, where)
    before = after = from_text(text)
    for word, value in words:
        after = remedied(after, word, value, where)
    remedies.checked(after, where)
    written = _written_over(text, before, after, "")
    if from_text(written) != after:
        raise ProjectError(f"{where}: has no plain place in the project file; change its keys one by one")
    return written


def _written_over(text: str, before: Record, after: Record, at: str) -> str:
    """Return the text with every key set in which one record differs from another."""
    for name, field in type(after).model_fields.items():
        old, new = getattr(before, name), getattr(after, name)
        if old == new:
            continue
        facts = facts_of(field)
        key = f"{at}{facts.key}"
        if isinstance(old, Record) and isinstance(new, Record) and type(old) is type(new):
            text = _written_over(text, old, new, f"{key}.")
        elif isinstance(new, Record):
            for inner, value in _filled(new, None).items():
                text = set_value(text, f"{key}.{inner}", value)
        elif facts.many:
            found = record_in(field)
            text = _members(text, key, old, new, found.tag if found else None)
        else:
            text = set_value(text, key, None if new is None else _plain(new, facts))
    return text


def _members(text: str, key: str, old: tuple[Record, ...], new: tuple[Record, ...], tag: str | None) -> str:
    """Return the text without the members that are gone, and with the new ones at the end."""
    for place in range(len(old), 0, -1):
        if old[place - 1] not in new:
            text = remove_item(text, f"{key}[{place}]")
    for item in new:
        if item not in old:
            text = add_item(text, key, _filled(item, tag))
    return text


def _filled(record: Record, tag: str | None) -> dict[str, Value]:
    """Return what a record says beyond its defaults, and its tag; its first key when it says nothing."""
    said: dict[str, Value] = {}
    for name, field in type(record).model_fields.items():
        facts, value = facts_of(field), getattr(record, name)
        if value is None or isinstance(value, Record) or (facts.many and value):
            continue
        if value != facts.default or facts.key == tag:
            said[facts.key] = _plain(value, facts)
    if not said:
        name, field = next(iter(type(record).model_fields.items()))
        said[facts_of(field).key] = _plain(getattr(record, name), facts_of(field))
    return said


def _plain(value: Any, facts: Facts) -> Any:
    """Return a value as a project file holds it, with its unit where that says exactly the same."""
    if isinstance(value, tuple):
        return [_plain(item, facts) for item in value]
    if facts.kind is None or isinstance(value, bool | str | int):
        return value
    return _with_unit(float(value), facts.kind)


def _with_unit(value: float, kind: Kind) -> str | float:
    """Return the shortest text that reads as exactly this value, the bare number when none does."""
    systems: tuple[System, ...] = ("metric", "us")
    for digits in (3, 4, 6):
        for system in systems:
            told = show(value, kind, system, digits)
            try:
                if parse(told, kind) == value:
                    return told
            except NoonwallError:
                return value
    return value
