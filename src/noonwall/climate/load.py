"""Finds the weather a project asks for: its file, its typed months, or the nearest place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.climate.distance import away_text
from noonwall.climate.monthly import year_from_figures, year_from_months
from noonwall.climate.read import read_weather
from noonwall.errors import WeatherError
from noonwall.units import show

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.units import System

FAR_KM = 100.0
ABSURD_KM = 3000.0
HIGH_M = 200.0


def load_weather(project: Project, folder: Path | str) -> Weather:
    """Return the weather year of a project.

    project  its ``weather`` names a file, types twelve months, or neither: then the nearest place's figures
    folder   the project's folder; a relative file name counts from there
    Returns  a whole year, with a plain sentence for each thing done or doubted
    Raises   WeatherError, one line
    """
    choice = project.weather
    if choice.file is not None and choice.months:
        raise WeatherError("weather: both a file and typed months are given; keep one of them")
    if choice.file is not None:
        weather = read_weather(Path(folder) / choice.file, choice.columns, project.site)
        return _with_distance(weather, project)
    if choice.months:
        return year_from_months(project.site, choice.months, choice.seed)
    system = project.units or "metric"
    return _near_enough(year_from_figures(project.site, choice.seed, system), system)


def _near_enough(weather: Weather, system: System) -> Weather:
    """Refuse the nearest place when it lies in another part of the world."""
    away_km = weather.distance_km
    if away_km is not None and away_km > ABSURD_KM:
        raise WeatherError(
            f"site: the nearest place with known weather is {weather.place}, {away_text(away_km, system)} "
            "off; check latitude and longitude (west is negative, or has a W), or name a weather file"
        )
    return weather


def _with_distance(weather: Weather, project: Project) -> Weather:
    """Tell how far the file's place lies from the site; refuse another part of the world."""
    away_km = weather.distance_km
    if away_km is None:
        return weather
    system = project.units or "metric"
    if away_km > ABSURD_KM:
        raise WeatherError(
            f"{project.weather.file}: is the weather of a place {away_text(away_km, system)} from the site; "
            "check the site's latitude and longitude (west is negative)"
        )
    notes, away = list(weather.notes), away_text(away_km, system)
    if away_km > FAR_KM:
        notes.append(f"the weather's place lies {away} from the site")
    rise_m = project.site.elevation_m - weather.elevation_m
    if abs(rise_m) > HIGH_M:
        side = "above" if rise_m > 0 else "below"
        notes.append(
            f"the site lies {show(abs(rise_m), 'length', system)} {side} the weather's place; its temperatures "
            "are used as they are"
        )
    return replace(weather, notes=tuple(notes))
