"""Fans and the switches that start and stop them."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.spans import DayPair, HourPair

Spot = Literal["gap top", "absorber", "glazing", "room"]
SwitchKind = Literal["close on rise", "open on rise", "difference", "clock", "light", "by hand"]
FEELS_HEAT = ("close on rise", "open on rise", "difference")

MAINS_V, MODULE_V = 120.0, 12.0  # usual voltages where none is given; common practice, no source
POWER_FACTOR = 0.65  # of small shaded-pole fan motors on mains, 0.5 to 0.8; common practice, no source


class Fan(Record):
    """A kind of fan and how many of it; each sits in one opening of its row and blows from gap to room."""

    count: int = word("count", 1, low=1, high=100, doc="how many alike", source=ABSENT)
    row: Literal["bottom", "top"] = word(
        "row",
        "top",
        doc="which row of vents they sit in",
        why="pulls, so that the glazing is not blown outward",
        source=COMMON,
    )
    flow_m3_s: float = entry(
        "flow", "flow", low=0.001, high=10.0, doc="flow of one fan at the rated pressure"
    )
    pressure_pa: float = entry(
        "pressure",
        "pressure",
        0.0,
        low=0.0,
        high=2000.0,
        doc="rated pressure; 0 means the flow is the free-air figure",
        why="the flow printed on a box is the free-air figure",
        source=COMMON,
    )
    shutoff_pa: float | None = entry(
        "shutoff_pressure",
        "pressure",
        None,
        low=0.5,
        high=3000.0,
        doc="pressure at no flow; default: from the catalogue's usual curve",
        why="usual for small axial fans; twice the rated pressure if that is more",
        source="catalogue of fan curves",
    )
    curve: tuple[tuple[float, float], ...] = word(
        "curve",
        (),
        each=("flow", "pressure"),
        doc="points [flow, pressure] of one fan, instead of rated flow and pressure; bare numbers in the file are "
        "m3/s and Pa",
        source=ABSENT,
    )
    power_w: float = entry(
        "power", "power", low=0.1, high=5000.0, doc="electric power of one fan when running"
    )
    stopped_loss: float = entry(
        "stopped_loss",
        "number",
        6.0,
        low=0.5,
        high=500.0,
        doc="loss coefficient of a stopped fan on its opening's velocity head",
        why="a stopped axial fan lets some air through",
        source=COMMON,
    )
    supply: Literal["mains", "pv"] = word(
        "supply",
        "mains",
        doc="mains, or straight from a PV module",
        why="an outlet or a battery",
        source=COMMON,
    )
    voltage_v: float | None = entry(
        "voltage",
        "voltage",
        None,
        low=1.0,
        high=600.0,
        doc="voltage the fan is made for",
        why="120 V on mains, 12 V from a module",
        source=COMMON,
    )
    current_a: float | None = entry(
        "current",
        "current",
        None,
        low=0.005,
        high=100.0,
        doc="running current of one fan, as its label says",
        why="power over voltage; on mains over a power factor of 0.65 too, as small fan motors have",
        source=COMMON,
    )
    start_ratio: float = entry(
        "start_ratio",
        "number",
        6.0,
        low=1.0,
        high=20.0,
        doc="starting current over running current",
        why="a motor draws six times its running current while it starts",
        source="switch makers' guides to kinds of load, quoted in public pages",
    )

    hottest_air_c: float | None = entry(
        "hottest_air",
        "temperature",
        None,
        low=20.0,
        high=200.0,
        doc="hottest air the fan may run in, as its maker says",
        why="most fans and plain PVC cable are rated for 60 to 75 °C; the lower is taken",
        source="catalogue of limits, from memory: ratings usual in the trade",
    )

    @property
    def volts(self) -> float:
        """Voltage, the usual one of its supply unless given [V]."""
        usual = MAINS_V if self.supply == "mains" else MODULE_V
        return usual if self.voltage_v is None else self.voltage_v

    @property
    def running_a(self) -> float:
        """Running current of one fan, from its power unless given [A]."""
        factor = POWER_FACTOR if self.supply == "mains" else 1.0
        return self.power_w / (self.volts * factor) if self.current_a is None else self.current_a


class Switch(Record):
    """A switch in the fans' circuit: it feels heat or light, keeps hours, or is set by hand."""

    name: str = word("name", doc="what to call it")
    kind: SwitchKind = word(
        "kind",
        "close on rise",
        doc="what it does to the fans: starts them when warm; stops them when warm (a limit); starts them when the "
        "spot is warmer than the room; lets them run in its hours; starts them in the sun; lets them run on its days",
        why="a snap switch that starts the fans",
        source=COMMON,
    )
    spot: Spot = word("spot", "gap top", doc="what it senses", why="where the air is warmest", source=COMMON)
    height_m: float | None = entry(
        "height",
        "length",
        None,
        low=0.0,
        high=30.0,
        doc="for a switch that senses the room: its height above the floor; the air is warmer higher up, by "
        "shop.warmer_per_metre",
        why="half the eaves' height, where the shop's temperature is the mean",
        source="definition",
    )
    close: float | None = entry(
        "close",
        "temperature",
        None,
        low=-40.0,
        high=150.0,
        kind_if=("kind", "difference", "temperature_difference"),
        doc="temperature at which its contact closes: the fans start, or after a limit may run again (for "
        "'difference': so much above the room)",
        source=ABSENT,
    )
    open: float | None = entry(
        "open",
        "temperature",
        None,
        low=-40.0,
        high=150.0,
        kind_if=("kind", "difference", "temperature_difference"),
        doc="temperature at which its contact opens: the fans stop (for 'difference': so much above the room)",
        source=ABSENT,
    )
    hours: tuple[HourPair, ...] = word(
        "hours",
        (),
        doc="for 'clock': hours in which it lets the fans run, as [from, to], such as ['7:30', '16:00'], standard time",
        source=ABSENT,
    )
    days: tuple[DayPair, ...] = word(
        "days",
        (),
        doc="for 'by hand' and 'clock': stretches of the year in which it lets the fans run, as [from, to], such as "
        "['10-01', '04-30'] or ['Oct 1', 'Apr 30']; a clock without them keeps its hours all year",
        source=ABSENT,
    )
    close_sun_w_m2: float | None = entry(
        "close_sun",
        "irradiance",
        None,
        low=1.0,
        high=1500.0,
        doc="for 'light': sun on the wall at which its contact closes: the fans start",
        source=ABSENT,
    )
    open_sun_w_m2: float | None = entry(
        "open_sun",
        "irradiance",
        None,
        low=0.0,
        high=1500.0,
        doc="for 'light': sun on the wall below which its contact opens: the fans stop",
        source=ABSENT,
    )
    lag_s: float = entry(
        "lag",
        "time",
        90.0,
        low=0.0,
        high=3600.0,
        doc="thermal lag of the switch body; a clock, a light switch and a hand have none",
        why="a bimetal disc in slow air",
        source=COMMON,
    )
    contact_a: float | None = entry(
        "contact",
        "current",
        None,
        low=0.01,
        high=200.0,
        doc="current its contact is rated for",
        source=ABSENT,
    )
    contact_for: Literal["resistive", "motor"] = word(
        "contact_for",
        "resistive",
        doc="load that rating is printed for",
        why="a rating with no word beside it is for lamps and heaters, not for motors",
        source=COMMON,
    )

    @property
    def feels_heat(self) -> bool:
        """Whether a temperature moves it."""
        return self.kind in FEELS_HEAT


class Circuit(Record):
    """How the switches are wired: in series unless told otherwise. Empty: fans are off."""

    fans: Literal["automatic", "off", "on"] = word(
        "fans",
        "automatic",
        doc="by the switches, switched off by hand, or always on",
        source=ABSENT,
    )
    series: tuple[str | tuple[str, ...], ...] = word(
        "series",
        (),
        doc="names in series; a nested list is a parallel group; default: all switches in series",
        why="every switch can stop the fans",
        source=COMMON,
    )
    module_fans: Literal["straight", "through the switches"] = word(
        "module_fans",
        "straight",
        doc="how fans with supply = 'pv' are wired: to their module alone, or through the switches too",
        why="module and fan joined by two wires, nothing between",
        source=COMMON,
    )
    cable_m: float | None = entry(
        "cable",
        "length",
        None,
        low=0.1,
        high=1000.0,
        doc="length of the cable from the supply to the fans, one way",
        source=ABSENT,
    )
    wire_m2: float | None = entry(
        "wire",
        "area",
        None,
        low=1e-7,
        high=5e-4,
        doc="copper of one conductor, such as '2.5 mm2'",
        source=ABSENT,
    )
    wire_gauge: int | None = word(
        "wire_gauge", None, low=0, high=36, doc="the same as an American gauge number", source=ABSENT
    )
    most_drop_share: float = entry(
        "most_drop",
        "share",
        0.03,
        low=0.001,
        high=0.5,
        doc="share of the voltage that the cable may eat",
        why="3 % on a branch is what the code recommends (it does not require it)",
        source="NEC 210.19(A), informational note, quoted in public pages",
    )
