"""The sources behind the formulas: a key in a docstring leads to the full reference in ``citations.toml``.

Nothing is registered while importing. Whoever tells a story (a dossier, a help page) hands in the keys it
used, or the functions, and gets the list to print.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

KEY = re.compile(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)*_(?:18|19|20)\d\d\b")

Seen = Literal["quoted", "carried", "memory"]


@dataclass(frozen=True)
class Citation:
    """One source."""

    key: str
    text: str  # full reference
    seen: Seen  # how far the source itself was looked at, see citations.toml


@cache
def _shelf() -> dict[str, Citation]:
    """Return all sources by key, in the order of the file."""
    table = tomllib.loads(resources.files("noonwall").joinpath("citations.toml").read_text("utf-8"))
    return {key: Citation(key, row["text"], row["seen"]) for key, row in table.items()}


def citations() -> tuple[Citation, ...]:
    """Return every source known, in alphabetical order of the keys."""
    return tuple(_shelf()[key] for key in sorted(_shelf()))


def citation(key: str) -> Citation:
    """Return one source.

    key     a key of citations.toml
    Raises  KeyError naming the nearest key when there is none such (a slip in our own code, not a builder's)
    """
    shelf = _shelf()
    if key not in shelf:
        near = difflib.get_close_matches(key, shelf, n=1)
        hint = f"; nearest is {near[0]}" if near else ""
        raise KeyError(f"citations.toml has no source {key}{hint}")
    return shelf[key]


def keys_in(text: str | None) -> tuple[str, ...]:
    """Return the source keys named in a text, in order, each once."""
    return tuple(dict.fromkeys(KEY.findall(text or "")))


def sources_of(functions: Iterable[Callable[..., object]]) -> tuple[Citation, ...]:
    """Return the sources that the docstrings of these functions name, each once, by key."""
    keys = {key for function in functions for key in keys_in(function.__doc__)}
    return bibliography(keys)


def bibliography(keys: Iterable[str]) -> tuple[Citation, ...]:
    """Return the sources for these keys, each once, in alphabetical order of the keys.

    Raises  KeyError as citation
    """
    return tuple(citation(key) for key in sorted(set(keys)))
