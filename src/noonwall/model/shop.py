"""The room that is heated: size, envelope, slab, air, contents, gains, backup heater."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.layers import Layer

PartKind = Literal["wall", "roof", "ceiling", "floor", "window", "door"]
Tightness = Literal["tight", "average", "leaky", "very leaky"]
USUAL_CONTENTS_KG_M2 = 20.0  # of floor, where nobody weighed them; common practice, no source
Fuel = Literal["propane", "heating oil", "natural gas", "cordwood", "pellets", "electricity", "kerosene"]


class Part(Record):
    """One part of the shop's envelope, the glazed wall's own area left out."""

    name: str = word("name", doc="what to call it")
    kind: PartKind = word("kind", doc="wall, roof, ceiling, floor over a crawl space, window or door")
    area_m2: float = entry("area", "area", low=0.01, high=5000.0, doc="net area, openings taken off")
    u_w_m2k: float | None = entry(
        "u",
        "u_value",
        None,
        low=0.03,
        high=10.0,
        doc="heat loss coefficient, surface films included",
        source=ABSENT,
    )
    r_m2k_w: float | None = entry(
        "r",
        "r_value",
        None,
        low=0.0,
        high=30.0,
        doc="resistance of the build-up without surface films",
        source=ABSENT,
    )
    layers: tuple[Layer, ...] = word(
        "layer", (), doc="build-up from outside to inside, instead of u or r", source=ABSENT
    )
    azimuth_deg: float | None = entry(
        "azimuth",
        "bearing",
        None,
        low=0.0,
        high=360.0,
        doc="way it faces, from north clockwise; needed for windows",
        source=ABSENT,
    )
    solar_gain_share: float | None = entry(
        "solar_gain",
        "share",
        None,
        low=0.0,
        high=1.0,
        doc="share of the sun on a window that ends in the shop (SHGC, g)",
        why="double glass",
        source="from memory: ASHRAE Fundamentals, fenestration, about 0.65",
    )
    absorptance: float = entry(
        "absorptance",
        "share",
        0.6,
        low=0.0,
        high=1.0,
        doc="share of sun its outside absorbs",
        why="between white (0.3) and dark (0.9) paint",
        source="base case of ANSI/ASHRAE 140: 0.6",
    )


class Slab(Record):
    """The floor on the ground."""

    kind: Literal["slab", "none"] = word(
        "kind",
        "slab",
        doc="concrete slab on the ground, or none (floor listed as a part)",
        why="most workshops stand on one",
        source=COMMON,
    )
    thickness_m: float = entry(
        "thickness",
        "length",
        0.12,
        low=0.02,
        high=1.0,
        doc="slab thickness",
        why="between 4 and 5 in",
        source=COMMON,
    )
    perimeter_m: float | None = entry(
        "perimeter",
        "length",
        None,
        low=1.0,
        high=500.0,
        doc="outer edge; default: round the whole shop",
        why="round the whole shop",
        source="geometry",
    )
    loss_w_mk: float | None = entry(
        "edge_loss",
        "loss_per_length",
        None,
        low=0.05,
        high=5.0,
        doc="heat loss per metre of edge and kelvin (F-factor); default: from the insulation named below",
        why="by the edge insulation",
        source="WAC 51-11C-61061, table A106.1 (as ANSI/ASHRAE/IES 90.1, table A6.3)",
    )
    edge_insulation_r_m2k_w: float = entry(
        "edge_insulation",
        "r_value",
        0.0,
        low=0.0,
        high=20.0,
        doc="R of the edge insulation",
        why="none unless told, so that the loss is not told too small",
        source=COMMON,
    )
    edge_insulation_way: Literal["down the edge", "flat under the edge", "under the whole slab"] = word(
        "edge_insulation_way",
        "down the edge",
        doc="how the edge insulation lies",
        why="boards set upright round the edge",
        source=COMMON,
    )
    edge_insulation_depth_m: float = entry(
        "edge_insulation_depth",
        "length",
        0.6,
        low=0.0,
        high=2.0,
        doc="how deep (or wide) the edge insulation goes",
        why="boards of half a sheet's width",
        source=COMMON,
    )


class Air(Record):
    """How leaky the shop is."""

    tightness: Tightness = word(
        "tightness",
        "average",
        doc="how tight the shop feels, used when nothing was measured",
        why="neither drafty nor sealed with care",
        source=COMMON,
    )
    leakage_area_m2: float | None = entry(
        "leakage_area",
        "area",
        None,
        low=0.0,
        high=5.0,
        doc="effective leakage area at 4 Pa",
        why="by the blower-door result, else by the word for tightness",
        source="flow exponent 0.65, 4 Pa: ASHRAE Fundamentals, infiltration",
    )
    air_changes_50pa_per_h: float | None = entry(
        "air_changes_at_50_pa",
        "per_hour",
        None,
        low=0.1,
        high=100.0,
        doc="blower-door result, air changes an hour at 50 Pa",
        source=ABSENT,
    )
    extra_air_changes_per_h: float = entry(
        "extra_air_changes",
        "per_hour",
        0.0,
        low=0.0,
        high=50.0,
        doc="air changes added by doors and fans, averaged over the day",
        why="doors mostly shut",
        source=COMMON,
    )


class Contents(Record):
    """What stands in the shop and stores heat."""

    mass_kg: float | None = entry(
        "mass",
        "mass",
        None,
        low=0.0,
        high=1e6,
        doc="tools, stock, machines, the boat",
        why="20 kg for each square metre of floor",
        source=COMMON,
    )
    specific_heat_j_kgk: float = entry(
        "specific_heat",
        "specific_heat",
        900.0,
        low=100.0,
        high=4500.0,
        doc="mean specific heat: iron 460, wood 1600, water 4190",
        why="between iron (460) and wood (1600)",
        source=COMMON,
    )


class Gains(Record):
    """Heat from people, lamps and machines."""

    by_hour_w: tuple[float, ...] = word(
        "by_hour",
        (0.0,) * 24,
        each="power",
        doc="24 figures in watts, midnight first",
        why="nobody, no lamp, no machine, so that the wall is not credited with their heat",
        source=COMMON,
    )
    workdays_only: bool = word("workdays_only", False, doc="only Monday to Friday", source=ABSENT)


class Heater(Record):
    """The backup heater with its own thermostat."""

    setpoint_c: float = entry(
        "setpoint", "temperature", low=-10.0, high=30.0, doc="temperature its thermostat holds"
    )
    power_w: float = entry("power", "power", low=100.0, high=200000.0, doc="heat output at full blast")
    fuel: Fuel = word(
        "fuel",
        "propane",
        doc="what it burns",
        why="the usual fuel of small heaters where no gas main runs",
        source=COMMON,
    )
    efficiency: float = entry(
        "efficiency",
        "share",
        0.8,
        low=0.2,
        high=5.0,
        doc="heat out per heat in fuel (a heat pump may exceed 1)",
        why="usual for its fuel",
        source="catalogue of fuels",
    )
    price_per_unit: float | None = entry(
        "price",
        "money",
        None,
        low=0.0,
        doc="price of one unit of the fuel: gallon, litre, therm, cord, kWh (say which with price_unit)",
        source=ABSENT,
    )
    price_unit: str | None = word(
        "price_unit",
        None,
        doc="gallon, litre, therm, cord, tonne, kWh, kg",
        why="the fuel's usual unit",
        source="catalogue of fuels",
    )

    @model_validator(mode="before")
    @classmethod
    def by_fuel(cls, raw: Any) -> Any:
        """Take the fuel's usual efficiency where none is given."""
        from noonwall.model.catalogue import fuel, known

        if (
            not isinstance(raw, dict)
            or not isinstance(raw.get("fuel"), str)
            or not known("fuel", raw["fuel"])
        ):
            return raw
        return {"efficiency": fuel(raw["fuel"]).usual_efficiency} | raw


class Comfort(Record):
    """What counts as cold, warm enough and too hot."""

    warm_enough_c: float = entry(
        "warm_enough",
        "temperature",
        10.0,
        low=-20.0,
        high=30.0,
        doc="a shop one can work in",
        why="work with gloves off and glue that cures",
        source=COMMON,
    )
    limit_c: float = entry(
        "limit",
        "temperature",
        20.0,
        low=0.0,
        high=40.0,
        doc="heat beyond this is not needed",
        why="nobody would burn fuel to get it warmer in a workshop",
        source=COMMON,
    )
    too_hot_c: float = entry(
        "too_hot",
        "temperature",
        26.0,
        low=5.0,
        high=50.0,
        doc="too hot to work",
        why="the usual upper bound of indoor comfort in summer",
        source="from memory: EN 16798-1 (formerly EN 15251), category II",
    )
    hours: tuple[float, ...] = word(
        "hours",
        (8.0, 12.0, 18.0),
        each="number",
        doc="one to six hours of the day, 0.5 to 24, at which a winter day in the shop is told",
        why="morning, noon and evening",
        source=COMMON,
    )


class Shop(Record):
    """The shop as a whole."""

    length_m: float = entry("length", "length", low=1.5, high=200.0, doc="inside length")
    width_m: float = entry("width", "length", low=1.5, high=200.0, doc="inside width")
    eaves_m: float = entry("eaves", "length", low=1.5, high=30.0, doc="wall height to the eaves")
    volume_m3: float | None = entry(
        "volume",
        "volume",
        None,
        low=5.0,
        high=1e5,
        doc="air volume; default: floor times eaves",
        why="floor times eaves",
        source="geometry",
    )
    parts: tuple[Part, ...] = word("part", doc="walls, roof, windows, doors")
    slab: Slab = word("slab", Slab(), doc="the floor on the ground")
    air: Air = word("air", Air(), doc="how leaky")
    contents: Contents = word("contents", Contents(), doc="what stores heat inside")
    gains: Gains = word("gains", Gains(), doc="heat from people, lamps, machines")
    heater: Heater | None = word("heater", None, doc="backup heater, if any", source=ABSENT)
    comfort: Comfort = word("comfort", Comfort(), doc="what counts as warm enough and too hot")
    humidity_share: float = entry(
        "humidity",
        "share",
        0.5,
        low=0.0,
        high=1.0,
        doc="usual relative humidity inside",
        why="a shop without water and without drying",
        source=COMMON,
    )
    warmer_per_metre_k: float = entry(
        "warmer_per_metre",
        "temperature_difference",
        0.5,
        low=0.0,
        high=5.0,
        doc="how much warmer the air is for each metre up; only a switch at a height of its own feels it",
        why="a shop of one storey without a stirring fan: 0.3 to 1 K for each metre",
        source=COMMON,
    )

    @property
    def floor_m2(self) -> float:
        """Floor area [m2]."""
        return self.length_m * self.width_m

    @property
    def air_m3(self) -> float:
        """Air volume, floor times eaves unless given [m3]."""
        return self.floor_m2 * self.eaves_m if self.volume_m3 is None else self.volume_m3

    @property
    def edge_m(self) -> float:
        """Outer edge of the slab, round the whole shop unless given [m]."""
        perimeter = self.slab.perimeter_m
        return 2.0 * (self.length_m + self.width_m) if perimeter is None else perimeter

    @property
    def contents_kg(self) -> float:
        """Mass of the contents, by the floor unless given [kg]."""
        mass = self.contents.mass_kg
        return USUAL_CONTENTS_KG_M2 * self.floor_m2 if mass is None else mass
