"""The shape of a file of readings: how lines fall into cells, where headings end, where time stands."""

from __future__ import annotations

import csv
import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from noonwall.logs import lines as text_lines
from noonwall.logs.errors import NoTimeError, ReadingsError
from noonwall.logs.measures import unit_of
from noonwall.logs.stamps import Order, StampRule, parse_day, parse_time, split_stamp

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from noonwall.logs.lines import TextForm

MOST_COLUMNS = 2000
_HEAD_LINES = 400
_KEEP = 4000  # lines spread over the rest of the file
_ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")
_USUAL = ("\t", ";", ",", "|")
_NEVER = set(".:-+/'\"°%()[]_\\ ")  # these stand within cells
BLANKS = ""  # the delimiter of columns set apart by blanks

NUMBER = re.compile(r"[+\-−]?(?:\d[\d\s']*(?:[.,]\d+)*|[.,]\d+)(?:[eE][+-]?\d+)?")
_NUMBER_UNIT = re.compile(rf"({NUMBER.pattern})\s*[°a-zA-Z%/0-9²³^]{{0,8}}")
_STAMPISH = re.compile(r"[\d:/.\-+TZ ]{5,35}(?:\s?[apAP]\.?[mM]\.?)?(?:\s?[A-Z]{1,4})?")
_WORD = re.compile(r"[^\W\d_][\w .\-/]{0,40}")
_NOTHING = (
    "nan|na|n/a|#n/a|nul|null|none|unavailable|unknown|err|error|fail|fault|--|---|----|-|.|*|?|inf|-inf|#value!|"
    "nodata|no data|missing|invalid|ovr|ovf|ovrng|overflow|ol"
)
EMPTY_WORDS = frozenset(_NOTHING.split("|"))
_MADE = {"avg", "smp", "max", "min", "tot", "std", "ts", "rn", "mean", "sum", "inst"}  # kinds under a heading
_YEARS = (
    {"year", "yyyy", "yr", "jahr"},
    {"month", "mm", "mo", "mon"},
    {"day", "dd", "dom"},
    {"hour", "hh", "hr"},
)
_LATER = ({"minute", "min", "mi"}, {"second", "sec", "ss"})
_TIME_WORDS = re.compile(r"time|date|stamp|zeit|datum|aika|heure|when|last.?changed|klockan|tid\b", re.I)


@dataclass(frozen=True)
class Row:
    """One line of the sample: its number from 1 and its cells."""

    line: int
    cells: list[str]


@dataclass(frozen=True)
class Table:
    """What was found out about a file's shape."""

    form: TextForm
    delimiter: str  # BLANKS for runs of blanks
    names: tuple[str, ...]
    named: bool  # False when the file has no heading and the names are made up
    under: tuple[tuple[str, ...], ...]  # further heading lines (units, kinds), as wide as the names
    preamble: tuple[str, ...]
    data_line: int  # number of the first line of readings
    stamp: StampRule  # its order is not settled here
    rows: list[Row]  # sample of the readings, spread over the whole file


def splitter(delimiter: str) -> Callable[[Sequence[str]], list[list[str]]]:
    """Return the function that cuts lines into cells; quoted cells may hold the delimiter."""
    if delimiter == BLANKS:
        return lambda lines: [line.split() for line in lines]

    def one(line: str) -> list[str]:
        if '"' not in line:
            return line.split(delimiter)
        try:
            return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
        except (csv.Error, StopIteration):
            return line.replace('"', "").split(delimiter)

    def many(lines: Sequence[str]) -> list[list[str]]:
        if any('"' in line for line in lines):
            return [one(line) for line in lines]
        return [line.split(delimiter) for line in lines]

    return many


def look_at(path: Path, delimiter: str | None = None, time: Sequence[str] | None = None) -> Table:
    """Return the shape of a file.

    delimiter   what the builder said, None: find it;  time   headings of the time's columns, None: find them
    raises      ReadingsError with file and line when there is no table with a time in it
    """
    form = text_lines.text_form(path)
    head, rest = _sample(path, form)
    filled = [(i, text) for i, text in head + rest if text.strip(" \t\r\x1a;,")]
    if not filled:
        raise ReadingsError(f"{path}:1: no line of it holds anything to read")
    if len(filled) == 1 and not re.search(r"\d", filled[0][1]):
        raise ReadingsError(f"{path}:{filled[0][0]}: holds a heading and no readings under it")
    cut = delimiter if delimiter is not None else _delimiter(path, [text for _, text in filled])
    split = splitter(cut)
    rows = [Row(i, cells) for (i, _), cells in zip(filled, split([text for _, text in filled]), strict=True)]
    width = _width(path, rows)
    wide = [Row(row.line, _fitted(row.cells, width)) for row in rows if _fits(row.cells, width)]
    heading = _heading_guess(wide, width)
    stamp = _stamp_rule(wide[len(wide) // 3 :], heading, time)
    if stamp is None and not any(NUMBER.fullmatch(cell.strip()) for row in wide for cell in row.cells):
        raise ReadingsError(
            f"{path}:{filled[-1][0]}: no column with a date and a time was found, nor any number; export the "
            "readings again from the logger's program, with date and time"
        )
    if stamp is None:
        raise NoTimeError(
            f"{path}:{filled[-1][0]}: no column with a date and a time was found; name it with "
            '--map "time=NAME", or two of them with --map "time=DATE+CLOCK"; where there is none, export the readings '
            "again from the logger's program, with date and time",
            tuple(_plain(cell) or f"column {i + 1}" for i, cell in enumerate(heading)),
        )
    first = next((row for row in wide if _reads(row, stamp)), None)
    if first is None:
        raise ReadingsError(f"{path}: no line with a date and a time that read as one was found")
    data = [row for row in wide if row.line >= first.line]
    names, under, named = _heading(path, rows, data, stamp, cut)
    preamble = tuple(text.strip()[:200] for i, text in filled if i < first.line)[:20]
    return Table(form, cut, names, named, under, preamble, first.line, stamp, data)


def _sample(path: Path, form: TextForm) -> tuple[list[tuple[int, str]], list[tuple[int, str]]]:
    """Return the first lines, and lines spread evenly over the rest, with their numbers."""
    head: list[tuple[int, str]] = []
    rest: list[tuple[int, str]] = []
    every = 1
    for batch in text_lines.batches(path, form):
        line = batch.first_line
        start = max(0, _HEAD_LINES - line + 1)
        head += [(line + i, text) for i, text in enumerate(batch.lines[:start])]
        begin = start + (-(line + start)) % every
        rest += [(line + i, batch.lines[i]) for i in range(begin, len(batch.lines), every)]
        while len(rest) > 2 * _KEEP:
            rest, every = rest[::2], every * 2
    return head, rest


def _delimiter(path: Path, texts: list[str]) -> str:
    """Return the character that cuts most lines into equally many sensible cells."""
    data = texts[len(texts) // 3 :][:600] or texts
    others = Counter(c for text in data for c in set(text) if not c.isalnum() and c not in _NEVER)
    candidates = [c for c in _USUAL if c in others]
    candidates += [c for c, n in others.most_common(6) if c not in candidates and n > 0.6 * len(data)]
    best, best_score = None, 0.0
    for candidate in (*candidates, BLANKS):
        score = _sense(splitter(candidate)(data))
        if score > best_score + 0.02:
            best, best_score = candidate, score
    if best is None or best_score < 0.3:
        raise ReadingsError(
            f"{path}:1: the lines do not fall into columns; say what sets them apart with --map delimiter=;"
        )
    return best


def _sense(rows: list[list[str]]) -> float:
    """Return how much sense a way of cutting makes: equal widths, cells that read as something."""
    width, count = Counter(len(cells) for cells in rows).most_common(1)[0]
    if width < 2:
        return 0.0
    chosen = [cells for cells in rows if len(cells) == width][:200]
    good = sum(_cell_sense(cell) for cells in chosen for cell in cells[:60])
    return count / len(rows) * good / sum(min(len(cells), 60) for cells in chosen)


def _cell_sense(cell: str) -> float:
    cell = cell.strip().strip('"').strip()
    if NUMBER.fullmatch(cell) or _STAMPISH.fullmatch(cell):
        return 1.0
    if not cell or cell.lower() in EMPTY_WORDS:
        return 0.8
    return 0.7 if _WORD.fullmatch(cell) or _NUMBER_UNIT.fullmatch(cell) else 0.0


def _width(path: Path, rows: list[Row]) -> int:
    """Return how many cells a line of readings has."""
    counts = Counter(len(_trimmed(row.cells)) for row in rows[len(rows) // 3 :])
    width = max((w for w, n in counts.items() if n >= 0.05 * sum(counts.values())), default=0)
    widest = max((len(row.cells) for row in rows), default=0)
    if widest > MOST_COLUMNS:
        line = next(row.line for row in rows if len(row.cells) > MOST_COLUMNS)
        raise ReadingsError(f"{path}:{line}: {widest:,} columns; at most {MOST_COLUMNS:,} are read")
    heading = max((len(_trimmed(row.cells)) for row in rows[: len(rows) // 3 + 1][:60]), default=0)
    return min(max(width, 2), widest) if heading <= width else _agreed(rows, width, heading)


def _agreed(rows: list[Row], width: int, heading: int) -> int:
    """Return the heading's width if lines of readings, untrimmed, are as wide (their last cells empty)."""
    full = sum(1 for row in rows if len(row.cells) >= heading)
    return heading if full > 0.5 * len(rows) else width


def _trimmed(cells: list[str]) -> list[str]:
    n = len(cells)
    while n and not cells[n - 1].strip():
        n -= 1
    return cells[:n]


def _fits(cells: list[str], width: int) -> bool:
    return len(cells) <= width or len(_trimmed(cells)) <= width


def _fitted(cells: list[str], width: int) -> list[str]:
    return cells[:width] + [""] * (width - len(cells))


def _heading_guess(rows: list[Row], width: int) -> list[str]:
    """Return a heading's cells before it is known where the readings begin."""
    for row in rows[:60]:
        texts = [cell for cell in row.cells if cell.strip()]
        if len(texts) >= 0.6 * width and not any(NUMBER.fullmatch(cell.strip()) for cell in texts):
            return row.cells
    return [""] * width


def _heading(
    path: Path, rows: list[Row], data: list[Row], stamp: StampRule, delimiter: str
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...], bool]:
    """Return names, further heading lines, and whether the names come from the file."""
    width, first = len(data[0].cells), data[0].line
    above: list[list[str]] = []
    for row in reversed([row for row in rows if row.line < first][-6:]):
        cells = [cell.strip().strip('"').strip() for cell in row.cells]
        texts = [cell for cell in cells if cell]
        if delimiter == "," and width == 2 * len(texts) - 1 > 3 and len(texts) == len(cells):
            raise ReadingsError(
                f"{path}:{first}: {width} cells under {len(texts)} headings: decimal commas between commas "
                "cannot be told apart; export the file again with a semicolon or with decimal points"
            )
        full = _under_heading(cells, data, stamp)
        if full is None or sum(1 for cell in texts if NUMBER.fullmatch(cell)) > 0.5 * len(texts):
            break
        above.insert(0, full)
    if not above:
        return tuple(f"column {i + 1}" for i in range(width)), (), False
    top = next((i for i in reversed(range(len(above))) if _names_columns(above[i], width)), 0)
    names: list[str] = []
    for i, cell in enumerate(above[top]):
        name = " ".join(cell.split())[:120] or f"column {i + 1}"
        twin = sum(1 for known in names if known == name or known.startswith(f"{name} ("))
        names.append(f"{name} ({twin + 1})" if twin else name)
    return tuple(names), tuple(tuple(cells) for cells in above[top + 1 :]), True


def _names_columns(cells: list[str], width: int) -> bool:
    """Return whether a heading line names the columns, rather than their units or how they were made."""
    texts = [cell for cell in cells if cell]
    plain = sum(1 for cell in texts if unit_of(cell) is None and cell.lower() not in _MADE)
    return len(set(texts)) >= 0.6 * width and plain > 0.5 * len(texts)


def _under_heading(cells: list[str], data: list[Row], stamp: StampRule) -> list[str] | None:
    """Return a heading line's cells as wide as the readings, None when it is no heading of theirs."""
    width = len(data[0].cells)
    cells = _trimmed(cells)
    if len(cells) < 2 or len(cells) > width or sum(1 for cell in cells if cell) < 0.4 * width:
        return None
    lone_time = stamp.columns == (0,) and cells[0] and not _TIME_WORDS.search(cells[0])
    if len(cells) == width - 1 and lone_time and any(row.cells[-1].strip() for row in data):
        return ["time", *cells]
    spare = range(len(cells), width)
    if any(_share(data, i, lambda cell: bool(cell.strip())) > 0.0 for i in spare):
        return None
    return _fitted(cells, width)


def _any_day(text: str) -> bool:
    return any(parse_day(text, order) is not None for order in _ORDERS)


def _is_stamp(text: str) -> bool:
    day, time = split_stamp(text.strip().strip('"').strip())
    return bool(time) and _any_day(day) and parse_time(time) is not None


def _is_time(text: str) -> bool:
    return ":" in text and parse_time(text) is not None


def _share(rows: list[Row], column: int, test: Callable[[str], bool]) -> float:
    cells = [row.cells[column] for row in rows if row.cells[column].strip()]
    return sum(map(test, cells)) / len(cells) if len(cells) >= max(1, 0.5 * len(rows)) else 0.0


def _stamp_rule(rows: list[Row], heading: list[str], said: Sequence[str] | None) -> StampRule | None:
    """Return how the time is written, by what the cells of the sample read as."""
    rows = rows[:: max(1, len(rows) // 400)]
    if not rows:
        return None
    columns = range(len(rows[0].cells))
    if said is not None:
        folded = [_plain(name).lower() for name in heading]
        places = [folded.index(name.lower()) for name in said if name.lower() in folded]
        places += [int(name.split()[-1]) - 1 for name in said if re.fullmatch(r"column \d+", name.lower())]
        if len(places) != len(said):
            return None
        columns = places  # type: ignore[assignment]
    stamps = [i for i in columns if _share(rows, i, _is_stamp) > 0.6]
    if stamps:
        return StampRule("stamp", (stamps[0],))
    days = [i for i in columns if _share(rows, i, _any_day) > 0.6]
    times = [i for i in columns if _share(rows, i, _is_time) > 0.6]
    if days and times:
        return StampRule("day and time", (days[0], times[0]))
    parts = _part_columns(heading)
    if parts and all(_share(rows, i, lambda cell: bool(NUMBER.fullmatch(cell.strip()))) > 0.8 for i in parts):
        return StampRule("parts", parts)
    if found := _epoch(rows, list(columns), heading, sure=said is not None):
        return found
    return StampRule("stamp", (days[0],)) if days else None


def _plain(heading: str) -> str:
    """Return a heading's cell without quotes and spare blanks."""
    return " ".join(heading.strip().strip('"').split())


def _part_columns(heading: list[str]) -> tuple[int, ...]:
    names = [name.strip().lower() for name in heading]
    found = [next((i for i, name in enumerate(names) if name in words), -1) for words in _YEARS]
    if min(found) < 0:
        return ()
    later = [
        next((i for i, name in enumerate(names) if name in w), -1)
        for w in ({"minute", "min"}, {"second", "sec"})
    ]
    return (*found, *(i for i in later[: 1 if later[1] < 0 else 2] if i >= 0))


_SCALES = (("epoch s", 1.0), ("epoch ms", 1e3), ("epoch us", 1e6))


def _epoch(rows: list[Row], columns: list[int], heading: list[str], *, sure: bool) -> StampRule | None:
    """Return the rule of a column that counts seconds since 1970, or days as a spreadsheet does."""
    for i in columns:
        try:
            numbers = [float(row.cells[i].replace(",", ".")) for row in rows if row.cells[i].strip()]
        except ValueError:
            continue
        if not numbers:
            continue
        named = sure or bool(_TIME_WORDS.search(heading[i]))
        steady = sum(b >= a for a, b in pairwise(numbers)) > 0.95 * (len(numbers) - 1)
        for form, scale in _SCALES:
            if all(8e8 < number / scale < 4.1e9 for number in numbers) and (named or steady):
                return StampRule(form, (i,))  # type: ignore[arg-type]
        if named and all(35_000 < number < 73_000 for number in numbers) and any(n % 1 for n in numbers):
            return StampRule("serial day", (i,))
    return None


def _reads(row: Row, rule: StampRule) -> bool:
    """Return whether a line's time reads by a rule, in any order of its date."""
    cells = [row.cells[i] for i in rule.columns]
    if rule.form == "stamp":
        day, time = split_stamp(cells[0].strip().strip('"').strip())
        return _any_day(day) and (not time or parse_time(time) is not None)
    if rule.form == "day and time":
        return _any_day(cells[0]) and parse_time(cells[1]) is not None
    return all(NUMBER.fullmatch(cell.strip()) for cell in cells)
