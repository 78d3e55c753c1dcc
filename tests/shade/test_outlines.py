"""Silhouettes against the sky and shadows on the plan are where angles say."""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall.model.obstacle import Awning, Building, Post, Stand, Tree
from noonwall.shade.frame import Frame
from noonwall.shade.outlines import NEAREST_M, Plan, _silhouette, outer, sky_silhouettes, skyline_points
from noonwall.shade.site import scene_of
from shade.sites import site


def scene(*things: object) -> tuple:
    project = site(*things, azimuth_deg=180.0)
    return scene_of(project), Frame.of(project.wall)


def test_a_tree_stands_against_the_sky_at_its_angles():
    fir = Tree(
        name="fir", form="conifer", east=0.0, north=-20.0, height=12.0, crown_base=2.0, crown_width=4.0
    )
    shapes = sky_silhouettes(*scene(fir), along_m=0.0, height_m=2.0)
    crown = next(s for s in shapes if not s.solid)
    # Witness: trigonometry: tip at atan(10 / 20), half width atan-wise 2 m at 20 m.
    assert crown.high_deg.max() == pytest.approx(math.degrees(math.atan2(10.0, 20.0)), abs=0.3)
    half = math.degrees(math.asin(2.0 / 20.0))
    assert crown.azimuth_deg[[0, -1]] == pytest.approx([180.0 - half, 180.0 + half], abs=0.2)
    trunk = next(s for s in shapes if s.solid)
    assert trunk.high_deg.max() == pytest.approx(0.0, abs=0.2)


def test_an_awning_covers_the_sky_overhead():
    shapes = sky_silhouettes(*scene(Awning(name="awning", depth=1.0, above=0.1, side=3.0)), 0.0, 1.7)
    (awning,) = shapes
    assert awning.solid
    assert awning.high_deg.max() > 80.0
    middle = np.interp(180.0, awning.azimuth_deg, awning.low_deg)
    project = site(azimuth_deg=180.0)
    rise = project.wall.foot_m + project.wall.height_m + 0.1 - 1.7
    assert middle == pytest.approx(math.degrees(math.atan2(rise, 1.0)), abs=1.0)


def between_all(seen: np.ndarray, turns_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return lowest and highest elevation at each azimuth of all the lines between any two points."""
    aim = np.radians(turns_deg)
    side = seen[:, :1] * np.cos(aim) - seen[:, 1:2] * np.sin(aim)
    ahead = seen[:, :1] * np.sin(aim) + seen[:, 1:2] * np.cos(aim)
    one, other = np.triu_indices(len(seen), 1)
    crossed = side[one] * side[other] < 0.0
    part = np.where(crossed, side[one] / np.where(crossed, side[one] - side[other], 1.0), 0.0)
    far = ahead[one] + part * (ahead[other] - ahead[one])
    rise = np.degrees(np.arctan2(seen[one, 2:] + part * (seen[other, 2:] - seen[one, 2:]), far))
    return np.where(crossed, rise, np.inf).min(axis=0), np.where(crossed, rise, -np.inf).max(axis=0)


@pytest.mark.parametrize("seed", range(12))
def test_the_outline_alone_shows_what_all_lines_between_the_points_would(seed: int) -> None:
    chance = np.random.default_rng(seed)
    spread = chance.uniform(0.2, 30.0, 3)
    seen = chance.uniform(-1.0, 1.0, (40, 3)) * spread + [
        chance.uniform(-20.0, 20.0),
        0.0,
        chance.uniform(-3.0, 9.0),
    ]
    seen[:, 1] = np.maximum(seen[:, 1] + chance.uniform(0.0, 40.0), NEAREST_M)
    frame = Frame.of(site(azimuth_deg=180.0).wall)
    found = _silhouette("cloud", True, seen, frame)
    turns = found.azimuth_deg - frame.azimuth_deg
    low, high = between_all(seen, turns[1:-1])
    assert found.low_deg[1:-1] == pytest.approx(low, abs=1e-6)
    assert found.high_deg[1:-1] == pytest.approx(high, abs=1e-6)


def test_things_behind_the_wall_are_left_out():
    assert (
        sky_silhouettes(*scene(Post(name="mast", along=0.0, out=-20.0, width=0.3, height=9.0)), 0.0, 1.7)
        == ()
    )


def test_a_shadow_on_the_plan_is_height_over_tangent_long():
    post = Post(name="mast", east=3.0, north=-6.0, width=0.1, height=5.0)
    rise, azimuth = math.radians(30.0), math.radians(200.0)
    sun = np.array([math.cos(rise) * math.sin(azimuth), math.cos(rise) * math.cos(azimuth), math.sin(rise)])
    (mast,) = Plan(*scene(post)).shapes(sun)
    length = 5.0 / math.tan(rise)
    tip = np.array([3.0, -6.0]) - length * np.array([math.sin(azimuth), math.cos(azimuth)])
    assert np.abs(mast.shadow - tip).sum(axis=1).min() < 0.1
    assert np.hypot(*(mast.shadow - [3.0, -6.0]).T).max() == pytest.approx(length, abs=0.1)
    assert mast.footprint.mean(axis=0) == pytest.approx([3.0, -6.0], abs=1e-6)


def test_without_sun_there_are_footprints_and_no_shadows():
    house = Building(name="house", east=5.0, north=-9.0, width=4.0, length=3.0, eaves=3.0, faces=180.0)
    belt = Stand(
        name="belt",
        form="conifer",
        line=((-9.0, -15.0), (9.0, -15.0)),
        depth=3.0,
        height_low=5.0,
        height_high=5.0,
    )
    for sun in (None, np.array([0.0, -0.9, -0.1])):
        shapes = Plan(*scene(house, belt)).shapes(sun)
        assert {s.name for s in shapes} == {"house", "belt"}
        assert all(len(s.shadow) == 0 for s in shapes)
    foot = next(s for s in shapes if s.name == "house").footprint
    assert [*foot.min(axis=0), *foot.max(axis=0)] == pytest.approx([3.0, -10.5, 7.0, -7.5])


def test_an_open_site_has_nothing_to_draw():
    empty = scene()
    assert Plan(*empty).shapes(np.array([0.0, -0.8, 0.6])) == ()
    assert sky_silhouettes(*empty, 0.0, 1.7) == ()
    turns, heights = skyline_points(empty[0])
    assert turns[[0, -1]].tolist() == [0.0, 360.0]
    assert np.all(heights == 0.0)


def test_outlines_hold_their_points():
    rng = np.random.default_rng(4)
    cloud = rng.normal(size=(200, 2))
    first, second = outer(np.vstack([cloud, cloud[:7] + 5.0]), np.array([0, 200, 207]))
    for line, points in ((first, cloud), (second, cloud[:7] + 5.0)):
        step = np.roll(line, -1, axis=0) - line
        for point in points:
            turn = step[:, 0] * (point[1] - line[:, 1]) - step[:, 1] * (point[0] - line[:, 0])
            assert np.all(turn >= -1e-9)
