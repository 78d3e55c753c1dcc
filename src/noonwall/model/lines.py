"""On which line of a project file a key stands: a walk over text that is known to be well-formed TOML."""

from __future__ import annotations

import bisect
import re

Path = tuple[str | int, ...]

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE = re.compile(r"[^\s.=\]]+")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_STRINGS = [
    re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}', re.S),
    re.compile(r"'''.*?'{3,5}", re.S),
    re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    re.compile(r"'[^'\n]*'"),
]


class _Walk:
    """One pass over the text; ``found`` collects where each key begins."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.found: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}
        self.ends = [m.start() for m in re.finditer("\n", text)]

    def line(self) -> int:
        return bisect.bisect_left(self.ends, self.at) + 1

    def note(self, path: Path, line: int) -> None:
        """Write down where a path stands; tables that nobody opened begin with what is in them."""
        for end in range(1, len(path)):
            self.found.setdefault(path[:end], line)
        self.found[path] = line

    def gap(self) -> None:
        found = _GAP.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def blanks(self) -> None:
        while self.text[self.at : self.at + 1] in (" ", "\t"):
            self.at += 1

    def string(self) -> str | None:
        for shape in _STRINGS:
            if found := shape.match(self.text, self.at):
                self.at = found.end()
                return found[0]
        return None

    def key(self) -> list[str]:
        """Read a dotted key."""
        parts: list[str] = []
        while True:
            self.blanks()
            quoted = self.string()
            if quoted is not None:
                parts.append(quoted[1:-1])
            elif found := _BARE.match(self.text, self.at):
                parts.append(found[0])
                self.at = found.end()
            else:
                return parts
            self.blanks()
            if self.text[self.at : self.at + 1] != ".":
                return parts
            self.at += 1

    def inside(self, parts: list[str]) -> Path:
        """Return the path of a header, with the running number of every list of tables on the way."""
        path: Path = ()
        for part in parts:
            path = (*path, part)
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    def header(self) -> Path:
        line, many = self.line(), self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        parts = self.key()
        self.at += 2 if many else 1
        if many:
            path = (*self.inside(parts[:-1]), parts[-1])
            self.counts[path] = self.counts.get(path, -1) + 1
            self.found.setdefault(path, line)
            path = (*path, self.counts[path])
        else:
            path = self.inside(parts)
        self.note(path, line)
        return path

    def pair(self, table: Path) -> None:
        """Read ``key = value`` in a table."""
        line, path = self.line(), (*table, *self.key())
        self.note(path, line)
        self.blanks()
        self.at += 1
        self.value(path)

    def value(self, path: Path) -> None:
        self.gap()
        opening = self.text[self.at : self.at + 1]
        if opening == "{":
            self.many("}", path, of_pairs=True)
        elif opening == "[":
            self.many("]", path, of_pairs=False)
        elif self.string() is None and (found := _SCALAR.match(self.text, self.at)):
            self.at = found.end()

    def many(self, closing: str, path: Path, *, of_pairs: bool) -> None:
        """Read an inline table or a list."""
        self.at += 1
        place = 0
        while self.at < len(self.text):
            self.gap()
            if self.text[self.at : self.at + 1] == closing:
                self.at += 1
                return
            if of_pairs:
                self.pair(path)
            else:
                self.found.setdefault((*path, place), self.line())
                self.value((*path, place))
                place += 1
            self.gap()
            if self.text[self.at : self.at + 1] == ",":
                self.at += 1


def lines_of(text: str) -> dict[Path, int]:
    """Return path -> line, first line 1; list members are counted from 0.

    text  a TOML text that a parser has accepted
    """
    walk = _Walk(text)
    table: Path = ()
    while True:
        walk.gap()
        if walk.at >= len(text):
            return walk.found
        before = walk.at
        if text[walk.at] == "[":
            table = walk.header()
        else:
            walk.pair(table)
        if walk.at <= before:
            return walk.found


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """Return the line of a path, or of the nearest table above it that stands in the file."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return None
