"""What a form is made of, as data: its boxes and their groups."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True)
class Row:
    """One box of a form: its key after the form's own, what to call it, a few words below it."""

    key: str
    label: str
    note: str = ""
    words: Mapping[str, str] | None = None  # for a choice: how to tell its words
    wide: bool = False


@dataclass(frozen=True)
class Group:
    """Boxes that belong together; ``seldom`` ones are folded away."""

    rows: tuple[Row, ...]
    seldom: tuple[Row, ...] = ()
    fold: str = "Seldom needed"
