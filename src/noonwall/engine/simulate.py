"""The story of a run: sun, shade and weather to what acts; the kernel; the ledger; the Year."""

from __future__ import annotations

import time as clock
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from noonwall.climate.load import load_weather
from noonwall.engine import numbers as n
from noonwall.engine.corrections import corrected, corrected_shop
from noonwall.engine.drive import build_drive, envelope_sun
from noonwall.engine.kernel import run_steps
from noonwall.engine.ledger import make_ledger
from noonwall.engine.nodes import (
    STRIPS,
    air_numbers,
    curves_of,
    leak_area_m2,
    shop_numbers,
    switch_numbers,
    wall_numbers,
)
from noonwall.engine.schedule import cover_passes, days_of_run
from noonwall.engine.state import State, scratch_for, start_state
from noonwall.engine.year import Peak, Peaks, Table, Work, Year
from noonwall.errors import SolveError
from noonwall.shade.wall import wall_shade
from noonwall.sky.fine import FineWeather, check_step, fine_weather, first_midnight, site_clock, whole_days
from noonwall.sky.plane import PlaneSun, on_plane
from noonwall.sky.sun import SunCourse, sun_course

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.numbers import AirNumbers, Drive, Floats, ShopNumbers, SwitchNumbers, WallNumbers
    from noonwall.model.project import Project

WARM_UP_DAYS = 120  # soil remembers a season; run at coarse steps over the end of the year
WARM_UP_STEP_S = 3600
WHOLE_YEAR_DAYS = 360
WITHOUT_STEP_S = 900  # the shop alone has no fast part; its sun is followed in quarter hours anyway


class Case(NamedTuple):
    """All the kernel needs for one run."""

    wall: WallNumbers
    air: AirNumbers
    shop: ShopNumbers
    switches: SwitchNumbers
    drive: Drive


class Surroundings(NamedTuple):
    """Sun, weather and light at the run's steps."""

    course: SunCourse
    fine: FineWeather
    plane: PlaneSun


class Ran(NamedTuple):
    """What one kernel run left."""

    out: Floats
    ledger: Floats
    effort: Floats
    before: State
    after: State


def surroundings(project: Project, weather: Weather, step_s: int) -> Surroundings:
    """Return sun, weather and unshaded light on the wall at every step of the weather's stretch."""
    site = project.site
    clock_h = site_clock(site, weather)
    check_step(step_s)
    begin_at, steps = weather.start, weather.steps * weather.step_s // step_s
    if whole_days(weather) >= WHOLE_YEAR_DAYS:
        # Some forms stamp a year from a quarter past midnight: it wraps, so it can be begun on the hour.
        begin_at, steps = first_midnight(weather), whole_days(weather) * 86400 // step_s
    course = sun_course(
        site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h, begin_at, step_s, steps
    )
    fine = fine_weather(weather, site, course)
    return Surroundings(course, fine, on_plane(course, fine, 90.0, project.wall.azimuth_deg))


def build_case(project: Project, around: Surroundings, strips: int = STRIPS, years_on: float = 0.0) -> Case:
    """Turn a project and its surroundings into numbers; ``years_on`` lets the trees grow that long [a].

    A `Taught` project's numbers are corrected by what it was taught.
    """
    curves = curves_of(project)
    shade = wall_shade(project, around.course, strips, years_on)
    drive = build_drive(project, around.course, around.fine, around.plane, shade, curves)
    wall = wall_numbers(project, strips, float(shade.sky_view.mean()))
    switches = switch_numbers(project)
    case = Case(
        wall,
        air_numbers(project, leak_area_m2(project.shop)),
        shop_numbers(project, with_wall=True),
        switches,
        drive,
    )
    return corrected(project, around.course, case, strips, years_on)


def without_wall(project: Project, around: Surroundings, case: Case) -> Case:
    """Return the same case with a plain wall where glazing and gap were, and no fans."""
    part_sun, _ = envelope_sun(project, around.course, around.fine, with_wall=False)
    return case._replace(
        wall=case.wall._replace(strips=0),
        shop=corrected_shop(project, case, shop_numbers(project, with_wall=False)),
        air=case.air._replace(pv_free=0),
        switches=case.switches._replace(mode=0),
        drive=case.drive._replace(part_sun_w=part_sun),
    )


def copy_state(state: State) -> State:
    """Return a state of its own arrays."""
    return State._make(array.copy() for array in state)


def begin(case: Case) -> State:
    """Return the state at the first step: a whole year is entered by way of its own end."""
    drive = case.drive
    start_c = max(float(drive.out_c[: 86400 // int(drive.step_s)].mean()), case.shop.heater_set_c)
    state = start_state(
        case.wall, case.shop, case.switches, float(drive.out_c[0]), float(drive.deep_c[0]), start_c
    )
    steps = len(drive.out_c)
    days = steps * drive.step_s / 86400.0
    stride = max(1, int(WARM_UP_STEP_S // drive.step_s))
    if days < WHOLE_YEAR_DAYS:
        return state
    first = steps - int(WARM_UP_DAYS * 86400 // drive.step_s)
    first -= first % stride
    run(case, state, first, steps, stride, keep=False)
    return state


def run(
    case: Case,
    state: State,
    first: int,
    last: int,
    stride: int = 1,
    keep: bool = True,
    nodes: bool = False,
) -> Ran:
    """Run the kernel from ``state`` (which it moves on) over steps ``first`` to ``last``.

    nodes  write the hottest strip of each of the wall's nodes too, see `numbers.COLUMNS`
    """
    before = copy_state(state)
    more = len(case.wall.left_capacity) + len(case.wall.right_capacity) + case.wall.mesh if nodes else 0
    out = np.zeros((last if keep else 0, n.COLUMNS + more))
    ledger, effort = np.zeros(n.ENTRIES), np.zeros(3)
    run_steps(
        first, last, stride, state, copy_state(state), scratch_for(case.wall, case.shop), np.zeros(4), case.wall,
        case.air, case.shop, case.switches, case.drive, out, ledger, effort,
    )  # fmt: skip
    if not np.isfinite(ledger).all() or not np.isfinite(state.room).all():
        raise SolveError(
            "the simulation did not close: temperatures ran away; this is a fault of noonwall itself"
        )
    return Ran(out, ledger, effort, before, state)


def simulate(
    project: Project, weather: Weather | None = None, step_s: int = 300, strips: int = STRIPS
) -> Year:
    """Simulate shop and wall over the weather's stretch, and the same shop without the wall beside it.

    project  the described shop, wall and site
    weather  any stretch of weather; None: the project's own choice (file, typed months or nearest place)
    step_s   time step, a divisor of the hour [s]
    strips   how many equal strips the wall's height is cut into
    Returns  a Year
    Raises   WeatherError when weather and step do not fit; SolveError when a solve does not close
    """
    began = clock.perf_counter()
    if weather is None:
        weather = load_weather(project, ".")
    around = surroundings(project, weather, step_s)
    case = hang_by_hot_days(project, around, build_case(project, around, strips=strips))
    steps = len(case.drive.out_c)
    ran = run(case, begin(case), 0, steps)
    bare = without_wall(project, around, case)
    stride = max(1, WITHOUT_STEP_S // step_s)
    alone = run(bare, begin(bare), 0, steps, stride)
    spread_rows(alone.out, stride)
    return make_year(project, weather, around, case, ran, alone, clock.perf_counter() - began)


def hang_by_hot_days(project: Project, around: Surroundings, case: Case) -> Case:
    """Hang a cover whose rule counts the shop's hot days: those of the same stretch without any cover."""
    cover, drive = project.wall.cover, case.drive
    if cover.hot_days is None:
        return case
    steps, stride = len(drive.out_c), max(1, WITHOUT_STEP_S // int(drive.step_s))
    open_case = case._replace(drive=drive._replace(pass_share=np.ones(steps)))
    ran = run(open_case, begin(open_case), 0, steps, stride)
    spread_rows(ran.out, stride)
    day = days_of_run(around.fine.time)
    hottest = np.full(day[-1] + 1, -300.0)
    np.maximum.at(hottest, day, ran.out[:, n.ROOM])
    hot_day = hottest > project.shop.comfort.too_hot_c
    passed = cover_passes(cover, around.fine.time, around.fine.air_c, hot_day)
    return case._replace(drive=drive._replace(pass_share=passed))


def spread_rows(out: Floats, stride: int) -> None:
    """Fill the rows a strided run skipped with the row that stands for them."""
    for ahead in range(1, stride):
        out[ahead::stride] = out[::stride][: len(out[ahead::stride])]


def make_year(
    project: Project, weather: Weather, around: Surroundings, case: Case, ran: Ran, alone: Ran, seconds: float
) -> Year:
    """Gather the kernel's columns into a Year."""
    drive, out, fine = case.drive, ran.out, around.fine
    area = case.wall.strip_m2 * case.wall.strips
    beam = drive.beam * drive.beam_share.mean(axis=1)
    light = drive.beam + drive.isotropic + drive.horizon + drive.ground_beam + drive.ground_sky
    table = Table(
        time=fine.time,
        air_c=fine.air_c,
        sky_c=fine.sky_c,
        wind_m_s=fine.wind_m_s,
        snow_share=fine.snow_share,
        sun_on_wall_w=out[:, n.SUN],
        sun_on_wall_open_w=np.maximum(light, 0.0) * area,
        beam_on_wall_w=beam * area,
        beam_on_wall_open_w=drive.beam * area,
        room_c=out[:, n.ROOM],
        floor_c=out[:, n.FLOOR],
        contents_c=out[:, n.CONTENTS],
        gap_bottom_c=out[:, n.GAP_BOTTOM],
        gap_top_c=out[:, n.GAP_TOP],
        absorber_c=out[:, n.ABSORBER],
        glazing_inner_c=out[:, n.INNER],
        glazing_outer_c=out[:, n.OUTER],
        glazing_cold_c=out[:, n.INNER_COLD],
        flow_kg_s=out[:, n.FLOW],
        fan_share=out[:, n.FAN_SHARE],
        fan_starts=out[:, n.FAN_STARTS],
        fan_w=out[:, n.FAN_W],
        delivered_w=out[:, n.DELIVERED],
        reversed_w=out[:, n.REVERSED],
        back_w=out[:, n.BACK],
        backup_w=out[:, n.BACKUP],
        useful_w=out[:, n.USEFUL],
        cover_share=(drive.pass_share < 1.0).astype(float),
        room_without_c=alone.out[:, n.ROOM],
        backup_without_w=alone.out[:, n.BACKUP],
    )
    comfort = project.shop.comfort
    effort = ran.effort
    return Year(
        table=table,
        step_s=int(drive.step_s),
        ledger=make_ledger(case.wall, case.shop, ran.ledger, ran.before, ran.after),
        peaks=Peaks(
            gap_c=_peak(table, out[:, n.GAP_HOT]),
            absorber_c=_peak(table, table.absorber_c),
            glazing_inner_c=_peak(table, table.glazing_inner_c),
            glazing_outer_c=_peak(table, table.glazing_outer_c),
        ),
        work=Work(int(drive.step_s), len(out), int(effort[0]), int(effort[1]), int(effort[2]), seconds),
        weather_kind=weather.kind,
        weather_place=weather.place,
        weather_distance_km=weather.distance_km,
        weather_hours_repaired=weather.hours_repaired,
        weather_notes=weather.notes,
        too_hot_c=comfort.too_hot_c,
        warm_enough_c=comfort.warm_enough_c,
        comfort_limit_c=comfort.limit_c,
    )


def _peak(table: Table, column: Floats) -> Peak:
    at = int(np.argmax(column))
    return Peak(float(column[at]), table.time[at])
