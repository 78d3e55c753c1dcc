"""Change one thing in a project file's text and keep everything else as typed, comments and all."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from noonwall.errors import ProjectError
from noonwall.model.convert import dotted
from noonwall.model.file import parse_toml
from noonwall.units import quoted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noonwall.model.lines import Path

Value = str | int | float | bool | list[Any]

_STEP = re.compile(r"([A-Za-z0-9_-]+)(?:\[(\d{1,4})\])?")


def path_of(key: str) -> Path:
    """Return the path a key means; members of a list are counted from 1 in the key, from 0 in the path.

    raises  ProjectError for a key that does not read

    >>> path_of("fan[1].flow")
    ('fan', 0, 'flow')
    """
    path: list[str | int] = []
    for part in key.split("."):
        found = _STEP.fullmatch(part)
        if not found or found[2] == "0":
            raise ProjectError(f'{quoted(key)} is no key; a key reads like "wall.gap" or "fan[1].flow"')
        path.append(found[1])
        if found[2]:
            path.append(int(found[2]) - 1)
    return tuple(path)


def set_value(text: str, key: str, value: Value | None) -> str:
    """Return the text with one value set; a table on the way that is missing is made.

    text    a project file;  key  "wall.gap", "fan[1].flow"
    value   text with a unit, number, flag or list; None takes the key out, so that its default holds
    returns the whole text; it is not yet checked, `file.save` does that
    raises  ProjectError when the text does not read, or the key leads through something that is no table
    """
    return set_values(text, {key: value})


def set_values(text: str, values: Mapping[str, Value | None]) -> str:
    """Return the text with several values set at once, each as by `set_value`."""
    document = _document(text)
    for key, value in values.items():
        _set(document, key, value)
    return _text(document)


def _set(document: Any, key: str, value: Value | None) -> None:
    *above, last = path_of(key)
    if isinstance(last, int):
        raise ProjectError(f"{key}: names a member of a list; name the key inside it, such as {key}.name")
    table = _walk(document, above, make=value is not None)
    if value is None:
        if table is not None and last in table:
            del table[last]
    elif isinstance(table.get(last), dict) or (_is_tables(table.get(last))):
        raise ProjectError(f"{key}: is a table, not one value")
    else:
        table[last] = value


def add_item(text: str, key: str, item: Mapping[str, Value]) -> str:
    """Return the text with one more member of a list of tables at its end.

    text  a project file;  key  "fan", "obstacle", "shop.part";  item  its keys and values
    """
    import tomlkit

    document = _document(text)
    *above, last = path_of(key)
    if isinstance(last, int):
        raise ProjectError(f"{key}: names one member; name the list to add to")
    table = _walk(document, above, make=True)
    rows = table.get(last)
    if rows is None:
        table.add(tomlkit.nl())
        table[last] = rows = tomlkit.aot()
    elif not _is_tables(rows):
        raise ProjectError(f"{key}: is no list of tables")
    in_line = not isinstance(rows, tomlkit.items.AoT)
    entry = tomlkit.inline_table() if in_line else tomlkit.table()
    for name, value in item.items():
        entry.add(name, value)
    if not in_line:
        entry.add(tomlkit.nl())
    rows.append(entry)
    return _text(document)


def remove_item(text: str, key: str) -> str:
    """Return the text without one member of a list of tables.

    text  a project file;  key  "obstacle[2]", counted from 1
    """
    document = _document(text)
    *above, last = path_of(key)
    if not isinstance(last, int):
        raise ProjectError(f"{key}: does not say which one; write {key}[1] for the first")
    rows = _walk(document, above, make=False)
    if not _is_tables(rows) or last >= len(rows):
        raise ProjectError(f"{key}: there is no such entry")
    del rows[last]
    if not rows:
        *higher, name = above
        del _walk(document, higher, make=False)[name]
    return _text(document)


def _document(text: str) -> Any:
    """Return the text as a document that remembers how it was typed."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    parse_toml(text)
    try:
        return tomlkit.parse(text)
    except (TOMLKitError, RecursionError) as error:
        raise ProjectError(f"does not read as TOML: {' '.join(str(error).split())[:160]}") from None


def _text(document: Any) -> str:
    """Return the document as text, once more held against a strict reader."""
    import tomlkit

    text = tomlkit.dumps(document)
    parse_toml(text)
    return text


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _walk(document: Any, path: Sequence[str | int], *, make: bool) -> Any:
    """Return what stands at a path; a missing table is made, or None is returned."""
    import tomlkit

    here = document
    for i, step in enumerate(path):
        if isinstance(step, int):
            if not isinstance(here, list) or step >= len(here):
                raise ProjectError(f"{dotted(tuple(path[: i + 1]))}: there is no such entry")
        elif not isinstance(here, dict):
            raise ProjectError(f"{dotted(tuple(path[:i]))}: is no table")
        elif step not in here:
            if not make:
                return None
            here[step] = tomlkit.table(is_super_table=i + 1 < len(path))
        here = here[step]
    if not isinstance(here, dict | list):
        raise ProjectError(f"{dotted(tuple(path))}: is no table")
    return here
