"""Compiled and plain formulas are one text: both give the same number."""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall import compiled
from noonwall.physics import air, convection, electric, envelope, fan, flow, ground, meter, radiation, solids

SEA = 101325.0
FLOWS, PRESSURES = np.array([0.0, 0.05, 0.08, 0.12]), np.array([60.0, 50.0, 30.0, 0.0])


def every_formula(out: np.ndarray, x: float, flows: np.ndarray, pressures: np.ndarray) -> None:
    """Call each scalar formula once near x (0 to 1); plain as it stands, compiled by the test."""
    c = -20.0 + 80.0 * x
    k = c + 273.15
    out[0] = air.density_kg_m3(SEA, k) + air.moist_density_kg_m3(SEA, 1000.0, k)
    out[1] = air.conductivity_w_mk(k) + air.viscosity_pa_s(k) + air.prandtl(k)
    out[2] = air.standard_pressure_pa(3000.0 * x)
    out[3] = air.saturation_pressure_pa(c) + air.vapour_pressure_pa(c, x)
    out[4] = air.dew_point_c(50.0 + 5000.0 * x) + air.vapour_pressure_from_dewpoint_pa(c)
    out[5] = air.humidity_ratio(1000.0 * x, SEA)
    out[6] = radiation.linear_radiation_w_m2k(radiation.exchange_emittance(0.9, 0.1 + 0.8 * x), k, 300.0)
    out[7] = radiation.sky_swinbank_k(k) + radiation.clear_sky_emittance_berdahl_martin(c, 24.0 * x, SEA)
    out[8] = radiation.clouded_emittance_clark_allen(radiation.clear_sky_emittance_clark_allen(c - 20.0), x)
    out[9] = radiation.sky_temperature_k(0.8, k) + radiation.sky_temperature_from_infrared_k(
        200.0 + 200.0 * x
    )
    out[10] = radiation.sky_sight(3.0 * x)[1]
    out[11] = convection.nusselt_vertical_enclosure(10.0 ** (2.0 + 6.0 * x), 5.0 + 60.0 * x)
    out[12] = convection.nusselt_vertical_plate(10.0 ** (2.0 + 8.0 * x), 0.7)
    out[13] = convection.nusselt_channel_one_side(10.0 ** (5.0 * x), 0.7, 0.1, 2.0)
    out[14], out[15] = convection.gap_films_w_m2k(c, 10.0, 0.5 * c, 0.01 + 0.1 * x, 2.4, 2.0 * x, SEA)
    out[16] = convection.gap_film_w_m2k(c, 10.0, 0.5 * c, 0.09, 2.4, 0.0, SEA)
    out[17] = convection.cavity_conductance_w_m2k(0.01 + 0.05 * x, 2.0, c, 5.0, 0.8, SEA)
    out[18] = (
        convection.wind_film_w_m2k(x)
        + convection.wind_film_iso_w_m2k(x)
        + convection.wind_film_mcadams_w_m2k(x)
    )
    out[19] = convection.local_wind_m_s(5.0 * x, 0.5, 3.0) + convection.interior_film_w_m2k(
        c, 15.0, 1.0 - 2.0 * x
    )
    out[20] = flow.stack_pressure_pa(1.1, 1.2 + x, 2.0) + flow.loss_coefficient_from_discharge(0.5 + 0.4 * x)
    out[21] = flow.screen_loss_at(0.2 + 0.7 * x, 500.0 * x) + flow.screen_loss(0.3 + 0.6 * x)
    out[22] = flow.orifice_flow_m3_s(x - 0.5, 0.1, 0.6, 1.2) + flow.loss_resistance(2.0, 0.1 + x, 1.2)
    out[23] = flow.quadratic_flow(x - 0.5, 100.0, 1.0) + flow.quadratic_pressure_pa(x - 0.5, 100.0, 1.0)
    out[24] = flow.channel_friction_pa(x - 0.5, 2.0, 0.05, 2.4, 1.2, 1.8e-5)
    out[25] = flow.flap_flow(x - 0.5, 0.1, 0.005, 0.1, 0.6, 1.2) + flow.flap_pressure_pa(
        x - 0.5, 0.1, 0.005, 0.1, 0.6, 1.2
    )
    out[26] = flow.stack_flow_m3_s(0.1, 0.6, 1.0, k, 293.15)
    out[27] = flow.thermocirculation_speed_m_s(2.0, 1.0, 0.5 + x, k, 293.15, 8.0, 2.0)
    out[28] = flow.heated_column_flow_kg_s(100.0 + 900.0 * x, 2.0, 0.05, 6.0, 1.2, 293.15)
    out[29] = fan.parabola_curve(0.1, 30.0 * x, 40.0)[1] + fan.fan_pressure_pa(x - 0.5, 40.0, 0.2)
    out[30] = fan.fan_pressure_from_points_pa(0.3 * x - 0.1, flows, pressures)
    out[31] = fan.stopped_fan_pressure_pa(x - 0.5, 0.1, 6.0, 1.2) + fan.fan_power_w(x, 50.0, 0.3)
    out[32] = fan.at_speed(1.0, 2.0, 3.0, x)[2] + fan.at_density(1.0, 2.0, 3.0, x)[1]
    out[33] = envelope.u_value_w_m2k(x, 0.13, 0.04) + envelope.leakage_area_m2(10.0 * x, 300.0, 0.65)
    out[34] = envelope.infiltration_flow_m3_s(0.05, c, 5.0 * x, 0.000145, 0.000174)
    out[35] = envelope.balance_point_c(15.0, 300.0 * x, 150.0) + envelope.degree_day_energy_kwh(
        150.0, 100.0 * x
    )
    out[36] = ground.slab_loss_w_k(1.2, 40.0 * x)
    out[37] = ground.ground_temperature_c(8.0, 12.0, 3.0 * x, 100.0, 35.0, 0.06)
    out[38] = solids.free_bow_m(2.0, 0.01, 6.5e-5, 40.0 * x) + solids.gripped_bow_m(2.0, 0.01 * (x - 0.5))
    out[39] = solids.bow_radius_m(0.01, 6.5e-5, 1.0 + x) + solids.buckling_rise_k(0.6, 0.01 + x, 6.5e-5)
    out[40] = electric.voltage_drop_v(
        20.0 * x, 3.0, electric.gauge_area_m2(14.0), electric.copper_resistivity_ohm_m(c)
    )
    out[41] = meter.heat_uncertainty_w(meter.air_heat_w(0.1, 20.0 * x), 0.1, 0.5, 0.5, 20.0 * x)
    out[42] = meter.density_at_meter_kg_m3(c, SEA, 500.0) + meter.standard_speed_to_real_m_s(x, c, SEA, 21.1)
    out[43] = envelope.altitude_factor(SEA * x) + envelope.natural_air_changes_per_h(10.0 * x, 20.0)


@pytest.mark.skipif(not compiled.JIT, reason="plain run: there is no compiled twin")
def test_compiled_equals_plain() -> None:
    quick = compiled.kernel(every_formula)
    for x in (0.0, 0.013, 0.24, 0.5, 0.77, 1.0):
        plain, fast = np.zeros(44), np.zeros(44)
        every_formula(plain, x, FLOWS, PRESSURES)
        quick(fast, x, FLOWS, PRESSURES)
        assert fast == pytest.approx(plain, rel=1e-9, abs=1e-12, nan_ok=True)


def test_a_missing_number_goes_through() -> None:
    """NaN in, NaN out: nothing hides a missing figure behind a number."""
    nan = math.nan
    assert math.isnan(air.density_kg_m3(nan, 300.0))
    assert math.isnan(radiation.linear_radiation_w_m2k(0.9, nan, 300.0))
    assert math.isnan(convection.enclosure_film_w_m2k(nan, 10.0, 0.05, 2.0, SEA))
    assert math.isnan(flow.quadratic_pressure_pa(nan, 1.0, 1.0))
