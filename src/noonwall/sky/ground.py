"""What lies in front of the wall: bare ground's reflectance, snow as a daily state."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.site import Ground, Site

Floats = NDArray[np.float64]
DAY_S = 86400

# pvlib.albedo.SURFACE_ALBEDOS (its sources: see pvlib.irradiance.get_ground_diffuse) unless said otherwise.
GROUND_ALBEDO: dict[Ground, float] = {
    "grass": 0.20,
    "gravel": 0.20,  # common practice, no source
    "bare soil": 0.17,
    "asphalt": 0.12,
    "concrete": 0.30,
    "water": 0.06,
    "forest": 0.15,  # Oke 1987, Boundary Layer Climates, table 1.1: 0.05-0.20 (from memory)
}
SNOW_BELOW_C, RAIN_ABOVE_C = (
    0.0,
    2.0,
)  # half of it snow at 1.0 degC: Jennings et al. 2018, Nature Comm. 9, 1148
MELT_MM_PER_K_DAY = 4.0  # degree-day factor of snow: Hock 2003, Journal of Hydrology 282, 104
WET_MM_AT_DARK = 10.0  # own fit, see `snow_from_balance`: water that falls on a day without any sun
DRY_FROM_CLEAR_INDEX = 0.7  # own fit: no fall on days with more light than this share of a cloudless day's
CLOSED_COVER_MM = 10.0  # own fit: water in a snow cover that hides the ground
CLOSED_COVER_M = 0.05  # own choice: the same as depth
ALBEDO_BARE, ALBEDO_SNOW = 0.25, 0.50  # own choice: a file's daily albedo read as no snow, all snow


def bare_albedo(site: Site) -> float:
    """Return the reflectance of the ground without snow [-]: the builder's own figure, else by the word."""
    return site.ground_albedo if site.ground_albedo is not None else GROUND_ALBEDO[site.ground]


def snow_by_day(weather: Weather, site: Site, clear_ghi: Floats) -> Floats:
    """Return how much of the yard lies under snow, day by day.

    weather    n steps;  site   its snow habit decides how
    clear_ghi  : shape (n,)   light on the level under a cloudless sky at the weather's steps [W/m²]
    Returns    shape (days,)   0 none, 1 all [-]
    *Source*   'auto': the file's snow depth, else its albedo where that follows the days, else a degree-day
               balance (see `snow_from_balance`)
    """
    day = day_of_step(weather)
    if site.snow == "none":
        return np.zeros(int(day[-1]) + 1)
    if site.snow != "auto":
        return _snow_by_habit(daily_mean(weather.air_c, day), weather.start, site.snow)
    if weather.snow_depth_m is not None:
        return np.minimum(daily_mean(weather.snow_depth_m, day) / CLOSED_COVER_M, 1.0)
    if weather.albedo is not None and _follows_the_days(weather.albedo, day):
        seen = daily_mean(weather.albedo, day)
        return np.clip((seen - ALBEDO_BARE) / (ALBEDO_SNOW - ALBEDO_BARE), 0.0, 1.0)
    return snow_from_balance(weather, day, clear_ghi)


def snow_from_balance(weather: Weather, day: NDArray[np.int64], clear_ghi: Floats) -> Floats:
    """Return the snow cover of each day from a balance of fall and melt, run twice to make January fit.

    weather : n steps;  day : shape (n,)   day of each step;  clear_ghi : shape (n,)   cloudless light [W/m²]
    Returns   shape (days,)   share of the yard under snow [-]
    *Source*  own rule: dull days bring water, as snow when cold (Jennings et al. 2018 for the change from
              rain to snow), melt by degree-days of the daily mean (Hock 2003); its three constants fitted to
              the usual snow months of Maine, Montana, Colorado and mid-Finland
    *Valid*   tells snowy months from bare ones, within about a third of the month's days; not a forecast of
              depth. Weather years carry no usable fall.
    """
    mean_c = daily_mean(weather.air_c, day)
    light = daily_mean(weather.ghi_w_m2, day) / np.maximum(daily_mean(clear_ghi, day), 1.0)
    polar_night = daily_mean(clear_ghi, day) < 5.0
    light = np.where(polar_night, np.median(light[~polar_night]) if (~polar_night).any() else 1.0, light)
    water_mm = WET_MM_AT_DARK * np.maximum(1.0 - light / DRY_FROM_CLEAR_INDEX, 0.0)
    frozen = np.clip((RAIN_ABOVE_C - mean_c) / (RAIN_ABOVE_C - SNOW_BELOW_C), 0.0, 1.0)
    melt_mm = MELT_MM_PER_K_DAY * np.maximum(mean_c, 0.0)
    store = 0.0
    cover = np.zeros(len(mean_c))
    for _ in range(2 if len(mean_c) >= 365 else 1):
        for i in range(len(mean_c)):
            store = max(store + water_mm[i] * frozen[i] - melt_mm[i], 0.0)
            cover[i] = min(store / CLOSED_COVER_MM, 1.0)
    return cover


def day_of_step(weather: Weather) -> NDArray[np.int64]:
    """Return the calendar day of each weather step, 0 for the first, shape (n,)."""
    first = int(weather.start.astype("datetime64[s]").astype(np.int64))
    seconds = first + np.arange(weather.steps, dtype=np.int64) * weather.step_s + weather.step_s // 2
    return np.asarray(seconds // DAY_S - (first + weather.step_s // 2) // DAY_S)


def daily_mean(values: Floats, day: NDArray[np.int64]) -> Floats:
    """Return the mean of each day, shape (days,)."""
    return np.asarray(np.bincount(day, values) / np.bincount(day))


def _snow_by_habit(mean_c: Floats, start: np.datetime64, shares: tuple[float, ...]) -> Floats:
    """Lay snow on the coldest days of each month until the month's share of days is met."""
    dates = start.astype("datetime64[D]") + np.arange(len(mean_c))
    month = dates.astype("datetime64[M]").astype(np.int64) % 12
    cover = np.zeros(len(mean_c))
    for m, share in enumerate(shares):
        days = np.flatnonzero(month == m)
        coldest = days[np.argsort(mean_c[days], kind="stable")]
        cover[coldest[: round(share * len(days))]] = 1.0
    return cover


def _follows_the_days(albedo: Floats, day: NDArray[np.int64]) -> bool:
    """Tell a daily record of the ground (has snow in it, changes within months) from a monthly mean."""
    by_day = daily_mean(albedo, day)
    changes = int((np.abs(np.diff(by_day)) > 0.02).sum())
    return changes > 14 or (float(by_day.max()) > ALBEDO_SNOW and changes > 2 and len(by_day) < 365)
