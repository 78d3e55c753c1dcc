"""What a command left behind, and the type of the function that runs one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True)
class Told:
    """What a command left behind."""

    code: int
    out: str
    err: str

    @property
    def complaint(self) -> str:
        """The one line of a failure; a test that reads it has checked that there is one and no traceback."""
        lines = self.err.splitlines()
        assert len(lines) == 1, self.err
        assert lines[0].startswith("noonwall: ")
        return lines[0].removeprefix("noonwall: ")


class Typed(Protocol):
    """Runs a command line."""

    def __call__(self, *words: str | Path) -> Told:
        """Return what it left behind."""
