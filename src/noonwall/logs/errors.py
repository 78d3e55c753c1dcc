"""The errors of this room, as a branch of the one tree.

NoonwallError
└── ReadingsError        a file of readings, a map of its columns, or the store cannot be used as it stands
    ├── NoTimeError      no column of a file tells when; the builder may name one
    └── ImportCancelledError  the builder stopped an import; the store is as it was
"""

from __future__ import annotations

from noonwall.errors import NoonwallError


class ReadingsError(NoonwallError):
    """Readings, their map or their store cannot be used as they stand."""


class NoTimeError(ReadingsError):
    """No column of a file was found that holds a date and a time.

    ``names``  its columns, as they may be named for the time
    """

    def __init__(self, told: str, names: tuple[str, ...]) -> None:
        super().__init__(told)
        self.names = names


class ImportCancelledError(ReadingsError):
    """An import was stopped on request; nothing of it was kept."""
