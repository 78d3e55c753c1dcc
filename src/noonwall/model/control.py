"""Fans and the switches that start and stop them."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word

Spot = Literal["gap top", "absorber", "glazing", "room"]


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
        why="80 Pa, or twice the rated pressure if that is more",
        source="catalogue of fan curves",
    )
    curve: tuple[tuple[float, float], ...] = word(
        "curve",
        (),
        each=("flow", "pressure"),
        doc="points [flow m3/s, pressure Pa] of one fan, instead of rated flow and pressure",
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


class Switch(Record):
    """A temperature switch in the fans' circuit."""

    name: str = word("name", doc="what to call it")
    kind: Literal["close on rise", "open on rise", "difference"] = word(
        "kind",
        "close on rise",
        doc="closes when warm, opens when warm (a limit), or closes when the spot is warmer than the room",
        why="a snap switch that starts the fans",
        source=COMMON,
    )
    spot: Spot = word("spot", "gap top", doc="what it senses", why="where the air is warmest", source=COMMON)
    close: float = entry(
        "close",
        "temperature",
        low=-40.0,
        high=150.0,
        kind_if=("kind", "difference", "temperature_difference"),
        doc="temperature at which it closes (for 'difference': kelvin above the room)",
    )
    open: float = entry(
        "open",
        "temperature",
        low=-40.0,
        high=150.0,
        kind_if=("kind", "difference", "temperature_difference"),
        doc="temperature at which it opens (for 'difference': kelvin above the room)",
    )
    lag_s: float = entry(
        "lag",
        "time",
        90.0,
        low=0.0,
        high=3600.0,
        doc="thermal lag of the switch body",
        why="a bimetal disc in slow air",
        source=COMMON,
    )


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
