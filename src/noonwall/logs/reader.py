"""Reads a table of readings row by row with its times, and keeps account of rows that do not read."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs import lines as text_lines
from noonwall.logs.errors import ReadingsError
from noonwall.logs.stamps import BAD, StampReader, StampRule, shown, year_bounds
from noonwall.logs.table import splitter

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from noonwall.logs.records import Whole
    from noonwall.logs.table import Table

NO_NAME = "(no name)"  # of a channel, in a long file whose cell for it is empty
_FEW_BAD, _BAD_SHARE = 20, 0.1


@dataclass(frozen=True)
class Block:
    """Some rows of readings with readable times; arrays of shape (n,)."""

    lines: Whole  # number of each row's line, from 1
    rows: list[list[str]]  # cells, all as wide as the table
    clock_s: Whole  # on the clock's own face
    offset_s: Whole  # written with the stamp, NO_ZONE where none is
    share_read: float


@dataclass
class Account:
    """What did not read, counted on the way."""

    rows: int = 0
    bad_rows: int = 0
    headings: int = 0  # heading lines that come again
    nul_bytes: int = 0
    first_bad: list[tuple[int, str]] = field(default_factory=list)  # line and what is wrong, at most five

    def blame(self, line: int, wrong: str) -> None:
        """Count one row that does not read."""
        self.bad_rows += 1
        if len(self.first_bad) < 5:
            self.first_bad.append((line, wrong))

    def refuse_ruin(self, path: Path) -> None:
        """Raise ReadingsError when too many rows do not read to trust the rest."""
        if self.rows == 0 and self.bad_rows == 0:
            raise ReadingsError(f"{path}: holds no readings under its heading")
        if self.rows == 0 or self.bad_rows > max(_FEW_BAD, _BAD_SHARE * (self.rows + self.bad_rows)):
            line, wrong = self.first_bad[0]
            total = self.rows + self.bad_rows
            raise ReadingsError(
                f"{path}:{line}: {wrong}; {self.bad_rows:,} of {total:,} rows do not read, too many to go on"
            )

    def notes(self) -> list[str]:
        """Return plain sentences on what was left out."""
        said = []
        if self.bad_rows:
            where = "; ".join(f"line {line}: {wrong}" for line, wrong in self.first_bad)
            more = ", ..." if self.bad_rows > len(self.first_bad) else ""
            rows = "row did not read and was" if self.bad_rows == 1 else "rows did not read and were"
            said.append(f"{self.bad_rows:,} {rows} left out ({where}{more})")
        if self.headings:
            times = "once" if self.headings == 1 else f"{self.headings} times"
            said.append(f"the heading comes again {times} (the logger was started anew)")
        if self.nul_bytes:
            nul = "NUL byte was" if self.nul_bytes == 1 else "NUL bytes were"
            said.append(f"{self.nul_bytes:,} {nul} taken out (the logger lost its power there)")
        return said


def blocks(path: Path, table: Table, rule: StampRule, account: Account) -> Iterator[Block]:
    """Yield the rows of a file, block by block; bad rows go into the account.

    raises   ReadingsError when the file cannot be read
    """
    split, stamps, width = splitter(table.delimiter), StampReader(rule), len(table.names)
    heading = [cell.lower() for cell in table.names]
    low, high = year_bounds()
    for batch in text_lines.batches(path, table.form):
        account.nul_bytes += batch.nul_bytes
        skip = max(0, table.data_line - batch.first_line)
        texts = batch.lines[skip:]
        if not texts:
            continue
        first = batch.first_line + skip
        numbered = [(first + i, text) for i, text in enumerate(texts) if text and not text.isspace()]
        rows = split([text for _, text in numbered])
        lines = np.fromiter((number for number, _ in numbered), np.int64, len(numbered))
        if any(len(row) != width for row in rows):
            rows, lines = _even(rows, lines, width, account)
        if not rows:
            continue
        clock, offset = stamps.read([[row[i] for row in rows] for i in rule.columns])
        good = (clock != BAD) & (clock >= low) & (clock < high)
        if not good.all():
            _blame_times(rows, lines, clock, good, rule, heading, account)
            kept = np.flatnonzero(good)
            rows, lines = [rows[i] for i in kept], lines[kept]
            clock, offset = clock[kept], offset[kept]
        account.rows += len(rows)
        if rows:
            yield Block(lines, rows, clock, offset, batch.share_read)


def _even(rows: list[list[str]], lines: Whole, width: int, account: Account) -> tuple[list[list[str]], Whole]:
    """Return rows brought to one width: missing last cells are empty, rows with more cells are bad."""
    out, kept = [], []
    for line, row in zip(lines.tolist(), rows, strict=True):
        if any(cell.strip() for cell in row[width:]):
            account.blame(line, f"{len(row)} cells, the heading has {width}")
        else:
            out.append(row[:width] + [""] * (width - len(row)))
            kept.append(line)
    return out, np.array(kept, np.int64)


def _blame_times(
    rows: list[list[str]],
    lines: Whole,
    clock: Whole,
    good: np.ndarray,
    rule: StampRule,
    heading: list[str],
    account: Account,
) -> None:
    for place in np.flatnonzero(~good).tolist():
        cells = [cell.strip().strip('"').strip() for cell in rows[place]]
        if not any(cells):
            continue
        if sum(a.lower() == b for a, b in zip(cells, heading, strict=True)) > 0.6 * len(heading):
            account.headings += 1
            continue
        text = " ".join(cells[i] for i in rule.columns)[:40]
        if clock[place] != BAD:
            account.blame(int(lines[place]), f'time "{text}" reads as {shown_or_far(int(clock[place]))}')
        elif text:
            account.blame(int(lines[place]), f'"{text}" does not read as a date and a time')
        else:
            account.blame(int(lines[place]), "the time is empty")


def shown_or_far(clock_s: int) -> str:
    """Return a clock second for a message, however far off it is."""
    try:
        return f"{shown(clock_s)}, when no such logger ran"
    except (OverflowError, ValueError):
        return "a year no logger ran in"
