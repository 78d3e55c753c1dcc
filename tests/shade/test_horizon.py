"""Skyline, profile angle and rows against pvlib."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pvlib.shading import projected_solar_zenith_angle, shaded_fraction1d

from noonwall.model.cover import Overhang
from noonwall.model.obstacle import Building, Slope
from noonwall.shade.horizon import skyline_deg
from shade.sites import beam, site, way

SKYLINE = ((20.0, 4.0), (110.0, 12.0), (180.0, 3.0), (250.0, 9.0), (330.0, 6.0))


def test_skyline_runs_straight_between_points_and_round_through_north():
    at = skyline_deg(SKYLINE, np.array([20.0, 65.0, 180.0, 355.0, 360.0, 0.0, 145.0]))
    assert at == pytest.approx([4.0, 8.0, 3.0, 5.0, 4.8, 4.8, 7.5])


@pytest.mark.parametrize(("off_normal", "skyline"), [(0.0, 3.0), (70.0, 9.0), (-35.0, 7.5)])
def test_the_sun_is_gone_when_it_is_below_the_skyline(off_normal: float, skyline: float):
    # Witness: pvlib's worked example on horizon profiles: beam is nought where elevation is below the profile
    # interpolated at the sun's azimuth.
    project = site(azimuth_deg=180.0)
    project = project.model_copy(update={"site": project.site.model_copy(update={"horizon": SKYLINE})})
    assert np.all(beam(project, way(skyline - 0.05, off_normal)) == 0.0)
    assert np.all(beam(project, way(skyline + 0.05, off_normal)) == 1.0)


@pytest.mark.parametrize(("elevation", "off_normal"), [(20.0, 10.0), (40.0, -50.0), (35.0, 45.0)])
def test_overhang_shadow_follows_the_projected_angle_of_pvlib(elevation: float, off_normal: float):
    project = site(overhang=Overhang(depth=0.7, above=0.0, side=100.0), azimuth_deg=180.0)
    # Witness: pvlib.shading.projected_solar_zenith_angle about the wall's level axis.
    projected = abs(projected_solar_zenith_angle(90.0 - elevation, 180.0 + off_normal, 0.0, 90.0))
    expected = min(1.0, 0.7 * math.tan(math.radians(90.0 - projected)) / project.wall.height_m)
    assert 1.0 - beam(project, way(elevation, off_normal)).mean() == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("elevation", "off_normal"), [(10.0, 0.0), (18.0, 25.0), (25.0, -40.0), (35.0, 0.0)])
def test_a_long_wall_opposite_shades_as_a_row_of_pvlib_does(elevation: float, off_normal: float):
    tall, pitch = 2.4, 5.0
    row = Building(name="row", along=0.0, out=pitch, width=500.0, length=0.05, eaves=tall, faces=180.0)
    project = site(row, azimuth_deg=180.0, foot_m=0.0, height_m=tall)
    # Witness: pvlib.shading.shaded_fraction1d for two upright rows of one height.
    expected = shaded_fraction1d(
        90.0 - elevation, 180.0 + off_normal, 90.0, 90.0, collector_width=tall, pitch=pitch
    )
    assert 1.0 - beam(project, way(elevation, off_normal)).mean() == pytest.approx(expected, abs=0.006)


def test_a_slope_hides_the_sun_below_it():
    project = site(Slope(name="hill", rise=10.0, uphill=180.0), azimuth_deg=180.0)
    assert np.all(beam(project, way(9.9, 0.0)) == 0.0)
    assert np.all(beam(project, way(10.1, 0.0)) == 1.0)
    # Sideways the same plane rises less: tan(10) cos(60) is 5.04 degrees.
    assert np.all(beam(project, way(5.2, 60.0)) == 1.0)
