"""The awning's trade-off: a curve on which no point beats another, from calculated years."""

from __future__ import annotations

from itertools import pairwise

import pytest
from pytest import approx

from fakes.projects import demo, plain
from fakes.suns import STEP_S, demo_awning, demo_weather
from noonwall.errors import ProjectError, WeatherError
from noonwall.model.obstacle import Awning
from noonwall.shade.site import scene_of
from noonwall.studies.awning import Design, awning_curve, hung
from noonwall.studies.trial import Trial


def curve(project, **more):
    return awning_curve(project, demo_weather(), **{"points": 3, "step_s": STEP_S, **more})


def bare(**parts):
    project = plain(**parts)
    return project.model_copy(update={"wall": project.wall.model_copy(update={"overhang": None})})


def test_more_winter_sun_costs_summer_shade_all_along_the_curve():
    points = demo_awning().points
    assert len(points) >= 3
    for here, there in pairwise(points):
        assert here.winter_kept > there.winter_kept
        # Chosen by thinned light, within a hundredth or two of the calculated years.
        assert here.summer_blocked < there.summer_blocked + 0.02


def test_the_demo_can_keep_more_winter_sun_and_as_much_summer_shade_as_it_does():
    found = demo_awning()
    assert found.now.design == Design(1.6, -0.5, demo().pv[0].tilt_deg)
    enough = [point for point in found.points if point.enough]
    assert enough
    best = max(enough, key=lambda point: point.summer_blocked)
    assert best.winter_kept >= 0.9 > found.now.winter_kept
    assert best.given.season_heat > found.now.given.season_heat + 200.0


def test_a_point_is_the_year_of_a_project_so_described():
    found, project = demo_awning(), demo()
    point = found.points[0]
    field = project.pv[0].model_copy(
        update={
            "out_m": point.design.depth_m,
            "lower_edge_above_glazing_m": point.design.height_m,
            "tilt_deg": point.design.tilt_deg,
        }
    )
    described = project.model_copy(update={"pv": (field,)})
    given = Trial(described, demo_weather(), STEP_S).given(scene_of(described))
    assert point.given.heat == approx(given.heat, rel=1e-9)
    assert point.given.pv == approx(given.pv, rel=1e-9)
    assert found.without.pv == 0.0


def test_modules_stay_off_the_wall():
    field = demo().pv[0]
    for point in demo_awning().points:
        placed = hung(demo(), field, point.design).pv[0]
        assert placed.out_m > 0.0
        assert placed.name == field.name


def test_without_anything_over_the_glazing_a_new_awning_is_tried():
    found = curve(bare())
    assert (found.name, found.modules, found.now) == ("awning", False, None)
    assert found.points[0].winter_kept > found.points[-1].winter_kept
    assert curve(bare(obstacles=(Awning(name="awning", depth=1.0),))).now is not None


def test_the_overhang_is_an_awning():
    found = curve(plain())
    assert found.name == "overhang"
    assert found.now.design == Design(1.1, 0.4, 0.0)
    assert hung(plain(), Awning(name="overhang", depth=1.0), None).wall.overhang is None


def test_an_awning_that_comes_down_in_winter_takes_nothing_then():
    sail = Awning(name="sail", depth=1.5, hung=(("05-01", "09-15"),))
    found = curve(bare(obstacles=(sail,)), keep=0.95)
    assert all(point.winter_kept > 0.999 for point in found.points)
    assert max(point.summer_blocked for point in found.points) > 0.5


def test_a_name_that_is_none_and_half_a_year_are_one_line():
    with pytest.raises(ProjectError, match='there is "modules"'):
        curve(demo(), name="sail")
    from dataclasses import fields, replace

    weather = demo_weather()
    cut = {
        item.name: getattr(weather, item.name)[: 60 * 24]
        for item in fields(weather)
        if hasattr(getattr(weather, item.name), "shape")
        and getattr(weather, item.name).shape == weather.air_c.shape
    }
    with pytest.raises(WeatherError, match="no summer"):
        awning_curve(demo(), replace(weather, **cut), step_s=STEP_S)
