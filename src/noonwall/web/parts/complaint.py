"""Why a value will not do, without file, line and keys: things and boxes are called what the page calls them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from noonwall.errors import NoonwallError
from noonwall.model.file import parse_toml
from noonwall.model.typed import spot
from noonwall.web.desk import value_at

if TYPE_CHECKING:
    from collections.abc import Mapping

_KEY = re.compile(r"([a-z_]+(?:\[\d+\])?(?:\.[a-z0-9_]+(?:\[\d+\])?)*): ")
_SEVERAL = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")  # "top_angle"


def named(key: str) -> str:
    """Return a label from a key's last word: "wall.sheet_gap" reads "Sheet gap"."""
    return key.rpartition(".")[2].replace("_", " ").capitalize()


def plain(line: str, key: str, text: str, labels: Mapping[str, str]) -> str:
    """Return a complaint as a page makes it.

    line    as raised, with file and line
    key     of the value that was refused: it goes without saying; empty for a change that is of no one value
    text    the project file;  labels  what the boxes of the page are called, by key
    """
    place, _, rest = line.partition(": ")
    rest = rest if place.startswith("noonwall.toml") else line
    at = _KEY.match(rest)
    if at is not None:
        told = "" if at[1] == key else f"{_called(at[1], text, labels)}: "
        rest = f"{told}{rest[at.end() :]}"
    table, tables = (key or (at[1] if at else "")).rpartition(".")[0], parse_toml(text)

    def worded(word: re.Match[str]) -> str:
        try:
            spot(f"{table}.{word[0]}", tables)
        except NoonwallError:
            return word[0]
        return word[0].replace("_", " ")

    return _SEVERAL.sub(worded, rest)


def _called(key: str, text: str, labels: Mapping[str, str]) -> str:
    """Return what a key is called: "belt fir 3, lowest branches at"; its thing alone where it is a whole one."""
    table = key.rpartition(".")[0]
    if not table or key.endswith("]"):
        return _thing(key, text)
    label = labels.get(key) or named(key)
    return f"{_thing(table, text)}, {label[:1].lower()}{label[1:]}"


def _thing(key: str, text: str) -> str:
    name = value_at(text, f"{key}.name")
    if key.startswith("obstacle[") and value_at(text, key) is None:
        return "the new one"
    numbered = re.sub(r"\[(\d+)\]", r" \1", key.rpartition(".")[2])
    return str(name) if name else numbered.replace("_", " ")
