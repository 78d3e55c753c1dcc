"""Ways for air: vents to the room, the flap on them, and vents to outdoors."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.spans import DayPair, HourPair


class VentRow(Record):
    """A row of equal openings between gap and room (or outdoors)."""

    count: int = word("count", low=1, high=200, doc="how many")
    width_m: float = entry("width", "length", low=0.01, high=5.0, doc="width of one opening")
    height_m: float = entry("height", "length", low=0.01, high=2.0, doc="height of one opening")
    centre_m: float | None = entry(
        "centre",
        "length",
        None,
        low=0.0,
        high=30.0,
        doc="height of its middle above the wall's foot; default: just inside the wall's end",
        why="just inside the wall's end",
        source="geometry",
    )
    discharge: float = entry(
        "discharge",
        "share",
        0.62,
        low=0.1,
        high=1.0,
        doc="discharge coefficient of a bare opening",
        why="opening with square edges",
        source="ASHRAE Fundamentals, ventilation: 0.60 to 0.65",
    )
    screen_open_share: float = entry(
        "screen_open_share",
        "share",
        1.0,
        low=0.2,
        high=1.0,
        doc="free share of an insect screen over it; 1 for none",
        source=ABSENT,
    )

    @property
    def area_m2(self) -> float:
        """Total opening of the row [m²]."""
        return self.count * self.width_m * self.height_m


class Vents(Record):
    """The openings at the foot and at the top."""

    bottom: VentRow = word("bottom", doc="the lower row")
    top: VentRow = word("top", doc="the upper row")
    closed: tuple[DayPair, ...] = word(
        "closed",
        (),
        doc="stretches of the year with the vents shut, as [from, to], such as ['05-15', '09-15']",
        source=ABSENT,
    )
    shut_hours: tuple[HourPair, ...] = word(
        "shut_hours",
        (),
        doc="hours in which somebody shuts them every day, as [from, to], such as ['20:00', '7:00'], standard time",
        source=ABSENT,
    )


class Flap(Record):
    """A one-way flap that lets air pass upward through the wall only."""

    row: Literal["bottom", "top"] = word(
        "row", "bottom", doc="which row it hangs in", why="cold air leaves there at night", source=COMMON
    )
    opening_pa: float = entry(
        "opening_pressure",
        "pressure",
        0.3,
        low=0.0,
        high=50.0,
        doc="pressure that just lifts it",
        why="thin film on a mesh; a metal back-draft damper needs 5 to 25 Pa",
        source=COMMON,
    )
    leak_share: float = entry(
        "leak",
        "share",
        0.03,
        low=0.0,
        high=1.0,
        doc="opening that stays when shut, as a share of the row's area",
        why="film that lies well; a warped one leaves more",
        source=COMMON,
    )
    open_share: float = entry(
        "open_share",
        "share",
        0.85,
        low=0.05,
        high=1.0,
        doc="free share of the row's area when fully open",
        why="the mesh it lies on takes the rest",
        source=COMMON,
    )
    stuck: Literal["no", "open", "shut"] = word(
        "stuck", "no", doc="a flap that no longer moves", source=ABSENT
    )


class SummerVent(Record):
    """Openings that let the gap's air go outdoors in the warm season."""

    top_area_m2: float = entry(
        "top_area", "area", 0.0, low=0.0, high=10.0, doc="opening at the top to outdoors", source=ABSENT
    )
    bottom_area_m2: float = entry(
        "bottom_area", "area", 0.0, low=0.0, high=10.0, doc="opening at the foot to outdoors", source=ABSENT
    )
    open: tuple[DayPair, ...] = word(
        "open",
        (),
        doc="stretches of the year they stand open, as [from, to], such as ['05-15', '09-15']",
        source=ABSENT,
    )
