"""What acts on wall and shop from outside, step by step: sun, weather, calendar, people."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from noonwall.engine.nodes import RSE, Face, envelope_stores
from noonwall.engine.numbers import Drive, Floats
from noonwall.engine.schedule import cover_passes, in_stretches, switch_rows, vents_open
from noonwall.physics.convection import local_wind_m_s, wind_film_w_m2k
from noonwall.physics.ground import SOIL_DIFFUSIVITY_M2_D, ground_temperature_c
from noonwall.physics.radiation import sky_sight
from noonwall.sky.fine import FineWeather
from noonwall.sky.plane import PlaneSun, on_plane
from noonwall.sky.sun import SunCourse

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from noonwall.model.project import Project
    from noonwall.physics.optics import GlazingCurves
    from noonwall.shade.record import WallShade

SHELTER_FACTOR = {
    "open": 1.0,
    "some": 0.7,
    "sheltered": 0.5,
    "very sheltered": 0.35,
}  # common practice, no source
WINDOW_SLANT = 0.9  # sun on a window is seldom square to it: mean of the angle curve against square sun
ROOF_UNDER_SNOW = 0.3  # share of its dark absorptance a roof keeps under snow; common practice, no source
LONG_WAVE_W_M2K = 4.6  # 4 sigma T^3 near 0 C
ENVELOPE_EMITTANCE = 0.9
DEEP_M = 2.0
COARSE_S = 900  # facades other than the wall are followed in quarter hours

R = TypeVar("R", SunCourse, FineWeather)


def days_of(time: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Day of the year of each step, 0 for 1 January."""
    day = time.astype("datetime64[D]")
    out: NDArray[np.int64] = (day - day.astype("datetime64[Y]")).astype(np.int64)
    return out


def gains_w(project: Project, time: NDArray[np.datetime64]) -> Floats:
    """Heat from people, lamps and machines [W], shape (n,)."""
    gains = project.shop.gains
    hour = (time.astype("datetime64[h]").astype(np.int64)) % 24
    out: Floats = np.asarray(gains.by_hour_w, dtype=float)[hour]
    if gains.workdays_only:
        # 1 January 1970 was a Thursday.
        weekday = (time.astype("datetime64[D]").astype(np.int64) + 3) % 7
        out = np.where(weekday < 5, out, 0.0)
    return out


def faces(course: SunCourse, fine: FineWeather) -> Callable[[float, float], Floats]:
    """Return a function (tilt, azimuth) -> sun on that unshaded face [W/m2], each face worked out once."""
    known: dict[tuple[float, float], Floats] = {}

    def sun_on(tilt_deg: float, azimuth_deg: float) -> Floats:
        key = (tilt_deg, azimuth_deg)
        if key not in known:
            plane = on_plane(course, fine, tilt_deg, azimuth_deg)
            total = plane.beam + plane.circumsolar + plane.isotropic + plane.horizon + plane.ground
            known[key] = np.maximum(total, 0.0)
        return known[key]

    return sun_on


def thinned(record: R, every: int) -> R:
    """Return a course or weather with one step in ``every``: the one in the middle of those it stands for."""
    if every == 1:
        return record
    steps = len(record.up) if isinstance(record, SunCourse) else len(record.air_c)
    chosen = np.minimum(np.arange(0, steps, every) + every // 2, steps - 1)
    short = {
        item.name: getattr(record, item.name)[chosen]
        for item in fields(record)
        if isinstance(getattr(record, item.name), np.ndarray)
    }
    return replace(record, **short)


def build_drive(
    project: Project,
    course: SunCourse,
    fine: FineWeather,
    plane: PlaneSun,
    shade: WallShade,
    curves: GlazingCurves,
) -> Drive:
    """Gather all that acts on wall and shop; see `Drive` for shapes."""
    n = course.steps
    wind = fine.wind_m_s
    shelter = SHELTER_FACTOR[project.site.shelter]
    height = project.wall.foot_m + 0.5 * project.wall.height_m
    local = wind * local_wind_m_s(1.0, shelter, height)
    part_sun, window = envelope_sun(project, course, fine, with_wall=True)
    clear = 1.0 - project.wall.glazing.dirt_share
    angle = np.degrees(np.arccos(np.clip(plane.cos_incidence, 0.0, 1.0)))
    rows = [curves.absorbed_by_absorber, curves.absorbed_by_back, *curves.absorbed_by_skin]
    take_beam = np.empty((len(rows), n))
    for r, row in enumerate(rows):
        take_beam[r] = np.interp(angle, curves.angle_deg, row) * clear
    beam_ground = np.divide(
        fine.dni_w_m2 * np.maximum(course.up, 0.0), fine.ghi_w_m2, out=np.zeros(n), where=fine.ghi_w_m2 > 1.0
    )
    ground_beam = plane.ground * np.clip(beam_ground, 0.0, 1.0)
    light = plane.beam + plane.circumsolar + plane.isotropic + plane.horizon + plane.ground
    return Drive(
        step_s=float(course.step_s),
        out_c=np.ascontiguousarray(fine.air_c),
        sky_c=np.ascontiguousarray(fine.sky_c),
        outer_film=wind_film_w_m2k(0.0) + local * (wind_film_w_m2k(1.0) - wind_film_w_m2k(0.0)),
        wind2=wind * wind,
        pressure_pa=np.ascontiguousarray(fine.pressure_pa),
        beam=plane.beam + plane.circumsolar,
        isotropic=np.ascontiguousarray(plane.isotropic),
        horizon=np.ascontiguousarray(plane.horizon),
        ground_beam=ground_beam,
        ground_sky=plane.ground - ground_beam,
        take_beam=take_beam,
        take_sky=np.array([curves.sky_by_absorber, curves.sky_by_back, *curves.sky_by_skin]) * clear,
        take_horizon=np.array([curves.horizon_by_absorber, curves.horizon_by_back, *curves.horizon_by_skin])
        * clear,
        take_ground=np.array([curves.ground_by_absorber, curves.ground_by_back, *curves.ground_by_skin])
        * clear,
        beam_share=np.ascontiguousarray(shade.beam_share, dtype=float),
        sky_view=np.ascontiguousarray(shade.sky_view, dtype=float),
        horizon_view=np.ascontiguousarray(shade.horizon_view, dtype=float),
        ground_share=np.ascontiguousarray(shade.ground_share, dtype=float),
        ground_view=np.ascontiguousarray(shade.ground_sky, dtype=float),
        day=np.ascontiguousarray(shade.day, dtype=np.int64),
        pass_share=cover_passes(project.wall.cover, fine.time, fine.air_c),
        vents_open=vents_open(project, fine.time),
        summer_open=np.where(in_stretches(fine.time, project.wall.summer_vent.open), 1.0, 0.0),
        mains=np.ones(n),
        fan_speed=pv_fan_speed(plane) if project.circuit.fans != "off" else np.zeros(n),
        rows=switch_rows(project, fine.time, light),
        gains_w=gains_w(project, fine.time),
        window_w=window,
        part_sun_w=part_sun,
        deep_c=deep_ground_c(fine),
    )


def pv_fan_speed(plane: PlaneSun) -> Floats:
    """Speed of a fan fed straight from a module in the wall's plane, 1 at 700 W/m2, still below 100 W/m2.

    A direct-current fan's power goes with the cube of its speed and the module's with the sun, so speed follows
    the cube root; below a seventh of the sun the motor does not start. Common practice, no source.
    """
    sun = np.maximum(plane.beam + plane.circumsolar + plane.isotropic + plane.horizon + plane.ground, 0.0)
    return np.where(sun > 100.0, np.cbrt(np.minimum(sun / 700.0, 1.2)), 0.0)


def envelope_sun(
    project: Project, course: SunCourse, fine: FineWeather, with_wall: bool
) -> tuple[Floats, Floats]:
    """Return what gets in [W]: sun and cold sky through storing parts (parts, n), sun through windows (n,).

    Followed in quarter hours and held over each: these parts answer slowly and are seldom shaded alike anyway.
    """
    every = max(1, COARSE_S // course.step_s)
    slow = thinned(fine, every)
    sun_on = faces(thinned(course, every), slow)
    stores = envelope_stores(project, with_wall)
    part_sun = np.zeros((len(stores), len(slow.air_c)))
    for p, store in enumerate(stores):
        got = store.nodes.out_w_m2k * RSE  # share of heat at the surface that goes inward
        for face in store.faces:
            part_sun[p] += face.area_m2 * got * surface_heat(face, slow, sun_on)
    window = np.zeros(len(slow.air_c))
    for part in project.shop.parts:
        if part.kind == "window" and part.azimuth_deg is not None:
            share = part.solar_gain_share if part.solar_gain_share is not None else USUAL_SOLAR_GAIN
            window += part.area_m2 * share * WINDOW_SLANT * sun_on(90.0, part.azimuth_deg)
    n = len(fine.air_c)
    return np.repeat(part_sun, every, axis=1)[:, :n].copy(), np.repeat(window, every)[:n]


USUAL_SOLAR_GAIN = 0.65  # double glass; ASHRAE Fundamentals, fenestration chapter (from memory)


def surface_heat(face: Face, fine: FineWeather, sun_on: Callable[[float, float], Floats]) -> Floats:
    """Sun taken and heat lost to the cold sky by a part's outside [W/m2] (sol-air, ASHRAE Fundamentals)."""
    kind, absorptance, azimuth = face.kind, face.absorptance, face.azimuth_deg
    if kind == "floor":
        return np.zeros(len(fine.air_c))
    flat = kind in {"roof", "ceiling"}
    sky, _, _ = sky_sight(0.0 if flat else np.pi / 2.0)
    cold = ENVELOPE_EMITTANCE * LONG_WAVE_W_M2K * sky * (fine.sky_c - fine.air_c)
    if kind == "ceiling":
        return cold * 0.0  # an attic stands between
    if flat:
        return absorptance * (1.0 - (1.0 - ROOF_UNDER_SNOW) * fine.snow_share) * sun_on(0.0, 180.0) + cold
    if azimuth < 0.0:
        mean = 0.25 * (sun_on(90.0, 0.0) + sun_on(90.0, 90.0) + sun_on(90.0, 180.0) + sun_on(90.0, 270.0))
        return absorptance * mean + cold
    return absorptance * sun_on(90.0, azimuth) + cold


def deep_ground_c(fine: FineWeather) -> Floats:
    """Temperature of undisturbed ground at two metres, from the year's own mean and swing (n,)."""
    day = days_of(fine.time)
    per_day = np.bincount(day, fine.air_c) / np.maximum(np.bincount(day), 1)
    mean = float(fine.air_c.mean())
    swing, coldest = 0.0, 35.0
    if len(per_day) >= 360:
        turn = np.exp(2j * np.pi * np.arange(len(per_day)) / 365.0)
        wave = 2.0 * np.mean((per_day - mean) * turn)
        swing = float(abs(wave))
        coldest = float((np.angle(wave) + np.pi) / (2.0 * np.pi) * 365.0 % 365.0)
    curve = np.array(
        [
            ground_temperature_c(mean, swing, DEEP_M, float(d), coldest, SOIL_DIFFUSIVITY_M2_D)
            for d in range(366)
        ]
    )
    out: Floats = curve[day]
    return out
