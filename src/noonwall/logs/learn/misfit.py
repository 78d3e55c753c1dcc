"""How far a trial is from the readings: hourly differences, weighed by how much each hour really tells."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.learn.readings import DAY_S, HOUR_S, hourly

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.logs.learn.readings import Measured

DAY_H = DAY_S // HOUR_S
LONGEST_MEMORY_H = 240
LEAST_CORRELATION = 0.05
LEAST_HEAT_W = 20.0
SETTLING_DAYS = 3  # after the first reading, in which the start is forgotten


@dataclass(frozen=True)
class Kind:
    """One kind of channel: what a difference of one means, before the readings have told it themselves.

    ``sigma``      usual difference of an hour: sensor, place and model together [unit of the channel]
    ``memory_h``   how long a difference usually lasts (days for what is told by the day)
    ``least``      no model and no sensor's place is better than this; nor shorter in memory than ``memory_h``
    ``offset``     spread of a sensor's constant error, 0: it has none that could be told from the rest
    """

    sigma: float
    memory_h: float
    offset: float
    least: float
    daily: bool = False


# Common practice, no source; the readings' own differences replace sigma and memory after the first search.
KINDS = {
    "room_c": Kind(0.6, 24.0, 0.4, 0.2),
    "gap_bottom_c": Kind(2.0, 24.0, 0.6, 0.7),
    "gap_top_c": Kind(2.0, 24.0, 0.6, 0.7),
    "vent_c": Kind(2.0, 24.0, 0.6, 0.7),
    "flow_m3_s": Kind(0.03, 24.0, 0.0, 0.015),
    "backup_w": Kind(300.0, 3.0, 0.0, 90.0, daily=True),  # of a day's mean
}


@dataclass(frozen=True)
class Channel:
    """One measured channel, by hour (or day), and which of its hours teach, shape (m,)."""

    name: str
    kind: Kind
    value: Floats
    teaches: NDArray[np.bool_]
    judges: NDArray[np.bool_]


def channels_of(
    measured: Measured, teach_h: NDArray[np.bool_], usable_h: NDArray[np.bool_] | None = None
) -> tuple[Channel, ...]:
    """Return the channels that can teach.

    teach_h    (hours,) whether an hour teaches; the others judge. Hours before the third day do neither
    usable_h   (hours,) whether the weather of an hour is known; others neither teach nor judge
    """
    if usable_h is None:
        usable_h = np.ones(len(teach_h), dtype=bool)
    known = np.flatnonzero(np.isfinite(measured.room_c))
    settled = np.arange(len(teach_h)) * HOUR_S >= known[0] * measured.step_s + SETTLING_DAYS * DAY_S
    found = []
    for name, value in measured.channels().items():
        kind = KINDS.get(name)
        if kind is None:
            continue
        by_hour = coarse(value, measured.step_s, kind)
        every = DAY_H if kind.daily else 1
        fit_for_use = (settled & usable_h)[: len(by_hour) * every].reshape(-1, every).all(axis=1)
        there = np.isfinite(by_hour) & fit_for_use
        if kind.daily:
            there &= (
                by_hour > LEAST_HEAT_W
            )  # days without heat differ by nothing and would flatter the others
        teach = teach_h[: len(by_hour) * every : every]
        found.append(Channel(name, kind, by_hour, there & teach, there & ~teach))
    return tuple(found)


def coarse(value: Floats, step_s: int, kind: Kind) -> Floats:
    """Return a channel's steps as means by hour, or by day for what is only told by the day."""
    by_hour = hourly(value, step_s)
    if not kind.daily:
        return by_hour
    days = by_hour[: len(by_hour) // DAY_H * DAY_H].reshape(-1, DAY_H)
    return np.where(np.isfinite(days).all(axis=1), days.sum(axis=1) / DAY_H, np.nan)


def differences(channels: tuple[Channel, ...], shown: Mapping[str, Floats], step_s: int) -> dict[str, Floats]:
    """Return measured less calculated of each channel by hour (or day), NaN where either is missing."""
    return {item.name: item.value - coarse(shown[item.name], step_s, item.kind) for item in channels}


@dataclass(frozen=True)
class Weight:
    """How much the hours of one channel tell: usual difference, and hours that together tell as much as one."""

    sigma: float
    memory: float

    @property
    def each(self) -> float:
        """What one hour's difference is divided by."""
        return self.sigma * math.sqrt(self.memory)


def first_weights(channels: tuple[Channel, ...]) -> dict[str, Weight]:
    """Return weights before any difference is known."""
    return {item.name: Weight(item.kind.sigma, item.kind.memory_h) for item in channels}


def weights(channels: tuple[Channel, ...], found: Mapping[str, Floats]) -> dict[str, Weight]:
    """Return weights from the differences themselves, those that teach.

    The number of independent hours among n autocorrelated ones is n / (1 + 2 sum of correlations).
    *Source*  Bayley and Hammersley 1946, J. R. Stat. Soc. Suppl. 8, 184 (from memory)
    """
    out = {}
    for item in channels:
        rest = np.where(item.teaches, found[item.name], np.nan)
        known = np.isfinite(rest)
        if known.sum() < DAY_H // (DAY_H if item.kind.daily else 1):
            out[item.name] = Weight(item.kind.sigma, item.kind.memory_h)
            continue
        sigma = max(float(np.sqrt(np.mean(rest[known] ** 2))), item.kind.least)
        out[item.name] = Weight(sigma, max(memory(rest), item.kind.memory_h))
    return out


def memory(rest: Floats, longest: int = LONGEST_MEMORY_H) -> float:
    """Return how many neighbouring values tell together as much as one independent value.

    rest   (n,) with NaN where nothing is known; at least one is returned
    """
    known = np.isfinite(rest)
    level = np.where(known, rest - np.nanmean(rest), 0.0)
    spread = float((level**2).sum()) / max(int(known.sum()), 1)
    total = 1.0
    for lag in range(1, min(longest, len(rest) // 3)):
        pairs = int((known[lag:] & known[:-lag]).sum())
        if pairs < 3 or spread == 0.0:
            break
        rho = float((level[lag:] * level[:-lag]).sum()) / pairs / spread
        if rho < LEAST_CORRELATION:
            break
        total += 2.0 * rho
    return total


def usual_days(
    channels: tuple[Channel, ...], found: Mapping[str, Floats], most: float = 6.0
) -> dict[str, NDArray[np.bool_]]:
    """Return which days of each channel differ as days usually do; the others are left out of the lesson.

    most   times the median of the days' mean square differences' root
    """
    out = {}
    for item in channels:
        per = 1 if item.kind.daily else DAY_H
        rest = found[item.name]
        days = rest[: len(rest) // per * per].reshape(-1, per)
        known = np.isfinite(days)
        size = np.sqrt(np.where(known, days, 0.0).__pow__(2).sum(axis=1) / np.maximum(known.sum(axis=1), 1))
        some = size[known.any(axis=1)]
        usual = max(float(np.median(some)) if len(some) else 0.0, 0.5 * item.kind.sigma)
        out[item.name] = size <= most * usual
    return out
