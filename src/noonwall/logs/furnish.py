"""Gives a folder with the demo project its invented year of readings."""

from __future__ import annotations

import gzip
from typing import TYPE_CHECKING

from noonwall.errors import OutputError
from noonwall.logs import maps
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.invent import MAP, UTC_OFFSET_H, assumed_text, shipped_table
from noonwall.logs.quality.check import check_and_keep
from noonwall.logs.store import Store
from noonwall.model.file import from_text
from noonwall.model.templates import signed

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.records import Import
    from noonwall.units import System

FILE = "readings-invented.csv"
README = "README-invented.txt"
WORDS = """Everything in this folder is invented: no such shed stands anywhere, nobody measured anything.

noonwall.toml           the shed and its wall as its owner describes them after a year
readings-invented.csv   a year of readings (2025), calculated with other values than the owner assumes, with noise,
                        gaps and a few things that went wrong; read into readings.db already

noonwall recap .        tells whether the year was as good as its weather allowed, and what went wrong
"""


def furnish(file: Path, name: str | None = None, system: System = "metric") -> Import:
    """Make a fresh copy of the demo project one that was lived in for a year: assumptions, readings, a word on them.

    file     the noonwall.toml that `noonwall.model.templates.create` has just written
    name     of the project, default: its own;  system  units it is told in
    Returns  the import of the readings
    Raises   OutputError when a file cannot be written
    """
    folder, text = file.parent, signed(assumed_text(), name, system)
    project = from_text(text)
    table = folder / FILE
    try:
        file.write_text(text, encoding="utf-8")
        (folder / README).write_text(WORDS, encoding="utf-8")
        table.write_bytes(gzip.decompress(shipped_table()))
    except OSError as error:
        reason = (error.strerror or "the system refused").lower()
        raise OutputError(f"{error.filename or folder}: cannot be written: {reason}") from error
    guess = guess_file(table, said=maps.typed(MAP), folder=folder, utc_offset_h=UTC_OFFSET_H)
    with Store(folder) as store:
        found = import_file(store, guess)
        maps.keep(folder, guess.table.names, guess.as_map())
        check_and_keep(store, project.site)
    return found
