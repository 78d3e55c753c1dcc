"""The tables of readings.db, how they are made, and how an older file is brought up to date.

An *import* owns everything that came with it: which columns it read (source), the readings themselves (parts,
which point at pieces) and the remarks. Nothing of one import depends on another, so taking one back is
deleting its rows. Pieces are shared by their content: a logger that hands out its whole memory each time
costs nothing twice.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

from noonwall.logs.errors import ReadingsError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

APPLICATION_ID = 0x6E776C67
VERSION = 3
WINDOW_S = 30 * 86_400  # a part never reaches over a multiple of this
BUSY_S = 10.0

_TABLES = """
CREATE TABLE import (
    id INTEGER PRIMARY KEY AUTOINCREMENT, -- never given twice, so "undo 3" has one meaning for ever
    file TEXT NOT NULL,
    content TEXT NOT NULL UNIQUE,         -- SHA-256 of the unpacked file
    map TEXT NOT NULL,                    -- JSON: how its columns were understood
    made_s INTEGER NOT NULL,              -- when it was imported, UTC
    report TEXT NOT NULL                  -- JSON: counts and notes
) STRICT;
CREATE TABLE project (                    -- the project's text as it was when an import was made
    import_id INTEGER PRIMARY KEY REFERENCES import(id) ON DELETE CASCADE,
    text TEXT NOT NULL
) STRICT;
CREATE TABLE channel (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    role TEXT NOT NULL,
    measure TEXT NOT NULL,
    kind TEXT NOT NULL,
    height_m REAL,
    plane TEXT,
    place TEXT,
    stamp TEXT NOT NULL                   -- what a stamp marks: point, begin or end of a mean or an amount
) STRICT;
CREATE TABLE source (
    import_id INTEGER NOT NULL REFERENCES import(id) ON DELETE CASCADE,
    channel_id INTEGER NOT NULL REFERENCES channel(id),
    column_name TEXT NOT NULL,            -- heading in the file
    unit TEXT NOT NULL,                   -- unit in the file, SI = (written - zero) * scale
    zero REAL NOT NULL,
    scale REAL NOT NULL,
    PRIMARY KEY (import_id, channel_id)
) STRICT, WITHOUT ROWID;
CREATE TABLE piece (
    id INTEGER PRIMARY KEY,
    fingerprint BLOB NOT NULL UNIQUE,
    data BLOB NOT NULL
) STRICT;
CREATE TABLE part (
    channel_id INTEGER NOT NULL REFERENCES channel(id),
    span INTEGER NOT NULL,                -- which stretch of WINDOW_S seconds
    import_id INTEGER NOT NULL REFERENCES import(id) ON DELETE CASCADE,
    turn INTEGER NOT NULL,                -- order within the import
    piece_id INTEGER NOT NULL REFERENCES piece(id),
    readings INTEGER NOT NULL,
    first_s INTEGER NOT NULL,
    last_s INTEGER NOT NULL,
    rising INTEGER NOT NULL,              -- 1: each stamp later than the one before
    PRIMARY KEY (channel_id, span, import_id, turn)
) STRICT, WITHOUT ROWID;
CREATE INDEX part_of_import ON part(import_id);
CREATE INDEX part_of_piece ON part(piece_id);
CREATE TABLE fresh (                      -- single readings as they come in, until they are folded into parts
    channel_id INTEGER NOT NULL REFERENCES channel(id),
    import_id INTEGER NOT NULL REFERENCES import(id) ON DELETE CASCADE,
    time_s INTEGER NOT NULL,
    value REAL NOT NULL
) STRICT;
CREATE INDEX fresh_of_channel ON fresh(channel_id, time_s);
CREATE TABLE remark (
    import_id INTEGER NOT NULL REFERENCES import(id) ON DELETE CASCADE,
    channel_id INTEGER NOT NULL REFERENCES channel(id),
    time_s INTEGER NOT NULL,
    text TEXT NOT NULL
) STRICT;
CREATE INDEX remark_of_time ON remark(time_s);
CREATE TABLE finding (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,
    channel TEXT NOT NULL,
    from_s INTEGER NOT NULL,
    to_s INTEGER NOT NULL,
    evidence TEXT NOT NULL,               -- JSON: plain numbers
    consequence TEXT NOT NULL,
    verdict TEXT NOT NULL,                -- used, set aside, mended
    mend TEXT NOT NULL                    -- JSON: how it can be mended, null when it cannot
) STRICT;
CREATE TABLE judgement (                  -- the builder's word on a finding, outlives every new check
    kind TEXT NOT NULL,
    channel TEXT NOT NULL,
    from_s INTEGER NOT NULL,
    to_s INTEGER NOT NULL,
    verdict TEXT NOT NULL,
    role TEXT NOT NULL DEFAULT '',        -- what the channel stood for when it was judged
    PRIMARY KEY (kind, channel, from_s, to_s)
) STRICT, WITHOUT ROWID;
"""


def _judgements_know_roles(link: sqlite3.Connection) -> None:
    link.execute("ALTER TABLE judgement ADD COLUMN role TEXT NOT NULL DEFAULT ''")
    link.execute(
        "UPDATE judgement SET role = coalesce((SELECT role FROM channel WHERE name = judgement.channel), 'several')"
    )


def _projects_are_kept(link: sqlite3.Connection) -> None:
    link.execute(
        "CREATE TABLE project ("
        "import_id INTEGER PRIMARY KEY REFERENCES import(id) ON DELETE CASCADE, text TEXT NOT NULL) STRICT"
    )


# version -> step that brings a file of that version to the next
MIGRATIONS: dict[int, Callable[[sqlite3.Connection], None]] = {
    1: _judgements_know_roles,
    2: _projects_are_kept,
}


def connect(path: Path) -> sqlite3.Connection:
    """Open (or create) a store's file, brought to this version.

    path     of readings.db; its folder must exist
    raises   ReadingsError when it is no store, made by a newer noonwall, locked, or not to be written
    """
    try:
        link = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None)
    except sqlite3.Error:
        raise ReadingsError(f"{path}: cannot be opened; is its folder there, may you write in it?") from None
    try:
        _refuse_strange(link, path)
        link.execute("PRAGMA trusted_schema = OFF")  # a store may come from a stranger
        link.execute("PRAGMA foreign_keys = ON")
        link.execute("PRAGMA journal_mode = WAL")
        link.execute("PRAGMA synchronous = FULL")
        link.execute("PRAGMA cache_size = -32000")
        _bring_up_to_date(link, path)
    except sqlite3.Error as error:
        link.close()
        raise ReadingsError(f"{path}: {plain(error)}") from None
    except BaseException:
        link.close()
        raise
    return link


def plain(error: sqlite3.Error) -> str:
    """Return what the store's complaint means for the builder."""
    text = str(error)
    if "full" in text:
        return "the disk is full; nothing was written, the readings are as they were"
    if "locked" in text:
        return "another noonwall is writing to it; wait until that is done"
    if "not a database" in text or "malformed" in text:
        return "is no store of readings, or a damaged one; take the copy of a backup"
    if "readonly" in text:
        return "may only be read; give yourself the right to write it"
    return f"{text}; nothing was written, the readings are as they were"


def _bring_up_to_date(link: sqlite3.Connection, path: Path) -> None:
    if _version(link) == VERSION:
        return
    link.execute("BEGIN IMMEDIATE")
    try:
        empty = _refuse_strange(link, path)  # anew: another process may have been faster
        if empty:
            for statement in _TABLES.split(";"):
                link.execute(statement)
            link.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        else:
            for old in range(_version(link), VERSION):
                MIGRATIONS[old](link)
        link.execute(f"PRAGMA user_version = {VERSION}")
        link.execute("COMMIT")
    except BaseException:
        if link.in_transaction:
            link.execute("ROLLBACK")
        raise


def _refuse_strange(link: sqlite3.Connection, path: Path) -> bool:
    """Return whether the file is still empty; raise ReadingsError when it is not ours to write."""
    if link.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0:
        return True
    if link.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise ReadingsError(f"{path}: is some other database, not a store of readings")
    if (version := _version(link)) > VERSION:
        raise ReadingsError(
            f"{path}: made by a newer noonwall (form {version}, this one reads up to {VERSION}); "
            "bring noonwall up to date"
        )
    return False


def _version(link: sqlite3.Connection) -> int:
    return int(link.execute("PRAGMA user_version").fetchone()[0])
