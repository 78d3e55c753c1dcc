"""Light of a made year: daily clearness from its published distribution, hours around the day's course."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.draws import Draws, persistent
from noonwall.climate.split import LOW_SUN_UP, split_global

if TYPE_CHECKING:
    from noonwall.climate.places import MonthFigures
    from noonwall.climate.sunhours import SunHours

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
DAY_TO_DAY = 0.29  # correlation of a day's clearness with the next day's: Graham and Hollands 1988
DARK_DAY_W_M2 = 3.0  # a day with less light than this above the air is polar night
CLEARER_THAN_HAURWITZ = 1.06  # own choice: cold, dry or high places pass the mean cloudless sky by so much
LOWEST_CLEARNESS, HIGHEST_CLEARNESS = 0.03, 0.85
TWILIGHT_DEG = 6.0
BEAM_CEILING = 0.80  # own choice: more of the extraterrestrial beam never comes through in an hour


@dataclass(frozen=True)
class Light:
    """Light of a made year at hours, shape (n,) [W/m²], and each day's clearness, shape (days,) [-]."""

    ghi: Floats
    dni: Floats
    dhi: Floats
    daily_clearness: Floats


def make_light(month: Ints, sun: SunHours, figures: MonthFigures, seed: int) -> Light:
    """Make the light of a year.

    month : shape (days,)   0 to 11;  sun   sun at the year's hours
    figures   what each month is to meet;  seed   which of the possible years
    Returns the light; each month's mean is met exactly, and its diffuse share where the place has one
    *Source* daily clearness: distribution of Hollands and Huget 1983 (Solar Energy 30, 195), memory from day
             to day after Graham, Hollands and Brunger 1988 (Solar Energy 40, 83); hours: Aguiar and
             Collares-Pereira 1992 (Solar Energy 49, 167); diffuse: Erbs, Klein and Duffie 1982
    *Departs* where the place's diffuse share is known, the correlation's diffuse is bent to meet it month by
             month (alone it gives 15 to 20 % too little beam in a northern winter); days of a month take
             evenly spaced ranks of the distribution, so that each month has its spread;
             the brightest day and hour are held to a cloudless sky (Haurwitz 1945, plus 6 %)
    """
    days = len(month)
    outer = (sun.extra_w_m2 * sun.mean_up * sun.lit).reshape(days, 24)
    clear = _cloudless(sun).reshape(days, 24)
    ranks = persistent(Draws(seed, 1).normal(days), DAY_TO_DAY)
    clearness = np.empty(days)
    for m in range(12):
        rows = np.flatnonzero(month == m)
        level = outer[rows].mean(axis=1)
        top = np.maximum(clear[rows].sum(axis=1), 1e-9) / np.maximum(outer[rows].sum(axis=1), 1e-9)
        mean = figures.ghi_kwh_m2_day[m] / 0.024
        wide = None if figures.clearness_spread is None else float(figures.clearness_spread[m])
        clearness[rows] = _month_clearness(ranks[rows], level, top, mean, wide)
    ghi = _hours(clearness, outer, clear, sun, Draws(seed, 2))
    for m in range(12):
        rows = np.flatnonzero(month == m)
        total = float(ghi[rows].mean())
        wanted = float(figures.ghi_kwh_m2_day[m]) / 0.024
        ghi[rows] = ghi[rows] * wanted / total if total > 0.0 else _twilight(sun, rows, wanted)
    dni, dhi = _split(month, sun, ghi.reshape(-1), figures.diffuse_share)
    return Light(ghi.reshape(-1), dni, dhi, clearness)


def _twilight(sun: SunHours, rows: Ints, mean_w_m2: float) -> Floats:
    """Return the light of a month without sunrise: all of it while the sun is near under the horizon."""
    near = np.maximum(sun.highest_deg.reshape(-1, 24)[rows] + TWILIGHT_DEG, 0.0)
    return near * (mean_w_m2 / float(near.mean())) if near.any() else near


def _split(month: Ints, sun: SunHours, ghi: Floats, share: Floats | None) -> tuple[Floats, Floats]:
    """Return beam and diffuse at the hours, each month's diffuse share met where it is known."""
    _, dhi = split_global(ghi, sun.mean_up, sun.extra_w_m2 * np.maximum(sun.lit, 1e-9))
    if share is not None:
        by_hour = month.repeat(24)
        for m in range(12):
            rows = (by_hour == m) & (sun.mean_up > LOW_SUN_UP)
            dhi[rows] = _scaled_diffuse(dhi[rows], ghi[rows], float(share[m]))
    beam = np.where(sun.mean_up > LOW_SUN_UP, (ghi - dhi) / np.maximum(sun.mean_up, LOW_SUN_UP), 0.0)
    most = BEAM_CEILING * sun.extra_w_m2 * np.maximum(sun.lit, 1e-9)
    dni = np.clip(beam, 0.0, most)
    return dni, np.maximum(ghi - dni * sun.mean_up, 0.0)


def _scaled_diffuse(diffuse: Floats, ghi: Floats, share: float) -> Floats:
    """Bend diffuse shares by one exponent, which leaves overcast hours overcast, until their sum fits."""
    ratio = np.clip(diffuse / np.maximum(ghi, 1e-9), 0.01, 1.0)
    wanted = share * float(ghi.sum())
    low, high = 0.4, 2.5
    for _ in range(40):
        power = 0.5 * (low + high)
        if float((ratio**power * ghi).sum()) > wanted:
            low = power
        else:
            high = power
    return np.asarray(ratio ** (0.5 * (low + high)) * ghi)


def _cloudless(sun: SunHours) -> Floats:
    """Return the most light that a made hour may have [W/m²]."""
    up = np.maximum(sun.mean_up, 1e-4)
    return np.asarray(CLEARER_THAN_HAURWITZ * 1098.0 * up * np.exp(-0.059 / up) * sun.lit)


def _month_clearness(
    ranks: Floats, level: Floats, top: Floats, mean_w_m2: float, spread: float | None
) -> Floats:
    """Return the clearness of a month's days in the order of their ranks, the month's light met."""
    lit = level > DARK_DAY_W_M2
    if not lit.any():
        return np.full(len(ranks), 0.3)
    wanted = min(mean_w_m2 * len(ranks) / float(level.sum()), HIGHEST_CLEARNESS)
    place = (np.argsort(np.argsort(ranks, kind="stable"), kind="stable") + 0.5) / len(ranks)
    best = float(np.median(top[lit]))
    days = clearness_quantiles(place, min(wanted, 0.97 * best), best)
    if spread is not None and days.std() > 0.0:
        days = days.mean() + (days - days.mean()) * spread / float(days.std(ddof=1))
    for _ in range(30):
        days = np.clip(days, LOWEST_CLEARNESS, np.maximum(top, wanted))
        days = days + (wanted - float((days * level).sum() / level.sum()))
    return np.asarray(np.maximum(days, 0.5 * LOWEST_CLEARNESS))


def clearness_quantiles(place: Floats, mean: float, top: float) -> Floats:
    """Return daily clearness at places of its distribution.

    place : shape (n,)   0 darkest to 1 brightest [-];  mean, top : float   mean and highest clearness [-]
    *Source*   Hollands and Huget 1983: density C (top - k)/top exp(lambda k), lambda fixed by the mean
    *Valid*    mean from 0.02 top to 0.97 top; beyond, held there
    """
    mean = min(max(mean, 0.02 * top), 0.97 * top)
    k = np.linspace(0.0, top, 801)
    low, high = -400.0 / top, 400.0 / top
    for _ in range(60):
        steep = 0.5 * (low + high)
        weight = (top - k) * np.exp(steep * k - max(steep * top, 0.0))
        if float((weight * k).sum() / weight.sum()) < mean:
            low = steep
        else:
            high = steep
    rising = np.concatenate([[0.0], np.cumsum(0.5 * (weight[1:] + weight[:-1]))])
    return np.asarray(np.interp(place, rising / rising[-1], k))


def _hours(clearness: Floats, outer: Floats, clear: Floats, sun: SunHours, draws: Draws) -> Floats:
    """Return light at the hours, shape (days, 24): a mean course, wandering around it, each day's sum met."""
    days = len(clearness)
    up = np.maximum(sun.mean_up.reshape(days, 24), 1e-3)
    shocks = draws.normal(days * 24).reshape(days, 24)
    ghi = np.zeros((days, 24))
    for d in range(days):
        lit = outer[d] > 0.0
        if not lit.any():
            continue
        kt = _day_course(float(clearness[d]), up[d][lit], shocks[d][lit])
        ceiling = np.maximum(clear[d][lit], clearness[d] * outer[d][lit])
        ghi[d][lit] = _meet(kt * outer[d][lit], clearness[d] * outer[d].sum(), ceiling)
    return ghi


def _day_course(daily: float, up: Floats, shocks: Floats) -> Floats:
    """Return clearness at the hours of a day.

    *Source*   Aguiar and Collares-Pereira 1992: mean course lambda + eta exp(-kappa / sin h), spread
               A exp(B (1 - sin h)), memory 0.38 + 0.06 cos(7.4 K - 2.5)
    """
    daily = min(max(daily, LOWEST_CLEARNESS), HIGHEST_CLEARNESS)
    level = -0.19 + 1.12 * daily + 0.24 * np.exp(-8.0 * daily)
    bow = 0.32 - 1.6 * (daily - 0.5) ** 2
    bend = 0.19 + 2.27 * daily**2 - 2.51 * daily**3
    course = level + bow * np.exp(-bend / up)
    narrow = 3.0 * (daily - 0.45) ** 2 + 16.0 * daily**5
    spread = 0.14 * np.exp(-20.0 * (daily - 0.35) ** 2) * np.exp(np.minimum(narrow * (1.0 - up), 3.0))
    memory = 0.38 + 0.06 * np.cos(7.4 * daily - 2.5)
    kt = course + np.minimum(spread, 0.5 * daily) * persistent(shocks, float(memory))
    return np.asarray(np.clip(kt, 0.1 * daily, 1.0))


def _meet(hours: Floats, total: float, ceiling: Floats) -> Floats:
    """Scale hours to a day's sum without passing the ceiling, spreading the rest over the free hours."""
    total = min(total, 0.999 * float(ceiling.sum()))
    for _ in range(12):
        hours = np.minimum(hours, ceiling)
        short = total - float(hours.sum())
        if abs(short) < 1e-9:
            break
        free = (ceiling - hours) * hours if short > 0.0 else hours
        weight = float(free.sum())
        if weight <= 0.0:
            free, weight = ceiling - hours, float((ceiling - hours).sum())
        hours = hours + short * free / max(weight, 1e-12)
    return np.asarray(np.maximum(hours, 0.0))
