"""What stands between the sun and the wall."""

from __future__ import annotations

from noonwall.model.fields import Record, word


class Obstacle(Record):
    """An obstacle by name."""

    name: str = word("name", doc="what to call it; no two alike")
