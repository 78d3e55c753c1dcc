"""Invented truths: a shop that differs from its description, lived through a year, and what loggers made of it.

The truth is run by the engine at five minutes with parameters of its own; the loggers write means of ten
minutes with noise, slow drift, constant errors, gaps, a fan that dies, sensors that stick.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.monthly import year_from_figures
from noonwall.engine import numbers as n
from noonwall.engine.simulate import begin, build_case, run, surroundings
from noonwall.logs.learn.parameters import adjusted, parameters_of
from noonwall.logs.learn.readings import Measured
from noonwall.logs.learn.trial import obstacles
from noonwall.logs.learn.weather import Outside
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project

SCENERY = ("[[obstacle", "[[pv", "[[standing_point", "[[variant", "[hot")
TRUE_STEP_S, STEP_S = 300, 600
DEAD_DAYS = 9
FIRS = "".join(
    f"""
[[obstacle]]
kind = "tree"
name = "fir {i}"
species = "fir"
east = "{east} m"
north = "-15 m"
height = "12 m"
crown_base = "0.8 m"
crown_width = "4.4 m"
"""
    for i, east in enumerate((1.0, 6.0, 11.0), start=1)
)


@dataclass(frozen=True)
class Truth:
    """What is true and what was measured of it."""

    project: Project
    x: dict[str, float]  # places on the search's axes
    measured: Measured
    outside: Outside
    weather: Weather  # the true year's
    next_weather: Weather
    next_heat_kwh: float  # delivered in the next year
    assumed_next_kwh: float


@lru_cache(maxsize=4)
def shop(extra: str = "") -> Project:
    """Return the demo's shop without what stands around it, and what else is to stand there."""
    kept = [part for part in re.split(r"(?m)^(?=\[)", demo_text()) if not part.startswith(SCENERY)]
    return from_text("".join(kept) + extra, "invented")


def heat_kwh(project: Project, weather: Weather, x: dict[str, float], step_s: int = TRUE_STEP_S) -> float:
    """Return the heat delivered in a year with the parameters at x and the project's own switches."""
    around = surroundings(project, weather, step_s)
    case = build_case(project, around)
    every = (*parameters_of(case), *obstacles(project, around))
    case = adjusted(case, every, np.array([x.get(p.key, 0.0) for p in every]))
    out = run(case, begin(case), 0, len(case.drive.out_c)).out
    return float(out[:, n.DELIVERED].sum() * step_s / 3.6e6)


def wander(random: np.random.Generator, steps: int, memory: float, size: float) -> np.ndarray:
    """Return a slow error that forgets itself over ``memory`` steps."""
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / memory)
    return size * np.asarray(lfilter([np.sqrt(1.0 - keep**2)], [1.0, -keep], random.normal(size=steps)))


def truth(seed: int, extra: str = "") -> Truth:
    """Return one invented truth and its readings."""
    random = np.random.default_rng(seed)
    project = shop(extra)
    weather = year_from_figures(project.site, 100 + seed)
    around = surroundings(project, weather, TRUE_STEP_S)
    case = build_case(project, around)
    every = (*parameters_of(case), *obstacles(project, around))
    x = {p.key: float(np.clip(random.normal(), -2.0, 2.0) * p.spread) for p in every}
    case = adjusted(case, every, np.array([x[p.key] for p in every]))
    mains = np.ones(len(case.drive.out_c))
    dead = random.integers(35, 70) * 288
    mains[dead : dead + DEAD_DAYS * 288] = 0.0
    case = case._replace(drive=case.drive._replace(mains=mains))
    out = run(case, begin(case), 0, len(mains)).out
    measured = _read(random, out, around.fine.time[0])
    light = around.plane.total
    outside = Outside(
        air_c=_logged(random, _mean(around.fine.air_c), 0.1, 0.15, 0.2),
        sun_w_m2=np.round(
            np.maximum(
                _mean(light) * (1.0 + random.uniform(-0.02, 0.02)) + random.normal(0, 2.0, len(out) // 2), 0.0
            )
        ),
        tilt_deg=90.0,
        azimuth_deg=project.wall.azimuth_deg,
    )
    later = year_from_figures(project.site, 500 + seed)
    return Truth(
        project,
        x,
        measured,
        outside,
        weather,
        later,
        heat_kwh(project, later, x),
        heat_kwh(project, later, {}),
    )


def _mean(column: np.ndarray) -> np.ndarray:
    return np.asarray(column.reshape(-1, STEP_S // TRUE_STEP_S).mean(axis=1))


def _logged(
    random: np.random.Generator, value: np.ndarray, noise: float, drift: float, constant: float, gaps: int = 4
) -> np.ndarray:
    """Return what a logger writes of a temperature: noise, drift, a constant error, a tenth's rounding, gaps."""
    steps = len(value)
    out = value + random.normal(0.0, noise, steps) + wander(random, steps, 6 * 144, drift)
    out = np.round(out + constant * np.clip(random.normal(), -2.0, 2.0), 1)
    for _ in range(gaps):
        first = random.integers(0, steps)
        out[first : first + int(random.uniform(0.1, 4.0) * 144)] = np.nan
    spikes = random.random(steps) < 2e-5
    return np.where(spikes, out + 15.0, out)


def _read(random: np.random.Generator, out: np.ndarray, start: np.datetime64) -> Measured:
    room = _logged(random, _mean(out[:, n.ROOM]), 0.1, 0.15, 0.3)
    stuck = random.integers(0, len(room) - 600)
    room[stuck : stuck + int(random.uniform(1.0, 3.0) * 144)] = room[stuck]
    top = _logged(random, _mean(out[:, n.GAP_TOP]), 0.2, 0.4, 0.4)
    bottom = _logged(random, _mean(out[:, n.GAP_BOTTOM]), 0.2, 0.4, 0.4)
    fan = _mean(out[:, n.FAN_SHARE])
    fan[random.integers(0, len(fan)) :][: 3 * 144] = np.nan
    heat = _mean(out[:, n.BACKUP]) * (1.0 + 0.01 * random.normal())
    return Measured(start, STEP_S, room, bottom, top, fan_share=fan, backup_w=np.round(heat, -1))
