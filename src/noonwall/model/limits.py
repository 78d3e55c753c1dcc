"""Temperatures that materials bear, each with who says so: the catalogue of limits."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

Nature = Literal["lasting", "strength", "softening", "minutes", "touch", "service"]
Seen = Literal["quoted", "memory", "practice", "maker"]

GAP_AIR, ROOM_FACE = "gap air", "room face"


@dataclass(frozen=True)
class Limit:
    """One statement of one source about one kind of material."""

    name: str
    of: tuple[str, ...]  # names of the catalogues, or a place
    value_c: float
    nature: Nature
    told: str
    source: str
    seen: Seen

    @property
    def published(self) -> bool:
        """Whether a source stands behind it that was read or that the builder holds in hand."""
        return self.seen in ("quoted", "maker")


@cache
def limits() -> tuple[Limit, ...]:
    """Return all limits, in the order of the file."""
    text = resources.files("noonwall.model").joinpath("library", "limits.toml").read_text("utf-8")
    return tuple(
        Limit(
            name=row["name"],
            of=tuple(row["of"]),
            value_c=float(row["value_c"]),
            nature=row["nature"],
            told=row["told"],
            source=row["source"],
            seen=row["seen"],
        )
        for row in tomllib.loads(text)["limit"]
    )


def limits_of(name: str) -> tuple[Limit, ...]:
    """Return the limits that hold for a material, a glazing or a place, lowest first; () where none is known."""
    return tuple(sorted((one for one in limits() if name in one.of), key=lambda one: one.value_c))
