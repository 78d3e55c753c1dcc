"""The files beside a project that its text names, and marks that differ when one of them is replaced."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from noonwall.errors import ProjectError
from noonwall.model.disk import within
from noonwall.model.file import parse_toml

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

KEYS = (("site", "horizon_file"), ("weather", "file"))
_IN_A_CHANGE = re.compile(r"\s*(?:site\.horizon_file|weather\.file)\s*=\s*(.+?)\s*")

Marks = tuple[tuple[str, int, int], ...]  # path, time of the last change [ns], size [bytes]
GONE = (0, -1)


def marks_of(text: str, folder: Path) -> Marks:
    """Return a mark of each file that a project's text names, variants included; one that is not there has one too.

    text  a project file that reads;  folder  where it lies
    """
    return tuple((name, *_mark(folder, name)) for name in names_in(text))


@lru_cache(maxsize=8)
def names_in(text: str) -> tuple[str, ...]:
    """Return the names of the files that a project's text names, variants included."""
    return tuple(dict.fromkeys(_every(parse_toml(text))))


def _every(tables: dict[str, Any]) -> Iterator[str]:
    for table, key in KEYS:
        part = tables.get(table)
        if isinstance(part, dict) and isinstance(part.get(key), str):
            yield part[key]
    variants = tables.get("variant")
    for variant in variants if isinstance(variants, list) else ():
        changes = variant.get("change") if isinstance(variant, dict) else None
        for change in changes if isinstance(changes, list) else ():
            if found := _IN_A_CHANGE.fullmatch(str(change)):
                yield found[1].strip("\"'")


def _mark(folder: Path, name: str) -> tuple[int, int]:
    try:
        facts = within(folder, name, "file").stat()
    except (ProjectError, OSError):
        return GONE
    return facts.st_mtime_ns, facts.st_size
