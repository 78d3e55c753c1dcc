"""What looks odd about a project's place, held against the weather it will be calculated with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from noonwall.climate.distance import away_text, distance_km
from noonwall.climate.load import ABSURD_KM, FAR_KM, load_weather
from noonwall.climate.places import places
from noonwall.model.convert import Fault
from noonwall.model.slips import bare
from noonwall.units import show

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path as FilePath

    from noonwall.climate.weather import Weather
    from noonwall.model.slips import Look

FAR_PLACE_KM = 500.0
HIGHER_M = 1000.0  # own choices, as the rest here: a site this far above or below every place around it
AROUND_KM = 150.0
SEA_LEVEL_M = 150.0  # a place this high says that the site's height should be given
LONGITUDE = ("site", "longitude")
ELEVATION = ("site", "elevation")


class Spot(NamedTuple):
    """A place that weather is known for."""

    name: str
    elevation_m: float
    away_km: float


def place_doubts(look: Look, folder: FilePath) -> list[Fault]:
    """Return what looks odd about where the site is; a weather file is opened and read for it.

    look    the project, what was written for it, and the units to speak in
    folder  the project's folder; a relative file name counts from there
    Raises  WeatherError, one line, for a file that cannot be used or a place no weather is known for
    """
    choice = look.project.weather
    if choice.file is not None:
        spots, far_km = [_spot_of(load_weather(look.project, folder))], FAR_KM
    else:
        spots, far_km = _spots(look.project.site.latitude_deg, look.project.site.longitude_deg), FAR_PLACE_KM
    found = [] if choice.months else list(_distance(look, spots[0], far_km))
    return found + ([] if found else list(_height(look, spots)))


def _spot_of(weather: Weather) -> Spot:
    return Spot(weather.place, weather.elevation_m, weather.distance_km or 0.0)


def _spots(latitude_deg: float, longitude_deg: float) -> list[Spot]:
    """Return the places of the table, nearest on the map first."""
    spots = (
        Spot(
            p.name,
            p.elevation_m,
            distance_km(p.latitude_deg, p.longitude_deg, latitude_deg, longitude_deg),
        )
        for p in places()
    )
    return sorted(spots, key=lambda spot: spot.away_km)


def _distance(look: Look, spot: Spot, far_km: float) -> Iterator[Fault]:
    """Doubt a site far from its weather; east written for west is the usual reason."""
    if spot.away_km <= far_km:
        return
    site = look.project.site
    mirrored = _spots(site.latitude_deg, -site.longitude_deg)[0]
    hint = "; are latitude and longitude right?"
    if mirrored.away_km < min(FAR_PLACE_KM, 0.5 * spot.away_km):
        side = "W" if site.longitude_deg > 0.0 else "E"
        hint = f'; did you mean "{abs(site.longitude_deg):g} {side}"?'
    told = "no weather is known nearer than" if spot.away_km > ABSURD_KM else "the weather is that of"
    yield Fault(LONGITUDE, f"{told} {spot.name}, {away_text(spot.away_km, look.system)} off{hint}")


def _height(look: Look, spots: list[Spot]) -> Iterator[Fault]:
    """Doubt a height that no place around has, or that was left out where all places lie high."""
    site, spot = look.project.site, spots[0]
    if spot.away_km > FAR_PLACE_KM:
        return
    around = [s.elevation_m for s in spots if s.away_km <= max(AROUND_KM, spot.away_km)]
    there = f"{spot.name}, {away_text(spot.away_km, look.system)} off, lies at " + show(
        spot.elevation_m, "length", look.system
    )
    if "elevation" not in look.raw.get("site", {}):
        if min(around) > SEA_LEVEL_M:
            yield Fault(ELEVATION, f"left out, so sea level is taken; {there}")
        return
    if min(abs(site.elevation_m - height) for height in around) <= HIGHER_M:
        return
    number = bare(look.raw, ELEVATION)
    fits = number is not None and any(abs(0.3048 * number - height) <= HIGHER_M for height in around)
    hint = f'; did you mean "{number:g} ft"?' if fits else "; is that right?"
    yield Fault(ELEVATION, f"{show(site.elevation_m, 'length', look.system)}, but {there}{hint}")
