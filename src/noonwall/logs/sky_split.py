"""Measured light on the level split into beam and diffuse as the site's own typical year splits it.

A general split knows no haze, no snow, no coast; over a winter it may miss a tenth of the beam. The project's
weather has beam and diffuse of its own, so each month's split is bent until it fits that year.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.split import LOW_SUN_UP, split_global
from noonwall.engine.simulate import surroundings
from noonwall.logs.series import HOUR_S

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.logs.records import Floats, Whole
    from noonwall.model.project import Project

LOW, HIGH = 0.4, 2.5  # exponents tried; 1 is the general split
HALVINGS = 30
LEAST_SUN_W_M2 = 500.0  # sum of a month's hours of light below which it tells nothing
LEAST_SHARE, BEAM_CEILING_W_M2 = 0.01, 1100.0


@dataclass(frozen=True)
class SkySplit:
    """``power``  exponent on the general split's diffuse share, a month each, shape (12,); 1 changes nothing."""

    power: Floats

    def __call__(self, ghi: Floats, up: Floats, extra: Floats, month: Whole) -> tuple[Floats, Floats]:
        """Return beam facing the sun and diffuse on the level [W/m2], shape (n,) each; together they are ``ghi``.

        ghi        light on the level [W/m2];  up  sine of the sun's elevation;  month  0 for January
        extra      extraterrestrial light facing the sun [W/m2]
        """
        _, diffuse = split_global(ghi, up, extra)
        diffuse = _bent(diffuse, ghi, self.power[month])
        beam = np.where(up > LOW_SUN_UP, (ghi - diffuse) / np.maximum(up, LOW_SUN_UP), 0.0)
        return np.minimum(np.maximum(beam, 0.0), BEAM_CEILING_W_M2), diffuse


GENERAL = SkySplit(np.ones(12))


def sky_split(project: Project, base: Weather) -> SkySplit:
    """Return the split that a year of hourly weather with beam and diffuse shows, month by month.

    base   the project's weather; months it does not have keep the general split
    """
    if base.step_s != HOUR_S:
        return GENERAL
    course = surroundings(project, base, HOUR_S).course
    hours = min(base.steps, len(course.up))
    up = np.maximum(course.up[:hours], 0.0)
    extra = course.extraterrestrial_w_m2[:hours] * np.maximum(course.hour_share_up[:hours], 1e-3)
    ghi, own = np.maximum(base.ghi_w_m2[:hours], 0.0), base.dhi_w_m2[:hours]
    _, diffuse = split_global(ghi, up, extra)
    month = months(base.start, hours)
    power = np.ones(12)
    for m in range(12):
        rows = (month == m) & (up > LOW_SUN_UP) & (ghi > 0.0)
        if float(ghi[rows].sum()) > LEAST_SUN_W_M2:
            power[m] = _fitting(diffuse[rows], ghi[rows], float(np.minimum(own, ghi)[rows].sum()))
    return SkySplit(power)


def months(start: np.datetime64, hours: int) -> Whole:
    """Return the month of each hour from a start, 0 for January, shape (hours,)."""
    time = start.astype("datetime64[s]") + HOUR_S * np.arange(hours).astype("timedelta64[s]")
    return np.asarray(time.astype("datetime64[M]").astype(np.int64) % 12)


def _bent(diffuse: Floats, ghi: Floats, power: Floats | float) -> Floats:
    """Return diffuse light whose share is raised to a power: overcast hours stay overcast."""
    share = np.clip(diffuse / np.maximum(ghi, 1e-9), LEAST_SHARE, 1.0)
    return np.asarray(ghi * share**power)


def _fitting(diffuse: Floats, ghi: Floats, wanted: float) -> float:
    """Return the power at which the diffuse light adds up to what is wanted."""
    low, high = LOW, HIGH
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if float(_bent(diffuse, ghi, middle).sum()) > wanted:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
