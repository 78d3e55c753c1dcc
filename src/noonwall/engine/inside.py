"""The wall from within: the hottest strip of every node, step by step, for questions about its materials."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine import numbers as n
from noonwall.engine.nodes import STRIPS
from noonwall.engine.simulate import begin, build_case, hang_by_hot_days, run, surroundings

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from noonwall.climate.weather import Weather
    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case
    from noonwall.model.project import Project


@dataclass(frozen=True)
class Inside:
    """A run of the wall with all its nodes; arrays of shape (n,) or (n, nodes), temperatures at each step's end.

    Nodes are told by their hottest strip. Left: glazing skins from outdoors inward, then a plate absorber that
    has the air behind it. Right: from the face at the air towards the room. See `noonwall.engine.numbers`.
    """

    time: NDArray[np.datetime64]  # beginning of each step, local standard time
    step_s: int
    out_c: Floats
    room_c: Floats
    gap_c: Floats  # hottest strip of the air
    glazing_cold_c: Floats  # coldest strip of the inner skin
    left_c: Floats  # (n, left nodes)
    right_c: Floats  # (n, right nodes)
    mesh_c: Floats | None
    sun_on_wall_w: Floats
    flow_kg_s: Floats
    fan_share: Floats


def simulate_inside(
    project: Project,
    weather: Weather,
    step_s: int = 900,
    power: bool = True,
    strips: int = STRIPS,
    adjust: Callable[[Case], Case] | None = None,
) -> Inside:
    """Run shop and wall over the weather's stretch and keep every node of the wall.

    power   False: no electricity all along, neither for the fans nor for the heater
    adjust  changes the run's numbers before it begins, for questions of how sure they are
    Raises  WeatherError when weather and step do not fit; SolveError when a solve does not close
    """
    around = surroundings(project, weather, step_s)
    case = hang_by_hot_days(project, around, build_case(project, around, strips=strips))
    steps = len(case.drive.out_c)
    if not power:
        case = case._replace(drive=case.drive._replace(mains=np.zeros(steps)))
    if adjust is not None:
        case = adjust(case)
    out = run(case, begin(case), 0, steps, nodes=True).out
    nl, nr = len(case.wall.left_capacity), len(case.wall.right_capacity)
    first = n.COLUMNS
    return Inside(
        time=around.fine.time,
        step_s=step_s,
        out_c=around.fine.air_c,
        room_c=out[:, n.ROOM],
        gap_c=out[:, n.GAP_HOT],
        glazing_cold_c=out[:, n.INNER_COLD],
        left_c=out[:, first : first + nl],
        right_c=out[:, first + nl : first + nl + nr],
        mesh_c=out[:, first + nl + nr] if case.wall.mesh == 1 else None,
        sun_on_wall_w=out[:, n.SUN],
        flow_kg_s=out[:, n.FLOW],
        fan_share=out[:, n.FAN_SHARE],
    )
