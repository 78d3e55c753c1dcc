"""A measured house without a glazed wall, and a plain two-node model fitted to the same days.

The readings are those of an experimental house in Quebec, zenodo 10.5281/zenodo.8021942 (MIT licence),
doi 10.1080/19401493.2023.2243602: nine rooms, their heaters, outdoor temperature and sun every 15 minutes.
The description is what its authors publish of it (footprint 60 m2, two storeys over a basement, walls R-20,
roof R-30, 19 m2 of double glass, facing 35 degrees west of south); what they do not is guessed.
Columns named Wh are read as mean watts: as watt-hours a quarter they would make a mean of 7 kW and peaks of
37 kW, four times what such walls lose and twice what such a house's heaters can give.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from noonwall.climate.monthly import year_from_figures
from noonwall.logs.learn.misfit import SETTLING_DAYS
from noonwall.logs.learn.readings import Measured, hourly
from noonwall.logs.learn.story import Learned, learn_from
from noonwall.logs.learn.trial import Trials
from noonwall.logs.learn.weather import Outside, known_outside, weather_of
from noonwall.model.file import from_text

SHARED = Path(__file__).resolve().parents[3] / "shared" / "measured"
FILES = ("quebec-house-2019.csv", "quebec-house-2023.csv")
STEP_S = 900
VAGUER = 2.0
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
    """A stretch of measured days."""

    start: np.datetime64
    room_c: np.ndarray
    heat_w: np.ndarray
    outdoor_c: np.ndarray
    sun_w_m2: np.ndarray


def read(file: str) -> House:
    """Return the house's mean temperature and whole heat at each quarter hour, in standard time."""
    import pandas as pd

    table = pd.read_csv(SHARED / file)
    stamp = table.iloc[:, 0].astype(str)
    if "2019" in file:
        time = pd.to_datetime(stamp)
    else:
        time = pd.to_datetime(stamp, utc=True).dt.tz_localize(None) - pd.Timedelta(hours=5)
    table.index = pd.DatetimeIndex(time)
    table = table[~table.index.duplicated()]
    first, last = table.index[0].ceil("D"), table.index[-1].floor("D")
    grid = pd.date_range(first, last, freq="15min", inclusive="left")
    table = table.reindex(grid)
    known = table.notna().all(axis=1)
    run = (known != known.shift()).cumsum()
    longest = known.groupby(run).sum().idxmax()
    table = table[run == longest]
    first = table.index[0].ceil("D")
    table = table[(table.index >= first) & (table.index < table.index[-1].ceil("D"))]
    table = table[: len(table) // 96 * 96]
    rooms = table[[c for c in table.columns if c.endswith("_TEMP")]]
    heat = table[[c for c in table.columns if c.endswith("_Wh")]]
    return House(
        np.datetime64(first.to_datetime64(), "s"),
        rooms.mean(axis=1, skipna=False).to_numpy(),
        heat.sum(axis=1, skipna=False).to_numpy(),
        table["Text"].to_numpy(),
        table["GHI"].to_numpy(),
    )


def trials_of(house: House, given_heat: bool = True) -> tuple[Trials, np.ndarray]:
    """Return trials of the engine under the house's weather, and where that is known."""
    project = from_text(HOUSE + WALL, "house")
    measured = Measured(house.start, STEP_S, house.room_c, backup_w=house.heat_w)
    outside = Outside(air_c=house.outdoor_c, sun_w_m2=house.sun_w_m2)
    steps = measured.steps
    base = year_from_figures(project.site, 1)
    weather, _ = weather_of(project.site, base, outside, house.start, STEP_S, steps)
    trials = Trials(project, weather, measured, wall=False, given_heat=given_heat)
    # Little is published of the house: what is believed of it beforehand is vaguer than of a builder's own shop.
    trials.parameters = tuple(replace(p, spread=VAGUER * p.spread) for p in trials.parameters)
    return trials, known_outside(outside, STEP_S, steps)


def learned_of(house: House, turn: int = 2) -> Learned:
    """Return what the engine learns of the house's shop side on two days of three; ``turn``: which judges."""
    trials, known = trials_of(house)
    return learn_from(trials, known, 0, (), turn=turn)


@dataclass(frozen=True)
class Held:
    """Errors on hours that did not teach [K]: engine and two nodes, root mean square and mean; shares by heat."""

    hours: int
    engine_k: float
    engine_bias_k: float
    nodes_k: float
    nodes_bias_k: float


def compared(house: House, turn: int) -> Held:
    """Return both models' errors on the third of the days that judges; both learn from the same hours."""
    learned = learned_of(house, turn)
    curve = next(c for c in learned.curves if c.channel == "room_c")
    part = max(1, int(learned.days) // 9) * 24
    hour = np.arange(len(curve.judges))
    teach = (hour // part % 3 != turn) & (hour >= SETTLING_DAYS * 24)
    air, _ = two_nodes(house, teach)
    engine, nodes = (
        (curve.measured - curve.learned)[curve.judges],
        (curve.measured - hourly(air, STEP_S))[curve.judges],
    )
    return Held(len(engine), *_errors(engine), *_errors(nodes))


def _errors(rest: np.ndarray) -> tuple[float, float]:
    return float(np.sqrt(np.mean(rest**2))), float(rest.mean())


def two_nodes(house: House, teach_h: np.ndarray) -> tuple[np.ndarray, int]:
    """Fit a plain linear model of two nodes to the hours that teach; returns its air by step, its parameters.

    C1 dT1/dt = U (To - T1) + H (T2 - T1) + heat + gain + a GHI;  C2 dT2/dt = H (T1 - T2) + b GHI
    """
    from scipy.optimize import least_squares

    def fill(values: np.ndarray) -> np.ndarray:
        known = np.isfinite(values)
        return np.interp(np.arange(len(values)), np.flatnonzero(known), values[known])

    out, sun, heat = fill(house.outdoor_c), fill(house.sun_w_m2), fill(house.heat_w)
    first = float(house.room_c[np.isfinite(house.room_c)][0])

    def air(p: np.ndarray) -> np.ndarray:
        from scipy.linalg import expm
        from scipy.signal import StateSpace, dlsim

        u, h, c1, c2 = np.exp(p[:4])
        rates = np.array([[-(u + h) / c1, h / c1], [h / c2, -h / c2]])
        inputs = np.array([[u / c1, 1.0 / c1, p[4] / c1, 1.0 / c1], [0.0, 0.0, p[5] / c2, 0.0]])
        step = expm(np.block([[rates, inputs], [np.zeros((4, 6))]]) * STEP_S)
        system = StateSpace(step[:2, :2], step[:2, 2:], np.array([[1.0, 0.0]]), np.zeros((1, 4)), dt=STEP_S)
        acts = np.column_stack([out, heat, sun, np.full(len(out), 1000.0 * p[6])])
        _, y, _ = dlsim(system, acts, x0=np.array([first, first + p[7]]))
        return np.asarray(y[:, 0])

    teach = np.repeat(teach_h, 4)[: len(out)] & np.isfinite(house.room_c)
    start = np.array([np.log(150.0), np.log(500.0), np.log(3e6), np.log(3e7), 3.0, 3.0, 0.2, 0.0])
    found = least_squares(
        lambda p: (house.room_c - air(p))[teach], start, x_scale=np.array([0.2] * 4 + [1, 1, 0.2, 1])
    )
    return air(found.x), len(start)


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
