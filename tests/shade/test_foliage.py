"""Light through crowns and stands: the measured share for the whole crown, the law of path length beyond it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall.model.obstacle import Stand, Tree
from noonwall.shade.bodies import area, belt, is_convex, triangles
from noonwall.shade.chords import faded
from noonwall.shade.leaves import DENSEST, cone_passes, egg_passes, thickness, thickness_per_m
from noonwall.shade.receiver import Receiver
from noonwall.shade.scene import Scene
from noonwall.shade.site import scene_of
from shade.sites import beam, reach, site, way


@pytest.mark.parametrize("depth", [0.0, 1e-3, 0.3, 1.0, 4.0, 20.0, 39.0, 1e3])
def test_quick_exponential_is_an_exponential(depth: float):
    assert faded(depth) == pytest.approx(math.exp(-depth), abs=1e-5)
    assert faded(0.0) == 1.0


@pytest.mark.parametrize("law", [egg_passes, cone_passes])
def test_mean_share_agrees_with_counted_rays(law):
    # Witness: the same mean by counting level rays over the outline, Beer-Lambert along each.
    rng = np.random.default_rng(2)
    for depth in (0.2, 1.5, 6.0):
        x, z = rng.uniform(-1, 1, 400_000), rng.uniform(0, 1, 400_000)
        if law is egg_passes:
            way = np.sqrt(np.maximum(0.0, 1.0 - x**2 - (2 * z - 1) ** 2))
        else:
            way = np.sqrt(np.maximum(0.0, (1.0 - z) ** 2 - x**2))
        inside = way > 0.0
        assert law(depth) == pytest.approx(np.exp(-depth * way[inside]).mean(), abs=0.003)


@pytest.mark.parametrize("form", ["conifer", "broadleaf"])
def test_thickness_gives_the_share_back(form: str):
    law = cone_passes if form == "conifer" else egg_passes
    for passes in (0.05, 0.2, 0.5, 0.9):
        assert law(thickness(form, passes)) == pytest.approx(passes, abs=1e-6)
    assert thickness(form, 1.0) == 0.0
    assert thickness(form, 0.0) == DENSEST
    assert thickness_per_m(0.2, 4.0) == pytest.approx(-math.log(0.2) / 4.0)


@pytest.mark.parametrize("form", ["conifer", "broadleaf"])
def test_a_whole_crown_lets_its_nominal_share_of_level_light_through(form: str):
    tree = Tree(
        name="tree", form=form, along=0.0, out=20.0, height=10.0, crown_base=2.0, crown_width=5.0, passes_in_leaf=0.3,
        passes_bare=0.3, trunk=0.0,
    )  # fmt: skip
    project = site(tree)
    # A wall just larger than the crown, level light: what is missing is the outline times what is stopped.
    edges = np.linspace(-3.0, 3.0, 61)
    up = np.linspace(1.5, 10.5, 91)
    whole = Receiver(
        origin=np.zeros(3),
        axes=np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]]),
        columns=np.column_stack([edges[:-1], edges[1:]]),
        rows=np.column_stack([up[:-1], up[1:]]),
        bins=np.zeros((90, 60), np.int64),
        count=1,
    )
    asked = reach(project)
    asked = type(asked)(asked.scene, asked.frame, whole)
    share = asked.shares(np.array([[0.0, 1.0, 1e-6]]), np.zeros((1, 0)), np.zeros(1, np.int64))[0, 0]
    outline = 0.5 * 5.0 * 8.0 if form == "conifer" else math.pi / 4.0 * 5.0 * 8.0
    assert 1.0 - (1.0 - share) * 6.0 * 9.0 / outline == pytest.approx(0.3, abs=0.01)


def test_two_stands_in_line_multiply():
    # Witness: two crowns in line, each letting 0.55 through: 0.3025 (product).
    def hedge(name: str, out: float) -> Stand:
        return Stand(
            name=name, form="broadleaf", line=((-40.0, -out), (40.0, -out)), depth=1.0, height_low=30.0,
            height_high=30.0, passes_in_leaf=0.2, passes_bare=0.55,
        )  # fmt: skip

    one = beam(site(hedge("near", 10.0), azimuth_deg=180.0), way(0.5, 0.0), day=15.0)
    two = beam(site(hedge("near", 10.0), hedge("far", 14.0), azimuth_deg=180.0), way(0.5, 0.0), day=15.0)
    assert one == pytest.approx(0.55, abs=1e-3)
    assert two == pytest.approx(0.3025, abs=1e-3)
    in_leaf = beam(site(hedge("near", 10.0), azimuth_deg=180.0), way(0.5, 0.0), day=200.0)
    assert in_leaf == pytest.approx(0.2, abs=1e-3)


def test_slanting_light_goes_a_longer_way_through_a_stand():
    hedge = Stand(
        name="hedge", form="conifer", line=((-90.0, -10.0), (90.0, -10.0)), depth=1.0, height_low=30.0,
        height_high=30.0, passes_in_leaf=0.5, passes_bare=0.5,
    )  # fmt: skip
    project = site(hedge, azimuth_deg=180.0)
    for elevation, turn in ((0.5, 60.0), (20.0, 0.0), (20.0, 45.0)):
        longer = 1.0 / (math.cos(math.radians(elevation)) * math.cos(math.radians(turn)))
        assert beam(project, way(elevation, turn)) == pytest.approx(0.5**longer, rel=1e-3)


def test_thinning_is_a_number():
    def share(thinned: float) -> float:
        hedge = Stand(
            name="hedge", form="conifer", line=((-40.0, -10.0), (40.0, -10.0)), depth=1.0, height_low=30.0,
            height_high=30.0, passes_in_leaf=0.25, passes_bare=0.25, thinned=thinned,
        )  # fmt: skip
        return float(beam(site(hedge, azimuth_deg=180.0), way(0.5, 0.0)).mean())

    assert share(0.0) == pytest.approx(0.25, abs=1e-3)
    assert share(0.5) == pytest.approx(0.5, abs=1e-3)  # half the foliage, square root of the light
    assert share(1.0) == 1.0


def test_the_top_of_a_stand_fades_from_the_lowest_to_the_highest_tips():
    belt_of_firs = Stand(
        name="belt", form="conifer", line=((-60.0, -20.0), (60.0, -20.0)), depth=5.0, height_low=8.0, height_high=14.0,
    )  # fmt: skip
    project = site(belt_of_firs, azimuth_deg=180.0, height_m=1.0, foot_m=1.0)
    shares = [float(beam(project, way(e, 0.0)).mean()) for e in (10.0, 20.0, 24.0, 28.0, 32.0, 40.0)]
    assert shares == sorted(shares)
    assert shares[0] < 0.2
    assert 0.2 < shares[3] < 0.9
    assert shares[-1] == 1.0


def test_growth_raises_the_tip_and_keeps_the_lowest_branch():
    # Witness: horizon angle from a point 0.5 m up: top 12 m at 25 m is 24.70 degrees; 15 years at 0.4 m from 9 m
    # to 15 m give 30.11 degrees.
    young = Tree(
        name="fir",
        form="conifer",
        along=0.0,
        out=25.0,
        height=9.0,
        crown_width=3.0,
        crown_base=1.0,
        growth=0.4,
    )
    for years, top, angle in ((7.5, 12.0, 24.70), (15.0, 15.0, 30.11)):
        crown = scene_of(site(young), years).crowns[0]
        assert crown.tip_m == pytest.approx(top)
        assert crown.base_m == 1.0
        assert math.degrees(math.atan((crown.tip_m - 0.5) / 25.0)) == pytest.approx(angle, abs=0.005)
    full = young.model_copy(update={"full_height_m": 10.0})
    assert scene_of(site(full), 15.0).crowns[0].tip_m == 10.0


def test_belts_and_woods_keep_their_area():
    bent = belt(((0.0, 0.0), (10.0, 0.0), (16.0, 8.0)), 4.0)
    assert len(bent) == 2
    assert sum(abs(area(piece)) for piece in bent) == pytest.approx(20.0 * 4.0, rel=0.02)
    comb = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (4.0, 4.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0))
    assert not is_convex(comb)
    pieces = triangles(comb)
    assert sum(abs(area(piece)) for piece in pieces) == pytest.approx(abs(area(comb)))
    wood = Stand(name="wood", form="conifer", outline=comb, height_low=5.0, height_high=5.0)
    assert isinstance(scene_of(site(wood)), Scene)
