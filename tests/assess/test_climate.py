"""Monthly weather is what the weather record holds."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.projects import demo
from noonwall.assess.climate import climate_months
from noonwall.climate.weather import Weather


def steady(days: int) -> Weather:
    """Return a stretch with a plain daily course: 0 °C at midnight, 12 °C at noon, six hours of even sun."""
    hour = np.tile(np.arange(24.0), days)
    air = 12.0 - np.abs(hour + 0.5 - 12.0)
    sun = np.where((hour >= 9) & (hour < 15), 300.0, 0.0)
    level = np.ones(len(hour))
    return Weather(
        kind="csv",
        place="Nowhere",
        latitude_deg=46.1,
        longitude_deg=-67.8,
        elevation_m=150.0,
        utc_offset_h=-5.0,
        start=np.datetime64("2001-03-01", "s"),
        step_s=3600,
        air_c=air,
        dewpoint_c=air - 5.0,
        pressure_pa=1e5 * level,
        wind_m_s=3.0 * level,
        ghi_w_m2=sun,
        dni_w_m2=0.0 * sun,
        dhi_w_m2=sun,
    )


def test_sums_of_a_plain_month() -> None:
    months, whole = climate_months(demo(), steady(31))
    assert [m.month for m in months] == [3]
    march = months[0]
    assert march.ghi_kwh_m2_day == pytest.approx(1.8, rel=0.02)
    assert march.diffuse_share == pytest.approx(1.0, abs=0.02)
    assert march.air_mean_c == pytest.approx(6.0, abs=0.1)
    assert march.air_daily_min_c < 1.0
    assert march.air_daily_max_c > 11.0
    assert 0.5 * march.ghi_kwh_m2_day < march.wall_kwh_m2_day < 1.2 * march.ghi_kwh_m2_day
    assert whole.month == 0
    assert whole.ghi_kwh_m2_day == march.ghi_kwh_m2_day


def test_snow_days_follow_the_builders_habit() -> None:
    project = demo()
    site = project.site.model_copy(update={"snow": (1.0,) * 12})
    months, _ = climate_months(demo(site=site), steady(31))
    assert months[0].snow_days == pytest.approx(31.0)
