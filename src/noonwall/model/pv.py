"""PV modules near the wall."""

from __future__ import annotations

from noonwall.model.fields import Record, word


class PvField(Record):
    """A field of PV modules by name."""

    name: str = word("name", doc="what to call it; no two alike")
