"""The errors of this room, as a branch of the one tree.

NoonwallError
└── ReadingsError        a file of readings, a map of its columns, or the store cannot be used as it stands
    └── ImportCancelledError  the builder stopped an import; the store is as it was
"""

from __future__ import annotations

from noonwall.errors import NoonwallError


class ReadingsError(NoonwallError):
    """Readings, their map or their store cannot be used as they stand."""


class ImportCancelledError(ReadingsError):
    """An import was stopped on request; nothing of it was kept."""
