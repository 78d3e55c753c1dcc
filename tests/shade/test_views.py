"""How much sky and ground strips of the wall see, against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall.model.cover import Overhang
from noonwall.model.obstacle import Building, Slope, WingWall
from noonwall.shade.dome import band_patches, plane_patches
from noonwall.shade.frame import Frame
from noonwall.shade.ground import ground_receiver, ground_weights
from shade.sites import demo, reach, site

STRIPS = 8


def sky(project: object, strips: int = STRIPS, columns: int = 8) -> np.ndarray:
    asked = reach(project, strips=strips, columns=columns)
    return asked.view(plane_patches(asked.receiver.axes)[0], asked.scene.calendar(np.zeros(1)))[0]


def test_nothing_in_the_way_gives_exactly_one():
    asked = reach(site())
    level = ground_receiver(asked.frame).axes
    sky, ground = plane_patches(asked.receiver.axes)
    assert len(sky.weight) == len(ground.weight)
    assert len(plane_patches(level)[1].weight) == 0
    for patches in (sky, ground, plane_patches(level)[0], band_patches(asked.receiver.axes)):
        assert patches.weight.sum() == pytest.approx(1.0, abs=1e-12)
        assert np.all(asked.view(patches, np.zeros((1, 0))) == 1.0)


def test_endless_overhang_leaves_the_sky_below_its_edge():
    # Witness: two-dimensional view factors, F = (sin b - sin a) / 2 from the normal (crossed strings, in
    # Howell, A Catalog of Radiation Heat Transfer Configuration Factors) (from memory).
    depth, above = 1.2, 0.1
    project = site(overhang=Overhang(depth=depth, above=above, side=100.0))
    low = project.wall.height_m * (1.0 - np.arange(STRIPS) / STRIPS) + above
    high = low - project.wall.height_m / STRIPS
    expected = (np.hypot(low, depth) - np.hypot(high, depth)) / (low - high)
    assert sky(project) == pytest.approx(expected, abs=0.004)


def test_endless_wing_wall_takes_half_of_what_it_takes_of_the_whole():
    # Witness: crossed strings in plan: a point ``a`` beside a wing of depth D keeps (1 + a/hypot(a, D))/2.
    depth, width = 2.0, 6.0
    project = site(WingWall(name="wing", end="left", away=0.0, depth=depth, top=50.0), width_m=width)
    assert sky(project).mean() == pytest.approx(
        0.5 * (1.0 + (math.hypot(width, depth) - depth) / width), abs=0.004
    )


def test_endless_parallel_wall_hides_the_sky_below_its_top():
    # Witness: crossed strings: at height h before a wall of height H at distance D, 1 - sin(atan((H-h)/D)).
    tall, far = 6.0, 8.0
    house = Building(name="row", along=0.0, out=far + 0.05, width=500.0, length=0.1, eaves=tall, faces=180.0)
    project = site(house, azimuth_deg=180.0)
    wall = project.wall
    h = wall.foot_m + wall.height_m * (np.arange(STRIPS) + 0.5) / STRIPS
    expected = 1.0 - np.sin(np.arctan((tall - h) / far))
    assert sky(project) == pytest.approx(expected, abs=0.006)


def corner_factor(a: float, b: float, c: float) -> float:
    """Small area to a parallel rectangle a x b, one corner straight before it at distance c."""
    x, y = a / c, b / c
    one = x / math.sqrt(1 + x * x) * math.atan(y / math.sqrt(1 + x * x))
    two = y / math.sqrt(1 + y * y) * math.atan(x / math.sqrt(1 + y * y))
    return (one + two) / (2.0 * math.pi)


def test_a_facade_opposite_takes_the_tabled_view_factor():
    # Witness: Howell's catalogue, small area to a parallel rectangle a corner on its normal (from memory).
    far, tall, wide = 7.0, 5.0, 9.0
    house = Building(name="house", along=1.5, out=far + 0.05, width=wide, length=0.1, eaves=tall, faces=180.0)
    project = site(house, azimuth_deg=180.0, width_m=0.3, height_m=0.3, foot_m=0.85)
    height = tall - 1.0
    hidden = corner_factor(wide / 2 + 1.5, height, far) + corner_factor(wide / 2 - 1.5, height, far)
    assert sky(project, strips=1).mean() == pytest.approx(1.0 - hidden / 0.5, abs=0.006)


def test_finer_patches_converge():
    project = site(
        WingWall(name="wing", end="left", depth=1.5, top=4.0), overhang=Overhang(depth=0.8, above=0.1)
    )
    asked = reach(project)
    calendar = asked.scene.calendar(np.zeros(1))

    def view(rings: int, spokes: int) -> np.ndarray:
        return asked.view(plane_patches(asked.receiver.axes, rings, spokes)[0], calendar)

    fine = view(160, 640)
    errors = [float(np.abs(view(n, 4 * n) - fine).max()) for n in (8, 16, 32, 64)]
    assert errors[-1] < 0.3 * errors[0]
    assert errors[-1] < 0.002
    assert float(np.abs(view(28, 144) - fine).max()) < 0.005


def test_ground_cells_carry_the_view_of_level_ground():
    # Witness: crossed strings, upright strip at height h to endless ground out to D: (1 - h/hypot(h, D))/2;
    # the grid is 6 m wider than the wall, so it holds a little less.
    frame = Frame.of(demo().wall)
    cells = ground_receiver(frame)
    weights = ground_weights(frame, STRIPS, cells)
    out = cells.rows[-1, 1]
    h = frame.foot_m + frame.height_m * (np.arange(STRIPS) + 0.5) / STRIPS
    endless = 1.0 - h / np.hypot(h, out)
    assert np.all(weights.sum(axis=1) <= endless + 0.01)
    assert np.all(weights.sum(axis=1) > endless - 0.12)


def test_rising_ground_takes_sky_and_gives_ground():
    # Witness: a plane rising at angle s before an upright wall hides sin(s) of its sky (crossed strings).
    project = site(Slope(name="hill", rise=12.0, uphill=180.0), azimuth_deg=180.0)
    assert sky(project) == pytest.approx(1.0 - math.sin(math.radians(12.0)), abs=0.006)
