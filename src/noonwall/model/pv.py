"""PV modules near the wall: they shade it, and they are shaded."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, entry, word
from noonwall.model.place import Placed


class PvField(Placed):
    """A field of equal modules in one plane; its place is the middle of its lower edge, seen from above.

    Modules are numbered from 1 at the lower left, seen from their sunny side: along the row, then row by row.
    """

    name: str = word("name", doc="what to call it; no two alike")
    rows: int = word(
        "rows", 1, low=1, high=200, doc="modules up the slope", why="a single row", source=COMMON
    )
    columns: int = word("columns", low=1, high=500, doc="modules along a row")
    upright: bool = word(
        "upright",
        True,
        doc="long side up the slope; no: long side level",
        why="as most are hung",
        source=COMMON,
    )
    long_m: float = entry(
        "module_length",
        "length",
        1.76,
        low=0.2,
        high=3.0,
        doc="long side of a module",
        why="a usual module of 400 W",
        source=COMMON,
    )
    short_m: float = entry(
        "module_width",
        "length",
        1.13,
        low=0.2,
        high=2.0,
        doc="short side of a module",
        why="a usual module of 400 W",
        source=COMMON,
    )
    column_gap_m: float = entry(
        "column_gap",
        "length",
        0.02,
        low=0.0,
        high=5.0,
        doc="free space between modules of a row",
        why="room for a clamp",
        source=COMMON,
    )
    row_gap_m: float = entry(
        "row_gap",
        "length",
        0.02,
        low=0.0,
        high=5.0,
        doc="free space between rows",
        why="room for a clamp",
        source=COMMON,
    )
    tilt_deg: float = entry(
        "tilt", "angle", low=0.0, high=90.0, doc="slope of the plane, level is 0, upright is 90"
    )
    azimuth_deg: float | None = entry(
        "azimuth",
        "bearing",
        None,
        low=0.0,
        high=360.0,
        doc="way it faces; default: as the wall",
        why="as the wall",
        source=COMMON,
    )
    lower_edge_m: float | None = entry(
        "lower_edge",
        "length",
        None,
        low=-50.0,
        high=100.0,
        doc="height of the lower edge above the ground",
        source=ABSENT,
    )
    lower_edge_above_glazing_m: float | None = entry(
        "lower_edge_above_glazing",
        "length",
        None,
        low=-20.0,
        high=50.0,
        doc="the same, above the glazing's top; negative: below it",
        source=ABSENT,
    )
    rated_w: float = entry(
        "rated",
        "power",
        400.0,
        low=5.0,
        high=1000.0,
        doc="rated power of one module",
        why="a usual module",
        source=COMMON,
    )
    power_per_k: float = entry(
        "power_per_kelvin",
        "per_kelvin",
        -0.0035,
        low=-0.01,
        high=0.0,
        doc="change of power per kelvin",
        why="crystalline silicon",
        source="PVWatts version 5 manual, NREL/TP-6A20-62641: -0.0035 for premium modules (from memory)",
    )
    bypass_parts: int = word(
        "bypass_parts",
        3,
        low=1,
        high=12,
        doc="parts of a module with a bypass diode each, side by side across its short side",
        why="three diodes in the box",
        source=COMMON,
    )
    string_modules: tuple[tuple[int, ...], ...] = word(
        "strings", (), doc="module numbers of each string", source=ABSENT
    )
    wiring: Literal["one string", "string per row", "module by module"] = word(
        "wiring",
        "one string",
        doc="how the modules are joined, if 'strings' does not say",
        why="the simplest inverter",
        source=COMMON,
    )
    inverter_w: float | None = entry(
        "inverter",
        "power",
        None,
        low=50.0,
        high=200000.0,
        doc="rated AC power; default: the modules' rating",
        why="as much as the modules",
        source=COMMON,
    )
    inverter_share: float = entry(
        "inverter_efficiency",
        "share",
        0.96,
        low=0.5,
        high=1.0,
        doc="efficiency of the inverter at its rating",
        why="a usual inverter",
        source="PVWatts version 5 manual, NREL/TP-6A20-62641: 0.96 (from memory)",
    )
    losses: float = entry(
        "losses",
        "share",
        0.05,
        low=0.0,
        high=0.5,
        doc="dirt, wires, mismatch; shade and heat not among them",
        why="dirt 2, wires 2, the rest 1 %",
        source="after PVWatts version 5 manual, NREL/TP-6A20-62641 (from memory)",
    )
    air_behind: Literal["free", "close"] = word(
        "air_behind",
        "free",
        doc="free air behind the modules, or close to a roof",
        why="open rack",
        source=COMMON,
    )

    @property
    def pitch_along_m(self) -> float:
        """From module to module along a row [m]."""
        return (self.short_m if self.upright else self.long_m) + self.column_gap_m

    @property
    def pitch_up_m(self) -> float:
        """From row to row up the slope [m]."""
        return (self.long_m if self.upright else self.short_m) + self.row_gap_m

    @property
    def modules(self) -> int:
        """How many modules."""
        return self.rows * self.columns

    def strings(self) -> tuple[tuple[int, ...], ...]:
        """Return the module numbers (from 1) of each string that has its own power tracker."""
        if self.string_modules:
            return self.string_modules
        numbers = tuple(range(1, self.modules + 1))
        if self.wiring == "module by module":
            return tuple((number,) for number in numbers)
        if self.wiring == "string per row":
            return tuple(numbers[r * self.columns : (r + 1) * self.columns] for r in range(self.rows))
        return (numbers,)
