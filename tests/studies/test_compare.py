"""Ways side by side: figures of each are those of its own year, marks are what they say."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pytest import approx

from fakes.projects import plain, plain_text
from noonwall.assess.pieces import FRAME, STUDS
from noonwall.engine.simulate import simulate
from noonwall.errors import ProjectError
from noonwall.studies.change import Varied, varied
from noonwall.studies.compare import MEASURES, WOOD_C, compare_study

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.studies.compare import CompareStudy
    from noonwall.studies.hot import HotStudy


def measure(key: str):
    return next(m for m in MEASURES if m.key == key)


def test_the_first_way_is_the_project_itself(compare: CompareStudy, weather: Weather) -> None:
    whole = simulate(plain(), weather, 900).whole()
    first = compare.ways[0]
    assert first.name == "as described"
    assert first.delivered_kwh == approx(whole.delivered_kwh)
    assert first.too_hot_h == approx(whole.too_hot_hours)
    assert [way.name for way in compare.ways[1:]] == ["flap", "cover", "metal frame"]


def test_marks_tell_better_from_worse_and_both_from_noise(compare: CompareStudy) -> None:
    flap, cover, frame = 1, 2, 3
    assert compare.verdict(measure("night_loss_kwh"), flap) == "better"
    assert compare.verdict(measure("backup_kwh"), flap) == "better"
    assert compare.verdict(measure("useful_kwh"), flap) == "worse"
    assert compare.verdict(measure("too_hot_h"), cover) == "better"
    assert compare.verdict(measure("backup_kwh"), cover) == "same"
    assert compare.verdict(measure("wood_h"), frame) == "better"
    assert compare.verdict(measure("hottest_c"), frame) == "same"
    assert all(compare.verdict(m, 0) == "same" for m in MEASURES)


def test_wood_hours_are_those_of_the_frame_that_burns(compare: CompareStudy) -> None:
    assert compare.ways[0].wood_h > 50.0
    assert compare.ways[3].wood_h == 0.0


def test_wood_hours_are_the_same_as_those_of_the_worst_hours(compare: CompareStudy, hot: HotStudy) -> None:
    usual = [
        one.usual_hours
        for one in hot.standings
        if one.piece.name in (FRAME, STUDS) and one.limit.value_c == WOOD_C
    ]
    assert compare.ways[0].wood_h == max(usual)


def test_fuel_is_told_against_the_shop_without_the_wall(compare: CompareStudy) -> None:
    base, flap = compare.ways[0].fuel, compare.ways[1].fuel
    assert base is not None
    assert flap is not None
    assert flap.fuel_kwh > base.fuel_kwh > 0.0


def test_a_way_the_project_has_already_is_left_out(weather: Weather) -> None:
    text = plain_text()
    frame = varied(text, "metal frame").project
    ways = [Varied("metal frame", ("metal frame",), frame), varied(text, "flap")]
    study = compare_study(frame, ways, weather, 3600)
    assert study.already == ("metal frame",)
    assert [way.name for way in study.ways] == ["as described", "flap"]
    # asked for nothing else, it is shown all the same
    alone = compare_study(frame, ways[:1], weather, 3600)
    assert alone.already == ()
    assert len(alone.ways) == 2


def test_none_and_too_many_are_refused(weather: Weather) -> None:
    with pytest.raises(ProjectError, match="wanted 1 to 7"):
        compare_study(plain(), [], weather)
    with pytest.raises(ProjectError, match="wanted 1 to 7"):
        compare_study(plain(), [varied(plain_text(), "flap")] * 8, weather)


def test_a_variant_on_another_site_gets_its_own_weather(weather: Weather) -> None:
    moved = varied(plain_text(), "site.latitude=40.0 N")
    study = compare_study(plain(), [moved], weather, 3600)
    assert study.ways[1].winter_mean_c != approx(study.ways[0].winter_mean_c, abs=1e-6)
