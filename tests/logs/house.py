"""A measured house without a glazed wall, and a plain two-node model fitted to the same days.

The readings are those of an experimental house in Quebec, zenodo 10.5281/zenodo.8021942 (MIT licence),
doi 10.1080/19401493.2023.2243602: nine rooms, their heaters, outdoor temperature and sun every 15 minutes.
The description is what its authors publish of it (footprint 60 m2, two storeys over a basement, walls R-20,
roof R-30, 19 m2 of double glass, facing 35 degrees west of south); what they do not is guessed.
Columns named Wh are read as mean watts: as watt-hours a quarter they would make a mean of 7 kW and peaks of
37 kW, four times what such walls lose and twice what such a house's heaters can give.
Days that are missing are filled with the mean of the days beside them and neither teach nor judge, nor does the
day after them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.monthly import year_from_figures
from noonwall.logs.learn.fit import fit
from noonwall.logs.learn.judge import cv_rmse, nmbe
from noonwall.logs.learn.misfit import channels_of, differences
from noonwall.logs.learn.readings import Measured, hourly
from noonwall.logs.learn.story import silent
from noonwall.logs.learn.trial import Trials
from noonwall.logs.learn.weather import Outside, weather_of
from noonwall.model.file import from_text

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.logs.learn.fit import Fit

    Flags = NDArray[np.bool_]

SHARED = Path(__file__).resolve().parents[3] / "shared" / "measured"
FILES = ("quebec-house-2019.csv", "quebec-house-2023.csv")
STEP_S, DAY_STEPS, DAY_H = 900, 96, 24
LONGEST_GAP_DAYS = 2
FORGOTTEN_DAYS = 1  # after filled days, in which their error fades
# Little is published of the house: how much vaguer than of a builder's own shop the beliefs are is chosen among
# these inside the days that teach.
VAGUER = (1.0, 2.0, 4.0)
HOUSE = """
schema_version = 1
name = "Experimental house"
[site]
latitude = "46.55 N"
longitude = "72.75 W"
elevation = "130 m"
utc_offset = -5
shelter = "some"
[shop]
length = "10 m"
width = "6 m"
eaves = "5.4 m"
volume = "450 m3"
[shop.air]
tightness = "average"
[shop.contents]
mass = "6000 kg"
specific_heat = "1200 J/kgK"
[shop.slab]
kind = "slab"
thickness = "100 mm"
[shop.heater]
setpoint = "20 C"
power = "12 kW"
fuel = "electricity"
[[shop.part]]
name = "walls"
kind = "wall"
area = "150 m2"
r = "R-20"
[[shop.part]]
name = "basement walls"
kind = "wall"
area = "60 m2"
r = "R-12"
[[shop.part]]
name = "roof"
kind = "roof"
area = "60 m2"
r = "R-30"
[[shop.part]]
name = "glass to the south-west"
kind = "window"
area = "9 m2"
u = "2.8 W/m2K"
azimuth = "215"
[[shop.part]]
name = "glass to the north-east"
kind = "window"
area = "6 m2"
u = "2.8 W/m2K"
azimuth = "35"
[[shop.part]]
name = "glass to the north-west"
kind = "window"
area = "2 m2"
u = "2.8 W/m2K"
azimuth = "305"
[[shop.part]]
name = "glass to the south-east"
kind = "window"
area = "2 m2"
u = "2.8 W/m2K"
azimuth = "125"
"""


@dataclass(frozen=True)
class House:
    """A stretch of measured days at n steps; ``known`` (n,) where nothing was filled in nor is remembered."""

    start: np.datetime64
    room_c: Floats
    heat_w: Floats
    outdoor_c: Floats
    sun_w_m2: Floats
    known: Flags

    @property
    def known_h(self) -> Flags:
        """The same by hour."""
        return np.asarray(self.known.reshape(-1, DAY_STEPS // DAY_H).all(axis=1))


def read(file: str) -> House:
    """Return the house's mean temperature and whole heat at each quarter hour, in standard time.

    The longest stretch without a gap of more than two days is taken.
    """
    import pandas as pd

    table = pd.read_csv(SHARED / file)
    stamp = table.iloc[:, 0].astype(str)
    if "2019" in file:
        time = pd.to_datetime(stamp)
    else:
        time = pd.to_datetime(stamp, utc=True).dt.tz_localize(None) - pd.Timedelta(hours=5)
    table.index = pd.DatetimeIndex(time)
    table = table[~table.index.duplicated()]
    grid = pd.date_range(table.index[0].floor("D"), table.index[-1].ceil("D"), freq="15min", inclusive="left")
    table = table.reindex(grid)
    rooms = table[[c for c in table.columns if c.endswith("_TEMP")]].mean(axis=1, skipna=False)
    heat = table[[c for c in table.columns if c.endswith("_Wh")]].sum(axis=1, skipna=False)
    columns = np.column_stack([rooms, heat, table["Text"], table["GHI"]])
    low, high = _longest(np.isfinite(columns).all(axis=1))
    return _house(grid[low].to_datetime64(), columns[low:high])


def _longest(known: Flags) -> tuple[int, int]:
    """Return the first and last step of the most whole days without too long a gap."""
    there = np.flatnonzero(known)
    cuts = np.flatnonzero(np.diff(there) > LONGEST_GAP_DAYS * DAY_STEPS + DAY_STEPS // DAY_H)
    edges = [0, *(cuts + 1).tolist(), len(there)]
    runs = [(int(there[a]), int(there[b - 1]) + 1) for a, b in pairwise(edges)]
    whole = [(-(-a // DAY_STEPS) * DAY_STEPS, b // DAY_STEPS * DAY_STEPS) for a, b in runs]
    return max(whole, key=lambda run: run[1] - run[0])


def _house(start: np.datetime64, columns: Floats) -> House:
    known = np.isfinite(columns).all(axis=1)
    days = np.where(known[:, None], columns, np.nan).reshape(-1, DAY_STEPS, 4)
    filled = days.copy()
    for day, at, column in np.argwhere(np.isnan(days)):
        there = np.flatnonzero(np.isfinite(days[:, at, column]))
        before, after = there[there < day], there[there > day]
        near = [*before[-1:], *after[:1]]
        filled[day, at, column] = days[near, at, column].mean()
    room, heat, out, sun = filled.reshape(-1, 4).T
    lost = np.cumsum(np.concatenate([np.zeros(FORGOTTEN_DAYS * DAY_STEPS), ~known]))
    fresh = lost[FORGOTTEN_DAYS * DAY_STEPS :] == lost[: -FORGOTTEN_DAYS * DAY_STEPS]
    return House(np.datetime64(start, "s"), np.where(known, room, np.nan), heat, out, sun, fresh)


def trials_of(house: House) -> Trials:
    """Return trials of the engine under the house's weather and its measured heat."""
    project = from_text(HOUSE + WALL, "house")
    measured = Measured(house.start, STEP_S, house.room_c, backup_w=house.heat_w)
    outside = Outside(air_c=house.outdoor_c, sun_w_m2=house.sun_w_m2)
    base = year_from_figures(project.site, 1)
    weather, _ = weather_of(project, base, outside, house.start, STEP_S, measured.steps)
    return Trials(project, weather, measured, wall=False, given_heat=True, usual=base)


def engine_room(trials: Trials, teach: Flags, use: Flags, vaguer: float) -> tuple[Floats, Flags, Fit]:
    """Return the room by hour as taught by some hours, which of the others judge, and what was learned.

    teach  (hours,) those that teach;  use  (hours,) those that may teach or judge at all
    """
    believed = trials.parameters
    try:
        trials.parameters = tuple(p if p.sensor else replace(p, spread=vaguer * p.spread) for p in believed)
        channels = channels_of(trials.measured, teach, use)
        found = fit(trials, channels, silent)
        room = next(item for item in found.channels if item.name == "room_c")
        rest = differences((room,), trials.channels(found.x), STEP_S)["room_c"] - found.offset["room_c"]
        return room.value - rest, room.judges, found
    finally:
        trials.parameters = believed


def vagueness(trials: Trials, teach: Flags, use: Flags) -> float:
    """Return how vague beliefs are best, judged in turn by each half of the days that teach; no other day is seen."""
    day = np.arange(len(teach)) // DAY_H
    half = np.cumsum(np.bincount(day, teach) > 0)[day] % 2 == 0
    square = []
    for vaguer in VAGUER:
        total = 0.0
        for mine in (half, ~half):
            room, judges, _ = engine_room(trials, teach & mine, use & teach, vaguer)
            total += float(((hourly(trials.measured.room_c, STEP_S) - room)[judges] ** 2).sum())
        square.append(total)
    return VAGUER[int(np.argmin(square))]


@dataclass(frozen=True)
class Error:
    """Error of a model on hours that did not teach: root mean square [K], and the two published measures [-].

    The measures are shares of the mean temperature in degrees Celsius; the guideline's limits are for energy
    """

    rmse_k: float
    cv_rmse: float
    nmbe: float

    @classmethod
    def of(cls, measured: Floats, told: Floats) -> Error:
        """Return the error of what was told."""
        rest = measured - told
        return cls(float(np.sqrt(np.mean(rest**2))), cv_rmse(measured, told), nmbe(measured, told))


@dataclass(frozen=True)
class Held:
    """Both models on the same hours, taught by the same hours."""

    hours: int
    vaguer: float
    engine: Error
    nodes: Error


def compared(house: House, turn: int, vaguer: float | None = None) -> Held:
    """Return both models' errors on the third of the days that judges.

    turn    which third, 0 to 2;  vaguer   how vague the beliefs are; None: chosen inside the days that teach
    """
    trials = trials_of(house)
    hour = np.arange(len(house.known_h))
    teach = (hour // DAY_H % 3 != turn) & house.known_h
    if vaguer is None:
        vaguer = vagueness(trials, teach, house.known_h)
    room, judges, found = engine_room(trials, teach, house.known_h, vaguer)
    taught = next(item for item in found.channels if item.name == "room_c").teaches
    nodes, _ = two_nodes(house, taught)
    measured = hourly(house.room_c, STEP_S)[judges]
    return Held(
        int(judges.sum()),
        vaguer,
        Error.of(measured, room[judges]),
        Error.of(measured, hourly(nodes, STEP_S)[judges]),
    )


def foretold(first: House, later: House) -> Held:
    """Return both models' errors on one stretch of days as taught by another, years before."""
    trials, after = trials_of(first), trials_of(later)
    all_hours = np.ones(len(first.known_h), dtype=bool)
    vaguer = vagueness(trials, all_hours, first.known_h)
    _, _, found = engine_room(trials, all_hours, first.known_h, vaguer)
    taught = next(item for item in found.channels if item.name == "room_c").teaches
    _, nodes = two_nodes(first, taught)
    told = after.channels(np.where([p.sensor for p in after.parameters], 0.0, found.x))["room_c"]
    judges = next(
        item
        for item in channels_of(after.measured, np.zeros(len(later.known_h), dtype=bool), later.known_h)
        if item.name == "room_c"
    ).judges
    measured = hourly(later.room_c, STEP_S)[judges]
    plain = nodes_air(later, np.append(nodes[:-1], 0.0))
    return Held(
        int(judges.sum()),
        vaguer,
        Error.of(measured, hourly(told, STEP_S)[judges] + found.offset["room_c"]),
        Error.of(measured, hourly(plain, STEP_S)[judges]),
    )


def two_nodes(house: House, teach_h: Flags) -> tuple[Floats, Floats]:
    """Fit a plain linear model of two nodes to the hours that teach; returns its air by step, its parameters.

    C1 dT1/dt = U (To - T1) + H (T2 - T1) + heat + gain + a GHI;  C2 dT2/dt = H (T1 - T2) + b GHI
    """
    from scipy.optimize import least_squares

    teach = np.repeat(teach_h, DAY_STEPS // DAY_H) & np.isfinite(house.room_c)
    start = np.array([np.log(150.0), np.log(500.0), np.log(3e6), np.log(3e7), 3.0, 3.0, 0.2, 0.0])
    found = least_squares(
        lambda p: (house.room_c - nodes_air(house, p))[teach],
        start,
        x_scale=np.array([0.2] * 4 + [1, 1, 0.2, 1]),
    )
    return nodes_air(house, found.x), found.x


def nodes_air(house: House, p: Floats) -> Floats:
    """Return the air of the two nodes by step, its two modes each run through on its own.

    p : (8,)  logarithms of U, H [W/K], C1, C2 [J/K]; a, b [m2]; gain [kW]; second node's start beyond the air's [K]
    """
    from scipy.linalg import expm
    from scipy.signal import lfilter

    u, h, c1, c2 = np.exp(p[:4])
    rates = np.array([[-(u + h) / c1, h / c1], [h / c2, -h / c2]])
    inputs = np.array([[u / c1, 1.0 / c1, p[4] / c1, 1.0 / c1], [0.0, 0.0, p[5] / c2, 0.0]])
    step = expm(np.block([[rates, inputs], [np.zeros((4, 6))]]) * STEP_S)
    gain = np.full(len(house.heat_w), 1000.0 * p[6])
    acts = np.column_stack([house.outdoor_c, house.heat_w, house.sun_w_m2, gain])
    keep, modes = np.linalg.eig(step[:2, :2])
    first = float(house.room_c[np.isfinite(house.room_c)][0])
    z = np.linalg.solve(modes, np.array([first, first + p[7]]))
    drive = acts @ np.linalg.solve(modes, step[:2, 2:]).T
    air = np.zeros(len(acts))
    for mode in range(2):
        course = lfilter([1.0], [1.0, -keep[mode]], np.concatenate([[z[mode]], drive[:-1, mode]]))
        air += modes[0, mode] * np.asarray(course)
    return air


WALL = """
[wall]
width = "1 m"
height = "2 m"
azimuth = "215"
gap = "90 mm"
[[wall.absorber.layer]]
material = "cement board"
thickness = "12 mm"
[[wall.backing]]
r = "R-20"
[wall.vents.bottom]
count = 1
width = "300 mm"
height = "100 mm"
[wall.vents.top]
count = 1
width = "300 mm"
height = "100 mm"
"""
