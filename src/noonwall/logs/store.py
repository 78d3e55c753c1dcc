"""The store of readings: one file, readings.db, in the project folder.

What the store answers is the fold over its imports in the order they were made: for each stamp of a channel
the first import that has it decides, later values stay as provenance. So taking an import back leaves exactly
what would be there had it never been made.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import contextmanager
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.logs import codec, schema
from noonwall.logs.errors import ReadingsError
from noonwall.logs.intake import Intake, put_part
from noonwall.logs.records import (
    Channel,
    Conflict,
    Conversion,
    Finding,
    Floats,
    Import,
    Readings,
    Remark,
    Tally,
    Verdict,
    Whole,
)
from noonwall.logs.schema import WINDOW_S
from noonwall.logs.verdicts import Word, deciding_word, role_of_finding, with_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from types import TracebackType

FILE = "readings.db"
_EVER = 2**62
_CHANNELS = "SELECT name, role, measure, kind, height_m, plane, place, stamp, id FROM channel ORDER BY id"
_PARTS = (
    "SELECT p.span, p.import_id, p.turn, p.rising, piece.data, s.zero, s.scale FROM part p "
    "JOIN piece ON piece.id = p.piece_id "
    "JOIN source s ON s.import_id = p.import_id AND s.channel_id = p.channel_id "
    "WHERE p.channel_id = ? AND p.span BETWEEN ? AND ? ORDER BY p.span, p.import_id, p.turn"
)


_DROP_UNUSED = "DELETE FROM piece WHERE id = ? AND NOT EXISTS (SELECT 1 FROM part WHERE piece_id = piece.id)"
_BOUNDS = (
    "SELECT min(low), max(high) FROM ("
    "SELECT min(first_s) AS low, max(last_s) AS high FROM part "
    "WHERE :channel IS NULL OR channel_id = :channel "
    "UNION ALL SELECT min(time_s), max(time_s) FROM fresh WHERE :channel IS NULL OR channel_id = :channel)"
)
_REMARKS = (
    "SELECT r.time_s, r.text, c.name, min(r.import_id) FROM remark r JOIN channel c ON c.id = r.channel_id "
    "WHERE r.time_s >= ? AND r.time_s < ? GROUP BY r.time_s, r.text, c.name ORDER BY r.time_s, r.text"
)
_NEXT_TURN = "SELECT coalesce(max(turn), 0) + 1 FROM part WHERE channel_id = ? AND span = ? AND import_id = ?"
_FINDINGS = (
    "SELECT id, kind, channel, from_s, to_s, evidence, consequence, verdict, mend FROM finding "
    "ORDER BY from_s, channel, kind"
)
_WORDS = "SELECT kind, channel, role, from_s, to_s, verdict FROM judgement"


class Store:
    """Readings of one project. Use it as a context manager, or close it."""

    def __init__(self, place: str | Path) -> None:
        """Open the store of a project folder (or a readings.db itself), made if there is none."""
        path = Path(place)
        self.path = path / FILE if path.is_dir() else path
        self._link = schema.connect(self.path)

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; closing the last link folds the write-ahead log into it."""
        self._link.close()

    def imports(self) -> tuple[Import, ...]:
        """Return all imports in the order they were made."""
        rows = self._ask("SELECT id, file, content, map, made_s, report FROM import ORDER BY id")
        return tuple(_import(row) for row in rows)

    def import_of(self, content: str) -> Import | None:
        """Return the import of a file by its SHA-256, or None."""
        rows = self._ask(
            "SELECT id, file, content, map, made_s, report FROM import WHERE content = ?", (content,)
        )
        return _import(rows[0]) if rows else None

    @contextmanager
    def importing(self, file: str, content: str, layout: dict[str, Any], made_s: int) -> Iterator[Intake]:
        """Open one import as one transaction: kept whole when the block ends, gone when it fails.

        file      name to show;  content   SHA-256 of the unpacked file
        layout    how the columns were understood (JSON);  made_s   now, seconds since 1970 UTC
        raises    ReadingsError when the content is there already, the disk is full, the store is locked
        """
        if known := self.import_of(content):
            raise ReadingsError(
                f"{file}: read already, as import {known.id}; undo that one first to read it anew"
            )
        with self._transaction():
            cursor = self._link.execute(
                "INSERT INTO import (file, content, map, made_s, report) VALUES (?, ?, ?, ?, '{}')",
                (file, content, json.dumps(layout), made_s),
            )
            intake = Intake(self._link, int(cursor.lastrowid or 0))
            yield intake
            intake.finish()
            self._link.execute(
                "UPDATE import SET report = ? WHERE id = ?",
                (json.dumps(intake.tally.as_dict()), intake.import_id),
            )

    def undo(self, import_id: int) -> Import:
        """Take one import back: the store is as if it had never been made.

        returns   the import that was taken back
        raises    ReadingsError when there is no such import
        """
        found = next((item for item in self.imports() if item.id == import_id), None)
        if found is None:
            there = ", ".join(str(item.id) for item in self.imports()) or "none"
            raise ReadingsError(f"{self.path}: there is no import {import_id}; imports are {there}")
        with self._transaction():
            pieces = self._link.execute(
                "SELECT DISTINCT piece_id FROM part WHERE import_id = ?", (import_id,)
            ).fetchall()
            self._link.execute("DELETE FROM import WHERE id = ?", (import_id,))
            self._link.executemany(
                _DROP_UNUSED,
                pieces,
            )
            self._link.execute("DELETE FROM channel WHERE id NOT IN (SELECT channel_id FROM source)")
        return found

    def keep_project(self, import_id: int, text: str) -> None:
        """Keep the project's text as it is while an import is made; it goes when the import is taken back."""
        self._link.execute("INSERT INTO project (import_id, text) VALUES (?, ?)", (import_id, text))

    def projects(self) -> dict[int, str]:
        """Return the project's text as it was at each import that has one, by the import's number."""
        return dict(self._ask("SELECT import_id, text FROM project"))

    def channels(self, role: str | None = None) -> tuple[Channel, ...]:
        """Return all channels, or those of one role, in the order they first came."""
        found = (Channel(*row) for row in self._ask(_CHANNELS))
        return tuple(item for item in found if role is None or item.role == role)

    def channel(self, name: str) -> Channel:
        """Return the channel of a name.

        raises   ReadingsError naming those there are
        """
        known = self.channels()
        for item in known:
            if item.name == name:
                return item
        raise ReadingsError(
            f'{self.path}: no channel "{name[:60]}"; there are {", ".join(c.name for c in known) or "none"}'
        )

    def loggers(self) -> list[list[str]]:
        """Return the channels' names grouped by logger: those that came together in any import."""
        rows = self._ask(
            "SELECT s.import_id, c.name FROM source s JOIN channel c ON c.id = s.channel_id ORDER BY 1, c.id"
        )
        groups: list[list[str]] = []
        for _, batch in groupby(rows, key=lambda row: row[0]):
            names = [row[1] for row in batch]
            known = [group for group in groups if set(group) & set(names)]
            groups = [group for group in groups if group not in known]
            groups.append(list(dict.fromkeys([*(name for group in known for name in group), *names])))
        return groups

    def span(self, channel: Channel | None = None) -> tuple[int, int] | None:
        """Return first and last stamp [s since 1970 UTC] of a channel or of all; None for none."""
        low, high = self._ask(_BOUNDS, {"channel": channel.id if channel else None})[0]
        return None if low is None else (int(low), int(high))

    def stretches(self) -> list[tuple[int, int]]:
        """Return first and last stamp of each part that was read [s since 1970 UTC], by the first."""
        rows = self._ask(
            "SELECT first_s, last_s FROM part UNION SELECT time_s, time_s FROM fresh ORDER BY first_s"
        )
        return [(int(first), int(last)) for first, last in rows]

    def count(self, channel: Channel) -> int:
        """Return how many readings the imports hold of a channel, repeated stamps included."""
        parts = self._ask("SELECT total(readings) FROM part WHERE channel_id = ?", (channel.id,))
        fresh = self._ask("SELECT count(*) FROM fresh WHERE channel_id = ?", (channel.id,))
        return int(parts[0][0]) + int(fresh[0][0])

    def read(self, channel: Channel, start_s: int | None = None, end_s: int | None = None) -> Readings:
        """Return a channel's readings in SI, each stamp once, rising; nothing is set aside here.

        start_s, end_s   from (included) to (not included) [s since 1970 UTC]; None: all there is
        """
        start = -_EVER if start_s is None else int(start_s)
        end = _EVER if end_s is None else int(end_s)
        rows = self._ask(_PARTS, (channel.id, start // WINDOW_S, (end - 1) // WINDOW_S))
        blocks = self._fresh(channel.id, start, end)
        out: list[tuple[Whole, Floats]] = []
        for span, group in groupby(rows, key=lambda row: int(row[0])):
            low, high = span * WINDOW_S, (span + 1) * WINDOW_S
            late = [block for block in blocks if low <= block[2][0] < high]
            out.append(_fold(list(group), late))
            blocks = [block for block in blocks if not low <= block[2][0] < high]
        out += [_fold([], [block]) for block in blocks]
        if not out:
            return Readings(channel, np.empty(0, np.int64), np.empty(0))
        out.sort(key=lambda pair: int(pair[0][0]))
        times = np.concatenate([pair[0] for pair in out])
        values = np.concatenate([pair[1] for pair in out])
        low, high = np.searchsorted(times, (start, end))
        return Readings(channel, times[low:high], values[low:high])

    def _fresh(self, channel_id: int, start: int, end: int) -> list[tuple[int, int, Whole, Floats]]:
        """Return readings not folded yet as (import, turn, times, SI values), one block a span and import."""
        rows = self._ask(
            "SELECT f.import_id, f.time_s, f.value, s.zero, s.scale FROM fresh f JOIN source s "
            "ON s.import_id = f.import_id AND s.channel_id = f.channel_id "
            "WHERE f.channel_id = ? AND f.time_s >= ? AND f.time_s < ? ORDER BY f.import_id, f.rowid",
            (channel_id, start - start % WINDOW_S if start > -_EVER else start, end),
        )
        found: dict[tuple[int, int], list[Any]] = {}
        for row in rows:
            found.setdefault((row[1] // WINDOW_S, row[0]), []).append(row)
        return [
            (
                import_id,
                _EVER,
                np.array([row[1] for row in block], np.int64),
                Conversion("", *block[0][3:]).si(np.array([row[2] for row in block], np.float64)),
            )
            for (_, import_id), block in found.items()
        ]

    def remarks(self, start_s: int | None = None, end_s: int | None = None) -> tuple[Remark, ...]:
        """Return what was written by hand, by time, the same words at the same moment once."""
        bounds = (-_EVER if start_s is None else start_s, _EVER if end_s is None else end_s)
        return tuple(Remark(*row) for row in self._ask(_REMARKS, bounds))

    def conflicts(self, channel: Channel, most: int = 20) -> tuple[Conflict, ...]:
        """Return stamps of a channel for which a later import holds another value than the one that stays."""
        found: list[Conflict] = []
        rows = self._ask(_PARTS, (channel.id, -_EVER, _EVER))
        for _, group in groupby(rows, key=lambda row: int(row[0])):
            parts = [_opened(row) for row in group]
            for i, late in enumerate(parts):
                for first in parts[:i]:
                    found += _differing(channel.name, first, late, most - len(found))
        return tuple(found)

    def repeated(self, channel: Channel) -> tuple[int, int, int]:
        """Return how many stamps of a channel come twice within their import, the first and last of them."""
        twice: list[int] = []
        rows = self._ask(_PARTS, (channel.id, -_EVER, _EVER))
        for _, group in groupby(rows, key=lambda row: (row[0], row[1])):
            parts = list(group)
            if len(parts) > 1 or not parts[0][3]:
                times = np.sort(np.concatenate([_opened(row)[1] for row in parts]))
                twice += times[1:][times[1:] == times[:-1]].tolist()
        return len(twice), min(twice, default=0), max(twice, default=0)

    def append(self, import_id: int, readings: Iterable[tuple[int, int, float]]) -> None:
        """Take single readings of a running import at once, as one transaction.

        import_id   an import that `importing` made
        readings    (channel id, time [s since 1970 UTC], value as written)
        """
        with self._transaction():
            self._link.executemany(
                "INSERT INTO fresh (import_id, channel_id, time_s, value) VALUES (?, ?, ?, ?)",
                ((import_id, channel, time_s, value) for channel, time_s, value in readings),
            )

    def fold(self) -> int:
        """Pack single readings into parts and return how many were packed; what the store answers stays."""
        with self._transaction():
            rows = self._link.execute(
                "SELECT channel_id, import_id, time_s / ?, time_s, value FROM fresh ORDER BY 1, 2, 3, rowid",
                (WINDOW_S,),
            ).fetchall()
            for (channel_id, import_id, span), group in groupby(rows, key=lambda row: row[:3]):
                block = list(group)
                times = np.array([row[3] for row in block], np.int64)
                values = np.array([row[4] for row in block], np.float64)
                turn = self._link.execute(_NEXT_TURN, (channel_id, span, import_id)).fetchone()[0]
                facts = (int(times.min()), int(times.max()), bool(np.all(np.diff(times) > 0)))
                put_part(self._link, (channel_id, span, import_id, turn), times, values, facts)
            self._link.execute("DELETE FROM fresh")
        return len(rows)

    def keep_findings(self, findings: Sequence[Finding]) -> None:
        """Put the findings of a new check in the place of the last one's; the builder's words stay."""
        rows = [
            (
                *(f.kind, f.channel, f.from_s, f.to_s, json.dumps(f.evidence)),
                *(f.consequence, f.verdict, json.dumps(f.mend)),
            )
            for f in findings
        ]
        with self._transaction():
            self._link.execute("DELETE FROM finding")
            self._link.executemany(
                "INSERT INTO finding (kind, channel, from_s, to_s, evidence, consequence, verdict, mend) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                rows,
            )

    def findings(self, channel: Channel | None = None) -> tuple[Finding, ...]:
        """Return the last check's findings by date; where the builder has judged one, with that word."""
        found = [item for item in self._found() if channel is None or item.channel == channel.name]
        return with_words(found, self._words(), self._roles()) if found else ()

    def _found(self) -> list[Finding]:
        return [
            Finding(kind, name, low, high, json.loads(evidence), said, verdict, json.loads(mend), id_)
            for id_, kind, name, low, high, evidence, said, verdict, mend in self._ask(_FINDINGS)
        ]

    def _words(self) -> list[Word]:
        return [Word(*row) for row in self._ask(_WORDS)]

    def _roles(self) -> dict[str, str]:
        return {item.name: item.role for item in self.channels()}

    def judge(self, finding_id: int, verdict: Verdict) -> None:
        """Write the builder's word on a finding: use its readings, set them aside, or use them mended.

        raises   ReadingsError when the last check made no such finding, or it cannot be mended
        """
        known = next((item for item in self.findings() if item.id == finding_id), None)
        if known is None:
            raise ReadingsError(f"{self.path}: the last check made no finding {finding_id}")
        if verdict == "mended" and (known.mend is None or "daily_utc_s" in known.mend):
            raise ReadingsError(
                f"{self.path}: finding {finding_id} ({known.kind}) cannot be mended, only set aside"
            )
        words, roles = self._words(), self._roles()
        before = deciding_word(known, words, roles)
        replaced = before is not None and not self._is_found(
            before
        )  # else an old word could outlive the new one
        others = [f for f in self._found() if f.id != known.id and deciding_word(f, words, roles) == before]
        with self._transaction():
            if before is not None and replaced:
                self._link.execute(
                    "DELETE FROM judgement WHERE kind = ? AND channel = ? AND from_s = ? AND to_s = ?",
                    before.stretch,
                )
                for other in others:
                    self._put_word(other, before.verdict, roles)
            self._put_word(known, verdict, roles)

    def _put_word(self, finding: Finding, verdict: Verdict, roles: dict[str, str]) -> None:
        place = (finding.kind, finding.channel, role_of_finding(finding.channel, roles))
        self._link.execute(
            "INSERT OR REPLACE INTO judgement (kind, channel, role, from_s, to_s, verdict) "
            "VALUES (?, ?, ?, ?, ?, ?)",
            (*place, finding.from_s, finding.to_s, verdict),
        )

    def _is_found(self, word: Word) -> bool:
        return any((f.kind, f.channel, f.from_s, f.to_s) == word.stretch for f in self._found())

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        try:
            self._link.execute("BEGIN IMMEDIATE")
            yield
            self._link.execute("COMMIT")
        except sqlite3.Error as error:
            self._roll_back()
            raise ReadingsError(f"{self.path}: {schema.plain(error)}") from None
        except BaseException:
            self._roll_back()
            raise

    def _roll_back(self) -> None:
        if self._link.in_transaction:
            self._link.execute("ROLLBACK")

    def _ask(self, question: str, values: Sequence[Any] | dict[str, Any] = ()) -> list[Any]:
        try:
            return self._link.execute(question, values).fetchall()
        except sqlite3.Error as error:
            raise ReadingsError(f"{self.path}: {schema.plain(error)}") from None


def _import(row: tuple[Any, ...]) -> Import:
    return Import(row[0], row[1], row[2], json.loads(row[3]), row[4], Tally(**json.loads(row[5])))


def _opened(row: tuple[Any, ...]) -> tuple[int, Whole, Floats]:
    """Return import, times and SI values of one row of _PARTS."""
    times, written = codec.unpack(row[4])
    return row[1], times, Conversion("", row[5], row[6]).si(written)


def _differing(
    name: str, first: tuple[int, Whole, Floats], late: tuple[int, Whole, Floats], most: int
) -> list[Conflict]:
    """Return up to ``most`` stamps for which two parts hold different values."""
    _, a, b = np.intersect1d(first[1], late[1], return_indices=True)
    kept, other = first[2][a], late[2][b]
    where = np.flatnonzero(np.abs(kept - other) > 1e-9 * (1.0 + np.abs(other)))[:most]
    return [
        Conflict(name, int(first[1][a[i]]), float(kept[i]), first[0], float(other[i]), late[0]) for i in where
    ]


def _fold(rows: list[tuple[Any, ...]], late: list[tuple[int, int, Whole, Floats]]) -> tuple[Whole, Floats]:
    """Return one span's readings, rising, of each stamp the value of the first import that has it."""
    if len(rows) == 1 and not late and rows[0][3]:
        return _opened(rows[0])[1:]
    blocks = [(row[1], row[2], *_opened(row)[1:]) for row in rows] + late
    blocks.sort(key=lambda block: block[:2])
    times = np.concatenate([block[2] for block in blocks])
    stamps, first = np.unique(times, return_index=True)
    return stamps, np.concatenate([block[3] for block in blocks])[first]
