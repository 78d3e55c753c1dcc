"""Turns cells of text into numbers, a column at a time: fast where cells are plain, patient where not."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.table import EMPTY_WORDS, NUMBER
from noonwall.logs.words import STATE_WORDS

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.logs.records import Floats

_TAIL = re.compile(r"\s*(°|º|deg)?\s*[A-Za-z%][A-Za-z0-9²³/%^]{0,7}$|\s*[°º%]$")
UNREADABLE = float("inf")  # stands for a cell that is neither a number nor a word for nothing


def numbers(cells: Sequence[str], read: Callable[[str], float], *, point: bool) -> Floats:
    """Return a column's values, shape (n,): NaN for an empty cell, UNREADABLE for one that does not read.

    read    reads one cell (see `cell_reader`);  point   whether the decimal sign is the point
    """
    if point:
        try:
            return _finite(np.array(list(map(float, cells))))
        except ValueError:
            pass
    return np.array(list(map(read, cells)), np.float64)


def _finite(values: Floats) -> Floats:
    values[~np.isfinite(values)] = np.nan
    return values


def cell_reader(decimal: str, empties: Sequence[str] = (), *, state: bool = False) -> Callable[[str], float]:
    """Return a function that reads one cell; it remembers what it has read.

    decimal   "." or ",";  empties   further texts that mean nothing;  state   whether words like "on" count
    """
    nothing = EMPTY_WORDS | {word.strip().lower() for word in empties}
    known: dict[str, float] = {}

    def fresh(cell: str) -> float:
        plain = cell.strip().strip('"').strip()
        low = plain.lower()
        if not plain or (low in nothing and not (state and low in STATE_WORDS)):
            return float("nan")
        if state and low in STATE_WORDS:
            return STATE_WORDS[low]
        if not NUMBER.fullmatch(plain):
            plain = _TAIL.sub("", plain)
            if not NUMBER.fullmatch(plain):
                return UNREADABLE
        try:
            value = float(_plain(plain, decimal))
        except ValueError:
            return UNREADABLE
        return value if np.isfinite(value) else float("nan")

    def read(cell: str) -> float:
        value = known.get(cell)
        if value is None:
            if len(known) > 100_000:
                known.clear()
            value = known[cell] = fresh(cell)
        return value

    return read


def _plain(text: str, decimal: str) -> str:
    """Return a number's text as Python reads it: no marks of thousands, a point, a plain minus."""
    text = text.replace("−", "-").replace("'", "")
    text = re.sub(r"\s", "", text)
    if decimal == ",":
        return text.replace(".", "").replace(",", ".") if "," in text else text
    return text.replace(",", "")


def decimal_sign(columns: Sequence[Sequence[str]]) -> str:
    """Return the decimal sign of a sample's cells.

    columns   cells, column by column
    """
    comma = point = both_comma = 0
    for cells in columns:
        for cell in cells:
            text = cell.strip().strip('"').strip()
            if not NUMBER.fullmatch(text):
                text = _TAIL.sub("", text)
            if re.fullmatch(r"[+\-−]?\d*,\d+(?:[eE][+-]?\d+)?", text):
                comma += 1
            elif re.fullmatch(r"[+\-−]?\d*\.\d+(?:[eE][+-]?\d+)?", text):
                point += 1
            elif re.fullmatch(r"[+\-−]?\d{1,3}(\.\d{3})+,\d+", text):
                both_comma += 1
    return "," if both_comma or comma > point else "."
