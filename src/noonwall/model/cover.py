"""What is hung or built before the glazing: the opaque cover, and a plain overhang."""

from __future__ import annotations

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.spans import DayPair

DOWN_BELOW_K, DOWN_C = 3.0, 12.0  # when a cover's rule takes it down unless told; common practice, no source


class Cover(Record):
    """An opaque cover hung over the glazing."""

    hung: tuple[DayPair, ...] = word(
        "hung",
        (),
        doc="stretches of the year it hangs, as [from, to], such as ['05-15', '09-15']",
        source=ABSENT,
    )
    hang_above_c: float | None = entry(
        "hang_above",
        "temperature",
        None,
        low=-20.0,
        high=40.0,
        doc="rule: it is hung once the past week's mean outdoors is above this",
        source=ABSENT,
    )
    hot_days: int | None = word(
        "hot_days",
        None,
        low=1,
        high=7,
        doc="rule: it is hung once the shop got too hot on so many of the past seven days; the days are those "
        "of the same year without the cover",
        source=ABSENT,
    )
    take_down_below_c: float | None = entry(
        "take_down_below",
        "temperature",
        None,
        low=-20.0,
        high=40.0,
        doc="rule: it comes down once the past week's mean outdoors is below this",
        why="3 K below the one for hanging; 12 °C where the shop's hot days do the hanging",
        source=COMMON,
    )
    passes_share: float = entry(
        "passes",
        "share",
        0.02,
        low=0.0,
        high=1.0,
        doc="share of sun that still gets through",
        why="an opaque cloth with light at its edges",
        source=COMMON,
    )

    @property
    def by_rule(self) -> bool:
        """Whether a rule, not only dates, hangs it."""
        return self.hang_above_c is not None or self.hot_days is not None

    @property
    def down_c(self) -> float:
        """Weekly mean outdoors below which the rule takes it down [°C]."""
        if self.take_down_below_c is not None:
            return self.take_down_below_c
        return DOWN_C if self.hang_above_c is None else self.hang_above_c - DOWN_BELOW_K


class Overhang(Record):
    """A plain opaque roof edge above the wall, level, as wide as it is told to run past both ends."""

    depth_m: float = entry(
        "depth", "length", low=0.0, high=10.0, doc="how far it stands out from the glazing"
    )
    above_m: float = entry(
        "above",
        "length",
        0.1,
        low=0.0,
        high=10.0,
        doc="how far above the glazing's top it sits",
        why="trim between glazing and soffit",
        source=COMMON,
    )
    side_m: float = entry(
        "side",
        "length",
        1.0,
        low=0.0,
        high=100.0,
        doc="how far it runs past the wall at each side",
        why="a roof that runs on past the wall",
        source=COMMON,
    )
