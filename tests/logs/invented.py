"""Invented readings of a shop with a glazed wall: simple physics, real irregularity, no fault unless one is put in.

Not the engine: a few balances of first order are enough to give sensors their ways of moving together.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from noonwall.sky.sun import sun_course

LATITUDE_DEG, LONGITUDE_DEG, ELEVATION_M = 46.0, -111.0, 1500.0
START_S = 1_735_689_600 + 7 * 3600  # 2025-01-01 00:00 at UTC-7
NAMES = (
    "outdoor", "shop low", "shop high", "gap bottom", "gap top", "absorber", "air in", "air out", "fan", "sun",
    "humidity",
)  # fmt: skip
ROLES = {"shop low": "shop", "shop high": "shop"}
DIGITS = {"fan": 0, "sun": 0, "humidity": 3}


@dataclass
class Log:
    """Readings of a stretch of time: the clock's seconds UTC and a column for each sensor, shape (n,)."""

    time_s: np.ndarray
    columns: dict[str, np.ndarray]
    notes: list[str] = field(default_factory=list)

    @property
    def step_s(self) -> int:
        return int(self.time_s[1] - self.time_s[0])

    def rows(self, day: float, days: float) -> slice:
        """Return the rows of some days after the start."""
        low, high = np.searchsorted(self.time_s, self.time_s[0] + 86_400 * np.array([day, day + days]))
        return slice(int(low), int(high))


def invent(seed: int, days: int = 60, step_s: int = 600, first_day: int = 0) -> Log:
    """Return faultless readings, weather and noise by seed."""
    log = _invented(seed, days, step_s, first_day)
    return Log(log.time_s.copy(), {name: values.copy() for name, values in log.columns.items()})


@lru_cache(maxsize=64)
def _invented(seed: int, days: int, step_s: int, first_day: int) -> Log:
    random = np.random.default_rng(seed)
    steps = days * 86_400 // step_s
    start = START_S + first_day * 86_400
    time_s = start + step_s * np.arange(steps, dtype=np.int64)
    local = np.datetime64(start - 7 * 3600, "s")
    course = sun_course(LATITUDE_DEG, LONGITUDE_DEG, ELEVATION_M, -7.0, local, step_s, steps)
    clear = _cloud(random, days, steps)
    beam, diffuse = _light(course.elevation_deg, clear)
    incidence = np.clip(-course.north, 0.0, None) * (course.elevation_deg > 0.0)
    wall = beam * incidence + 0.5 * diffuse * (1.0 + 0.5 * np.cos(np.radians(90.0)))
    level = beam * np.clip(course.up, 0.0, None) + diffuse
    outdoor = _outdoor(random, time_s, clear, level)
    columns = _shop(random, wall, outdoor, step_s)
    columns["sun"] = np.clip(wall + random.normal(0.0, 1.0, steps), 0.0, None)
    columns["humidity"] = np.clip(
        0.45 + 0.1 * np.sin(time_s / 3e5) + random.normal(0, 0.004, steps), 0.0, 1.0
    )
    out = {name: np.round(columns[name], DIGITS.get(name, 1)) for name in NAMES}
    return Log(time_s, out)


def _cloud(random: np.random.Generator, days: int, steps: int) -> np.ndarray:
    """Return how clear the sky is, 0 to 1: days of their own kind, clouds that come and go."""
    per_day = steps // days
    kind = np.repeat(random.beta(1.1, 0.9, days), per_day)
    slow = _wander(random, steps, per_day / 12.0)
    fast = _wander(random, steps, 3.0)
    broken = 4.0 * kind * (1.0 - kind)
    return np.clip(kind + broken * (0.35 * slow + 0.25 * fast), 0.0, 1.0)


def _wander(random: np.random.Generator, steps: int, memory: float) -> np.ndarray:
    """Return noise of unit spread that forgets itself over ``memory`` steps."""
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / memory)
    return lfilter([np.sqrt(1.0 - keep**2)], [1.0, -keep], random.normal(size=steps))


def _light(elevation_deg: np.ndarray, clear: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    up = np.sin(np.radians(np.clip(elevation_deg, 0.1, None)))
    day = elevation_deg > 0.0
    beam = 1000.0 * np.exp(-0.13 / up) * clear**1.5 * day
    twilight = np.clip((elevation_deg + 5.0) / 5.0, 0.0, 1.0) * 6.0
    diffuse = np.where(
        day, 6.0 + 330.0 * up * (0.35 + 0.65 * (1.0 - clear) ** 0.7) * (0.4 + 0.6 * clear), twilight
    )
    return beam, diffuse


def _outdoor(
    random: np.random.Generator, time_s: np.ndarray, clear: np.ndarray, level: np.ndarray
) -> np.ndarray:
    """Return outdoor air: season, passing weather, and what sun and clear nights do over some hours."""
    steps = len(time_s)
    per_day = 86_400 / (time_s[1] - time_s[0])
    year = (time_s - START_S) / 86_400
    season = -4.0 - 7.0 * np.cos(2.0 * np.pi * (year - 15.0) / 365.0)
    weather = 6.0 * _wander(random, steps, 2.5 * per_day)
    drive = level / 45.0 - 3.5 * clear
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / (per_day * 3.0 / 24.0))
    return season + weather + lfilter([1.0 - keep], [1.0, -keep], drive) + random.normal(0.0, 0.08, steps)


def _shop(
    random: np.random.Generator, wall: np.ndarray, outdoor: np.ndarray, step_s: int
) -> dict[str, np.ndarray]:
    steps = len(wall)
    out = {name: np.empty(steps) for name in NAMES}
    shop, absorber, fan = 12.0, outdoor[0], 0.0
    ease = 1.0 - np.exp(-step_s / 900.0)
    draft = _wander(random, steps, 12.0)
    for i in range(steps):
        still = outdoor[i] + 0.35 * (shop - outdoor[i]) + 0.085 * wall[i]
        moved = shop + 2.0 + 0.034 * wall[i]
        absorber += ease * ((moved if fan else still) + 0.012 * wall[i] - absorber)
        gap = absorber - 0.012 * wall[i]
        fan = 1.0 if gap > 38.0 else 0.0 if gap < 24.0 else fan
        heat = 240.0 * max(gap - shop, 0.0) * fan
        backup = 3000.0 if shop < 9.0 else 0.0
        shop += step_s * (180.0 * (outdoor[i] - shop) + heat + backup) / 9e6
        out["shop low"][i], out["shop high"][i] = shop, shop + 0.8 + 0.15 * draft[i] + 0.6 * fan
        out["gap top"][i] = gap + 0.08 * (gap - shop) * (gap > shop)
        out["gap bottom"][i] = shop + 0.25 * (gap - shop) if fan else gap - 0.3 * (gap - outdoor[i])
        out["absorber"][i] = absorber
        out["air in"][i] = shop - 0.4
        out["air out"][i] = gap - 0.5 if fan else shop + 0.5 + 0.15 * max(gap - shop, 0.0)
        out["fan"][i] = fan
    for name in NAMES:
        if name not in ("fan", "sun", "humidity", "outdoor"):
            out[name] += random.normal(0.0, 0.07, steps)
    out["outdoor"] = outdoor
    return out
