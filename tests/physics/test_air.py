"""Air against reference property libraries."""

from __future__ import annotations

import math

import fluids
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.physics import air

psychrolib.SetUnitSystem(psychrolib.SI)
TEMPERATURES_K = (230.0, 250.0, 273.15, 293.15, 320.0, 350.0, 380.0, 420.0)


def props(*what: str | float) -> float:
    """Return a property; the library takes longer to load than all tests here, so only who asks loads it."""
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI(*what))


@pytest.mark.parametrize("air_k", TEMPERATURES_K)
def test_dry_air_properties(air_k: float) -> None:
    # Witness: CoolProp 'Air' (Lemmon et al. 2000; Lemmon & Jacobsen 2004) at 101325 Pa
    def reference(what: str) -> float:
        return props(what, "T", air_k, "P", 101325.0, "Air")

    assert air.density_kg_m3(101325.0, air_k) == approx(reference("D"), rel=1.5e-3)
    assert air.conductivity_w_mk(air_k) == approx(reference("L"), rel=2e-4)
    assert air.viscosity_pa_s(air_k) == approx(reference("V"), rel=2e-4)
    # One specific heat serves up to 77 °C within 0.35 %, and at 147 °C within 1.1 %; Prandtl follows it.
    assert reference("C") == approx(air.SPECIFIC_HEAT_J_KGK, rel=3.5e-3 if air_k <= 350.0 else 1.1e-2)
    assert air.prandtl(air_k) == approx(reference("PRANDTL"), abs=0.005 if air_k <= 380.0 else 0.0077)


@pytest.mark.parametrize("pressure_pa", [60e3, 84556.0, 110e3])
def test_properties_hardly_know_pressure(pressure_pa: float) -> None:
    # Witness: CoolProp 'Air'; the fits leave pressure out
    for air_k in (240.0, 300.0, 400.0):
        assert air.conductivity_w_mk(air_k) == approx(
            props("L", "T", air_k, "P", pressure_pa, "Air"), rel=1e-3
        )
        assert air.viscosity_pa_s(air_k) == approx(props("V", "T", air_k, "P", pressure_pa, "Air"), rel=1e-3)


def test_kinematic_viscosity_of_the_textbooks() -> None:
    # Witness: Incropera, table A.4 at 300 K (from memory): 15.89e-6 m²/s; its density differs from CoolProp
    # by 1.3 %
    assert air.viscosity_pa_s(300.0) / air.density_kg_m3(101325.0, 300.0) == approx(15.89e-6, rel=1.5e-2)


@pytest.mark.parametrize(
    ("elevation_m", "pascal"),
    [(0.0, 101325.0), (300.0, 97772.7), (1000.0, 89876.3), (1500.0, 84559.7), (3000.0, 70121.2)],
)
def test_standard_atmosphere(elevation_m: float, pascal: float) -> None:
    # Witness: PsychroLib GetStandardAtmPressure, and the 1976 U.S. Standard Atmosphere (fluids)
    assert air.standard_pressure_pa(elevation_m) == approx(
        psychrolib.GetStandardAtmPressure(elevation_m), rel=1e-6
    )
    assert air.standard_pressure_pa(elevation_m) == approx(fluids.ATMOSPHERE_1976(elevation_m).P, rel=2e-4)
    assert air.standard_pressure_pa(elevation_m) == approx(pascal, rel=2e-4)


def test_thinner_air_on_a_mountain() -> None:
    # Witness: CoolProp density at the standard pressure of 1500 m, 20 °C: 1.0052 kg/m³
    assert air.density_kg_m3(air.standard_pressure_pa(1500.0), 293.15) == approx(1.0052, rel=1e-3)


@pytest.mark.parametrize("air_c", [-40.0, -20.0, -10.0, 0.0, 5.0, 25.0, 50.0, 100.0])
def test_saturation_pressure(air_c: float) -> None:
    # Witness: PsychroLib GetSatVapPres (ASHRAE Fundamentals); over water also IAPWS in CoolProp
    assert air.saturation_pressure_pa(air_c) == approx(psychrolib.GetSatVapPres(air_c), rel=1e-6)
    if air_c > 0.01:
        assert air.saturation_pressure_pa(air_c) == approx(
            props("P", "T", air_c + 273.15, "Q", 0, "Water"), rel=1e-3
        )


@pytest.mark.parametrize(
    ("air_c", "humidity", "dew_c"),
    [(10.0, 0.80, 6.71), (16.0, 0.71, 10.74), (20.0, 0.60, 12.00), (5.0, 0.85, 2.69)],
)
def test_dew_point_of_damp_air(air_c: float, humidity: float, dew_c: float) -> None:
    # Witness: Magnus form 17.62, 243.12 by hand; PsychroLib GetTDewPointFromRelHum
    vapour = air.vapour_pressure_pa(air_c, humidity)
    assert air.dew_point_c(vapour) == approx(dew_c, abs=0.05)
    assert air.dew_point_c(vapour) == approx(psychrolib.GetTDewPointFromRelHum(air_c, humidity), abs=0.01)


def test_humidity_ratio_and_moist_density() -> None:
    # Witness: PsychroLib GetHumRatioFromVapPres, GetMoistAirDensity
    ratio = air.humidity_ratio(1900.0, 95e3)
    assert ratio == approx(psychrolib.GetHumRatioFromVapPres(1900.0, 95e3), rel=1e-4)
    assert air.moist_density_kg_m3(95e3, 1900.0, 298.15) == approx(
        psychrolib.GetMoistAirDensity(25.0, ratio, 95e3), rel=5e-4
    )


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(-60.0, 90.0))
def test_dew_point_undoes_saturation(dewpoint_c: float) -> None:
    vapour = air.vapour_pressure_from_dewpoint_pa(dewpoint_c)
    assert air.dew_point_c(vapour) == approx(dewpoint_c, abs=1e-3 if abs(dewpoint_c) < 0.1 else 1e-6)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(-60.0, 90.0), st.floats(0.01, 20.0))
def test_warmer_air_holds_more(air_c: float, more_k: float) -> None:
    assert air.saturation_pressure_pa(air_c + more_k) > air.saturation_pressure_pa(air_c)


def test_dew_point_of_bone_dry_air_is_finite() -> None:
    assert math.isfinite(air.dew_point_c(0.0))
