"""What can fail on a wall: the cases of its worst hours, by the words a builder reads and writes."""

from __future__ import annotations

from typing import Literal

Case = Literal[
    "as described",
    "fans dead",
    "fans stuck on",
    "switch dead",
    "flap stuck open",
    "flap stuck shut",
    "vents blocked",
    "cover forgotten",
    "power out for a week",
]
CASES: tuple[Case, ...] = (
    "as described",
    "fans dead",
    "fans stuck on",
    "switch dead",
    "flap stuck open",
    "flap stuck shut",
    "vents blocked",
    "cover forgotten",
    "power out for a week",
)
