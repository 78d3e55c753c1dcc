"""Why fans never start: which switch never closes, and how near it came."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    from noonwall.engine.year import Floats, Table, Year
    from noonwall.model.control import Spot, Switch
    from noonwall.model.project import Project

COLUMNS: dict[Spot, str] = {
    "gap top": "gap_top_c",
    "absorber": "absorber_c",
    "glazing": "glazing_inner_c",
    "room": "room_c",
}


@dataclass(frozen=True)
class NeverCloses:
    """A switch that never closes, for the place it senses is never warm enough."""

    switch: str
    spot: Spot
    above_room: bool  # both figures are kelvin above the room, not degrees Celsius
    close: float
    hottest: float
    time: np.datetime64  # when that was


@dataclass(frozen=True)
class IdleFans:
    """Fans that did not run in any step."""

    by_hand: bool  # circuit.fans = "off"
    switches: tuple[NeverCloses, ...]  # empty when something else holds them


def idle_fans(year: Year, project: Project) -> IdleFans | None:
    """Return why the fans never ran; None when they did, or when there are none.

    year  a simulated year;  project  the project it was calculated for
    """
    if not project.fans or year.table.fan_share.any():
        return None
    if project.circuit.fans == "off":
        return IdleFans(by_hand=True, switches=())
    found = (_never(switch, year.table) for switch in project.switches)
    return IdleFans(by_hand=False, switches=tuple(one for one in found if one is not None))


def _never(switch: Switch, table: Table) -> NeverCloses | None:
    if switch.kind not in ("close on rise", "difference") or switch.close is None:
        return None
    above = switch.kind == "difference"
    felt: Floats = getattr(table, COLUMNS[switch.spot])
    felt = felt - table.room_c if above else felt
    top = int(felt.argmax())
    if felt[top] >= switch.close:
        return None
    return NeverCloses(switch.name, switch.spot, above, switch.close, float(felt[top]), table.time[top])
