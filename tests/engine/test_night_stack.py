"""A night that stands still: the engine's reversed flow against the two-opening stack worked by hand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from pytest import approx

from engine.cases import case_of, held, standing
from fakes.walls import fans_by_hand, walled
from noonwall.engine.simulate import begin, run
from noonwall.engine.state import S_FLOW

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats
    from noonwall.model.project import Project

GRAVITY, GAS, CP = 9.80665, 287.055, 1006.0
PRESSURE = 101325.0
STEPS, STEP_S = 2 * 288, 300.0


def with_vents(bottom: dict[str, Any], top: dict[str, Any]) -> Project:
    """Return the demo without fans, its gap so deep that channel and turns take a hundredth of the openings' part."""
    vents = walled().wall.vents
    rows = {"bottom": vents.bottom.model_copy(update=bottom), "top": vents.top.model_copy(update=top)}
    wall = {"gap_m": 0.4, "leakage_area_m2_per_m": 0.0, "vents": vents.model_copy(update=rows)}
    return walled(wall, fans=(), circuit=fans_by_hand("off"))


def night(project: Project, room_c: float, out_c: float) -> tuple[Floats, float, Floats]:
    """Return the gap's air strip by strip [C], the flow [kg/s], the strips' heights [m] after two still nights."""
    case = held(case_of(project))
    case = case._replace(shop=case.shop._replace(heater_set_c=room_c))
    case = standing(case, STEPS, STEP_S, out_c=out_c, sky_c=out_c)
    ran = run(case, begin(case), 0, STEPS)
    return ran.after.air, float(ran.after.scalar[S_FLOW]), case.wall.column


@pytest.mark.parametrize(("room_c", "out_c"), [(15.0, -10.0), (5.0, -25.0), (20.0, 5.0)])
@pytest.mark.parametrize(("width", "height"), [(0.36, 0.10), (0.20, 0.05)])
def test_reversed_flow_is_that_of_the_two_opening_stack(
    room_c: float, out_c: float, width: float, height: float
) -> None:
    # Witness: two openings one above the other, m = Cd A sqrt(2 rho dp) with the openings' resistances in series and
    # dp = g h (rho_gap - rho_room); ASHRAE Fundamentals, natural ventilation (stack), by hand from the gap's own air.
    row = {"width_m": width, "height_m": height}
    air, flow, column = night(with_vents(row, row), room_c, out_c)
    rho_room = PRESSURE / (GAS * (room_c + 273.15))
    rho_gap = PRESSURE / (GAS * (air + 273.15))
    dp = GRAVITY * float(np.sum(column * (rho_gap - rho_room)))
    opening = 0.62 * 5 * width * height
    # the shop's air enters at the top, the gap's cold air leaves at the foot
    resistance = 1.0 / (2.0 * rho_room * opening**2) + 1.0 / (2.0 * rho_gap[0] * opening**2)
    assert -flow == approx(math.sqrt(dp / resistance), rel=0.05)


@pytest.mark.parametrize(("room_c", "out_c"), [(15.0, -10.0), (5.0, -25.0)])
def test_the_heat_lost_is_what_the_pane_and_the_board_let_through(room_c: float, out_c: float) -> None:
    # Witness: heat balance by hand: flow x specific heat x cooling of the air = U A (gap air - outdoors) of the pane,
    # U of twin-wall 10 mm as makers print it, 3.18 W/m2K with films of 8 and 23 W/m2K, here 10 outside and none inside
    # but the gap's own; so between 1.5 and 4 W/m2K.
    row = {"width_m": 0.36, "height_m": 0.10}
    air, flow, _ = night(with_vents(row, row), room_c, out_c)
    lost_w = CP * -flow * (room_c - float(air[0]))
    per_kelvin = lost_w / (0.92 * 9.2 * 2.4 * (float(air.mean()) - out_c))
    assert 1.5 < per_kelvin < 4.0


def test_flow_goes_with_the_root_of_the_height_between_the_openings() -> None:
    # Witness: the same formula, 2.30 m between the rows against 1.20 m.
    roots = []
    for low, high in ((0.60, 1.80), (0.05, 2.35)):
        air, flow, column = night(with_vents({"centre_m": low}, {"centre_m": high}), 15.0, -10.0)
        between = column / column.sum()
        lean = float(np.sum(between / (air + 273.15))) - 1.0 / 288.15
        roots.append(-flow / math.sqrt(lean))
    assert roots[1] / roots[0] == approx(math.sqrt(2.30 / 1.20), rel=0.03)
