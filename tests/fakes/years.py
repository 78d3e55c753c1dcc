"""An invented Year: right in shape and sign, roughly right in size, made in a blink, without physics."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from noonwall.engine.year import Floats, Ledger, Peak, Peaks, Table, Work, Year

WALL_M2 = 22.0


def invented_year(step_s: int = 3600, start: str = "2001-01-01", days: int = 365, wall: float = 1.0) -> Year:
    """Return an invented year of a shop at 46 degrees north; ``wall`` scales what the wall delivers."""
    steps = days * 86400 // step_s
    time = np.datetime64(start, "s") + np.arange(steps) * np.timedelta64(step_s, "s")
    day = (time - np.datetime64("2001-01-01", "s")).astype(float) / 86400.0
    hour = (day % 1.0) * 24.0
    weather = np.random.default_rng(7)
    daily = np.repeat(weather.uniform(0.05, 1.0, days), 86400 // step_s)
    warm_spell = np.repeat(
        np.convolve(weather.normal(0.0, 5.0, days + 2), np.ones(3) / 1.7, "valid"), 86400 // step_s
    )
    air = (
        5.0
        - 14.0 * np.cos(2 * np.pi * (day - 20) / 365)
        + 5.0 * np.sin(2 * np.pi * (hour - 9) / 24)
        + warm_spell
    )
    half_day = 6.0 - 2.6 * np.cos(2 * np.pi * (day + 10) / 365)
    height = np.clip(np.cos(np.pi / 2 * (hour - 12.0) / half_day), 0.0, None) * (
        np.abs(hour - 12.0) < half_day
    )
    wall_sun = daily * height * (520.0 + 330.0 * np.cos(2 * np.pi * (day - 30) / 365)) * WALL_M2
    beam = wall_sun * np.clip(daily * 1.1 - 0.2, 0.0, 0.85)
    running = (wall_sun > 150.0 * WALL_M2) & (day % 365 > -1)
    delivered = wall * np.where(running, 0.55 * wall_sun, 0.1 * wall_sun)
    reversed_w = wall * np.where(wall_sun <= 0.0, np.clip(8.0 - air, 0.0, None) * 6.0, 0.0)
    room, backup = _shop(air, delivered - reversed_w, step_s)
    without, backup_without = _shop(air, np.zeros(steps), step_s)
    absorber = air + wall_sun / WALL_M2 * np.where(running, 0.055, 0.09)
    zero = np.zeros(steps)
    table = Table(
        time=time,
        air_c=air,
        sky_c=air - 12.0,
        wind_m_s=np.full(steps, 3.0),
        snow_share=np.where((day % 365 < 95) | (day % 365 > 345), 1.0, 0.0),
        sun_on_wall_w=0.9 * wall_sun,
        sun_on_wall_open_w=wall_sun,
        beam_on_wall_w=0.85 * beam,
        beam_on_wall_open_w=beam,
        room_c=room,
        floor_c=room - 1.0,
        contents_c=room,
        gap_bottom_c=room,
        gap_top_c=0.7 * absorber + 0.3 * room,
        absorber_c=absorber,
        glazing_inner_c=0.5 * absorber + 0.5 * air,
        glazing_outer_c=0.3 * absorber + 0.7 * air,
        glazing_cold_c=0.2 * room + 0.8 * air,
        flow_kg_s=np.where(running, 0.35, -0.02),
        fan_share=running.astype(float),
        fan_starts=np.diff(running.astype(float), prepend=0.0).clip(0.0),
        fan_w=running * 66.0,
        delivered_w=delivered,
        reversed_w=reversed_w,
        back_w=zero,
        backup_w=backup,
        useful_w=np.where(room < 20.0, delivered, 0.0),
        cover_share=zero,
        room_without_c=without,
        backup_without_w=backup_without,
    )
    return _around(table, step_s)


def _shop(air: Floats, heat_w: Floats, step_s: int) -> tuple[Floats, Floats]:
    """Return room temperature and heater power of a shop of one node with a heater that holds 5 °C."""
    loss, store, room = 190.0, 2.2e7, 6.0
    rooms, heats = np.empty(len(air)), np.empty(len(air))
    for i in range(len(air)):
        drift = (store * room / step_s + heat_w[i] + loss * air[i] + 300.0) / (store / step_s + loss)
        heats[i] = min(9000.0, max(0.0, (5.0 - drift) * (store / step_s + loss)))
        room = rooms[i] = drift + heats[i] / (store / step_s + loss)
    return rooms, heats


def _around(table: Table, step_s: int) -> Year:
    def peak(values: Floats) -> Peak:
        return Peak(float(values.max()), table.time[values.argmax()])

    kwh = step_s / 3.6e6
    terms = {"sun on the glazing": float(table.sun_on_wall_w.sum() * kwh), "heat lost outdoors": -1234.5}
    return Year(
        table=table,
        step_s=step_s,
        ledger=Ledger(terms, 1.5, 0.021, 4.2e-6, 8.1e-6),
        peaks=Peaks(
            peak(table.gap_top_c),
            peak(table.absorber_c),
            peak(table.glazing_inner_c),
            peak(table.glazing_outer_c),
        ),
        work=Work(step_s, len(table.time), len(table.time) + 512, 3 * len(table.time), 9, 0.42),
        weather_kind="monthly figures",
        weather_place="Houlton",
        weather_distance_km=11.6,
        weather_hours_repaired=0.0,
        weather_notes=(),
        too_hot_c=26.0,
        warm_enough_c=10.0,
        comfort_limit_c=20.0,
    )


def with_table(year: Year, **columns: Floats) -> Year:
    """Return the year with some columns of its table replaced."""
    return replace(year, table=replace(year.table, **columns))
