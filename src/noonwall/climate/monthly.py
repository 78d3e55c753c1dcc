"""A weather year without a file: made from the nearest place's monthly figures or from typed months."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.clearness import make_light
from noonwall.climate.distance import away_text
from noonwall.climate.places import LAPSE_K_PER_M, MonthFigures, Place, at_height, nearest, typed_figures
from noonwall.climate.sunhours import SunHours, sun_hours
from noonwall.climate.sunplace import standard_pressure
from noonwall.climate.timeline import COMMON_YEAR, months
from noonwall.climate.warmth import make_air
from noonwall.climate.weather import Weather
from noonwall.errors import WeatherError
from noonwall.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.model.site import Site
    from noonwall.units import System

Floats = NDArray[np.float64]
HOURS = 8760
START = np.datetime64(f"{COMMON_YEAR}-01-01T00:00:00", "s")
FAR_KM = 150.0
WORTH_TELLING_M = 10.0  # less height moves temperatures by under 0.07 K
POLAR_KWH_M2_DAY = 0.05  # less than this outside the air: clearness means nothing, light is kept as it is


def year_from_figures(site: Site, seed: int = 1, system: System = "metric") -> Weather:
    """Make a year from the monthly figures of the place nearest to the site.

    site     the builder's place;  seed   which of the possible years;  system  units its notes speak in
    Returns  hourly weather at the site: the place's clearness under the site's own sun, temperatures carried
             to the site's height
    *Source* `make_light`, `make_air`, `at_height`
    """
    place, away_km = nearest(site)
    clock_h = _clock(site, place)
    sun, month = _sun(site, clock_h)
    rise_m = site.elevation_m - place.elevation_m
    figures = _under_own_sun(at_height(place.figures, rise_m), place, sun, month)
    origin = f"made from monthly figures of {place.name} ({place.source}, one typical month each)"
    away = away_text(away_km, system)
    notes = [f"{origin}, {away} from the site; seed {seed}"]
    if abs(rise_m) > WORTH_TELLING_M:
        side, warmth = ("above", "colder") if rise_m > 0 else ("below", "warmer")
        moved = show(abs(LAPSE_K_PER_M * rise_m), "temperature_difference", system)
        notes.append(
            f"the site lies {show(abs(rise_m), 'length', system)} {side} that place: taken {moved} {warmth}"
        )
    if away_km > FAR_KM:
        notes.append(f"{away} is far: type your own twelve months or give a weather file")
    return _make(site, figures, sun, month, clock_h, seed, "monthly figures", place.name, away_km, notes)


def year_from_months(site: Site, typed: tuple[dict[str, float], ...], seed: int = 1) -> Weather:
    """Make a year from twelve months that the builder typed.

    site, seed   as `year_from_figures`;  typed   see `typed_figures`
    Raises       WeatherError naming month and word
    """
    clock_h = site.clock_h
    sun, month = _sun(site, clock_h)
    figures = typed_figures(typed, _above_the_air(sun, month))
    notes = [f"made from the twelve months typed in the project; seed {seed}"]
    return _make(site, figures, sun, month, clock_h, seed, "typed months", "typed months", 0.0, notes)


def ensemble(
    site: Site, seeds: Sequence[int], typed: tuple[dict[str, float], ...] = ()
) -> tuple[Weather, ...]:
    """Return one possible year for each seed; all meet the same monthly figures."""
    if not seeds:
        raise WeatherError("an ensemble of years needs at least one seed")
    return tuple(
        year_from_months(site, typed, seed) if typed else year_from_figures(site, seed) for seed in seeds
    )


def _clock(site: Site, place: Place) -> float:
    """Return the clock of a made year [h]: the builder's, else the place's where that fits the longitude."""
    if site.utc_offset_h is not None:
        return site.utc_offset_h
    by_longitude = site.longitude_deg / 15.0
    near = abs(place.utc_offset_h - by_longitude) < 1.5
    return place.utc_offset_h if near else float(round(by_longitude))


def _sun(site: Site, clock_h: float) -> tuple[SunHours, NDArray[np.int64]]:
    sun = sun_hours(site.latitude_deg, site.longitude_deg, clock_h, START, 3600, HOURS)
    return sun, months(START, 86400, HOURS // 24)


def _above_the_air(sun: SunHours, month: NDArray[np.int64]) -> Floats:
    """Return light on the level outside the air, month by month [kWh/m² a day], shape (12,)."""
    daily = (sun.extra_w_m2 * sun.mean_up * sun.lit).reshape(-1, 24).sum(axis=1) / 1000.0
    return np.asarray(np.bincount(month, daily) / np.bincount(month))


def _under_own_sun(
    figures: MonthFigures, place: Place, sun: SunHours, month: NDArray[np.int64]
) -> MonthFigures:
    """Carry a place's clearness, not its light, to the site: the sun stands differently there."""
    there = sun_hours(place.latitude_deg, place.longitude_deg, place.utc_offset_h, START, 3600, HOURS)
    outer = _above_the_air(there, month)
    own = _above_the_air(sun, month)
    ratio = np.where(outer > POLAR_KWH_M2_DAY, own / np.maximum(outer, POLAR_KWH_M2_DAY), 1.0)
    return replace(figures, ghi_kwh_m2_day=figures.ghi_kwh_m2_day * np.minimum(ratio, 3.0))


def _make(
    site: Site,
    figures: MonthFigures,
    sun: SunHours,
    month: NDArray[np.int64],
    clock_h: float,
    seed: int,
    kind: str,
    name: str,
    away_km: float,
    notes: list[str],
) -> Weather:
    light = make_light(month, sun, figures, seed)
    air = make_air(month, sun, figures, light.daily_clearness, seed)
    return Weather(
        kind=kind,
        place=name,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        utc_offset_h=clock_h,
        start=START,
        step_s=3600,
        air_c=air.air_c,
        dewpoint_c=air.dewpoint_c,
        pressure_pa=np.full(HOURS, standard_pressure(site.elevation_m)),
        wind_m_s=air.wind_m_s,
        ghi_w_m2=light.ghi,
        dni_w_m2=light.dni,
        dhi_w_m2=light.dhi,
        distance_km=away_km,
        notes=tuple(notes),
    )
