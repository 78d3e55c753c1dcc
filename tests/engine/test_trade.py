"""Two facts of the trade that every owner of such a wall knows; common practice, no source."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.cases import fans, made_weather, varied
from fakes.projects import demo, plain
from noonwall.climate.weather import Weather
from noonwall.engine.simulate import simulate
from noonwall.sky.sun import sun_course

if TYPE_CHECKING:
    from noonwall.model.project import Project

COLDEST_C, BEST_C = -33.0, -13.0
DAYS = 10  # the last is a Friday: people, lamps and machines give their 600 W


def clear_cold_days(project: Project) -> Weather:
    """Return clear days from late January on, coldest at seven, best at three in the afternoon, calm at night.

    Sun: Ineichen and Perez 2002 as pvlib has it, for dry cold air (Linke turbidity 2).
    """
    from pvlib.atmosphere import get_absolute_airmass, get_relative_airmass
    from pvlib.clearsky import ineichen

    site, start = project.site, np.datetime64("2001-01-24T00:00:00")
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
    n, pressure_pa = DAYS * 24, 100500.0
    sun = sun_course(*place, -5.0, start, 3600, n)
    zenith = np.minimum(90.0 - sun.elevation_deg, 89.9)
    mass = get_absolute_airmass(get_relative_airmass(zenith), pressure_pa)
    clear = ineichen(zenith, mass, 2.0, site.elevation_m, sun.extraterrestrial_w_m2)
    up = (sun.elevation_deg > 0.5).astype(float)
    hour = np.arange(n) % 24 + 0.5
    since_dawn = (hour - 7.0) % 24.0
    share = np.where(since_dawn < 8.0, since_dawn / 8.0, 1.0 - (since_dawn - 8.0) / 16.0)
    wind_m_s = np.where(since_dawn < 10.0, 2.0, 0.5)
    air_c = COLDEST_C + (BEST_C - COLDEST_C) * (0.5 - 0.5 * np.cos(np.pi * share))
    return Weather(
        kind="csv", place="invented cold", latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m, utc_offset_h=-5.0, start=start, step_s=3600,
        air_c=air_c, dewpoint_c=air_c - 4.0, pressure_pa=np.full(n, pressure_pa), wind_m_s=wind_m_s,
        ghi_w_m2=clear["ghi"] * up, dni_w_m2=clear["dni"] * up, dhi_w_m2=clear["dhi"] * up,
        snow_depth_m=np.full(n, 0.4),
    )  # fmt: skip


# Measured: 3.5 K under the plain overhang, the heater giving 12 kW in the coldest hour.
def test_a_clear_bitter_february_day_lifts_the_shop_by_three_to_ten_kelvin() -> None:
    # Fact: clear early-February day near 45 N, -33 C at night, -13 C at best; heater holds 8 C overnight.
    # Common practice, no source.
    described = plain()
    assert described.shop.heater is not None
    heater = described.shop.heater.model_copy(update={"setpoint_c": 8.0, "power_w": 25000.0})
    project = described.model_copy(update={"shop": described.shop.model_copy(update={"heater": heater})})
    year = simulate(project, clear_cold_days(project))
    table = year.table
    last = table.time >= table.time[-1].astype("datetime64[D]")
    hour = (table.time - table.time.astype("datetime64[D]")).astype("timedelta64[s]").astype(float) / 3600.0
    night = table.room_c[last & (hour < 7.0)]
    top = int(np.argmax(np.where(last, table.room_c, -99.0)))
    assert abs(table.air_c[last].min() - COLDEST_C) < 1.0
    assert abs(table.air_c[last].max() - BEST_C) < 1.0
    assert abs(night.min() - 8.0) < 0.1
    assert 3.0 <= table.room_c[top] - 8.0 <= 10.0
    assert 12.5 <= hour[top] <= 16.5


def test_a_july_wall_with_its_fans_off_still_delivers_a_good_part() -> None:
    # Measured: 78 %.
    # Fact: fans off, vents open, no cover: at least 30 % of what it would deliver with fans. Common practice.
    def july(project: Project) -> float:
        year = simulate(project, made_weather(), 900)
        return year.months()[6].delivered_kwh

    still = july(varied(circuit=fans("off")))
    always = july(varied(circuit=fans("on")))
    early = demo().switches[0].model_copy(update={"close": 27.0, "open": 22.0})
    switched = july(varied(switches=(early,)))
    assert still >= 0.30 * max(always, switched)
