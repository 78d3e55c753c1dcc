"""A page as the blocks it is made of: one face prints them in columns of letters, the other lays them out."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from noonwall.units import MONTHS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

WIDTH = 84
MONTH_WIDTH, NAME_WIDTH = 11, 27
NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:%|°C|°F|kWh|kBtu|h|m|mm|ft|in|km|[A-Z]{3})\b|%|°)")


class Column(NamedTuple):
    """One column beside the names of the rows."""

    heading: str  # lines parted by "|"; an empty first one stands under that of the column before
    unit: str
    width: int  # letters, in print
    left: bool = False  # words, which begin at the left, two letters off the column before


class Row(NamedTuple):
    """One line of a table."""

    name: str
    cells: tuple[str, ...] = ()  # without any the name runs across
    ruled: bool = False  # set apart from what is above it


@dataclass(frozen=True)
class Title:
    """What a page is about: its first line, then where and with which weather."""

    lines: tuple[str, ...]

    def __str__(self) -> str:
        """Return it as printed."""
        return "\n".join(self.lines)


@dataclass(frozen=True)
class Words:
    """Sentences, each on lines of its own."""

    sentences: tuple[str, ...]
    width: int = WIDTH
    about: str = ""  # what a face may ask for by name, to show it in another place

    def __str__(self) -> str:
        """Return them as printed."""
        return "\n".join(filled(line, width=self.width) for line in self.sentences)


@dataclass(frozen=True)
class Lines:
    """Lines that keep their places: a list, lines to write into a file."""

    text: str
    about: str = ""  # as for words

    def __str__(self) -> str:
        """Return them as printed."""
        return self.text


@dataclass(frozen=True)
class Table:
    """Named rows in columns, and what is said below them."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    name_width: int = MONTH_WIDTH
    below: tuple[str, ...] = ()  # lines as printed
    fold: int = 0  # columns a printed line has room for, the others go below them; 0 for all
    about: str = ""  # as for words

    def __str__(self) -> str:
        """Return it as printed: lines of headings and one of units, left out where they are empty."""
        fold = self.fold or max(len(self.columns), 1)
        parts = [slice(first, first + fold) for first in range(0, len(self.columns), fold)]
        return "\n".join([*(line for part in parts for line in self._part(part)), *self.below])

    def _part(self, part: slice) -> list[str]:
        columns = self.columns[part]
        heads = [column.heading.split("|") for column in columns]
        deep = max(map(len, heads), default=1)
        heads = [[""] * (deep - len(head)) + head for head in heads]
        title = self.title if not part.start else ""
        wide = self.name_width
        above = [title] if len(title) >= wide and any(head[0] for head in heads) else []
        first = "" if above else title
        spans = [
            Column(heads[g[0]][0], "", sum(columns[i].width for i in g), columns[g[0]].left)
            for g in groups(columns)
        ]
        lines = [_line(first, [span.heading for span in spans], spans, wide)]
        lines += [_line("", [head[i] for head in heads], columns, wide) for i in range(1, deep)]
        lines.append(_line("", [column.unit for column in columns], columns, wide))
        for row in self.rows:
            if row.ruled:
                lines.append("-" * (wide + sum(column.width for column in columns)))
            first, *more = _folded(row.name, wide + columns[0].left) if row.cells else (row.name,)
            lines += [_line(first, row.cells[part], columns, wide), *more]
        return [*above, *(line for line in lines if line)]


def _folded(name: str, wide: int) -> list[str]:
    """Return a name in the lines that its column needs, in print."""
    if len(name) < wide:
        return [name]
    inset = " " * (len(name) - len(name.lstrip()))
    lines = textwrap.wrap(name, wide - 1, initial_indent="", subsequent_indent=f"{inset}  ")
    return lines or [name]


def groups(columns: Sequence[Column]) -> list[list[int]]:
    """Return the numbers of the columns that stand under one heading, group by group."""
    found: list[list[int]] = []
    for i, column in enumerate(columns):
        if found and (column.heading.startswith("|") or (not column.heading and column.unit)):
            found[-1].append(i)
        else:
            found.append([i])
    return found


def _line(name: str, cells: Sequence[str], columns: Sequence[Column], width: int) -> str:
    if not cells:
        return name
    told = "".join(
        f"{f'  {cell}':<{column.width}}" if column.left else f"{cell:>{column.width}}"
        for cell, column in zip(cells, columns, strict=True)
    )
    return f"{name:<{width}}{told}".rstrip()


@dataclass(frozen=True)
class Facts:
    """Names, each with what is to be said of it."""

    title: str
    facts: tuple[tuple[str, str], ...]
    name_width: int
    below: tuple[str, ...] = ()  # lines as printed
    width: int = WIDTH
    about: str = ""  # as for words

    def __str__(self) -> str:
        """Return them as printed."""
        wide = self.name_width
        told = [filled(f"{name} ".ljust(wide) + text, wide, self.width) for name, text in self.facts]
        return "\n".join([*([self.title] if self.title else []), *told, *self.below])


Block = Title | Words | Lines | Table | Facts


@dataclass(frozen=True)
class Page:
    """What a command prints, and a page of the workbench lays out."""

    blocks: tuple[Block, ...]

    def __str__(self) -> str:
        """Return it as printed, without a line end at its end."""
        return "\n\n".join(str(block) for block in self.blocks)


def page_of(*blocks: Block | str | None) -> Page:
    """Return a page of blocks in order, those that say nothing left out; a plain text keeps its places."""
    made = [Lines(block) if isinstance(block, str) else block for block in blocks if block is not None]
    return Page(tuple(block for block in made if str(block)))


def words(sentences: Iterable[str], width: int = WIDTH, about: str = "") -> Words:
    """Return a block of sentences, empty ones left out."""
    return Words(tuple(line for line in sentences if line), width, about)


def table(
    title: str,
    columns: Sequence[tuple[str, str, int]],
    rows: Sequence[tuple[str, Sequence[str]]],
    below: Sequence[tuple[str, Sequence[str]]] = (),
    name_width: int = NAME_WIDTH,
) -> Table:
    """Return a table of named rows; ``below`` is set apart by a rule."""
    first = max(name_width, len(title) + 1)

    def row(name: str, cells: Sequence[str], *, ruled: bool = False) -> Row:
        return Row(name, tuple(cells), ruled)

    told = [row(*one) for one in rows]
    told += [row(*one, ruled=i == 0) for i, one in enumerate(below)]
    return Table(title, tuple(Column(*column) for column in columns), tuple(told), first)


def month_table(
    title: str, columns: Sequence[tuple[str, str, int]], rows: Sequence[tuple[int, Sequence[str]]]
) -> Table:
    """Return a table with a row for each month and a total set apart, whose number is 0."""
    told = tuple(
        Row(MONTHS[number - 1] if number else "all", tuple(cells), ruled=number == 0)
        for number, cells in rows
    )
    return Table(title, tuple(Column(*column) for column in columns), told)


def filled(line: str, indent: int = 0, width: int = WIDTH) -> str:
    """Return a line wrapped to the page, a number never parted from its unit."""
    bound = NUMBER_AND_UNIT.sub("\N{NO-BREAK SPACE}", line)
    return textwrap.fill(bound, width, subsequent_indent=" " * indent).replace("\N{NO-BREAK SPACE}", " ")
