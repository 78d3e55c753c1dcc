"""What a flap saves: facts of the trade on the demo, and laws that hold for any flap."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from engine.cases import made_weather
from fakes.walls import walled
from noonwall.engine.simulate import simulate
from noonwall.model.openings import Flap
from noonwall.studies.night import DAMPER, DESCRIBED, FILM, NO_FLAP, SHUT, WORN, night_study

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Month
    from noonwall.studies.night import NightStudy

QUIET = settings(max_examples=12, deadline=None, derandomize=True)


def by_name(study: NightStudy) -> dict[str, Any]:
    return {choice.name: choice for choice in study.choices}


def test_the_demo_without_a_flap_runs_backwards_at_night(night: NightStudy) -> None:
    # Fact of the trade: such a wall works in reverse at night unless its air is stopped. Common practice, no source.
    assert not night.has_flap
    assert night.described.name == NO_FLAP
    assert night.loss.whole.lost_kwh > 0.1 * night.described.delivered_kwh
    assert night.loss.whole.backwards_share == approx(1.0, abs=0.02)
    by_hour = night.loss.by_hour_kwh
    assert min(by_hour[h] for h in (0, 1, 2, 3, 4)) > 10.0 * max(by_hour[h] for h in (11, 12, 13))


def test_flaps_save_in_the_order_of_their_leaks(night: NightStudy) -> None:
    ways = by_name(night)
    assert ways[FILM].lost_kwh < ways[WORN].lost_kwh < ways[NO_FLAP].lost_kwh
    assert ways[SHUT].lost_kwh < ways[FILM].lost_kwh
    for choice in night.choices:
        assert choice.saved_kwh == approx(ways[NO_FLAP].lost_kwh - choice.lost_kwh)
        assert choice.fuel is not None
        assert choice.fuel.heat_kwh == approx(ways[NO_FLAP].backup_kwh - choice.backup_kwh)
        # what the heater saves is never more than what was not lost: the flap costs some of the day's heat
        assert choice.fuel.heat_kwh <= choice.saved_kwh + 1.0


def test_a_spring_loaded_damper_kills_the_suns_own_draught(night: NightStudy) -> None:
    # Fact of the trade: a back-draft damper opens at 5 to 25 Pa and kills a thermosiphon, whose forces are about 2 Pa.
    ways = by_name(night)
    assert ways[DAMPER].delivered_kwh < 0.8 * ways[FILM].delivered_kwh


def test_a_flap_keeps_shop_air_off_the_pane(night: NightStudy) -> None:
    assert night.wet_with_flap.whole.water_g < night.wet.whole.water_g
    assert night.wet_with_flap.whole.frost_h > 0.0
    assert night.wet.worst is not None


def test_a_project_with_a_flap_is_set_beside_itself_without(weather: Weather) -> None:
    short = days(weather, 20, 4)
    own = walled({"flap": Flap(leak=0.1)})
    study = night_study(own, short, 900)
    assert study.has_flap
    assert [c.name for c in study.choices[:2]] == [NO_FLAP, DESCRIBED]
    assert FILM not in by_name(study)
    assert study.described.saved_kwh > 0.0
    assert "leaks 10 %" in study.described.told


def days(weather: Weather, first: int, count: int) -> Weather:
    """Return some days of a year."""
    cut = {
        item.name: getattr(weather, item.name)[24 * first : 24 * (first + count)]
        for item in fields(weather)
        if isinstance(getattr(weather, item.name), np.ndarray)
    }
    return replace(weather, start=weather.start + np.timedelta64(24 * first, "h"), **cut)


def sums(flap: Flap | None, first: int) -> Month:
    return simulate(walled({"flap": flap}), days(made_weather(), first, 3), 900).whole()


@given(
    st.floats(0.0, 1.0), st.floats(0.0, 20.0), st.floats(0.05, 1.0), st.sampled_from(["bottom", "top"]),
    st.sampled_from([10, 45, 100, 300]),
)  # fmt: skip
@QUIET
def test_a_flap_never_increases_night_loss(
    leak: float, opening: float, free: float, row: str, first: int
) -> None:
    flap = Flap.model_validate(
        {"leak": leak, "opening_pressure": opening, "open_share": free, "row": row}, strict=True
    )
    without, with_flap = sums(None, first).night_loss_kwh, sums(flap, first).night_loss_kwh
    assert with_flap <= without * 1.002 + 0.01


@pytest.mark.parametrize("row", ["bottom", "top"])
def test_a_stuck_flap_stops_nothing_or_everything(row: str) -> None:
    flap = Flap.model_validate({"row": row}, strict=True)
    stuck_open = sums(flap.model_copy(update={"stuck": "open"}), 20)
    stuck_shut = sums(flap.model_copy(update={"stuck": "shut"}), 20)
    working, none = sums(flap, 20), sums(None, 20)
    assert stuck_open.night_loss_kwh > 0.9 * none.night_loss_kwh
    assert stuck_shut.night_loss_kwh <= working.night_loss_kwh * 1.01
    assert stuck_shut.delivered_kwh < 0.5 * working.delivered_kwh
