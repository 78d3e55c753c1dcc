"""The place: where it is, what lies on the ground, what the horizon hides."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word

Ground = Literal["grass", "gravel", "bare soil", "asphalt", "concrete", "water", "forest"]
Shelter = Literal["open", "some", "sheltered", "very sheltered"]
Month = Literal[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]


class Site(Record):
    """Where the shop stands and what surrounds it."""

    latitude_deg: float = entry(
        "latitude", "latitude", low=-66.0, high=72.0, doc="degrees north of the equator"
    )
    longitude_deg: float = entry(
        "longitude", "longitude", low=-180.0, high=180.0, doc="degrees east of Greenwich; west is negative"
    )
    elevation_m: float = entry(
        "elevation",
        "length",
        0.0,
        low=-420.0,
        high=5000.0,
        doc="height above sea level",
        why="sea level; at 1,500 m air carries 17 % less heat, so give it",
        source="US standard atmosphere 1976",
    )
    utc_offset_h: float | None = entry(
        "utc_offset",
        "number",
        None,
        low=-12.0,
        high=14.0,
        doc="standard time's hours from UTC, no daylight saving; default: longitude / 15, rounded",
        why="the sun's own time, longitude / 15, rounded to an hour",
        source="how time zones are drawn",
    )
    ground: Ground = word(
        "ground",
        "grass",
        doc="what lies in front of the wall when no snow does",
        why="lies in front of most shops",
        source=COMMON,
    )
    ground_albedo: float | None = entry(
        "ground_albedo",
        "share",
        None,
        low=0.02,
        high=0.9,
        doc="reflectance of the bare ground, if known better than by the word",
        why="by the word for the ground",
        source="surface albedos of pvlib and the sources it names",
    )
    snow_albedo: float = entry(
        "snow_albedo",
        "share",
        0.65,
        low=0.2,
        high=0.95,
        doc="reflectance of the yard under snow",
        why="snow of some days in a yard with tracks and trees; fresh on open fields reaches 0.8",
        source="surface albedos of pvlib: snow 0.65",
    )
    snow: Literal["auto", "none"] | tuple[float, ...] = word(
        "snow",
        "auto",
        each="share",
        doc="'auto' (from the weather), 'none', or twelve shares of days with snow, January first, such as "
        '[1, 1, "90 %", 0.3, 0, 0, 0, 0, 0, 0.1, 0.4, 0.9]',
        why="snow lies when the weather year's own frost and snowfall make it lie",
        source="our own reckoning from the weather",
    )
    horizon: tuple[tuple[float, float], ...] = word(
        "horizon",
        (),
        each=("bearing", "angle"),
        doc="skyline as [azimuth, elevation] pairs in degrees, azimuth from north clockwise",
        why="nobody described a skyline, so the sun rises from level ground",
        source=COMMON,
    )
    horizon_file: str | None = word(
        "horizon_file",
        None,
        doc="file in the project folder with the skyline instead: azimuth, elevation, one point a line",
        source=ABSENT,
    )
    shelter: Shelter = word(
        "shelter",
        "some",
        doc="how far trees and buildings break the wind",
        why="some trees and buildings around",
        source="shelter class 3 of ASHRAE's basic infiltration model",
    )
    declination_deg: float | None = entry(
        "magnetic_declination",
        "angle",
        None,
        low=-180.0,
        high=180.0,
        doc="magnetic declination, east positive, for bearings by compass",
        source=ABSENT,
    )

    @property
    def clock_h(self) -> float:
        """Return the standard time minus UTC [h]: as told, else by the longitude."""
        told = self.utc_offset_h
        return float(round(self.longitude_deg / 15.0)) if told is None else told
