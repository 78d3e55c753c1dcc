"""Finds the weather a project asks for: its file, its typed months, or the nearest place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.climate.monthly import year_from_figures, year_from_months
from noonwall.climate.read import read_weather
from noonwall.errors import WeatherError

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project

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
    return year_from_figures(project.site, choice.seed)


def _with_distance(weather: Weather, project: Project) -> Weather:
    """Tell how far the file's place lies from the site; refuse another part of the world."""
    away_km = weather.distance_km
    if away_km is None:
        return weather
    if away_km > ABSURD_KM:
        raise WeatherError(
            f"{project.weather.file}: is the weather of a place {away_km:.0f} km from the site; check the "
            "site's latitude and longitude (west is negative)"
        )
    notes = list(weather.notes)
    if away_km > FAR_KM:
        notes.append(f"the weather's place lies {away_km:.0f} km from the site")
    rise_m = project.site.elevation_m - weather.elevation_m
    if abs(rise_m) > HIGH_M:
        notes.append(
            f"the site lies {abs(rise_m):.0f} m {'above' if rise_m > 0 else 'below'} the weather's place; "
            "its temperatures are used as they are"
        )
    return replace(weather, notes=tuple(notes))
