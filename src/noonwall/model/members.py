"""Copy or move one member of a list of tables in a project file's text, its comments with it."""

from __future__ import annotations

import copy
from typing import Any

from noonwall.errors import ProjectError
from noonwall.model.edit import path_of
from noonwall.model.file import parse_toml


def copy_member(text: str, key: str) -> str:
    """Return the text with a copy of one member right after it; its name, if it has one, gets a number.

    text  a project file;  key  "fan[2]", counted from 1
    raises  ProjectError when there is no such member
    """
    document, rows, place = _member(text, key)
    twin = copy.deepcopy(rows[place])
    if "name" in twin:
        twin["name"] = _new_name(str(twin["name"]), {str(row.get("name")) for row in rows})
    rows.insert(place + 1, twin)
    return _text(document)


def move_member(text: str, key: str, by: int) -> str:
    """Return the text with one member moved by so many places, as far as its list goes.

    text  a project file;  key  "wall.backing[2]", counted from 1;  by  -1 is one place up
    raises  ProjectError when there is no such member
    """
    document, rows, place = _member(text, key)
    moved = rows[place]
    target = min(max(place + by, 0), len(rows) - 1)
    if target != place:
        del rows[place]
        rows.insert(target, moved)
    return _text(document)


def _member(text: str, key: str) -> tuple[Any, Any, int]:
    """Return the document, the list and the place in it."""
    import tomlkit

    raw: Any = parse_toml(text)
    document: Any = tomlkit.parse(text)
    *above, last = path_of(key)
    here = document
    try:
        for step in above:
            here, raw = here[step], raw[step]
        found = isinstance(raw, list) and isinstance(last, int) and isinstance(raw[last], dict)
    except (KeyError, IndexError, TypeError):
        found = False
    if not found or not isinstance(last, int):
        raise ProjectError(f"{key}: there is no such entry")
    return document, here, last


def _new_name(name: str, taken: set[str]) -> str:
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"


def _text(document: Any) -> str:
    import tomlkit

    text = tomlkit.dumps(document)
    parse_toml(text)
    return text
