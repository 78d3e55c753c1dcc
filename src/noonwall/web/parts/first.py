"""What new tables start with, and what notes below boxes give for an example, as the reader types it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.model.edit import Value
    from noonwall.units import System

# what an American builder would type in place of these starting values
_US_FIRST = {
    "10 m2": "100 ft2", "12 mm": "1/2 in", "140 mm": "5 1/2 in", "4 mm": "5/32 in", "400 mm": "16 in",
    "0.1 m3/s": "210 cfm", "43 C": "110 degF", "32 C": "90 degF",
    "5 C": "40 degF", "8 K": "15 degF", "3 K": "5 degF", "9 kW": "30000 Btu/h",
}  # fmt: skip


def first_values(first: Mapping[str, Value], system: System) -> dict[str, Value]:
    """Return what a new table starts with, in the units the reader types."""
    if system != "us":
        return dict(first)
    return {
        key: _US_FIRST.get(value, value) if isinstance(value, str) else value for key, value in first.items()
    }


# what an American would type in place of the examples below boxes
_US_NOTES = {
    "such as 05-15 to 09-15; 12-20 to 01-06": "such as May 15 to Sep 15; Dec 20 to Jan 6",
    "such as 20:00 to 07:00": "such as 8 pm to 7 am",
    "10-01 to 04-15": "such as Oct 1 to Apr 15",
    "such as 05-10": "such as May 10",
    "such as 10-15": "such as Oct 15",
}


def noted(note: str, system: System) -> str:
    """Return a note below a box, its example as the reader types it."""
    return _US_NOTES.get(note, note) if system == "us" else note
