"""The plain overhang against the profile-angle rule and a counted shadow."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.model.cover import Overhang
from shade.sites import beam, site, way

HEIGHT, WIDTH = 2.4, 6.0


def lit(overhang: Overhang, elevation_deg: float, off_normal_deg: float, strips: int = 1) -> np.ndarray:
    wall = site(width_m=WIDTH, height_m=HEIGHT, foot_m=0.3, overhang=overhang)
    return beam(wall, way(elevation_deg, off_normal_deg), strips=strips, rows=24)[0]


@pytest.mark.parametrize(("elevation", "off_normal"), [(20.0, 0.0), (30.0, 40.0), (45.0, -60.0)])
def test_shadow_depth_is_projection_times_tangent_of_profile_angle(elevation: float, off_normal: float):
    # Witness: ASHRAE Handbook Fundamentals, fenestration chapter: SH = P tan(profile), profile angle
    # atan(tan(elevation) / cos(off normal)) (from memory); altitude 30, off normal 40 gives 37.00 degrees.
    depth, above = 0.8, 0.1
    profile = math.atan(math.tan(math.radians(elevation)) / math.cos(math.radians(off_normal)))
    expected = max(0.0, depth * math.tan(profile) - above) / HEIGHT
    wide = Overhang(depth=depth, above=above, side=100.0)
    assert 1.0 - lit(wide, elevation, off_normal)[0] == pytest.approx(expected, abs=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True)
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
    along, out, up = way(elevation, off_normal)[0]
    x = WIDTH * ((np.arange(400) + 0.5) / 400 - 0.5)
    y = HEIGHT * (np.arange(200) + 0.5) / 200
    reach = (HEIGHT + above - y) / up
    hit_along = x[:, None] + reach * along
    dark = (reach * out <= depth) & (np.abs(hit_along) <= WIDTH / 2 + side)
    counted = 1.0 - dark.reshape(400, 4, 50).mean(axis=(0, 2))
    got = lit(Overhang(depth=depth, above=above, side=side), elevation, off_normal, strips=4)
    assert got == pytest.approx(counted, abs=0.021)
    assert got.mean() == pytest.approx(counted.mean(), abs=0.006)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.floats(1.0, 80.0), st.floats(0.0, 85.0), st.floats(0.1, 3.0), st.floats(0.0, 3.0))
def test_mirrored_sun_gives_the_same_shadow(elevation: float, off_normal: float, depth: float, side: float):
    overhang = Overhang(depth=depth, above=0.1, side=side)
    left, right = lit(overhang, elevation, off_normal, 4), lit(overhang, elevation, -off_normal, 4)
    assert left == pytest.approx(right, abs=1e-12)
