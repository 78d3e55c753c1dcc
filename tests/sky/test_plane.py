"""Sun on a plane: pvlib's formulas, textbook cases, and five measured planes."""

from __future__ import annotations

import csv

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.errors import NoonwallError
from noonwall.sky.fine import FineWeather
from noonwall.sky.plane import PlaneSun, on_plane
from noonwall.sky.sun import SunCourse, sun_course
from sky.weathers import fine_year, shared


def case(
    zenith: float, azimuth: float, dni: float, dhi: float, ghi: float, albedo: float, extra: float = 1400.0
):
    """Return sun and weather of one step with the angles given."""
    z, a = np.radians(zenith), np.radians(azimuth)

    def one(value: float) -> np.ndarray:
        return np.array([value])

    course = SunCourse(
        np.datetime64("2019-01-01", "s"), 300, one(np.sin(z) * np.sin(a)), one(np.sin(z) * np.cos(a)),
        one(np.cos(z)), one(90.0 - zenith), one(azimuth), one(extra), one(1.0),
    )  # fmt: skip
    nothing = one(0.0)
    fine = FineWeather(
        course.start, 300, np.array([course.start]), nothing, nothing, one(1e5), nothing, nothing, one(ghi),
        one(dni), one(dhi), nothing, one(albedo),
    )  # fmt: skip
    return course, fine


def total(plane: PlaneSun) -> float:
    return float(plane.total[0])


WINTER = (65.0, 180.0, 800.0, 60.0, 398.09, 0.2)


def test_beam_on_an_upright_south_wall():
    # By hand: zenith 65, sun due south: 800 cos 25 = 725.05.
    assert float(on_plane(*case(*WINTER), 90.0, 180.0).beam[0]) == approx(725.05, rel=1e-4)


def test_isotropic_parts():
    # Liu and Jordan by hand: sky 30.00, ground 39.81, total 794.86; with albedo 0.7 a total of 894.38.
    plane = on_plane(*case(*WINTER), 90.0, 180.0, "isotropic")
    assert float(plane.isotropic[0]) == approx(30.0, rel=1e-4)
    assert float(plane.ground[0]) == approx(39.81, rel=1e-3)
    assert total(plane) == approx(794.86, rel=1e-4)
    snowy = on_plane(*case(*WINTER[:5], 0.7), 90.0, 180.0, "isotropic")
    assert total(snowy) == approx(894.38, rel=1e-4)


def test_fresh_snow_adds_half_the_light_times_the_change_of_albedo():
    # View factor 1/2: 398.09 x 0.5 / 2 = 99.52.
    gain = total(on_plane(*case(*WINTER[:5], 0.7), 90.0, 180.0)) - total(
        on_plane(*case(*WINTER), 90.0, 180.0)
    )
    assert gain == approx(99.52, rel=1e-4)


@pytest.mark.parametrize(("model", "w_m2"), [("hay-davies", 851.24), ("perez", 848.61)])
def test_other_skies(model: str, w_m2: float):
    # Witness: pvlib 0.16.1 get_total_irradiance, extraterrestrial 1400 W/m2.
    assert total(on_plane(*case(*WINTER), 90.0, 180.0, model)) == approx(w_m2, rel=1e-3)  # type: ignore[arg-type]


def test_incidence_of_the_worked_case():
    # Witness: Reda and Andreas 2004, appendix: slope 30, 10 degrees east of south: incidence 25.18700.
    plane = on_plane(*case(50.11162, 194.34024, 500.0, 50.0, 400.0, 0.2), 30.0, 170.0)
    assert np.degrees(np.arccos(plane.cos_incidence[0])) == approx(25.187, abs=0.001)


def test_incidence_on_an_upright_wall():
    # acos(sin 70 cos 40) = 43.958.
    plane = on_plane(*case(70.0, 220.0, 500.0, 50.0, 400.0, 0.2), 90.0, 180.0)
    assert np.degrees(np.arccos(plane.cos_incidence[0])) == approx(43.958, abs=0.001)


@pytest.mark.parametrize(
    ("tilt", "azimuth"), [(90.0, 180.0), (90.0, 172.0), (90.0, 0.0), (40.0, 200.0), (0.0, 180.0)]
)
@pytest.mark.parametrize(
    ("model", "name"), [("perez", "perez"), ("hay-davies", "haydavies"), ("isotropic", "isotropic")]
)
def test_a_year_agrees_with_pvlib(tilt: float, azimuth: float, model: str, name: str):
    # Witness: pvlib.irradiance.get_total_irradiance with the same sun and air mass, hour by hour over a year.
    course, fine = fine_year(3600)
    plane = on_plane(course, fine, tilt, azimuth, model)  # type: ignore[arg-type]
    zenith = 90.0 - course.elevation_deg
    wanted = pvlib.irradiance.get_total_irradiance(
        tilt, azimuth, zenith, course.azimuth_deg, fine.dni_w_m2, fine.ghi_w_m2, fine.dhi_w_m2,
        dni_extra=course.extraterrestrial_w_m2, airmass=pvlib.atmosphere.get_relative_airmass(zenith),
        albedo=fine.albedo, model=name,
    )  # fmt: skip
    lit = course.up > 0.0
    theirs = np.nan_to_num(wanted["poa_global"][lit])
    assert plane.total[lit] == approx(theirs, rel=1e-3, abs=0.05)
    assert plane.beam[lit] == approx(np.nan_to_num(wanted["poa_direct"][lit]), rel=1e-3, abs=0.05)


@pytest.mark.parametrize(
    ("column", "tilt", "azimuth", "rmse_w_m2"),
    # 22 W/m2 on the upright south plane is asked for; the others are held just above what Perez reaches.
    [
        ("Gc4", 90.0, 180.0, 22.0),
        ("Gc1", 40.0, 180.0, 19.0),
        ("Gc3", 90.0, 90.0, 22.0),
        ("Gc5", 90.0, 270.0, 23.0),
    ],
)
def test_measured_planes(column: str, tilt: float, azimuth: float, rmse_w_m2: float):
    # Witness: NREL SRRL/BMS, Golden, July 2014, 15-minute means (doi 10.5439/1052221); Tm ends the quarter.
    with shared("measured/golden-2014-07-15min-planes.csv").open() as table:
        rows = list(csv.DictReader(table))
    apart = []
    for row in rows:
        start = np.datetime64(row["Tm"].replace(" ", "T"), "s") - np.timedelta64(900, "s")
        course = sun_course(39.742, -105.18, 1829.0, -7.0, start, 900, 1)
        ghi, dni, dhi = (np.array([float(row[name])]) for name in ("Gh", "I", "Dh"))
        none = np.zeros(1)
        fine = FineWeather(
            start, 900, np.array([start]), none, none, none, none, none, ghi, dni, dhi, none,
            np.array([float(row["rho"])]),
        )  # fmt: skip
        apart.append(total(on_plane(course, fine, tilt, azimuth)) - float(row[column]))
    assert float(np.sqrt(np.mean(np.square(apart)))) < rmse_w_m2


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    zenith=st.floats(1.0, 89.0), azimuth=st.floats(0.0, 359.0), dni=st.floats(0.0, 1000.0),
    dhi=st.floats(0.0, 500.0), tilt=st.floats(0.0, 90.0), facing=st.floats(0.0, 359.0),
)  # fmt: skip
def test_light_on_a_plane_is_never_negative(
    zenith: float, azimuth: float, dni: float, dhi: float, tilt: float, facing: float
):
    ghi = dni * np.cos(np.radians(zenith)) + dhi
    for model in ("perez", "hay-davies", "isotropic"):
        plane = on_plane(*case(zenith, azimuth, dni, dhi, ghi, 0.4), tilt, facing, model)  # type: ignore[arg-type]
        assert total(plane) >= 0.0
        assert float(plane.circumsolar[0] + plane.isotropic[0] + plane.horizon[0]) >= -1e-9


def test_a_level_plane_gets_the_light_on_the_level():
    plane = on_plane(*case(50.0, 150.0, 600.0, 100.0, 485.67, 0.3), 0.0, 0.0, "hay-davies")
    assert total(plane) == approx(600.0 * np.cos(np.radians(50.0)) + 100.0, rel=1e-9)


def test_an_unknown_sky_is_refused():
    with pytest.raises(NoonwallError, match="perez, hay-davies, isotropic"):
        on_plane(*case(*WINTER), 90.0, 180.0, "klucher")  # type: ignore[arg-type]
