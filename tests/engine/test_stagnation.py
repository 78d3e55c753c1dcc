"""A wall that stands still in the sun: against the handbook's top loss and the collector test's own definition."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from pytest import approx

from engine.cases import case_of, held, standing
from fakes.walls import fans_by_hand, walled
from noonwall.engine.nodes import curves_of
from noonwall.engine.simulate import begin, run
from noonwall.model.layers import Layer

if TYPE_CHECKING:
    from noonwall.engine.simulate import Case
    from noonwall.model.project import Project

SIGMA = 5.670374419e-8
STEPS, STEP_S = 288, 300.0
ABSORBER = 0  # row of the absorbed-share tables


def klein_top_loss(
    plate_k: float,
    air_k: float,
    wind_w_m2k: float,
    plate_emittance: float,
    cover_emittance: float,
    covers: int,
    tilt_deg: float = 70.0,
) -> float:
    """Top loss of a flat collector by Klein's formula, unless told at the steepest tilt it was fitted for.

    Source  Duffie and Beckman, Solar Engineering of Thermal Processes, 4th ed. (2013), eq. 6.4.9 (from memory;
            its worked example is the test below)
    Valid   plate 40 to 200 C, within 0.3 W/m2K of the exact balance; tilts above 70 degrees as 70
    """
    f = (1.0 + 0.089 * wind_w_m2k - 0.1166 * wind_w_m2k * plate_emittance) * (1.0 + 0.07866 * covers)
    c = 520.0 * (1.0 - 0.000051 * tilt_deg**2)
    e = 0.430 * (1.0 - 100.0 / plate_k)
    convection = 1.0 / (covers / (c / plate_k * ((plate_k - air_k) / (covers + f)) ** e) + 1.0 / wind_w_m2k)
    radiation = SIGMA * (plate_k + air_k) * (plate_k**2 + air_k**2)
    radiation /= (
        1.0 / (plate_emittance + 0.00591 * covers * wind_w_m2k)
        + (2.0 * covers + f - 1.0 + 0.133 * plate_emittance) / cover_emittance
        - covers
    )
    return convection + radiation


def test_the_formula_gives_its_worked_example() -> None:
    # Witness: Duffie and Beckman (2013), example 6.4.2 (from memory): plate 100 C, air 10 C, wind 10 W/m2K, plate 0.95,
    # one glass 0.88, tilt 45: 6.6 W/m2K, printed to two digits.
    assert klein_top_loss(373.15, 283.15, 10.0, 0.95, 0.88, 1, 45.0) == approx(6.6, abs=0.05)


def stagnant(sheets: int, emittance: float) -> Project:
    """Return a collector as the handbook has it: glass, a shallow sealed gap, a plate, thick insulation behind."""
    plain = walled()
    glass = plain.wall.glazing.model_copy(
        update={"kind": "float glass 4 mm", "sheets": sheets, "sheet_gap_m": 0.025, "dirt_share": 0.0}
    )
    plate = plain.wall.absorber.model_copy(
        update={
            "emittance": emittance,
            "layers": (Layer(material="steel sheet", thickness=0.001),),
        }
    )
    wool = (Layer(material="mineral wool", r=50.0),)
    shut = plain.wall.vents.model_copy(update={"closed": (("01-01", "12-31"),)})
    wall = {
        "glazing": glass, "absorber": plate, "backing": wool, "gap_m": 0.025, "leakage_area_m2_per_m": 0.0,
        "vents": shut,
    }  # fmt: skip
    return walled(wall, fans=(), circuit=fans_by_hand("off"))


def in_the_sun(project: Project, sun_w_m2: float, out_c: float, film: float) -> tuple[Case, Any]:
    """Return case and state after a day of sun square on the wall, the sky as warm as the air."""
    case = held(case_of(project))
    case = case._replace(shop=case.shop._replace(heater_set_c=out_c), wall=case.wall._replace(sky_form=0.5))
    case = standing(
        case, STEPS, STEP_S, out_c=out_c, sky_c=out_c, outer_film=film, beam=sun_w_m2, vents_open=0.0
    )
    curves = curves_of(project)
    take = np.array(
        [curves.absorbed_by_absorber[0], curves.absorbed_by_back[0], *curves.absorbed_by_skin[:, 0]]
    )
    beam = np.repeat(take[:, None], STEPS, axis=1)
    case = case._replace(drive=case.drive._replace(take_beam=beam))
    return case, run(case, begin(case), 0, STEPS, nodes=True)


@pytest.mark.parametrize("sheets", [1, 2])
@pytest.mark.parametrize("emittance", [0.95, 0.15])
@pytest.mark.parametrize(("sun_w_m2", "out_c"), [(950.0, 10.0), (700.0, -5.0)])
def test_top_loss_at_stagnation_is_the_handbooks(
    sheets: int, emittance: float, sun_w_m2: float, out_c: float
) -> None:
    film = 10.0
    case, ran = in_the_sun(stagnant(sheets, emittance), sun_w_m2, out_c, film)
    plate_c = float(ran.after.right[0].mean())
    assert plate_c > 90.0
    absorbed = float(case.drive.take_beam[ABSORBER, 0]) * sun_w_m2
    # the sun that the panes take lifts their temperature too: a share of it counts as if the plate had it
    panes = float(case.drive.take_beam[2:, 0].sum()) * sun_w_m2
    top_loss = (absorbed + 0.5 * panes) / (plate_c - out_c)
    by_klein = klein_top_loss(plate_c + 273.15, out_c + 273.15, film, emittance, 0.84, sheets)
    assert top_loss == approx(by_klein, rel=0.05)


def test_stagnation_scales_as_the_collector_test_says() -> None:
    # Witness: ISO 9806, standard stagnation temperature: t_stg = t_as + G_s / G_m (t_sm - t_am) from a day measured at
    # G_m, t_am (formula as quoted in public test reports). It is straight in the sun; loss grows with temperature, so
    # the truth lies a little below.
    project = stagnant(1, 0.95)
    measured = float(in_the_sun(project, 800.0, 20.0, 10.0)[1].after.right[0].mean())
    truth = float(in_the_sun(project, 1000.0, 30.0, 10.0)[1].after.right[0].mean())
    told = 30.0 + 1000.0 / 800.0 * (measured - 20.0)
    assert told - 14.0 < truth < told


def test_more_sun_and_less_wind_are_hotter() -> None:
    project = stagnant(1, 0.95)
    mild = float(in_the_sun(project, 600.0, 10.0, 20.0)[1].after.right[0].mean())
    still = float(in_the_sun(project, 600.0, 10.0, 5.0)[1].after.right[0].mean())
    bright = float(in_the_sun(project, 900.0, 10.0, 5.0)[1].after.right[0].mean())
    assert mild < still < bright
    assert math.isfinite(bright)
