"""A mark of what a folder's readings say: it differs when an import, a finding or a word on one has changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.errors import NoonwallError

if TYPE_CHECKING:
    from pathlib import Path

Mark = tuple[object, ...]


def mark_of(folder: Path) -> Mark:
    """Return the mark of a folder's readings, empty where nothing was read; a store in use counts as unread."""
    if not (folder / "readings.db").exists():
        return ()
    from noonwall.logs.store import Store

    try:
        with Store(folder) as store:
            imports = tuple(item.id for item in store.imports())
            words = tuple((item.id, item.verdict) for item in store.findings())
    except NoonwallError:
        return ()
    return imports, words
