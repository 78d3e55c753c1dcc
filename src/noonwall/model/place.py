"""Where things stand: metres from the wall, or bearing, distance and angles from a named standing point."""

from __future__ import annotations

from typing import Literal

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word


class StandingPoint(Record):
    """A place the builder stood at to read bearings and angles."""

    name: str = word("name", doc="what to call it; no two alike")
    east_m: float = entry(
        "east",
        "length",
        0.0,
        low=-2000.0,
        high=2000.0,
        doc="east of the middle of the wall's foot",
        why="at the wall",
        source=COMMON,
    )
    north_m: float = entry(
        "north",
        "length",
        0.0,
        low=-2000.0,
        high=2000.0,
        doc="north of the middle of the wall's foot",
        why="at the wall",
        source=COMMON,
    )
    ground_m: float = entry(
        "ground",
        "length",
        0.0,
        low=-500.0,
        high=500.0,
        doc="its ground above the ground at the wall's foot",
        why="level with the wall's foot",
        source=COMMON,
    )
    eye_m: float = entry(
        "eye_height",
        "length",
        1.6,
        low=0.0,
        high=30.0,
        doc="height of the eye above the ground there",
        why="a grown person standing",
        source=COMMON,
    )
    surveyed: str | None = word(
        "surveyed",
        None,
        doc="day of the readings, YYYY-MM-DD: gives the magnetic declination if the site names none",
        source=ABSENT,
    )


class Placed(Record):
    """Something with a place: one of the three ways to give it."""

    east_m: float | None = entry(
        "east",
        "length",
        None,
        low=-2000.0,
        high=2000.0,
        doc="east of the middle of the wall's foot",
        source=ABSENT,
    )
    north_m: float | None = entry(
        "north",
        "length",
        None,
        low=-2000.0,
        high=2000.0,
        doc="north of the middle of the wall's foot",
        source=ABSENT,
    )
    along_m: float | None = entry(
        "along",
        "length",
        None,
        low=-2000.0,
        high=2000.0,
        doc="along the wall from its middle, to the right hand of someone who looks out of it",
        source=ABSENT,
    )
    out_m: float | None = entry(
        "out", "length", None, low=-2000.0, high=2000.0, doc="straight out from the wall", source=ABSENT
    )
    seen_from: str | None = word(
        "from", None, doc="name of the standing point it was sighted from", source=ABSENT
    )
    bearing_deg: float | None = entry(
        "bearing",
        "bearing",
        None,
        low=0.0,
        high=360.0,
        doc="bearing from there, from north clockwise",
        source=ABSENT,
    )
    bearing_is: Literal["true", "magnetic"] = word(
        "bearing_is",
        "true",
        doc="off a map or the sun (true), or off a compass (magnetic)",
        why="off a map",
        source=COMMON,
    )
    distance_m: float | None = entry(
        "distance",
        "length",
        None,
        low=0.1,
        high=2000.0,
        doc="level distance from there to its middle",
        source=ABSENT,
    )
    ground_m: float | None = entry(
        "ground",
        "length",
        None,
        low=-500.0,
        high=500.0,
        doc="its ground above the ground at the wall's foot; default: level, on the slope, or by the angles",
        why="level, on the slope, or by the angles",
        source="measured where it stands",
    )


class Sighted(Placed):
    """Something placed whose height may have been taken by angles: H = D (tan up + tan down)."""

    top_angle_deg: float | None = entry(
        "top_angle",
        "angle",
        None,
        low=-60.0,
        high=89.0,
        doc="angle from the eye up to its top",
        source=ABSENT,
    )
    foot_angle_deg: float | None = entry(
        "foot_angle",
        "angle",
        None,
        low=-89.0,
        high=89.0,
        doc="angle from the eye down to its foot",
        source=ABSENT,
    )
