"""The plain overhang against the profile-angle rule and a counted shadow."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.model.wall import Overhang
from noonwall.shade.frame import Frame
from noonwall.shade.overhang import shade_overhang

WALL = Frame(azimuth_deg=180.0, width_m=6.0, height_m=2.4, foot_m=0.3)


def sun(elevation_deg: float, off_normal_deg: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rise, turn = math.radians(elevation_deg), math.radians(off_normal_deg)
    parts = (math.cos(rise) * math.sin(turn), math.cos(rise) * math.cos(turn), math.sin(rise))
    return tuple(np.array([part]) for part in parts)


def lit(overhang: Overhang, elevation_deg: float, off_normal_deg: float, strips: int = 1) -> np.ndarray:
    share = np.ones((1, strips))
    shade_overhang(WALL, overhang, *sun(elevation_deg, off_normal_deg), share)
    return share[0]


@pytest.mark.parametrize(("elevation", "off_normal"), [(20.0, 0.0), (30.0, 40.0), (45.0, -60.0)])
def test_shadow_depth_is_projection_times_tangent_of_profile_angle(elevation: float, off_normal: float):
    # Witness: ASHRAE Handbook Fundamentals, fenestration chapter: SH = P tan(profile), profile angle
    # atan(tan(elevation) / cos(off normal)) (from memory); altitude 30, off normal 40 gives 37.00 degrees.
    depth, above = 0.8, 0.1
    profile = math.atan(math.tan(math.radians(elevation)) / math.cos(math.radians(off_normal)))
    expected = max(0.0, depth * math.tan(profile) - above) / WALL.height_m
    wide = Overhang(depth=depth, above=above, side=100.0)
    assert 1.0 - lit(wide, elevation, off_normal)[0] == pytest.approx(expected, abs=1e-12)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.floats(1.0, 80.0),
    st.floats(-80.0, 80.0),
    st.floats(0.1, 3.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 3.0),
)
def test_narrow_overhang_agrees_with_counted_points(
    elevation: float, off_normal: float, depth: float, above: float, side: float
):
    along, out, up = (part[0] for part in sun(elevation, off_normal))
    x = WALL.width_m * ((np.arange(400) + 0.5) / 400 - 0.5)
    y = WALL.height_m * (np.arange(200) + 0.5) / 200
    reach = (WALL.height_m + above - y) / up
    hit_out = reach * out
    hit_along = x[:, None] + reach * along
    dark = (hit_out <= depth) & (np.abs(hit_along) <= WALL.width_m / 2 + side)
    counted = 1.0 - dark.reshape(400, 4, 50).mean(axis=(0, 2))
    got = lit(Overhang(depth=depth, above=above, side=side), elevation, off_normal, strips=4)
    assert got == pytest.approx(counted, abs=0.021)
    assert got.mean() == pytest.approx(counted.mean(), abs=0.006)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.floats(1.0, 80.0), st.floats(0.0, 85.0), st.floats(0.1, 3.0), st.floats(0.0, 3.0))
def test_mirrored_sun_gives_the_same_shadow(elevation: float, off_normal: float, depth: float, side: float):
    overhang = Overhang(depth=depth, above=0.1, side=side)
    left, right = lit(overhang, elevation, off_normal, 5), lit(overhang, elevation, -off_normal, 5)
    assert np.array_equal(left, right)
