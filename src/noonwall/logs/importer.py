"""Reads a file of readings into the store, as it was understood: one import, one transaction."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.as_was import text_beside
from noonwall.logs.cells import UNREADABLE, cell_reader, numbers
from noonwall.logs.clock import Clock, never_shown, zone_of
from noonwall.logs.errors import ImportCancelledError, ReadingsError
from noonwall.logs.guessing import guess_file
from noonwall.logs.nothing import NoReadings, strange_figures, word_of
from noonwall.logs.reader import NO_NAME, Account, Block, blocks
from noonwall.logs.stamps import NO_ZONE, shown

if TYPE_CHECKING:
    from noonwall.logs.guess import ColumnGuess, Guess
    from noonwall.logs.intake import Intake
    from noonwall.logs.records import Floats, Import, Whole
    from noonwall.logs.store import Store
    from noonwall.logs.survey import Cancel, Progress

__all__ = ["guess_file", "import_file"]

IN_STAMPS = "in the stamps"
_LONGEST_REMARK = 500


def import_file(
    store: Store,
    guess: Guess,
    *,
    now_s: int | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Import:
    """Read a file into the store; all of it or nothing.

    guess      what `guess_file` made of it, with no question left that must be answered
    now_s      seconds since 1970 UTC to note as the moment of import (default: the clock)
    progress   called with the share done and a word;  cancel   asked now and then whether to stop
    returns    the import; its ``already`` is True when this content was there before and nothing was added
    raises     ReadingsError naming file and line, ImportCancelledError; the store is then as it was
    """
    if not guess.ready:
        question = next(item for item in guess.questions if item.must)
        raise ReadingsError(f"{guess.path}: {question.text}; answer with {question.typed}")
    if known := store.import_of(guess.content):
        return _again(known, guess)
    made_s = int(time.time()) if now_s is None else now_s
    with store.importing(guess.path.name, guess.content, _as_json(guess), made_s) as intake:
        _Reading(guess, intake).run(progress, cancel)
        if (text := text_beside(store)) is not None:
            store.keep_project(intake.import_id, text)
    found = store.import_of(guess.content)
    if found is None:
        raise ReadingsError(f"{guess.path}: was taken back by another noonwall while it was read")
    return found


def _again(known: Import, guess: Guess) -> Import:
    if known.map != _as_json(guess):
        raise ReadingsError(
            f"{guess.path}: read already as import {known.id}, its columns understood otherwise; "
            f"undo that one first (noonwall readings undo {known.id})"
        )
    return replace(known, already=True)


def _as_json(guess: Guess) -> dict[str, object]:
    found = guess.as_map()
    return {**found.general, "columns": {name: spec.text() for name, spec in found.columns.items()}}


class _Column:
    """Reads the cells of one column and hands them to the store."""

    def __init__(self, guess: Guess, column: ColumnGuess, intake: Intake) -> None:
        self.column = column
        self.id = intake.channel(column.channel, column.column, column.conversion)
        self.left = NoReadings()
        self._intake = intake
        self._reader = cell_reader(guess.decimal, column.empties, state=column.measure == "state")
        self._point = guess.decimal == "."
        self._strange = strange_figures(column)
        self._empty_numbers = np.array([float(w) for w in column.empties if _is_number(w)])

    def take(self, lines: Whole, utc: Whole, cells: list[str]) -> None:
        """Take some rows' cells of this column."""
        if self.column.role == "remark":
            self._take_remarks(utc, cells)
            return
        values = numbers(cells, self._reader, point=self._point)
        self._drop(values, lines, cells)
        full = np.isfinite(values)
        self._intake.tally.empty += int(len(values) - full.sum())
        self._intake.add(self.id, utc[full], values[full])

    def _drop(self, values: Floats, lines: Whole, cells: list[str]) -> None:
        bad, left = np.flatnonzero(values == UNREADABLE), self.left
        for place in bad[: max(0, 3 - len(left.unread))].tolist():
            left.unread.append((int(lines[place]), word_of(cells[place])))
        left.unread_count += len(bad)
        blank = (word_of(cells[i]) for i in np.flatnonzero(np.isnan(values)).tolist())
        left.words.update(word for word in blank if word and word not in self.column.empties)
        for strange, counted in ((self._strange, True), (self._empty_numbers, False)):
            if len(strange):
                hit = np.isin(values, strange)
                left.sentinels += int(hit.sum()) if counted else 0
                values[hit] = np.nan

    def _take_remarks(self, utc: Whole, cells: list[str]) -> None:
        for moment, cell in zip(utc.tolist(), cells, strict=True):
            text = " ".join(cell.strip().strip('"').split())[:_LONGEST_REMARK]
            if text:
                self._intake.remark(self.id, moment, text)


def _is_number(word: str) -> bool:
    try:
        float(word)
    except ValueError:
        return False
    return True


class _Reading:
    """One pass over a file into an intake."""

    def __init__(self, guess: Guess, intake: Intake) -> None:
        self.guess, self.intake, self.account = guess, intake, Account()
        used = [column for column in guess.columns if column.role != "skip"]
        if not used:
            raise ReadingsError(f"{guess.path}: every column is to be skipped; give one a role with --map")
        try:
            self.columns = [_Column(guess, column, intake) for column in used]
        except ReadingsError as error:
            raise ReadingsError(f"{guess.path}: {error}") from None
        self._by_name = {column.column.column: column for column in self.columns}
        self._zone = None if guess.time.zone == IN_STAMPS else zone_of(guess.time.zone)
        self._clocks: dict[str, Clock] = {}

    def run(self, progress: Progress | None, cancel: Cancel | None) -> None:
        guess = self.guess
        name_at, value_at = guess.channel_place, guess.value_place
        for block in blocks(guess.path, guess.table, guess.time.stamp, self.account):
            if cancel and cancel():
                raise ImportCancelledError(f"{guess.path}: stopped; the store is as it was")
            if name_at is None or value_at is None:
                self._take_wide(block)
            else:
                self._take_long(block, name_at, value_at)
            if progress:
                progress(block.share_read, "reading")
        self.account.refuse_ruin(guess.path)
        tally = self.intake.tally
        tally.rows, tally.bad_rows = self.account.rows, self.account.bad_rows
        tally.notes += self.account.notes()
        for column in self.columns:
            tally.notes += column.left.notes(column.column.column)
        tally.notes += self._clock_notes()

    def _take_wide(self, block: Block) -> None:
        utc = self._utc("", block.lines, block.clock_s, block.offset_s)
        for column in self.columns:
            place = column.column.place
            column.take(block.lines, utc, [row[place] for row in block.rows])

    def _take_long(self, block: Block, name_at: int, value_at: int) -> None:
        places: dict[str, list[int]] = {}
        for i, row in enumerate(block.rows):
            places.setdefault(row[name_at].strip().strip('"') or NO_NAME, []).append(i)
        for name, rows in places.items():
            column = self._by_name.get(name)
            if column is None:
                continue
            chosen = np.array(rows, np.int64)
            utc = self._utc(name, block.lines[chosen], block.clock_s[chosen], block.offset_s[chosen])
            column.take(block.lines[chosen], utc, [block.rows[i][value_at] for i in rows])

    def _utc(self, clock_of: str, lines: Whole, clock_s: Whole, offset_s: Whole) -> Whole:
        """Return UTC seconds of some stamps of one clock in the file's order."""
        written = offset_s != NO_ZONE
        if self._zone is None:
            if not written.all():
                line = int(lines[np.flatnonzero(~written)[0]])
                raise ReadingsError(
                    f"{self.guess.path}:{line}: the stamp carries no offset though others do; "
                    "give the zone of such stamps with --map zone=UTC-7"
                )
            return clock_s - offset_s
        clock = self._clocks.setdefault(clock_of, Clock(self._zone, descending=self.guess.descending))
        utc, missing = clock.utc(clock_s)
        missing = missing[~written[missing]]
        if len(missing):
            place = int(missing[0])
            raise ReadingsError(
                f"{self.guess.path}:{int(lines[place])}: {never_shown(self._zone, int(clock_s[place]))}"
            )
        return np.where(written, clock_s - offset_s, utc) if written.any() else utc

    def _clock_notes(self) -> list[str]:
        moments = sorted({moment for clock in self._clocks.values() for moment in clock.one_pass})
        once = list({moment // 3600: moment for moment in reversed(moments)}.values())[
            ::-1
        ]  # an hour told once
        return [
            f"the hour of {shown(moment)} comes twice in {self.guess.time.zone}, in the file once: "
            "taken as the first pass; if the clock is never put back, give its zone as a fixed offset"
            for moment in once[:5]
        ]
