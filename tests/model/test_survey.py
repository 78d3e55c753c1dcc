"""Bearings, distances and angles become metres; trees get their figures from the catalogue."""

from __future__ import annotations

import math

import pytest

from noonwall.errors import ProjectError
from noonwall.model import file
from noonwall.model.obstacle import Post, Slope, Tree
from noonwall.model.place import StandingPoint
from noonwall.model.species import LeafYear, catalogue, day_number, leafage, usual_leaf_year
from noonwall.model.survey import (
    declination_deg,
    ground_at,
    height_by_tangent,
    height_of,
    modelled_declination_deg,
    spot_of,
)
from noonwall.model.templates import demo_text

BARE = file.from_text(demo_text()).model_copy(update={"obstacles": (), "pv": ()})
STAKE = StandingPoint(name="stake", east=3.0, north=-4.0, eye_height=1.5)


def project(**site: object):
    changed = BARE.site.model_copy(update=site)
    return BARE.model_copy(update={"site": changed, "standing_points": (STAKE,)})


def fir(**where: object) -> Tree:
    return Tree(name="fir", form="conifer", crown_width=4.0, **where)


def test_height_by_tangent():
    # Witness: tangent method H = D (tan a + tan b): D 20 m, 35 up, 4 down gives 15.40 m; worked school
    # example 50 ft, 17 degrees, eye at 5.5 ft: 20.8 ft printed.
    assert height_by_tangent(20.0, 35.0, 4.0) == pytest.approx(15.40, abs=0.005)
    assert height_by_tangent(50.0, 17.0, 0.0) + 5.5 == pytest.approx(20.8, abs=0.05)


def test_a_top_angle_alone_counts_from_the_eye_over_level_ground():
    sighted = fir(**{"from": "stake", "bearing": 180.0, "distance": 20.0, "top_angle": 30.0})
    assert height_of(project(), sighted, None) == pytest.approx(1.5 + 20.0 * math.tan(math.radians(30.0)))


def test_a_foot_angle_gives_the_height_and_where_its_ground_is():
    sighted = fir(
        **{"from": "stake", "bearing": 180.0, "distance": 20.0, "top_angle": 30.0, "foot_angle": 10.0}
    )
    down = 20.0 * math.tan(math.radians(10.0))
    assert spot_of(project(), sighted).ground_m == pytest.approx(1.5 - down)
    assert height_of(project(), sighted, None) == pytest.approx(down + 20.0 * math.tan(math.radians(30.0)))


def test_a_true_bearing_runs_from_north_clockwise():
    east_of_it = spot_of(project(), fir(height=9.0, **{"from": "stake", "bearing": 90.0, "distance": 10.0}))
    assert (east_of_it.east_m, east_of_it.north_m) == pytest.approx((13.0, -4.0))


def test_a_compass_bearing_turns_by_the_declination():
    by_compass = {"from": "stake", "bearing": 180.0, "distance": 10.0, "bearing_is": "magnetic"}
    spot = spot_of(project(declination_deg=-15.0), fir(height=9.0, **by_compass))
    turn = math.radians(165.0)
    assert (spot.east_m, spot.north_m) == pytest.approx(
        (3.0 + 10 * math.sin(turn), -4.0 + 10 * math.cos(turn))
    )


def test_along_and_out_are_the_walls_own_axes():
    spot = spot_of(project(), fir(height=9.0, along=0.0, out=12.0))
    facing = math.radians(BARE.wall.azimuth_deg)
    assert (spot.east_m, spot.north_m) == pytest.approx((12 * math.sin(facing), 12 * math.cos(facing)))


def test_declination_by_the_world_magnetic_model():
    # Witness: World Magnetic Model 2020 test values: 2020.0, height 0, 0 N 120 E: 0.16 degrees (from memory).
    place = {"latitude_deg": 0.0, "longitude_deg": 120.0, "elevation_m": 0.0}
    assert modelled_declination_deg(project(**place).site, "2020-01-01") == pytest.approx(0.16, abs=0.01)


def test_the_sites_own_declination_wins_and_a_missing_one_is_told():
    assert declination_deg(project(declination_deg=-17.0).site, STAKE) == -17.0
    with pytest.raises(ProjectError, match="magnetic_declination"):
        declination_deg(BARE.site, STAKE)
    dated = StandingPoint(name="stake", surveyed="2025-06-01")
    # Witness: the north-east of Maine lies near 16 degrees west on the isogonic map of 2025 (from memory).
    assert -18.0 < declination_deg(BARE.site, dated) < -14.0
    for bad in ("June 2025", "1890-01-01"):
        with pytest.raises(ProjectError):
            declination_deg(BARE.site, StandingPoint(name="stake", surveyed=bad))


def test_things_on_a_slope_stand_on_it():
    hill = Slope(name="hill", rise=10.0, uphill=180.0)
    sloping = project().model_copy(update={"obstacles": (hill,)})
    assert ground_at(sloping, 5.0, -20.0) == pytest.approx(20.0 * math.tan(math.radians(10.0)))
    assert spot_of(sloping, fir(height=9.0, east=5.0, north=-20.0)).ground_m == pytest.approx(
        3.527, abs=0.001
    )


def test_a_post_is_sighted_like_a_tree():
    post = Post(
        name="mast", width=0.2, **{"from": "stake", "bearing": 180.0, "distance": 8.0, "top_angle": 45.0}
    )
    assert height_of(project(), post, post.height_m) == pytest.approx(9.5)


def test_the_catalogue_holds_the_measured_shares():
    # Witness: Wilkinson 1992 in Tregenza & Sharples, algorithm 1.44; Heisler 1986 for the sugar maple.
    found = {name: (row.passes_in_leaf, row.passes_bare) for name, row in catalogue().items()}
    assert found["birch"] == (0.24, 0.54)
    assert found["beech"] == (0.19, 0.47)
    assert found["pine"] == (0.27, 0.30)
    assert found["sugar maple"] == (0.20, 0.60)
    for row in catalogue().values():
        assert row.sources
        assert 0.05 <= row.passes_in_leaf <= row.passes_bare <= 0.80


def test_leaves_come_and_go_on_a_ramp():
    year = LeafYear(out_day=day_number("05-05"), fall_day=day_number("10-15"), ramp_days=20.0)
    assert [year.leaf_share(d) for d in (0.0, 110.0, 200.0, 330.0)] == [0.0, 0.0, 1.0, 0.0]
    assert year.leaf_share(day_number("05-05")) == pytest.approx(0.5)
    assert year.leaf_share(day_number("10-15")) == pytest.approx(0.5)
    assert year.leaf_share(day_number("05-10")) == pytest.approx(0.75)


def test_south_of_the_equator_leaves_come_in_november():
    south = leafage(Tree(name="a", form="broadleaf", crown_width=4, height=9), -40.0)
    assert south.leaves.leaf_share(day_number("01-10")) == 1.0
    assert south.leaves.leaf_share(day_number("07-10")) == 0.0
    assert usual_leaf_year().leaf_share(day_number("07-10")) == 1.0


def test_what_the_builder_measured_wins():
    own = leafage(
        Tree(name="a", species="oak", crown_width=4, height=9, passes_in_leaf=0.3, growth=0.1), 46.0
    )
    assert (own.passes_in_leaf, own.passes_bare, own.growth_m_per_year) == (0.3, 0.5, 0.1)
    fir_like = leafage(Tree(name="a", form="conifer", crown_width=4, height=9, passes_in_leaf=0.05), 46.0)
    assert (fir_like.passes_bare, fir_like.leaves) == (0.05, None)
