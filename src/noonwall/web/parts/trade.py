"""The boxes of every page of description, in the order and the words in which the trade talks of them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from noonwall.web.parts.complaint import named
from noonwall.web.parts.rows import Group, Row

if TYPE_CHECKING:
    from noonwall.model.edit import Value

WHERE = Group(
    (Row("latitude", "Latitude"), Row("longitude", "Longitude", "west with a W, such as 67.8 W"),
     Row("elevation", "Height above the sea")),
    (Row("utc_offset", "Standard time, hours from UTC"), Row("magnetic_declination", "Magnetic declination")),
    "Clock and compass",
)  # fmt: skip
GROUND = Group(
    (Row("ground", "In front of the wall lies"), Row("shelter", "Sheltered from the wind"),
     Row("snow", "Snow on the ground", "auto, none, or twelve shares, January first")),
    (Row("ground_albedo", "Reflectance of the bare ground"), Row("snow_albedo", "Reflectance of the yard under snow")),
    "Reflectances",
)  # fmt: skip
SKYLINE = Group(
    (Row("horizon", "Skyline", "bearing, height; bearing, height, in degrees", wide=True),
     Row("horizon_file", "Or a file with it, in the project folder"))
)  # fmt: skip

NAME = Group((Row("name", "Name of the project"), Row("note", "Note", wide=True)))
ROOM = Group(
    (Row("length", "Inside length"), Row("width", "Inside width"), Row("eaves", "Wall height to the eaves"),
     Row("volume", "Air volume", "more than floor times eaves under an open roof")),
    (Row("humidity", "Usual relative humidity"), Row("warmer_per_metre", "Warmer for each metre (3.3 ft) up")),
)  # fmt: skip
PART = Group(
    (Row("name", "What to call it"), Row("kind", "Kind"), Row("area", "Net area, openings taken off"),
     Row("r", "Resistance, without surface films"), Row("u", "Or heat loss coefficient, films included"),
     Row("azimuth", "Faces", "needed for windows")),
    (Row("solar_gain", "Window: sun that ends in the shop"), Row("absorptance", "Outside: sun it absorbs")),
)  # fmt: skip
LAYERED_PART = Group(
    (Row("name", "What to call it"), Row("kind", "Kind"), Row("area", "Net area, openings taken off"),
     Row("azimuth", "Faces", "needed for windows")),
    PART.seldom,
)  # fmt: skip
SLAB = Group(
    (Row("kind", "Floor on the ground"), Row("thickness", "Slab thickness"),
     Row("edge_insulation", "Edge insulation"), Row("edge_insulation_depth", "It goes down (or in)")),
    (Row("edge_insulation_way", "How it lies"), Row("perimeter", "Outer edge"),
     Row("edge_loss", "Heat loss of the edge, if known")),
)  # fmt: skip
AIR = Group(
    (Row("tightness", "How tight it feels"), Row("air_changes_at_50_pa", "Blower door, at 50 Pa"),
     Row("extra_air_changes", "Added by doors, averaged over the day")),
    (Row("leakage_area", "Leakage area at 4 Pa, if known"),),
)  # fmt: skip
CONTENTS = Group(
    (Row("mass", "Mass of what stands inside", "tools, stock, machines, the boat"),
     Row("specific_heat", "Its specific heat"))
)  # fmt: skip
GAINS = Group(
    (Row("by_hour", "Heat of people, lamps, machines", "24 figures, midnight first", wide=True),
     Row("workdays_only", "Only Monday to Friday"))
)  # fmt: skip
HEATER = Group(
    (Row("setpoint", "Thermostat holds"), Row("power", "Heat at full blast"), Row("fuel", "Burns"),
     Row("price", "Price of one unit of fuel"), Row("price_unit", "The unit", "gallon, litre, therm, cord, kWh, kg")),
    (Row("efficiency", "Heat out per heat in fuel"),),
)  # fmt: skip
COMFORT = Group(
    (Row("warm_enough", "Warm enough to work"), Row("limit", "Heat beyond this is not needed"),
     Row("too_hot", "Too hot to work")),
    (Row("hours", "Hours at which a winter day is told", "such as 8; 12; 18"),),
)  # fmt: skip
MONEY = Group((Row("currency", "Currency"), Row("electricity", "Price of a kilowatt-hour")))
NEW_PART = {"name": "another part", "kind": "wall", "area": "10 m2", "r": "R-13"}

SIZE = Group(
    (
        Row("width", "Glazed width"),
        Row("height", "Glazed height"),
        Row("foot", "Foot above the ground"),
        Row("azimuth", "Faces", "south is 180; \"8 deg east of south\" reads too", wide=True),
    )
)  # fmt: skip
GLAZING = Group(
    (
        Row("kind", "Glazing"),
        Row("sheets", "Sheets, one behind the other"),
        Row("sheet_width", "Width of one sheet"),
    ),
    (
        Row("sheet_gap", "Air space between two sheets"),
        Row("service_limit", "Lasting heat the maker allows"),
        Row("dirt", "Sun lost to dirt and age"),
    ),
)
OWN_GLAZING = Group((Row("sheet_gap", "Air space between skins"), Row("sheet_width", "Width of one sheet"),
                     *GLAZING.seldom[1:]))  # fmt: skip
NEW_SKIN: dict[str, Value] = {
    "thickness": "4 mm",
    "refractive_index": 1.526,
    "extinction": 15,
}  # window glass
NEW_LAYER: dict[str, Value] = {"material": "plywood", "thickness": "12 mm"}
SKIN = Group(
    (Row("thickness", "Thickness"), Row("refractive_index", "Refractive index"), Row("extinction", "Extinction, 1/m")),
    (Row("emittance_out", "Emittance, outer face"), Row("emittance_in", "Emittance, inner face"),
     Row("conductivity", "Conductivity"), Row("density", "Density"), Row("specific_heat", "Specific heat")),
)  # fmt: skip
GAP = Group(
    (Row("gap", "Depth of the air gap"),),
    (Row("leakage", "Leak to outdoors along the glazing's edge"),),
)
ARRANGEMENTS = {
    "air in front": "air between glazing and a solid face",
    "air behind": "air behind a solid face",
    "mesh": "air through a dark mesh hung in the gap",
}
ABSORBER = Group(
    (Row("arrangement", "Where the air passes", words=ARRANGEMENTS), Row("face", "Face, from the catalogue")),
    (Row("absorptance", "Share of sun the face takes"), Row("emittance", "Long-wave emittance of the face"),
     Row("stagnant_gap", "Still air behind the glazing, air behind only"),
     Row("mesh_openness", "Sun that passes the mesh untouched"),
     Row("mesh_area_ratio", "Wetted area of the mesh per wall area")),
    "Figures of the face and the mesh",
)  # fmt: skip
LAYER = Group(
    (Row("material", "Material"), Row("thickness", "Thickness"), Row("r", "Resistance, if known directly")),
    (Row("conductivity", "Conductivity"), Row("density", "Density"), Row("specific_heat", "Specific heat"),
     Row("combustible", "Burns")),
    "Own figures",
)  # fmt: skip
VENTS = Group(
    (Row("count", "How many"), Row("width", "Width of one"), Row("height", "Height of one")),
    (Row("centre", "Middle above the wall's foot"), Row("screen_open_share", "Free share of an insect screen"),
     Row("discharge", "Discharge coefficient")),
)  # fmt: skip
FRAME = Group(
    (Row("material", "Frame of"), Row("share", "Share of the wall it covers"),
     Row("studs", "Studs behind the absorber")),
)  # fmt: skip
OVERHANG = Group(
    (Row("depth", "Stands out from the glazing"), Row("above", "Above the glazing's top"),
     Row("side", "Runs past the wall at each side")),
)  # fmt: skip

SPAN = "such as 05-15 to 09-15; 12-20 to 01-06"
HOURS = "such as 20:00 to 07:00"
WAY = Group(
    (Row("inlet_from", "The gap takes its air from", words={"room": "the shop", "outdoors": "outdoors"}),),
)  # fmt: skip
SHUT = Group(
    (Row("closed", "Shut for part of the year", SPAN), Row("shut_hours", "Shut by hand every day", HOURS))
)
FLAP = Group(
    (Row("row", "Hangs in", words={"bottom": "the foot vents", "top": "the top vents"}),
     Row("leak", "Leaks when shut"), Row("open_share", "Free share when open")),
    (Row("opening_pressure", "Pressure that just lifts it"), Row("stuck", "Stuck")),
)  # fmt: skip
FAN = Group(
    (Row("count", "How many alike"), Row("row", "Sit in", words={"bottom": "the foot vents", "top": "the top vents"}),
     Row("flow", "Flow of one"), Row("pressure", "At this pressure", "0 for the free-air figure on the box"),
     Row("power", "Power of one, running"),
     Row("hottest_air", "Hottest air it may run in", "as its maker says"),
     Row("supply", "Fed from", words={"mains": "mains, battery", "pv": "a PV module"})),
    (Row("curve", "Its curve instead", "flow, pressure; flow, pressure", wide=True),
     Row("shutoff_pressure", "Pressure at no flow"), Row("stopped_loss", "Loss coefficient when stopped"),
     Row("voltage", "Made for"), Row("current", "Running current"),
     Row("start_ratio", "Starting over running current")),
    "Curve, voltage, currents",
)  # fmt: skip
KINDS = {
    "close on rise": "starts the fans when warm",
    "open on rise": "stops the fans when warm (a limit)",
    "difference": "starts the fans when warmer than the room",
    "clock": "lets the fans run in its hours",
    "light": "starts the fans in the sun",
    "by hand": "lets the fans run on its days, set by hand",
}
# what a switch of each kind starts with; what the other kinds want is taken out
STARTS: dict[str, dict[str, Value]] = {
    "close on rise": {"spot": "gap top", "close": "43 C", "open": "32 C"},
    "open on rise": {"spot": "room"},  # and the set points of `parts.room_limit`
    "difference": {"spot": "gap top", "close": "8 K", "open": "3 K"},
    "clock": {"hours": [["08:00", "18:00"]]},
    "light": {"close_sun": "300 W/m2", "open_sun": "200 W/m2"},
    "by hand": {"days": [["10-01", "04-30"]]},
}
WANTED = sorted({key for start in STARTS.values() for key in start} | {"height", "lag"})
HEAT = Group(
    (Row("name", "What to call it"), Row("spot", "Feels"), Row("close", "Starts fans at"),
     Row("open", "Stops fans at")),
    (Row("height", "Height above the floor, in the room"), Row("lag", "Its lag"), Row("contact", "Contact rated for"),
     Row("contact_for", "That rating is for")),
    "Height, lag, contact",
)  # fmt: skip
LIMIT = Group(
    (*HEAT.rows[:2], Row("open", "Stops fans at"), Row("close", "Lets them start again at")), HEAT.seldom, HEAT.fold
)  # fmt: skip
CONTACT = (Row("contact", "Contact rated for"), Row("contact_for", "That rating is for"))
OTHER = {
    "open on rise": LIMIT,
    "clock": Group((Row("name", "What to call it"), Row("hours", "Lets fans run in these hours", HOURS),
                    Row("days", "On these days", SPAN)), CONTACT, "Contact"),
    "light": Group((Row("name", "What to call it"), Row("close_sun", "Starts fans at sun of"),
                    Row("open_sun", "Stops fans below")), CONTACT, "Contact"),
    "by hand": Group((Row("name", "What to call it"), Row("days", "Lets fans run on these days", SPAN)),
                     CONTACT, "Contact"),
}  # fmt: skip
CIRCUIT = Group(
    (Row("fans", "The fans are run", words={"automatic": "by the switches", "off": "switched off", "on": "always on"}),
     Row("series", "Switches in series", "names apart by ; and side by side ones by |", wide=True)),
    (Row("module_fans", "Fans on a PV module run"), Row("cable", "Cable, one way"), Row("wire", "Copper of one wire"),
     Row("wire_gauge", "Or its gauge number"), Row("most_drop", "Voltage the cable may eat")),
    "Cable and wire",
)  # fmt: skip
COVER = Group(
    (Row("hung", "Hangs from, to", SPAN), Row("hang_above", "Or once a week's mean outdoors is above"),
     Row("hot_days", "Or once the shop got too hot on days of seven"), Row("take_down_below", "Comes down below")),
    (Row("passes", "Sun that still gets through"),),
)  # fmt: skip
SUMMER = Group(
    (
        Row("top_area", "Opening at the top"),
        Row("bottom_area", "Opening at the foot"),
        Row("open", "Stand open", SPAN),
    )
)
NEW_FAN: dict[str, Value] = {"count": 1, "row": "top", "flow": "0.1 m3/s", "power": "32 W"}
KEYS = (
    "wall.vents",
    "wall.flap",
    "wall.cover",
    "wall.summer_vent",
    "wall.inlet_from",
    "fan",
    "switch",
    "circuit",
)

# table of the file -> its boxes
TABLES: dict[str, Group] = {
    "wall": Group(SIZE.rows + GAP.rows + GAP.seldom + WAY.rows), "wall.glazing": GLAZING, "wall.glazing.skin": SKIN,
    "wall.absorber": ABSORBER, "wall.absorber.layer": LAYER, "wall.backing": LAYER, "wall.frame": FRAME,
    "wall.vents.bottom": VENTS, "wall.vents.top": VENTS, "wall.vents": SHUT, "wall.overhang": OVERHANG,
    "wall.flap": FLAP, "wall.cover": COVER, "wall.summer_vent": SUMMER, "fan": FAN, "switch": HEAT, "circuit": CIRCUIT,
    "shop": ROOM, "shop.part": PART, "shop.slab": SLAB, "shop.air": AIR, "shop.contents": CONTENTS,
    "shop.gains": GAINS, "shop.heater": HEATER, "shop.comfort": COMFORT, "money": MONEY,
    "site": Group(WHERE.rows + WHERE.seldom + GROUND.rows + GROUND.seldom + SKYLINE.rows),
    "weather": Group((Row("file", "Weather year"), Row("seed", "Which of the possible years"))),
}  # fmt: skip
PARTS = {
    "wall.glazing": "glazing", "wall.absorber": "dark face", "wall.backing": "behind the dark face",
    "wall.frame": "frame",
    "wall.vents.bottom": "vents at the foot", "wall.vents.top": "vents at the top", "wall.vents": "vents",
    "wall.overhang": "roof edge", "wall.flap": "flap", "wall.cover": "cover", "wall.summer_vent": "summer vents",
    "shop.part": "envelope", "shop.slab": "floor", "shop.air": "leaks and doors", "shop.contents": "what stands inside",
    "shop.gains": "people, lamps, machines", "shop.heater": "heater", "shop.comfort": "warm enough, too hot",
    "site": "place", "money": "prices",
}  # fmt: skip


def label_of(key: str) -> str:
    """Return what a key's box is called, and where it stands: "Share of the wall it covers (frame)"."""
    plain = re.sub(r"\[[\d, ]*\]", "", key)
    table, _, name = plain.rpartition(".")
    if plain == key and key in PARTS:
        return PARTS[key].capitalize()
    boxes = TABLES.get(table)
    rows = (*boxes.rows, *boxes.seldom) if boxes else ()
    label = next((row.label for row in rows if row.key == name), named(key))
    part = PARTS.get(table, table.rpartition(".")[2].replace("_", " "))
    number = re.search(r"\[([\d, ]*)\]", key)
    told = f"{part} {number[1]}" if number else part
    return f"{label} ({told})" if told else label
