"""What holds for every site: more never shades less, mirrors mirror, nothing shades nothing."""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.model.cover import Overhang
from noonwall.model.obstacle import Awning, Building, Post, Row, Slope, Stand, Tree, WingWall
from noonwall.shade.dome import plane_patches
from noonwall.shade.frame import Frame
from noonwall.shade.reach import Reach
from noonwall.shade.site import scene_of
from noonwall.shade.wall import wall_cells, wall_shade
from noonwall.sky.sun import sun_course
from shade.sites import beam, reach, site, way

if TYPE_CHECKING:
    from noonwall.model.project import Project

SUNS = np.vstack([way(e, t) for e in (3.0, 12.0, 25.0, 40.0, 60.0) for t in (-70.0, -35.0, -5.0, 10.0, 50.0)])


class Rolled:
    """The same draws as the property tests make, from a seeded stream."""

    def __init__(self, seed: int) -> None:
        self.stream = random.Random(seed)

    def number(self, low: float, high: float) -> float:
        return self.stream.uniform(low, high)

    def one(self, *choices: object) -> object:
        return self.stream.choice(choices)


class Drawn:
    """Draws of a property test."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw

    def number(self, low: float, high: float) -> float:
        return self.draw(st.floats(low, high))

    def one(self, *choices: object) -> object:
        return self.draw(st.sampled_from(choices))


def tree(pick: Rolled | Drawn) -> Tree:
    return Tree(
        name="tree", form=pick.one("conifer", "broadleaf"), along=pick.number(-15.0, 15.0),
        out=pick.number(3.0, 30.0), height=pick.number(4.0, 20.0), crown_base=pick.number(0.0, 2.0),
        crown_width=pick.number(1.0, 6.0), topped=pick.number(3.0, 20.0) if pick.one(False, True) else None,
    )  # fmt: skip


def obstacle(pick: Rolled | Drawn) -> object:
    """Any kind of obstacle somewhere before the wall."""
    along, out = pick.number(-12.0, 12.0), pick.number(4.0, 30.0)
    kind = pick.one("tree", "belt", "house", "awning", "post", "wing")
    if kind == "tree":
        return tree(pick)
    if kind == "belt":
        line = ((-9.0, -pick.number(6.0, 25.0)), (6.0, -pick.number(6.0, 25.0)))
        return Stand(name="belt", form="conifer", line=line, depth=4.0, height_low=6.0, height_high=9.0)
    if kind == "house":
        tall = pick.number(2.0, 6.0)
        return Building(
            name="house", roof="gable", along=along, out=out, width=5.0, length=3.0, eaves=tall,
            ridge=tall + 2.0, faces=pick.number(0.0, 360.0),
        )  # fmt: skip
    if kind == "awning":
        return Awning(
            name="awning", depth=pick.number(0.2, 2.0), tilt=pick.number(-30.0, 40.0),
            passes=pick.number(0.0, 0.8),
        )  # fmt: skip
    if kind == "post":
        return Post(name="post", along=along, out=out, width=0.3, height=8.0)
    return WingWall(name="wing", end=pick.one("left", "right"), depth=1.5, top=4.0)


@st.composite
def obstacles(draw: st.DrawFn) -> object:
    return obstacle(Drawn(draw))


def renamed(things: list) -> list:
    return [thing.model_copy(update={"name": f"{thing.name} {i}"}) for i, thing in enumerate(things)]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(obstacles(), max_size=3), obstacles())
def test_another_obstacle_never_adds_beam_or_sky(before: list, more: object):
    few, many = site(*renamed(before)), site(*renamed([*before, more]))
    assert np.all(beam(many, SUNS) <= beam(few, SUNS) + 1e-9)
    patches, _ = plane_patches(reach(few).receiver.axes, 8, 32)
    day = np.zeros(1)
    sky = [r.view(patches, r.scene.calendar(day)) for r in (reach(few), reach(many))]
    assert np.all(sky[1] <= sky[0] + 1e-9)
    assert np.all((sky[1] >= -1e-12) & (sky[0] <= 1.0))


def mirrored(thing: object) -> object:
    """Return an obstacle on the other side of the wall's middle; the wall faces due south."""
    if isinstance(thing, WingWall):
        return thing.model_copy(update={"end": "right" if thing.end == "left" else "left"})
    if isinstance(thing, Stand):
        return thing.model_copy(update={"line": tuple((-e, n) for e, n in thing.line)})
    if isinstance(thing, Awning):
        return thing
    changes = {"along_m": -thing.along_m}
    if isinstance(thing, Building):
        changes["faces_deg"] = (360.0 - thing.faces_deg) % 360.0
    return thing.model_copy(update=changes)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.lists(obstacles(), min_size=1, max_size=3))
def test_afternoon_on_the_mirrored_site_is_morning(things: list):
    there, here = (
        site(*renamed([mirrored(t) for t in things]), azimuth_deg=180.0),
        site(*renamed(things), azimuth_deg=180.0),
    )
    # Outlines mirror corner by corner, so rounding differs.
    assert beam(there, SUNS * [-1.0, 1.0, 1.0]) == pytest.approx(beam(here, SUNS), abs=1e-6)


def rolled_site(seed: int) -> Project:
    pick = Rolled(seed)
    return site(*renamed([obstacle(pick) for _ in range(pick.one(1, 2, 3))]))


def test_finer_cells_converge():
    off = []
    for seed in range(40):
        project = rolled_site(seed)
        grids = [beam(project, SUNS, rows=8 * n, columns=4 * n).mean(axis=1) for n in (1, 2, 4, 16)]
        off.append([np.abs(grid - grids[-1]).mean() for grid in grids[:-1]])
    eight, sixteen, thirty_two = np.mean(off, axis=0)
    assert sixteen < 0.6 * eight
    assert thirty_two < 0.6 * sixteen


def off_the_finest(project: Project) -> np.ndarray:
    """Return how far the grid that the year uses is from one of four times its fineness, for each sun."""
    usual = wall_cells(Frame.of(project.wall), 8, scene_of(project))
    rows, columns = len(usual.rows), len(usual.columns)
    used, finest = (beam(project, SUNS, rows=n * rows, columns=n * columns).mean(axis=1) for n in (1, 4))
    return np.abs(used - finest)


@pytest.mark.parametrize("seed", range(40))
def test_the_cells_in_use_are_fine_enough(seed: int):
    off = off_the_finest(rolled_site(seed))
    assert off.max() < 0.03
    assert off.mean() < 0.006


def test_two_shadows_in_one_place_are_not_counted_twice():
    # The worst that can be: one thing described twice.
    twice = [Awning(name=name, depth=1.0, tilt=tilt) for name, tilt in (("one", 0.0), ("other", 1.0))]
    off = off_the_finest(site(*twice))
    assert off.max() < 0.03
    assert off.mean() < 0.006


def course(step_s: int = 900):
    return sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64("2023-01-01"), step_s, 365 * 86400 // step_s)


def test_nothing_there_is_the_open_site_exactly():
    shade = wall_shade(site(), course(), 6)
    for part in (shade.beam_share, shade.sky_view, shade.horizon_view, shade.ground_share, shade.ground_sky):
        assert np.all(part == 1.0)
    # Things that shade nothing: a tree north of the shop, a level slope.
    aside = Tree(name="north", form="conifer", along=0.0, out=-60.0, height=5.0, crown_width=3.0)
    shade = wall_shade(site(aside, Slope(name="level", rise=0.0, uphill=0.0)), course(), 6)
    assert np.all(shade.beam_share == 1.0)
    assert shade.sky_view == pytest.approx(1.0, abs=1e-12)


def test_a_year_of_shade_keeps_its_shape_and_bounds():
    belt = Stand(
        name="belt",
        form="conifer",
        line=((-20.0, -18.0), (4.0, -18.0)),
        depth=5.0,
        height_low=9.0,
        height_high=13.0,
    )
    maple = Tree(name="maple", species="sugar maple", east=9.0, north=-14.0, height=14.0, crown_width=9.0)
    project = site(belt, maple, overhang=Overhang(depth=0.8, above=0.2))
    shade = wall_shade(project, course(), 6)
    steps = 365 * 96
    assert shade.beam_share.shape == shade.ground_share.shape == (steps, 6)
    assert shade.sky_view.shape == shade.horizon_view.shape == shade.ground_sky.shape == (365, 6)
    assert shade.day.shape == (steps,)
    assert (shade.day[0], shade.day[-1]) == (0, 364)
    for part in (shade.beam_share, shade.sky_view, shade.horizon_view, shade.ground_share, shade.ground_sky):
        assert part.min() >= 0.0
        assert part.max() <= 1.0 + 1e-12
    # In leaf the maple takes more sky than bare.
    assert shade.sky_view[200].mean() < shade.sky_view[20].mean()
    grown = wall_shade(project, course(), 6, years_on=10.0)
    assert grown.beam_share.mean() < shade.beam_share.mean()
    assert np.all(grown.sky_view <= shade.sky_view + 1e-9)


def test_days_between_bare_and_leaf_are_blended_closely():
    maple = Tree(name="maple", species="sugar maple", along=1.0, out=9.0, height=13.0, crown_width=9.0)
    oak = Tree(
        name="oak", species="oak", along=-6.0, out=12.0, height=12.0, crown_width=8.0, leaf_out="05-12"
    )
    project = site(maple, oak)
    shade = wall_shade(project, course(3600), 8)
    asked = Reach(
        scene_of(project), Frame.of(project.wall), wall_cells(Frame.of(project.wall), 8, scene_of(project))
    )
    sky, _ = plane_patches(asked.receiver.axes)
    for day in (10, 118, 124, 130, 200, 288):
        exact = asked.view(sky, asked.scene.calendar(np.array([float(day)])))[0]
        assert shade.sky_view[day] == pytest.approx(exact, abs=0.01)


def test_thinning_and_topping_give_light_back_and_never_more_than_felling():
    def noon(**changes: object) -> float:
        fir = Tree(name="fir", form="conifer", along=0.0, out=15.0, height=12.0, crown_width=5.0, **changes)
        return float(beam(site(fir), SUNS).mean())

    whole, thinned, topped, gone = (
        noon(),
        noon(thinned=0.5),
        noon(topped=6.0),
        float(beam(site(), SUNS).mean()),
    )
    assert whole < thinned < gone
    assert whole < topped < gone
    assert thinned < noon(thinned=1.0) <= gone  # the trunk is still there


def test_a_row_is_its_trees():
    firs = Row(
        name="firs",
        form="conifer",
        line=((-6.0, -15.0), (6.0, -15.0)),
        spacing=4.0,
        height_low=9.0,
        height_high=9.0,
        crown_width=3.0,
    )
    single = [
        Tree(name=f"fir {x}", form="conifer", east=x, north=-15.0, height=9.0, crown_width=3.0)
        for x in (-6.0, -2.0, 2.0, 6.0)
    ]
    assert beam(site(firs), SUNS) == pytest.approx(beam(site(*single), SUNS), abs=1e-12)


def test_shadow_length_is_height_over_tangent_of_elevation():
    # Witness: plane trigonometry; a post of height h reaches h / tan(elevation) on level ground.
    for elevation in (10.0, 30.0, 50.0):
        length = 6.0 / math.tan(math.radians(elevation))
        near, far = (Post(name="post", along=0.0, out=length - d, width=0.2, height=6.0) for d in (0.5, -0.5))
        low = {"foot_m": 0.0, "height_m": 0.3, "azimuth_deg": 180.0}
        assert beam(site(near, **low), way(elevation, 0.0), strips=1, rows=24).mean() < 1.0
        assert beam(site(far, **low), way(elevation, 0.0), strips=1, rows=24).mean() == 1.0


def test_the_uncompiled_kernel_is_the_same_text():
    code = (
        "import sys; sys.path.insert(0, 'tests')\n"
        "from shade.test_laws import twin\n"
        "print(repr([round(float(x), 10) for x in twin()]))"
    )
    told = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "NOONWALL_JIT": jit},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for jit in ("0", "1")
    ]
    assert told[0] == told[1]


def twin() -> np.ndarray:
    """Return beam shares of a small site with one of everything."""
    things = [
        Tree(name="fir", form="conifer", along=1.0, out=12.0, height=10.0, crown_width=4.0),
        Tree(name="maple", form="broadleaf", along=-3.0, out=14.0, height=11.0, crown_width=6.0, topped=8.0),
        Stand(
            name="hedge",
            form="conifer",
            line=((3.0, -8.0), (9.0, -9.0)),
            depth=1.0,
            height_low=2.0,
            height_high=2.5,
        ),
        Building(name="shed", roof="shed", along=-6.0, out=9.0, width=3.0, length=3.0, eaves=2.0, ridge=3.0),
        WingWall(name="wing", end="left", depth=1.0, top=3.0),
        Awning(name="awning", depth=0.8, above=0.1, tilt=10.0),
        Post(name="post", along=2.0, out=5.0, width=0.2, height=5.0),
    ]
    return beam(site(*things), SUNS[::3]).ravel()
