"""Laws that hold for any shop and wall: short runs of random projects."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from pytest import approx

from engine.cases import ALWAYS, fans, made_weather, standing, varied, vents_shut
from fakes.projects import plain
from noonwall.engine import numbers as n
from noonwall.engine.ledger import make_ledger
from noonwall.engine.simulate import begin, build_case, run, surroundings
from noonwall.engine.state import start_state
from noonwall.model.cover import Cover
from noonwall.model.openings import Flap

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.simulate import Case, Ran, Surroundings
    from noonwall.model.project import Project

few = settings(max_examples=12, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate])
STEP_S = 900
WEEK_STEPS = 4 * 96


@cache
def stretch(first_day: int) -> Surroundings:
    """Return four days of the made year."""
    year = made_weather()
    hours = slice(24 * first_day, 24 * (first_day + 4))
    short: dict[str, Any] = {
        name: getattr(year, name)[hours]
        for name in ("air_c", "dewpoint_c", "pressure_pa", "wind_m_s", "ghi_w_m2", "dni_w_m2", "dhi_w_m2")
    }
    start = year.start + np.timedelta64(24 * first_day, "h")
    weather: Weather = replace(
        year, start=start, sky_infrared_w_m2=None, cloud_share=None, albedo=None, snow_depth_m=None, **short
    )
    return surroundings(plain(), weather, STEP_S)


days = st.sampled_from([20, 46, 75, 110, 200, 260, 300])


@st.composite
def walls(draw: st.DrawFn) -> dict[str, Any]:
    """Return attributes of a wall of any sensible build."""
    usual = plain().wall
    arrangement = draw(st.sampled_from(["air in front", "air behind", "mesh"]))
    absorber = usual.absorber.model_copy(
        update={
            "arrangement": arrangement,
            "absorptance": draw(st.floats(0.5, 0.98)),
            "emittance": draw(st.floats(0.1, 0.95)),
        }
    )
    height = draw(st.floats(1.2, 3.5))
    row = {"width_m": draw(st.floats(0.1, 0.6)), "height_m": draw(st.floats(0.04, 0.2))}
    vents = usual.vents.model_copy(
        update={
            "bottom": usual.vents.bottom.model_copy(update=row),
            "top": usual.vents.top.model_copy(update=row),
        }
    )
    return {
        "absorber": absorber, "height_m": height, "gap_m": draw(st.floats(0.03, 0.25)), "vents": vents,
        "leakage_area_m2_per_m": draw(st.floats(0.0, 0.002)),
        "inlet_from": draw(st.sampled_from(["room", "outdoors"])),
        "flap": draw(st.sampled_from([None, Flap()])),
    }  # fmt: skip


def circulating(wall: dict[str, Any]) -> dict[str, Any]:
    """Return the same wall with its lower vents to the room."""
    return wall | {"inlet_from": "room"}


def ran(project: Project, first_day: int, **drive: Any) -> tuple[Case, Ran]:
    """Run four days; ``drive`` replaces what acts, each a function of the case's own."""
    case = build_case(project, stretch(first_day))
    changed = {name: change(getattr(case.drive, name)) for name, change in drive.items()}
    case = case._replace(drive=case.drive._replace(**changed))
    return case, run(case, begin(case), 0, WEEK_STEPS)


def heat(found: Ran, column: int) -> float:
    return float(found.out[:, column].sum() * STEP_S / 3.6e6)


@given(walls(), days, st.sampled_from(["off", "on", "automatic"]))
@few
def test_energy_closes_for_any_project(wall: dict[str, Any], day: int, word: str) -> None:
    case, found = ran(varied(wall, circuit=fans(word)), day)
    ledger = make_ledger(case.wall, case.shop, found.ledger, found.before, found.after)
    assert ledger.closing_error_share < 1e-6
    # The network keeps air's mass to a ten-millionth: about a joule in four days, whatever little the gap carries.
    assert ledger.node_error_share < 1e-5


# The laws of heat are told of walls that circulate shop air. One that takes fresh air on a day warmer than the shop
# has two steady flows, up with outdoor air and down with shop air, and a little more sun may tip it from one to the
# other; the kernel and its slow twin then stay on the same branch.


@given(walls(), days, st.floats(0.3, 0.8), st.floats(0.02, 0.15), st.sampled_from(["off", "on"]))
@few
def test_more_absorptance_never_lowers_delivered_heat(
    wall: dict[str, Any], day: int, low: float, more: float, word: str
) -> None:
    def delivered(absorptance: float) -> float:
        absorber = wall["absorber"].model_copy(update={"absorptance": absorptance})
        project = varied(circulating(wall) | {"absorber": absorber}, circuit=fans(word))
        return heat(ran(project, day)[1], n.DELIVERED)

    assert delivered(low + more) >= delivered(low) - 1e-3


@given(walls(), days, st.floats(1.0, 25.0))
@few
def test_a_colder_sky_never_warms_the_glazing(wall: dict[str, Any], day: int, colder_k: float) -> None:
    shut = varied(circulating(wall) | {"vents": vents_shut()}, circuit=fans("off"))
    open_ = varied(circulating(wall), circuit=fans("off"))
    for project in (shut, open_):
        now = ran(project, day)[1].out
        cold = ran(project, day, sky_c=lambda sky: sky - colder_k)[1].out
        warmer = cold[:, [n.OUTER, n.INNER]] - now[:, [n.OUTER, n.INNER]]
        # Where air passes, a colder sky may put off the morning's turn of the flow, and the inner skin is for a
        # quarter of an hour some hundredths of a kelvin warmer; on the mean it never is.
        assert warmer[:, 0].max() < 0.02
        assert (warmer[:, 1].max() if project is shut else warmer[:, 1].mean()) < 0.02


@given(walls(), st.floats(-30.0, 35.0))
@few
def test_zero_sun_and_equal_temperatures_give_zero_flow(wall: dict[str, Any], all_c: float) -> None:
    case = build_case(varied(wall, circuit=fans("off")), stretch(20))
    shop = case.shop._replace(heater_w=0.0)
    still = standing(case._replace(shop=shop), 48, 900.0, out_c=all_c, sky_c=all_c, deep_c=all_c)
    state = start_state(still.wall, still.shop, still.switches, all_c, all_c, all_c)
    out = run(still, state, 0, 48).out
    assert abs(out[:, n.FLOW]).max() < 1e-9
    assert out[:, [n.ROOM, n.OUTER, n.ABSORBER, n.GAP_TOP]] == approx(all_c, abs=1e-6)


@given(walls(), st.sampled_from([20, 46, 75, 300]), st.floats(0.0, 2.0), st.floats(0.0, 0.2))
@few
def test_a_flap_never_increases_night_loss(
    wall: dict[str, Any], day: int, opening_pa: float, leak: float
) -> None:
    flap = Flap(opening_pa=opening_pa, leak_share=leak)
    flapped, bare = (
        heat(ran(varied(circulating(wall) | {"flap": hung}, circuit=fans("off")), day)[1], n.REVERSED)
        for hung in (flap, None)
    )
    assert flapped <= bare + 1e-3


@given(walls(), days, st.floats(0.0, 0.6), st.sampled_from(["off", "on"]))
@few
def test_a_cover_never_increases_delivered_heat(
    wall: dict[str, Any], day: int, passes: float, word: str
) -> None:
    cover = {"cover": Cover(hung=ALWAYS, passes_share=passes)}
    covered, bare = (
        heat(ran(varied(circulating(wall) | more, circuit=fans(word)), day)[1], n.DELIVERED)
        for more in (cover, {})
    )
    assert covered <= bare + 1e-3


@given(walls(), days)
@few
def test_nothing_runs_away(wall: dict[str, Any], day: int) -> None:
    _, found = ran(varied(wall, circuit=fans("off")), day)
    assert np.isfinite(found.out).all()
    assert found.out[:, n.ABSORBER].max() < 200.0
    assert found.out[:, n.OUTER].min() > -70.0
