"""Cells of a file that hold no reading: words such as ERR, figures for a missing sensor, what is no number."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.cells import UNREADABLE, cell_reader
from noonwall.logs.columns import SENTINELS
from noonwall.logs.roles import ROLES
from noonwall.logs.table import NUMBER

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.guess import ColumnGuess
    from noonwall.logs.records import Floats, Whole

MOST_WORDS = 3  # for nothing that are told of a column
_MOST_KINDS = 400  # of odd cells; a column with more holds words, not readings
_NEVER_MEANT = -888.0  # such a figure of the list means "nothing" whatever the column is
_LONGEST = 20  # letters of a cell that are told


@dataclass
class NoReadings:
    """What is no reading in one column, counted."""

    words: Counter[str] = field(default_factory=Counter)  # cells with a word for nothing in them, such as ERR
    unread: list[tuple[int, str]] = field(default_factory=list)  # line and cell, the first three
    unread_count: int = 0
    sentinels: int = 0

    def notes(self, name: str) -> list[str]:
        """Return plain sentences on what is not taken of a column."""
        said = []
        if self.unread_count:
            where = ", ".join(f'line {line} "{text}"' for line, text in self.unread)
            one = self.unread_count == 1
            are = "cell is no number and counts" if one else "cells are no numbers and count"
            said.append(f"{name}: {self.unread_count:,} {are} as empty ({where})")
        for word, many in self.words.most_common(MOST_WORDS):
            say = "cell says" if many == 1 else "cells say"
            said.append(f'{name}: {many:,} {say} "{word}" and {"counts" if many == 1 else "count"} as empty')
        rest = self.words.most_common()[MOST_WORDS:]
        if many := sum(count for _, count in rest):
            which = ", ".join(f'"{word}"' for word, _ in rest[:MOST_WORDS])
            cells = "more cell says" if many == 1 else "more cells say"
            which += ", ..." if len(rest) > MOST_WORDS else ""
            said.append(f"{name}: {many:,} {cells} {which} and {'counts' if many == 1 else 'count'} as empty")
        if self.sentinels:
            one = self.sentinels == 1
            said.append(
                f"{name}: {self.sentinels:,} {'figure' if one else 'figures'} that loggers write for a missing sensor "
                f"{'counts' if one else 'count'} as empty"
            )
        return said


def strange_figures(column: ColumnGuess) -> Floats:
    """Return the figures that stand for a missing sensor in a column, in its own unit: its role cannot show them."""
    figures, facts = np.array(SENTINELS), ROLES[column.role]
    si = column.conversion.si(figures)
    low = -np.inf if facts.low is None else facts.low
    high = np.inf if facts.high is None else facts.high
    return figures[(si < low) | (si > high) | (figures <= _NEVER_MEANT)]


def word_of(cell: str) -> str:
    """Return a cell as it is told."""
    return cell.strip().strip('"').strip()[:_LONGEST]


class OddCells:
    """Counts a file's cells that are no plain figure, or one that loggers write for nothing, column by column."""

    def __init__(self) -> None:
        self._found: dict[str, dict[str, tuple[int, int]]] = {}  # by column, by cell: how often, first line
        self._figures = frozenset(SENTINELS)

    def take(self, column: str, lines: Whole, cells: Sequence[str]) -> None:
        """Count some cells of a column (in a long file: of a channel)."""
        known = self._found.setdefault(column, {})
        if len(known) > _MOST_KINDS:
            return
        for cell, many in Counter(cells).items():
            if self._odd(cell):
                before, line = known.get(cell, (0, 0))
                known[cell] = (before + many, line or int(lines[cells.index(cell)]))
                if len(known) > _MOST_KINDS:
                    return

    def _odd(self, cell: str) -> bool:
        plain = cell.strip().strip('"').strip()
        if not plain:
            return False
        if not NUMBER.fullmatch(plain):
            return True
        try:
            return float(plain.replace(",", ".").replace("−", "-")) in self._figures
        except ValueError:
            return False

    def notes(self, columns: Sequence[ColumnGuess], decimal: str) -> tuple[str, ...]:
        """Return what will not be taken as a reading, for columns that hold readings.

        columns   as they are understood;  decimal   sign of the file
        """
        told: list[str] = []
        for column in columns:
            if column.role not in ("skip", "remark"):
                told += self._of(column, decimal).notes(column.column)
        return tuple(told)

    def _of(self, column: ColumnGuess, decimal: str) -> NoReadings:
        out, cells = NoReadings(), self._found.get(column.column, {})
        if len(cells) > _MOST_KINDS:
            return out
        read = cell_reader(decimal, column.empties, state=column.measure == "state")
        strange = set(strange_figures(column).tolist())
        for cell, (many, line) in sorted(cells.items(), key=lambda item: item[1][1]):
            value, word = read(cell), word_of(cell)
            if value == UNREADABLE:
                out.unread_count += many
                out.unread += [(line, word)] if len(out.unread) < 3 else []
            elif np.isnan(value) and word not in column.empties:
                out.words[word] += many
            elif value in strange:
                out.sentinels += many
        return out
