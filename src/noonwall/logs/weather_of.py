"""Weather of the days that were lived: measured first, then a file of those dates, then a typical year."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.load import load_weather
from noonwall.engine.simulate import surroundings
from noonwall.logs.measured_sun import measured_light
from noonwall.logs.period import DAY_S
from noonwall.logs.seen import chosen_words, longest_first
from noonwall.logs.series import HOUR_S, series
from noonwall.logs.sky_split import SkySplit, sky_split

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.climate.weather import Weather
    from noonwall.logs.period import Period
    from noonwall.logs.records import Channel, Floats
    from noonwall.logs.store import Store
    from noonwall.model.project import Project

LEAST_SHARE = 0.5  # of an hour that must have been measured for its mean to stand
COMMON_DAYS = 365
COLUMNS = (
    "air_c", "dewpoint_c", "pressure_pa", "wind_m_s", "ghi_w_m2", "dni_w_m2", "dhi_w_m2", "sky_infrared_w_m2",
    "cloud_share", "albedo", "snow_depth_m",
)  # fmt: skip
LIGHT = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2")


@dataclass(frozen=True)
class Lived:
    """Hourly weather over a period and the days of lead before it.

    ``actual``    what is known of those days;  ``typical``   the project's own year on the same dates
    ``measured``  share of the period's hours for which "outdoor", "sun", "wind", "pressure" were measured
    ``of_dates``  share of the hours that a weather file of those dates covers
    """

    actual: Weather
    typical: Weather
    measured: Mapping[str, float]
    of_dates: float
    notes: tuple[str, ...]


def lived_weather(project: Project, store: Store, period: Period) -> Lived:
    """Return the weather of a period and the typical weather it is held against.

    Raises   WeatherError when the project's own weather cannot be used
    """
    base = load_weather(project, ".")
    typical = on_dates(base, period, dated=False)
    dated, share = of_dates(base, period)
    actual = on_dates(base, period, dated=True) if dated else typical
    notes = [_base_words(base, share)]
    measured: dict[str, float] = {}
    air = _hourly(store, store.channels("outdoor"), period)
    if air is not None:
        actual = _with_air(actual, air)
        measured["outdoor"] = _share(air, period)
    wind = _hourly(store, store.channels("wind"), period)
    if wind is not None:
        actual = replace(actual, wind_m_s=np.where(np.isfinite(wind), np.maximum(wind, 0.0), actual.wind_m_s))
        measured["wind"] = _share(wind, period)
    pressure = _hourly(store, store.channels("pressure"), period)
    if pressure is not None:
        actual = replace(actual, pressure_pa=np.where(np.isfinite(pressure), pressure, actual.pressure_pa))
        measured["pressure"] = _share(pressure, period)
    channel = sun_channel(store)
    alike = [item for item in store.channels("sun") if channel is not None and item.plane == channel.plane]
    sun = _hourly(store, tuple(alike), period)
    if channel is not None and sun is not None:
        actual = _with_sun(project, actual, sun, channel, sky_split(project, base))
        measured["sun"] = _share(sun, period)
        if channel.plane != "horizontal":
            notes.append(f"{channel.title}: shade that falls on the sensor itself is taken for cloud")
    if channel is None and store.channels("sun"):
        name = store.channels("sun")[0].title
        notes.append(f"{name}: not used, its plane is not told (`plane=horizontal` or `plane=wall`)")
    notes += [_measured_words(name, measured.get(name), share) for name in ("outdoor", "sun")]
    notes += [words for name in ("outdoor", "wind", "pressure") if (words := chosen_words(store, name))]
    return Lived(actual, typical, measured, share, tuple(notes))


def on_dates(base: Weather, period: Period, *, dated: bool, lead_days: int | None = None) -> Weather:
    """Return hourly weather on a period's dates and its days of lead.

    lead_days   None: the period's own
    dated   take the hours a file has of those very dates; else, and elsewhere, those of the same days of the
            file's year (29 February as 28 February)
    """
    lead = period.lead_days if lead_days is None else lead_days
    begin = period.first - np.timedelta64(lead, "D")
    hours = (period.days + lead) * 24
    middle = begin.astype("datetime64[s]").astype(np.int64) + HOUR_S * np.arange(hours) + HOUR_S // 2
    middle = middle + round((base.utc_offset_h - period.utc_offset_h) * HOUR_S)  # on the base's clock
    first = int(base.start.astype("datetime64[s]").astype(np.int64))
    place = np.asarray(_same_day(middle, first, base.steps * base.step_s), np.float64)
    if dated:
        inside = (middle >= first) & (middle < first + base.steps * base.step_s)
        place = np.where(inside, middle - first, place)
    columns: dict[str, Floats | None] = {}
    for name in COLUMNS:
        values = getattr(base, name)
        columns[name] = None if values is None else _taken(values, place, base.step_s)
    return replace(
        base,
        utc_offset_h=period.utc_offset_h,
        start=begin.astype("datetime64[s]"),
        step_s=HOUR_S,
        **columns,  # type: ignore[arg-type]
    )


def _same_day(middle: Floats, first: int, span_s: int) -> Floats:
    """Return seconds into the file of the same day and hour of its year."""
    day = np.floor_divide(middle, DAY_S).astype("datetime64[D]")
    year = day.astype("datetime64[Y]").astype("datetime64[D]")
    number = (day - year).astype(np.int64)
    leap = (np.mod(day.astype("datetime64[Y]").astype(np.int64) + 1970, 4) == 0).astype(np.int64)
    number = np.where((leap == 1) & (number >= 59), number - 1, number)
    start = np.datetime64(first, "s").astype("datetime64[D]")
    opening = int((start - start.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.int64))
    into_first_day = first - int(start.astype("datetime64[s]").astype(np.int64))
    seconds = np.mod(number - opening, COMMON_DAYS) * DAY_S + np.mod(middle, DAY_S) - into_first_day
    return np.asarray(np.clip(np.mod(seconds, COMMON_DAYS * DAY_S), 0, span_s - 1))


def _taken(values: Floats, place_s: Floats, step_s: int) -> Floats:
    """Return means over the hours whose middles stand at some seconds into a file's column."""
    if step_s < HOUR_S:
        per = HOUR_S // step_s
        total = np.concatenate([[0.0], np.cumsum(values)])
        left = np.clip(np.rint(place_s / step_s - per / 2).astype(np.int64), 0, len(values) - per)
        return np.asarray((total[left + per] - total[left]) / per)
    return np.asarray(values[(place_s // step_s).astype(np.int64)])


def of_dates(base: Weather, period: Period) -> tuple[bool, float]:
    """Return whether a file is of real dates that the period touches, and the share of it that it covers."""
    if base.kind not in ("csv", "psm", "epw", "pvgis") or any(
        "different years" in note for note in base.notes
    ):
        return False, 0.0
    first = base.start.astype("datetime64[s]").astype(np.int64) - round(base.utc_offset_h * HOUR_S)
    last = first + base.steps * base.step_s
    both = min(int(last), period.end_s) - max(int(first), period.start_s)
    share = max(0.0, both / (period.end_s - period.start_s))
    return share > 0.0, share


def _hourly(store: Store, channels: tuple[Channel, ...], period: Period) -> Floats | None:
    """Return hourly means over lead and period, NaN where less than half an hour was measured.

    Of several channels the longest-lived that has the hour stands.
    """
    if not channels:
        return None
    begin = period.start_s - period.lead_days * DAY_S
    values = np.full((period.end_s - begin) // HOUR_S, np.nan)
    for item in longest_first(store, channels):
        found = series(store, item.role, begin, period.end_s, HOUR_S, channels=(item,))
        if found is not None:
            late = ~np.isfinite(values) & (found.share >= LEAST_SHARE)
            values = np.where(late, found.value, values)
    return values if np.isfinite(values).any() else None


def _share(values: Floats, period: Period) -> float:
    return float(np.isfinite(values[period.lead_days * 24 :]).mean())


def _with_air(weather: Weather, air: Floats) -> Weather:
    """Put measured outdoor air in, the dew point moved with it."""
    known = np.isfinite(air)
    new = np.where(known, air, weather.air_c)
    dew = np.minimum(weather.dewpoint_c + new - weather.air_c, new)
    infrared = weather.sky_infrared_w_m2
    if infrared is not None:
        ratio = ((new + 273.15) / (weather.air_c + 273.15)) ** 4
        infrared = infrared * ratio
    return replace(weather, air_c=new, dewpoint_c=dew, sky_infrared_w_m2=infrared)


def sun_channel(store: Store) -> Channel | None:
    """Return the irradiance channel to go by: a level one first, then any whose plane is known.

    Of several the longest-lived.
    """
    known = [item for item in longest_first(store, store.channels("sun")) if item.plane is not None]
    level = [item for item in known if item.plane == "horizontal"]
    return (level or known or [None])[0]  # type: ignore[list-item]


def _with_sun(project: Project, weather: Weather, sun: Floats, channel: Channel, split: SkySplit) -> Weather:
    """Put measured irradiance in, beam and diffuse split from it."""
    around = surroundings(project, weather, HOUR_S)
    hours = min(len(sun), around.course.steps)
    seen = np.full(around.course.steps, np.nan)
    seen[:hours] = sun[:hours]
    light = measured_light(around.course, around.fine, seen, plane_of(channel, project), split)
    columns = {}
    for name, new in zip(LIGHT, light, strict=True):
        old = getattr(weather, name).copy()
        old[:hours] = np.where(np.isfinite(new[:hours]), new[:hours], old[:hours])
        columns[name] = old
    return replace(weather, cloud_share=None, sky_infrared_w_m2=None, **columns)


def plane_of(channel: Channel, project: Project) -> tuple[float, float]:
    """Return tilt and azimuth [deg] of an irradiance channel's plane."""
    if channel.plane in (None, "horizontal"):
        return 0.0, 180.0
    if channel.plane == "wall":
        return 90.0, project.wall.azimuth_deg
    tilt, azimuth = (float(word) for word in str(channel.plane).split())
    return tilt, azimuth


def _base_words(base: Weather, share: float) -> str:
    if share > 0.0:
        return f"the weather file ({base.place}) is of those dates for {100 * share:.0f} % of the hours"
    return f"the typical year is that of {base.place} ({base.kind})"


def _measured_words(name: str, share: float | None, of_dates: float) -> str:
    words = {"outdoor": "outdoor air", "sun": "sun"}[name]
    rest = "the weather file" if of_dates > 0.99 else "the typical year"
    if share is None:
        doubt = "; day by day it was otherwise" if rest == "the typical year" else ""
        return f"{words}: not measured, taken from {rest}{doubt}"
    if share > 0.995:
        return f"{words}: measured"
    return f"{words}: measured in {100 * share:.0f} % of the hours, the others from {rest}"
