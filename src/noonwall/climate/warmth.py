"""Air of a made year: day-to-day course, daily wave, dew point and wind, each month's figures met."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.draws import Draws, persistent
from noonwall.climate.humid import dewpoint, saturation_pressure

if TYPE_CHECKING:
    from noonwall.climate.places import MonthFigures
    from noonwall.climate.sunhours import SunHours

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
DAY_TO_DAY = 0.78  # own fit to seven typical years: a day's mean and the next day's; months show 0.68 of it
RANGE_BY_CLEARNESS = 1.3  # own fit to the same: relative daily range per unit of clearness
WIND_MEMORY = 0.9  # own choice: hour to hour, typical of hourly wind records
ROUNDS = 12  # of meeting the figures; the residue then is under 1 %


@dataclass(frozen=True)
class Air:
    """Air of a made year at hours, shape (n,)."""

    air_c: Floats
    dewpoint_c: Floats
    wind_m_s: Floats


def make_air(month: Ints, sun: SunHours, figures: MonthFigures, daily_clearness: Floats, seed: int) -> Air:
    """Make air temperature, dew point and wind of a year.

    month : shape (days,)   0 to 11;  sun   sun at the year's hours
    figures   what each month is to meet;  daily_clearness : shape (days,) [-];  seed   which possible year
    Returns   hours; each month's mean temperature, mean daily range, spread of daily means, humidity and wind
    *Source*  daily wave: Parton and Logan 1981 (Agricultural Meteorology 23, 205); day to day: first-order
              memory; correlation with clearness, memory and range by clearness are own fits to seven typical
              years; wind: Rayleigh distribution (Justus 1978)
    """
    days = len(month)
    wander = _wander(month, figures, daily_clearness, Draws(seed, 3))
    wave = _daily_wave(sun, days)
    relative = np.empty(days)
    for m in range(12):
        rows = month == m
        k = daily_clearness[rows]
        relative[rows] = np.maximum(1.0 + RANGE_BY_CLEARNESS * (k - k.mean()), 0.25)
        relative[rows] /= relative[rows].mean()
    air = _meet_figures(month, figures, wander, relative, wave)
    return Air(air, _dew(month, figures, air, daily_clearness), _wind(month, figures, Draws(seed, 4)))


def clearness_pull(mean_c: Floats) -> Floats:
    """Return how a day's warmth goes with its clearness, as a correlation [-].

    mean_c : shape (n,)   the month's mean temperature [degC]
    *Source*   own fit to seven typical years: clear days are cold in winter and warm in summer
    *Valid*    any; -0.4 below -6 degC, 0.4 above 16 degC
    """
    return np.asarray(np.clip(-0.4 + 0.8 * (mean_c + 6.0) / 22.0, -0.4, 0.4))


def _wander(month: Ints, figures: MonthFigures, clearness: Floats, draws: Draws) -> Floats:
    """Return each day's departure in spreads, mean 0 and spread 1 in each month, shape (days,)."""
    own = persistent(draws.normal(len(month)), DAY_TO_DAY)
    wander = np.empty(len(month))
    for m in range(12):
        rows = month == m
        pull = float(clearness_pull(figures.temp_mean_c[m : m + 1])[0])
        k = clearness[rows] - clearness[rows].mean()
        bright = k / max(float(k.std()), 1e-9)
        mixed = pull * bright + (1.0 - pull * pull) ** 0.5 * own[rows]
        mixed = mixed - mixed.mean()
        wander[rows] = mixed / max(float(mixed.std(ddof=1)), 1e-9)
    return wander


def _daily_wave(sun: SunHours, days: int) -> Floats:
    """Return the shape of each day's temperature, from 0 at its low to 1 at its high, shape (days, 24).

    *Source*   Parton and Logan 1981: sine by day with the high 1.86 h after noon, exponential by night
               (2.20), low 0.17 h before sunrise
    *Departs*  day length is held between 6 and 18 h, so that the far north has a wave too
    """
    late, fall, early = 1.86, 2.20, 0.17
    lit = sun.lit.reshape(days, 24)
    middle = np.where(
        lit.sum(axis=1) > 0.5, (lit * (np.arange(24) + 0.5)).sum(axis=1), 12.0 * lit.sum(axis=1)
    )
    noon = np.where(lit.sum(axis=1) > 0.5, middle / np.maximum(lit.sum(axis=1), 0.5), 12.0)
    noon = np.full(days, float(np.median(noon)))
    length = np.clip(lit.sum(axis=1), 6.0, 18.0)
    rise, fall_at = noon - 0.5 * length - early, noon + 0.5 * length
    hour = np.arange(24)[None, :] + 0.5
    night = 24.0 - (fall_at - rise)
    day_part = np.sin(np.pi * (hour - rise[:, None]) / (length + 2.0 * late)[:, None])
    at_sunset = np.sin(np.pi * (fall_at - rise) / (length + 2.0 * late))
    since = np.where(hour >= fall_at[:, None], hour - fall_at[:, None], hour + 24.0 - fall_at[:, None])
    night_part = at_sunset[:, None] * np.exp(-fall * since / night[:, None])
    by_day = (hour >= rise[:, None]) & (hour < fall_at[:, None])
    return np.asarray(np.clip(np.where(by_day, day_part, night_part), 0.0, 1.0))


def _meet_figures(
    month: Ints, figures: MonthFigures, wander: Floats, relative: Floats, wave: Floats
) -> Floats:
    """Combine day-to-day course and daily wave so that each month's mean, range and spread come out."""
    mean, spread, power = figures.temp_mean_c.copy(), figures.spread_k.copy(), np.ones(12)
    wanted = figures.temp_max_c - figures.temp_min_c
    place = np.clip((figures.temp_mean_c - figures.temp_min_c) / wanted, 0.3, 0.7)
    span = wanted.copy()
    air = np.zeros(len(month) * 24)
    for _ in range(ROUNDS):
        bent = wave ** power[month][:, None]
        swing = (span[month] * relative)[:, None] * (bent - bent.mean(axis=1, keepdims=True))
        air = _smooth(mean[month] + spread[month] * wander) + swing.reshape(-1)
        by_day = air.reshape(-1, 24)
        for m in range(12):
            rows = by_day[month == m]
            mean[m] += figures.temp_mean_c[m] - rows.mean()
            seen = max(float(np.ptp(rows, axis=1).mean()), 0.1)
            span[m] *= min(max(wanted[m] / seen, 0.5), 2.0)
            ratio = figures.spread_k[m] / max(float(rows.mean(axis=1).std(ddof=1)), 0.05)
            spread[m] *= min(max(ratio, 0.5), 2.0)
            high_above = (rows.mean() - float(rows.min(axis=1).mean())) / seen - place[m]
            power[m] = min(max(power[m] * np.exp(2.0 * high_above), 0.4), 3.0)
    by_day = air.reshape(-1, 24)
    for m in range(12):
        by_day[month == m] += figures.temp_mean_c[m] - by_day[month == m].mean()
    return air


def _smooth(daily: Floats) -> Floats:
    """Return hours running straight from one day's middle to the next, year closed, shape (days * 24,)."""
    hours = np.arange(len(daily) * 24) + 0.5
    middles = np.arange(-1, len(daily) + 1) * 24 + 12.0
    return np.asarray(np.interp(hours, middles, np.concatenate([daily[-1:], daily, daily[:1]])))


def _dew(month: Ints, figures: MonthFigures, air: Floats, clearness: Floats) -> Floats:
    """Return the dew point: one vapour pressure a day, drier on clear days, the month's mean humidity met."""
    hours = air.reshape(-1, 24)
    vapour = np.empty(len(month))
    for m in range(12):
        rows = month == m
        saturated = saturation_pressure(hours[rows])
        k = clearness[rows]
        leaning = figures.humidity_share[m] * (1.0 - 0.5 * (k - k.mean()))
        level = 1.0
        for _ in range(20):
            day = level * leaning * saturated.mean(axis=1)
            seen = float(np.minimum(day[:, None] / saturated, 1.0).mean())
            level *= figures.humidity_share[m] / max(seen, 0.01)
            level = min(level, 3.0)
        vapour[rows] = level * leaning * saturated.mean(axis=1)
    share = np.minimum(_smooth(vapour) / saturation_pressure(air), 1.0)
    return np.minimum(dewpoint(air, share), air)


def _wind(month: Ints, figures: MonthFigures, draws: Draws) -> Floats:
    """Return wind at the hours: Rayleigh by its share of hours, with memory, the month's mean met."""
    hours = len(month) * 24
    series = persistent(draws.normal(hours), WIND_MEMORY)
    by_hour = month.repeat(24)
    wind = np.empty(hours)
    for m in range(12):
        rows = np.flatnonzero(by_hour == m)
        place = (np.argsort(np.argsort(series[rows], kind="stable"), kind="stable") + 0.5) / len(rows)
        shape = np.sqrt(-np.log(1.0 - place))
        wind[rows] = shape * figures.wind_m_s[m] / shape.mean()
    return wind
