"""Takes the readings of one import into the store, inside the one transaction the store has opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs import codec
from noonwall.logs.errors import ReadingsError
from noonwall.logs.records import Channel, Conversion, Floats, Tally, Whole
from noonwall.logs.schema import WINDOW_S

if TYPE_CHECKING:
    import sqlite3

HOLD = 2_000_000  # readings kept in memory before full stretches are written


class Intake:
    """What an import may do with the store; made by `Store.importing` only."""

    def __init__(self, link: sqlite3.Connection, import_id: int) -> None:
        self.import_id = import_id
        self.tally = Tally()
        self._link = link
        self._conversions: dict[int, Conversion] = {}
        self._held: dict[int, list[tuple[Whole, Floats]]] = {}
        self._count = 0
        self._turn = 0

    def channel(self, channel: Channel, column: str, conversion: Conversion) -> int:
        """Return the id of a channel, made if its name is new.

        column       heading in the file;  conversion   from the file's unit to SI
        raises       ReadingsError when the name stands for something else already
        """
        known = self._link.execute(
            "SELECT id, role, measure, kind, height_m, plane, place, stamp FROM channel WHERE name = ?",
            (channel.name,),
        ).fetchone()
        wanted = (
            channel.role, channel.measure, channel.kind, channel.height_m, channel.plane, channel.place,
            channel.stamp,
        )  # fmt: skip
        if known is None:
            cursor = self._link.execute(
                "INSERT INTO channel (name, role, measure, kind, height_m, plane, place, stamp) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (channel.name, *wanted),
            )
            found = int(cursor.lastrowid or 0)
        elif tuple(known[1:]) == wanted:
            found = int(known[0])
        else:
            before = Channel(channel.name, *known[1:])
            raise ReadingsError(
                f'column "{column}": the name "{channel.name}" stands for {_facts(before)} already, here it '
                f"would be {_facts(channel)}; give this column another name "
                f'(--map "{column}={channel.role}; name=...") or undo the earlier import'
            )
        if found in self._conversions:
            raise ReadingsError(
                f'two columns of this file carry the name "{channel.name}"; name one of them anew'
            )
        self._conversions[found] = conversion
        self._link.execute(
            "INSERT INTO source VALUES (?, ?, ?, ?, ?, ?)",
            (self.import_id, found, column, conversion.unit, conversion.zero, conversion.scale),
        )
        return found

    def add(self, channel_id: int, times_s: Whole, written: Floats) -> None:
        """Take readings of one channel, in the file's order.

        times_s   shape (n,), seconds since 1970 UTC;  written   shape (n,), finite, in the file's unit
        """
        if len(times_s) == 0:
            return
        self._held.setdefault(channel_id, []).append((times_s, written))
        self._count += len(times_s)
        if self._count > HOLD:
            self._write(everything=False)

    def remark(self, channel_id: int, time_s: int, text: str) -> None:
        """Take one remark; the same words at the same moment are kept once."""
        known = self._link.execute(
            "SELECT 1 FROM remark WHERE time_s = ? AND channel_id = ? AND text = ?",
            (time_s, channel_id, text),
        ).fetchone()
        self._link.execute(
            "INSERT INTO remark VALUES (?, ?, ?, ?)", (self.import_id, channel_id, time_s, text)
        )
        self.tally.remarks += 1
        self.tally.new += known is None
        self.tally.same += known is not None
        self._widen(time_s, time_s)

    def finish(self) -> None:
        """Write what is still held."""
        self._write(everything=True)

    def _widen(self, first_s: int, last_s: int) -> None:
        tally = self.tally
        tally.first_s = first_s if tally.first_s is None else min(tally.first_s, first_s)
        tally.last_s = last_s if tally.last_s is None else max(tally.last_s, last_s)

    def _write(self, *, everything: bool) -> None:
        """Write whole stretches; the one being filled stays, unless everything must go or it is too full."""
        for channel_id, blocks in self._held.items():
            times = np.concatenate([block[0] for block in blocks])
            values = np.concatenate([block[1] for block in blocks])
            blocks.clear()
            spans = times // WINDOW_S
            keep = (
                spans == spans[-1]
                if len(times) < HOLD // 2 and not everything
                else np.zeros(len(times), bool)
            )
            if keep.any():
                blocks.append((times[keep], values[keep]))
            for span in np.unique(spans[~keep]):
                chosen = (spans == span) & ~keep
                self._write_part(channel_id, int(span), times[chosen], values[chosen])
        self._held = {channel_id: blocks for channel_id, blocks in self._held.items() if blocks}
        self._count = sum(len(block[0]) for blocks in self._held.values() for block in blocks)

    def _write_part(self, channel_id: int, span: int, times: Whole, values: Floats) -> None:
        self._compare(channel_id, span, times, values)
        rising = bool(np.all(np.diff(times) > 0))
        first, last = int(times.min()), int(times.max())
        self._widen(first, last)
        self.tally.readings += len(times)
        self._turn += 1
        put_part(
            self._link, (channel_id, span, self.import_id, self._turn), times, values, (first, last, rising)
        )

    def _compare(self, channel_id: int, span: int, times: Whole, values: Floats) -> None:
        """Count which stamps are new, known with the same value, or known with another."""
        stamps, where = np.unique(times, return_index=True)
        self.tally.repeated += len(times) - len(stamps)
        rows = self._link.execute(
            "SELECT p.import_id, piece.data, s.zero, s.scale FROM part p JOIN piece ON piece.id = p.piece_id "
            "JOIN source s ON s.import_id = p.import_id AND s.channel_id = p.channel_id "
            "WHERE p.channel_id = ? AND p.span = ? ORDER BY p.import_id, p.turn",
            (channel_id, span),
        ).fetchall()
        here = self._conversions[channel_id]
        si, digit = here.si(values[where]), _digit(values, here.scale)
        fresh = np.ones(len(stamps), bool)
        for import_id, data, zero, scale in rows:
            old_times, old_values = codec.unpack(data)
            _, mine, theirs = np.intersect1d(stamps, old_times, return_indices=True)
            mine_new = fresh[mine]
            mine, theirs = mine[mine_new], theirs[mine_new]
            fresh[mine] = False
            if import_id == self.import_id:
                self.tally.repeated += len(mine)
                continue
            old = (old_values[theirs] - zero) * scale
            near = 0.5 * (digit + _digit(old_values, scale)) + 1e-9 * np.abs(old)
            same = int(np.count_nonzero(np.abs(old - si[mine]) <= near))
            self.tally.same += same
            self.tally.conflicting += len(mine) - same
        self.tally.new += int(fresh.sum())


def put_part(
    link: sqlite3.Connection,
    key: tuple[int, int, int, int],
    times: Whole,
    values: Floats,
    facts: tuple[int, int, bool],
) -> None:
    """Write one part and its piece, unless a piece with the same content is there.

    key     channel, span, import, turn;  facts   first stamp, last stamp, whether stamps rise
    """
    mark = codec.fingerprint(times, values)
    known = link.execute("SELECT id FROM piece WHERE fingerprint = ?", (mark,)).fetchone()
    if known is None:
        cursor = link.execute(
            "INSERT INTO piece (fingerprint, data) VALUES (?, ?)", (mark, codec.pack(times, values))
        )
        piece = int(cursor.lastrowid or 0)
    else:
        piece = int(known[0])
    link.execute("INSERT INTO part VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", (*key, piece, len(times), *facts))


def _digit(values: Floats, scale: float) -> float:
    """Return the last printed digit of the values [SI]."""
    places = codec.decimals_of(values)
    return 0.0 if places < 0 else scale * 10.0**-places


def _facts(channel: Channel) -> str:
    said = [channel.role, channel.kind]
    said += [f"{channel.height_m:g} m"] if channel.height_m is not None else []
    said += [text for text in (channel.plane, channel.place) if text]
    return f'"{", ".join(said)}"'
