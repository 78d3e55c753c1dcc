"""Where words go in a drawing so that none lies on another: each at the first of its places that is still free."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

LETTER = 0.62  # mean width of a letter over its size, a little generous
TALL = 1.12  # height of a line over its size
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
Spot = tuple[float, float]
Place = tuple[float, float, str]  # x, foot of the letters, anchor
Box = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass
class Labels:
    """The places that are taken in a drawing whose y runs downward."""

    wide: float
    tall: float
    gap: float = 2.0
    taken: list[Box] = field(default_factory=list)

    def keep(self, box: Box) -> None:
        """Keep a place free of words."""
        self.taken.append(box)

    def put(self, words: str, size: float, spots: Iterable[Place]) -> Place | None:
        """Take the first free place for some words.

        size     of the letters;  spots  (x, y of the foot of the letters, anchor: start, middle or end)
        Returns  the spot that was free, moved inside the drawing; None where none was
        """
        for x, y, anchor in spots:
            box, shift = self._box(words, size, x, y, anchor)
            if box is not None and not any(_meet(box, other) for other in self.taken):
                self.taken.append(box)
                return x + shift, y, anchor
        return None

    def _box(self, words: str, size: float, x: float, y: float, anchor: str) -> tuple[Box | None, float]:
        """Return what the words cover, and how far they were moved sideways to lie inside."""
        wide = LETTER * size * max(len(words), 1) + 2.0 * self.gap
        left = x - ANCHORS[anchor] * wide
        inside = min(max(left, 0.0), max(self.wide - wide, 0.0))
        box = (
            inside,
            y - 0.85 * TALL * size - 0.5 * self.gap,
            inside + wide,
            y + 0.25 * size + 0.5 * self.gap,
        )
        fits = box[1] >= 0.0 and box[3] <= self.tall
        return (box if fits else None), inside - left


class Names:
    """What to call things of numbered names: in full once, then by their number, where one family alone has numbers."""

    def __init__(self, every: Iterable[str]) -> None:
        self._told: set[str] = set()
        self._alone = len({stem for stem, number in map(_parted, every) if number}) == 1

    def short(self, name: str) -> str:
        """Return what to write beside a thing, if its family was named already."""
        stem, number = _parted(name)
        return number if number and self._alone and stem in self._told else name

    def said(self, name: str) -> None:
        """Note that a name stands in the drawing in full."""
        self._told.add(_parted(name)[0])


def _parted(name: str) -> tuple[str, str]:
    from noonwall.report.site_look import NUMBERED

    numbered = NUMBERED.fullmatch(name)
    return (numbered[1], numbered[2]) if numbered else (name, "")


def around(at: Spot, size: float, far: float) -> list[Place]:
    """Return places for words near a point: above, below, at its sides, then a line further off."""
    x, y = at
    below = y + far + 0.8 * size
    rise, level = y - far, y + 0.35 * size
    near = [(x, rise, "middle"), (x, below, "middle"), (x + far, level, "start"), (x - far, level, "end")]
    corners = [
        (x + side * far, foot, anchor)
        for foot in (rise, below)
        for side, anchor in ((1, "start"), (-1, "end"))
    ]
    return [*near, *corners, (x, y - far - 1.2 * size, "middle"), (x, below + 1.2 * size, "middle")]


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
