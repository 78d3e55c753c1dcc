"""Switches by hand-worked sequence, at other steps, and by laws: what a circuit may and may not do."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.cases import case_of, made_weather
from fakes.walls import fans_by_hand, switch, walled
from noonwall.climate.weather import Weather
from noonwall.engine.kernel import fans_called, felt, trip_level
from noonwall.engine.nodes import switch_numbers
from noonwall.engine.simulate import simulate
from noonwall.engine.state import start_state

if TYPE_CHECKING:
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

QUIET = settings(max_examples=10, deadline=None, derandomize=True)


def broken_cloud(project: Project) -> Weather:
    """Return a cold day whose sun comes for four minutes and goes for three, from ten to two."""
    site, steps = project.site, 1440
    minute = np.arange(steps)
    hour = minute / 60.0
    high = np.clip(np.cos((hour - 12.0) / 8.6 * np.pi), 0.0, None)
    sun = np.where((hour >= 10.0) & (hour < 14.0), np.where(minute % 7 < 4, 1.0, 0.12), 0.9)
    dni, dhi = 900.0 * high * sun, 90.0 * high
    up = np.sin(np.radians(np.clip(25.0 * high, 0.0, None)))
    return Weather(
        kind="csv", place="invented", latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m, utc_offset_h=-5.0, start=np.datetime64("2001-02-10T00:00:00"), step_s=60,
        air_c=np.full(steps, -5.0), dewpoint_c=np.full(steps, -10.0), pressure_pa=np.full(steps, 99500.0),
        wind_m_s=np.full(steps, 2.0), ghi_w_m2=dni * up + dhi, dni_w_m2=dni, dhi_w_m2=dhi,
        snow_depth_m=np.full(steps, 0.3),
    )  # fmt: skip


def snappy(close: float, flow_m3_s: float) -> Project:
    """Return the demo with a quick absorber, a thin sheet, and fans that cool it fast."""
    plain = walled()
    sheet = plain.wall.absorber.layers[0].model_copy(
        update={"material": "steel sheet", "thickness_m": 0.0006}
    )
    absorber = plain.wall.absorber.model_copy(update={"layers": (sheet,)})
    fan = plain.fans[0].model_copy(update={"count": 5, "flow_m3_s": flow_m3_s})
    points = switch(close=close, open=close - 11.0)
    return walled({"absorber": absorber}, fans=(fan,), switches=(points,))


@pytest.mark.parametrize(("close", "flow_m3_s"), [(27.0, 0.15), (30.0, 0.10), (33.0, 0.15)])
def test_starts_do_not_depend_on_the_step_of_the_calculation(close: float, flow_m3_s: float) -> None:
    # The promise: 1-minute lag, 11 K between its points, control at 15 s and at 60 s: within 5 %.
    project = snappy(close, flow_m3_s)
    weather = broken_cloud(project)
    quick, slow = (simulate(project, weather, step).whole() for step in (15, 60))
    assert quick.fan_starts >= 30
    assert abs(quick.fan_starts - slow.fan_starts) <= 0.05 * quick.fan_starts
    assert slow.fan_hours == pytest.approx(quick.fan_hours, rel=0.05)


def test_a_lagging_sensor_follows_a_jump_by_its_own_time() -> None:
    # Witness: first-order lag, by hand: after one lag 63.2 % of a jump, after three 95.0 %.
    assert felt(20.0, 50.0, 50.0, 600.0, 60.0, 60.0) == pytest.approx(20.0 + 30.0 * 0.6321, abs=0.01)
    assert felt(20.0, 50.0, 50.0, 600.0, 60.0, 180.0) == pytest.approx(20.0 + 30.0 * 0.9502, abs=0.01)
    # ... and runs a lag behind a place that warms evenly: 1 K a minute, 1 minute of lag: 1 K below
    assert felt(20.0, 20.0, 80.0, 3600.0, 60.0, 1800.0) == pytest.approx(50.0 - 1.0, abs=0.01)


def test_hysteresis_by_a_hand_worked_sequence() -> None:
    # A snap switch 43/32 and a limit 24/22: temperature, then whether each is closed, by hand.
    sequence = [(20.0, 0), (43.0, 0), (43.1, 1), (35.0, 1), (32.0, 1), (31.9, 0), (42.9, 0), (44.0, 1)]
    assert walk(0, 43.0, 32.0, 0, [t for t, _ in sequence]) == [c for _, c in sequence]
    limit = [(20.0, 1), (24.0, 1), (24.1, 0), (23.0, 0), (22.0, 0), (21.9, 1), (23.9, 1), (25.0, 0)]
    assert walk(1, 22.0, 24.0, 1, [t for t, _ in limit]) == [c for _, c in limit]


def walk(kind: int, close_c: float, open_c: float, closed: int, temperatures: list[float]) -> list[int]:
    """Follow a switch through temperatures by the kernel's own rule of when it acts."""
    states = []
    for temperature in temperatures:
        level, sign = trip_level(kind, closed, close_c, open_c)
        if sign * (temperature - level) > 0.0:
            closed = 1 - closed
        states.append(closed)
    return states


TRUTH = [
    # (gap switch, limit, clock) closed, series of groups, whether the fans are called
    ((1, 1, 1), ("a", "b", "c"), 1.0),
    ((0, 1, 1), ("a", "b", "c"), 0.0),
    ((1, 1, 0), ("a", "b", "c"), 0.0),
    ((0, 1, 1), (("a", "c"), "b"), 1.0),
    ((0, 1, 0), (("a", "c"), "b"), 0.0),
    ((1, 0, 0), (("a", "c"), "b"), 0.0),
    ((0, 0, 1), (("a", "b", "c"),), 1.0),
    ((0, 0, 0), (("a", "b", "c"),), 0.0),
]


@pytest.mark.parametrize(("closed", "series", "called"), TRUTH)
def test_series_and_parallel_by_truth_table(
    closed: tuple[int, int, int], series: tuple[Any, ...], called: float
) -> None:
    switches = (
        switch(name="a", close=43.0, open=32.0),
        switch(name="b", kind="open on rise", spot="room", open=24.0, close=22.0),
        switch(name="c", kind="clock", hours=(("00:00", "12:00"),)),
    )
    project = walled(switches=switches, circuit=walled().circuit.model_copy(update={"series": series}))
    numbers = switch_numbers(project)
    names = [n for group in series for n in ((group,) if isinstance(group, str) else group)]
    order = [s.name for s in switches if s.name in names]
    case = case_of(project)
    state = start_state(case.wall, case.shop, numbers, 0.0, 5.0, 10.0)
    for place, name in enumerate(order):
        state.closed[place] = closed["abc".index(name)]
    rows = case.drive.rows * 0.0 + closed[2]
    assert fans_called(0, state, numbers, case.drive._replace(rows=rows)) == called


def winter_days() -> Weather:
    """Return six days of a bright February out of the demo's year."""
    year = made_weather()
    first = 24 * (31 + 8)
    cut = {
        item.name: getattr(year, item.name)[first : first + 6 * 24]
        for item in fields(year)
        if isinstance(getattr(year, item.name), np.ndarray)
    }
    return replace(year, start=year.start + np.timedelta64(first, "h"), **cut)


def ran(project: Project) -> Year:
    return simulate(project, winter_days(), 300)


@given(st.floats(34.0, 60.0), st.floats(1.0, 25.0))
@QUIET
def test_raising_the_closing_point_never_adds_fan_hours(close: float, more: float) -> None:
    def hours(point: float) -> float:
        return ran(walled(switches=(switch(close=point, open=32.0),))).whole().fan_hours

    assert hours(close + more) <= hours(close) + 0.05


@given(st.floats(2.0, 20.0))
@QUIET
def test_a_room_limit_stops_the_fans_above_its_point(opens: float) -> None:
    limit = switch(name="limit", kind="open on rise", spot="room", open=opens + 2.0, close=opens)
    year = ran(walled(switches=(switch(name="gap", close=43.0, open=32.0), limit)))
    warm = year.table.room_c > opens + 2.0 + 0.3
    after = warm & np.roll(warm, 1)  # a step after it was passed, its lag is over
    after[0] = False
    assert float(year.table.fan_share[after].max(initial=0.0)) == 0.0


def test_fans_on_a_module_follow_the_sun_without_any_switch() -> None:
    fan = walled().fans[0].model_copy(update={"supply": "pv"})
    year = ran(walled(fans=(fan,), switches=()))
    table = year.table
    lit = table.sun_on_wall_open_w / walled().wall.area_m2
    assert float(table.fan_share[lit < 90.0].max()) == 0.0
    assert float(table.fan_share[lit > 130.0].min()) == 1.0
    # Witness: fan laws: power goes with the cube of speed, and the module's power with the sun.
    low, high = (float(table.fan_w[np.abs(lit - at) < 15.0].mean()) for at in (300.0, 600.0))
    assert high / low == pytest.approx(2.0, rel=0.12)


def test_through_the_switches_a_modules_fans_obey_them() -> None:
    fan = walled().fans[0].model_copy(update={"supply": "pv"})
    wired = walled().circuit.model_copy(update={"module_fans": "through the switches"})
    limit = switch(name="limit", kind="open on rise", spot="room", open=-20.0, close=-25.0)
    assert ran(walled(fans=(fan,), switches=(limit,), circuit=wired)).whole().fan_hours == 0.0
    off = fans_by_hand("off")
    assert ran(walled(fans=(fan,), switches=(), circuit=off)).whole().fan_hours == 0.0


def test_a_clock_runs_the_fans_in_its_hours() -> None:
    year = ran(walled(switches=(switch(kind="clock", hours=(("10:00", "14:00"),)),)))
    table = year.table
    hour = (table.time - table.time.astype("datetime64[D]")).astype("timedelta64[s]").astype(float) / 3600.0
    inside = (hour >= 10.0) & (hour < 14.0)
    assert float(table.fan_share[inside].min()) == 1.0
    assert float(table.fan_share[~inside].max()) == 0.0
    assert year.whole().fan_starts == 6
