"""The project: everything a builder describes, as one record."""

from __future__ import annotations

from typing import Literal

from noonwall.model.control import Circuit, Fan, Switch
from noonwall.model.fields import ABSENT, COMMON, Kind, Record, entry, word
from noonwall.model.obstacle import Obstacle
from noonwall.model.place import StandingPoint
from noonwall.model.pv import PvField
from noonwall.model.shop import Shop
from noonwall.model.site import Site
from noonwall.model.wall import Wall

MONTH_FIGURES: dict[str, Kind] = {
    "ghi_kwh_m2_day": "daily_sun",
    "temp_mean_c": "temperature",
    "temp_max_c": "temperature",
    "temp_min_c": "temperature",
    "temp_spread_k": "temperature_difference",
    "humidity": "share",
    "wind": "speed",
}


class WeatherChoice(Record):
    """Where the weather comes from."""

    file: str | None = word(
        "file",
        None,
        doc="weather file in the project folder; none: made from monthly figures of the nearest place",
        why="no file named: a year is made from monthly figures of the nearest place in the package",
        source="table of places in the package, with its sources",
    )
    columns: dict[str, str] = word(
        "columns",
        {},
        doc="for a plain CSV: word = name of its column; a word with _unit names its unit. Words: time, air, "
        "global, beam, diffuse, humidity, dewpoint, pressure, wind, sky_infrared, cloud, albedo, snow_depth, "
        "stamps",
        source=ABSENT,
    )
    seed: int = word(
        "seed",
        1,
        low=0,
        high=2**31,
        doc="which of the possible years to make when it is made from monthly figures",
        why="the first of the possible years",
        source=COMMON,
    )
    months: tuple[dict[str, float], ...] = word(
        "months",
        (),
        members=MONTH_FIGURES,
        doc="twelve months typed by the builder, January first: ghi_kwh_m2_day (level sun) and temp_mean_c "
        "must be there; temp_max_c, temp_min_c, temp_spread_k (from day to day), humidity, wind may be",
        source=ABSENT,
    )


class Money(Record):
    """Prices."""

    currency: str = word("currency", "USD", doc="currency of all prices", why="US dollars", source=COMMON)
    electricity_per_kwh: float | None = entry(
        "electricity", "money", None, low=0.0, doc="price of a kilowatt-hour", source=ABSENT
    )


class Variant(Record):
    """One other way of building or running it, to be set beside this one."""

    name: str = word("name", doc="what to call it")
    change: tuple[str, ...] = word(
        "change",
        (),
        doc="what is different: remedies by name, such as 'flap', or 'key=value', such as 'wall.gap=120 mm'",
        source=ABSENT,
    )


class Hot(Record):
    """What the builder has seen of the worst hours and lives with."""

    accepted: tuple[str, ...] = word(
        "accepted",
        (),
        doc="cases that no longer make `noonwall hot` end with exit code 1, each word for word as it names them",
        source=ABSENT,
    )
    accepted_for: tuple[tuple[str, str, str], ...] = word(
        "accepted_for",
        (),
        doc="what an accepted case was accepted for, and when: [case, YYYY-MM-DD, piece], one for each piece; a case "
        "that has none is accepted for every piece",
        source=ABSENT,
    )


class Project(Record):
    """A described shop, wall and site."""

    name: str = word("name", doc="what to call it")
    note: str = word("note", "", doc="anything worth remembering", source=ABSENT)
    invented: bool = word("invented", False, doc="marks an invented example", source=ABSENT)
    mine: tuple[Literal["place", "room", "envelope", "wall"], ...] = word(
        "mine",
        (),
        doc="parts whose figures are the builder's own although a new project has the same ones",
        source=ABSENT,
    )
    units: Literal["metric", "us"] | None = word(
        "units",
        None,
        doc="units that every page is printed in when neither --units nor NOONWALL_UNITS says otherwise; a bare "
        "number in this file stays SI",
        source=ABSENT,
    )
    schema_version: int = word(
        "schema_version",
        1,
        doc="version of this file's form",
        why="the newest form of the file",
        source="definition",
    )
    site: Site = word("site", doc="the place")
    shop: Shop = word("shop", doc="the room")
    wall: Wall = word("wall", doc="the glazed wall")
    fans: tuple[Fan, ...] = word("fan", (), doc="fans, kind by kind", source=ABSENT)
    switches: tuple[Switch, ...] = word("switch", (), doc="switches of the fans' circuit", source=ABSENT)
    circuit: Circuit = word("circuit", Circuit(), doc="how the switches are wired")
    standing_points: tuple[StandingPoint, ...] = word(
        "standing_point", (), doc="places that bearings and angles were read from", source=ABSENT
    )
    obstacles: tuple[Obstacle, ...] = word("obstacle", (), doc="trees, buildings, awnings", source=ABSENT)
    pv: tuple[PvField, ...] = word("pv", (), doc="PV modules", source=ABSENT)
    weather: WeatherChoice = word("weather", WeatherChoice(), doc="where the weather comes from")
    money: Money = word("money", Money(), doc="prices")
    hot: Hot = word("hot", Hot(), doc="what is accepted of the worst hours")
    variants: tuple[Variant, ...] = word(
        "variant", (), doc="other ways, for `noonwall compare`", source=ABSENT
    )
