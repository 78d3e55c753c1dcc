"""All channels of a store on one steady grid, with the sun's place: what the checks look at together."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.sunplace import sun_local
from noonwall.logs.series import step_means, stretches

if TYPE_CHECKING:
    from noonwall.logs.records import Channel, Floats, Readings, Whole
    from noonwall.model.site import Site

STEP_S = 600
DAY_S = 86_400
TEMPERATURES = ("outdoor", "shop", "gap bottom", "gap top", "absorber", "air in", "air out")


@dataclass(frozen=True)
class Panel:
    """Means over steps of ten minutes; arrays of shape (n,).

    ``day`` counts days from midnight by the sun (by UTC without a site), ``hour`` is the hour in it.
    """

    start_s: int
    time_s: Whole  # beginning of each step
    day: Whole
    hour: Floats
    sun_deg: Floats | None  # elevation of the sun's centre at mid-step, None when the site is not known
    azimuth_deg: Floats | None
    columns: dict[str, Floats]  # by channel's name; NaN where nothing was measured
    raw: dict[str, Readings]
    channels: dict[str, Channel]

    def of(self, *roles: str) -> list[str]:
        """Return the names of the channels of some roles, in the order of the roles."""
        return [name for role in roles for name, item in self.channels.items() if item.role == role]

    @property
    def days(self) -> int:
        """How many days it reaches over."""
        return int(self.day[-1]) + 1 if len(self.day) else 0

    def interval_s(self, name: str) -> float:
        """Return the usual interval of a channel's readings [s]."""
        times = self.raw[name].time_s
        return float(np.median(np.diff(times))) if len(times) > 1 else float(STEP_S)

    def dark(self) -> np.ndarray | None:
        """Return where it is surely night, shape (n,); None when neither the site nor the sun is known."""
        if self.sun_deg is not None:
            return self.sun_deg < -3.0
        light = self.of("sun")
        return np.nan_to_num(self.columns[light[0]], nan=1e9) < 2.0 if light else None

    def daily(self, values: Floats, chosen: np.ndarray, least: int = 6) -> Floats:
        """Return the median of some steps for each day, NaN where fewer than ``least`` are there."""
        out = np.full(self.days, np.nan)
        places = np.flatnonzero(chosen & np.isfinite(values))
        if len(places) == 0:
            return out
        edges = np.searchsorted(self.day[places], np.arange(self.days + 1))
        for day in range(self.days):
            block = places[edges[day] : edges[day + 1]]
            if len(block) >= least:
                out[day] = np.median(values[block])
        return out

    def daily_range(self, values: Floats, least: int = 72) -> Floats:
        """Return highest less lowest of each day, NaN where fewer than ``least`` steps are there."""
        table = self.by_day(values)
        enough = np.count_nonzero(np.isfinite(table), axis=1) >= least
        out = np.full(len(table), np.nan)
        out[enough] = np.nanmax(table[enough], axis=1) - np.nanmin(table[enough], axis=1)
        return out

    def by_day(self, values: Floats) -> Floats:
        """Return a column folded into days, shape (days, steps of a day), NaN where nothing was measured."""
        per_day = DAY_S // STEP_S
        out = np.full((self.days, per_day), np.nan)
        step = np.clip((self.hour * 3600.0 / STEP_S).astype(int), 0, per_day - 1)
        out[self.day, step] = values
        return out

    def begin_of(self, day: int) -> int:
        """Return when a day begins [s since 1970 UTC]."""
        return int(self.time_s[np.searchsorted(self.day, day)])


def panel_of(raw: dict[str, Readings], site: Site | None) -> Panel:
    """Return the panel of some channels' readings.

    raw    by channel's name;  site   where the shop stands, None when it is not known
    """
    numeric = {name: item for name, item in raw.items() if len(item) and item.channel.measure != "text"}
    kept = {name: item for name, item in numeric.items() if item.channel.kind not in ("amount", "counter")}
    first = min((int(item.time_s[0]) for item in kept.values()), default=0)
    last = max((int(item.time_s[-1]) for item in kept.values()), default=-STEP_S)
    start = first - first % STEP_S
    steps = (last - start) // STEP_S + 1
    time_s = start + STEP_S * np.arange(steps, dtype=np.int64)
    columns = {name: step_means(*stretches(item), start, STEP_S, steps)[0] for name, item in kept.items()}
    shift = 0.0 if site is None else site.longitude_deg / 15.0 * 3600.0
    solar = time_s + 0.5 * STEP_S + shift
    day = np.floor(solar / DAY_S).astype(np.int64)
    hour = (solar - day * DAY_S) / 3600.0
    sun, azimuth = (None, None) if site is None else _sun(site, time_s + 0.5 * STEP_S)
    channels = {name: item.channel for name, item in kept.items()}
    day = day - (day[0] if steps else 0)
    return Panel(start, time_s, day, hour.astype(np.float64), sun, azimuth, columns, raw, channels)


def _sun(site: Site, moment_s: Any) -> tuple[Floats, Floats]:
    """Return the sun's elevation and its azimuth from north clockwise [deg], shape (n,) each."""
    latitude, longitude = np.radians(site.latitude_deg), np.radians(site.longitude_deg)
    moments: Any = moment_s  # the formula takes arrays as well as numbers
    east, north, up, _ = sun_local(
        moments, float(np.sin(latitude)), float(np.cos(latitude)), float(longitude)
    )
    elevation = np.degrees(np.arcsin(np.asarray(up, np.float64)))
    return elevation, np.degrees(np.arctan2(np.asarray(east), np.asarray(north))).astype(np.float64) % 360.0


def runs(chosen: np.ndarray) -> list[tuple[int, int]]:
    """Return first and last place of each unbroken run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def bridged(chosen: np.ndarray, known: np.ndarray, most: int) -> np.ndarray:
    """Return the mask with holes filled: places not known, and up to ``most`` known ones, between two True."""
    out = chosen.copy()
    places = np.flatnonzero(chosen)
    for a, b in pairwise(places.tolist()):
        if np.count_nonzero(known[a + 1 : b]) <= most:
            out[a:b] = True
    return out
