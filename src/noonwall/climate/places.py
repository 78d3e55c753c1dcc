"""Monthly figures of places: the table that comes along, the nearest of it, and what a builder types."""

from __future__ import annotations

import csv
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from noonwall.climate.distance import distance_km
from noonwall.errors import WeatherError

if TYPE_CHECKING:
    from noonwall.model.site import Site

Floats = NDArray[np.float64]
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
LAPSE_K_PER_M = 0.0065  # standard atmosphere
KM_PER_M = 0.15  # own choice: 100 m of height count as much as 15 km of distance
LOW_FACTOR = 2.2  # own fit to seven typical years: the month's lowest is this many spreads below the mean low
MOST_SPREAD_PER_RANGE = 1.15
TABLE = "data/monthly_figures.csv"


@dataclass(frozen=True)
class MonthFigures:
    """Twelve months of a place, January first, shape (12,) each; None where a place has no such figure.

    ghi_kwh_m2_day   light on the level;  temp_mean_c, temp_max_c, temp_min_c   mean, mean daily high and low
    spread_k   spread (standard deviation) of daily mean temperatures;  humidity_share;  wind_m_s
    clearness_spread   spread of daily clearness (light over extraterrestrial light)
    diffuse_share      of the month's light on the level
    """

    ghi_kwh_m2_day: Floats
    temp_mean_c: Floats
    temp_max_c: Floats
    temp_min_c: Floats
    spread_k: Floats
    humidity_share: Floats
    wind_m_s: Floats
    clearness_spread: Floats | None = None
    diffuse_share: Floats | None = None


@dataclass(frozen=True)
class Place:
    """A place of the table, with its source."""

    source: str
    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float
    figures: MonthFigures


@cache
def places() -> tuple[Place, ...]:
    """Return all places of the table; its sources stand in the file's first lines."""
    text = files("noonwall.climate").joinpath(TABLE).read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    return tuple(_place(rows[i : i + 12]) for i in range(0, len(rows), 12))


def _place(rows: list[dict[str, str]]) -> Place:
    def column(name: str) -> Floats:
        return np.array([float(row[name]) for row in rows])

    first = rows[0]
    mean, high, low = column("temp_mean_c"), column("temp_daily_max_c"), column("temp_daily_min_c")
    figures = MonthFigures(
        ghi_kwh_m2_day=column("ghi_kwh_m2_day"),
        temp_mean_c=mean,
        temp_max_c=high,
        temp_min_c=low,
        spread_k=column("temp_spread_k")
        if first["temp_spread_k"]
        else _spread_from_lowest(low - column("temp_lowest_c"), high - low),
        humidity_share=column("humidity_pct") / 100.0,
        wind_m_s=column("wind_mean_m_s"),
        clearness_spread=column("clearness_spread") if first["clearness_spread"] else None,
        diffuse_share=np.clip(
            column("dhi_kwh_m2_day") / np.maximum(column("ghi_kwh_m2_day"), 0.01), 0.05, 1.0
        ),
    )
    name = f"{first['place']}, {first['state']}"
    return Place(
        first["source"],
        name,
        float(first["latitude_deg"]),
        float(first["longitude_deg"]),
        float(first["elevation_m"]),
        float(first["utc_offset_h"]),
        figures,
    )


def _spread_from_lowest(below_k: Floats, range_k: Floats) -> Floats:
    """Return the spread of daily means from how far the month's lowest lies under its mean low [K].

    *Source*  own fit to seven typical years; a spread beyond 1.15 daily ranges was not seen in them
    """
    return np.asarray(np.minimum(np.clip(below_k / LOW_FACTOR, 1.0, 10.0), MOST_SPREAD_PER_RANGE * range_k))


def nearest(site: Site) -> tuple[Place, float]:
    """Return the place nearest to a site, height counted in, and how far it is [km]."""
    best = min(places(), key=lambda place: _apart(place, site))
    return best, _away(best, site)


def _away(place: Place, site: Site) -> float:
    return distance_km(place.latitude_deg, place.longitude_deg, site.latitude_deg, site.longitude_deg)


def _apart(place: Place, site: Site) -> float:
    return _away(place, site) + KM_PER_M * abs(place.elevation_m - site.elevation_m)


def at_height(figures: MonthFigures, rise_m: float) -> MonthFigures:
    """Return figures with temperatures carried to a place that lies higher by so many metres.

    *Source*  standard atmosphere, 6.5 K per km; humidity, wind and light are left as they are
    """
    fall = LAPSE_K_PER_M * rise_m
    return replace(
        figures,
        temp_mean_c=figures.temp_mean_c - fall,
        temp_max_c=figures.temp_max_c - fall,
        temp_min_c=figures.temp_min_c - fall,
    )


# Typed months: word -> lowest, highest, default (None: needed, or worked out from the others).
TYPED: dict[str, tuple[float, float, float | None]] = {
    "ghi_kwh_m2_day": (0.0, 13.0, None),
    "temp_mean_c": (-60.0, 45.0, None),
    "temp_max_c": (-55.0, 55.0, None),
    "temp_min_c": (-70.0, 40.0, None),
    "temp_spread_k": (0.3, 15.0, None),
    "humidity": (0.05, 1.0, 0.7),
    "wind": (0.0, 20.0, 3.0),
}
NEEDED = ("ghi_kwh_m2_day", "temp_mean_c")


def typed_figures(months: tuple[dict[str, float], ...], h0_kwh_m2_day: Floats) -> MonthFigures:
    """Return what a builder typed, checked and completed.

    months   twelve, January first; words: ghi_kwh_m2_day and temp_mean_c needed; temp_max_c, temp_min_c (both
             or none), temp_spread_k, humidity (0 to 1), wind (m/s) may be left out
    h0_kwh_m2_day : shape (12,)   extraterrestrial light on the level at the site
    Raises   WeatherError naming month and word
    *Source* missing daily range: Hargreaves and Samani 1982, clearness = 0.16 sqrt(range); missing spread:
             own fit to seven typical years, 2.5 K + 0.12 for each kelvin below 20 degC
    """
    if len(months) != 12:
        raise WeatherError(f"weather.months: {len(months)} months; wanted twelve, January first")
    for name, month in zip(MONTHS, months, strict=True):
        _require_month(name, month)
    ghi, mean = (np.array([float(month[word]) for month in months]) for word in NEEDED)
    clearness = ghi / np.maximum(h0_kwh_m2_day, 0.05)
    for i in np.flatnonzero((clearness > 0.82) & (ghi > 0.3)):
        raise WeatherError(
            f"weather.months: {MONTHS[i]}: ghi_kwh_m2_day {ghi[i]:g} is more than the sky can give there "
            f"({0.8 * h0_kwh_m2_day[i]:.1f}); is it a month's or another plane's figure?"
        )
    half = 0.5 * (np.clip(clearness, 0.15, 0.75) / 0.16) ** 2

    def word(key: str, fallback: Floats) -> Floats:
        return np.array([float(month.get(key, fallback[i])) for i, month in enumerate(months)])

    return MonthFigures(
        ghi_kwh_m2_day=ghi,
        temp_mean_c=mean,
        temp_max_c=word("temp_max_c", mean + half),
        temp_min_c=word("temp_min_c", mean - half),
        spread_k=word("temp_spread_k", np.clip(2.5 + 0.12 * (20.0 - mean), 1.5, 8.0)),
        humidity_share=word("humidity", np.full(12, TYPED["humidity"][2])),
        wind_m_s=word("wind", np.full(12, TYPED["wind"][2])),
    )


def _require_month(name: str, month: dict[str, float]) -> None:
    where = f"weather.months: {name}"
    for word, value in month.items():
        if word not in TYPED:
            raise WeatherError(f"{where}: unknown word {word!r}; known are {', '.join(TYPED)}")
        low, high, _ = TYPED[word]
        if not low <= value <= high:
            raise WeatherError(f"{where}: {word} is {value:g}; wanted {low:g} to {high:g}")
    for word in NEEDED:
        if word not in month:
            raise WeatherError(f"{where}: {word} is missing; each month needs {' and '.join(NEEDED)}")
    if ("temp_max_c" in month) != ("temp_min_c" in month):
        raise WeatherError(f"{where}: give both temp_max_c and temp_min_c, or neither")
    if "temp_max_c" in month and not month["temp_min_c"] < month["temp_mean_c"] < month["temp_max_c"]:
        raise WeatherError(
            f"{where}: temp_mean_c {month['temp_mean_c']:g} must lie between "
            f"temp_min_c {month['temp_min_c']:g} and temp_max_c {month['temp_max_c']:g}"
        )
