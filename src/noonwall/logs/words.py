"""What a column's heading says: role, unit, height, plane. Words decide here, never the size of numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.logs.measures import measure_of, unit_of
from noonwall.units import UNITS

if TYPE_CHECKING:
    from noonwall.logs.roles import Measure

STATE_WORDS = {
    "on": 1.0, "off": 0.0, "true": 1.0, "false": 0.0, "yes": 1.0, "no": 0.0, "running": 1.0, "stopped": 0.0,
    "active": 1.0, "inactive": 0.0, "heating": 1.0, "heat": 1.0, "idle": 0.0, "closed": 1.0, "open": 0.0,
    "high": 1.0, "low": 0.0, "an": 1.0, "aus": 0.0, "ein": 1.0, "marche": 1.0, "arrêt": 0.0, "päällä": 1.0,
    "pois": 0.0, "på": 1.0, "av": 0.0, "hung": 1.0, "up": 0.0, "down": 1.0,
}  # fmt: skip

_TOP = r"(top|upper|up|high|oben|haut|ylä\w*)"
_FOOT = r"(bottom|bot|lower|low|foot|base|unten|bas|ala\w*)"
_GAP = r"(gap|cavity|air ?space|spalt|rako|collector|coll|wall)"

# role: words and patterns of words in headings, by "|"; the first role that fits wins
_WORDS: dict[str, str] = {
    "remark": r"remarks?|notes?|comments?|events?|bemerkung\w*|huom\w*|anmerkung",
    "skip": (
        r"^#|^no|^nr|^id|^index|^record|^rec|^row|^line|^batt?\w*|^rssi|^signal|^voltage|^ptemp\w*|^status|"
        r"^coupler \w+|^host \w+|^end of file|^stopped|^bad connection|^good connection|^logger voltage|"
        r"uncert\w*|source|flag|qc"
    ),
    "other": (
        r"dni|dhi|diffuse|direct normal|etrn?|extraterrestrial|net rad\w*|long ?wave|infrared|dew ?point|"
        r"wet ?bulb|set ?point|set"
    ),
    "cover": r"cover|tarp|curtain|shutter|blind|abdeckung|peite",
    "humidity": r"humid\w*|rh|r ?hum|hum|rel(ative)? ?hum\w*|feuchte|luftfeuchte|kosteus|humidité",
    "sun": (
        r"irradiance|insolation|pyranometer|ghi|poa|gti|solar rad\w*|radiation|sun|sunlight|"
        r"globalstrahlung|strahlung|säteily|rayonnement|slr\w*"
    ),
    "fan": r"fans?|blower|ventilator|lüfter|puhallin|ventilateur|fläkt",
    "pv energy": (
        r"pv|photovoltaic\w*|inverter|solar (panel|module|array|power|energy|yield)s?|modules?|panels?"
    ),
    "fuel": r"fuel|wood|logs burn\w*|oil|propane|litres?|gallons?",
    "backup": (
        r"heater|back ?up|boiler|furnace|stove|burner|heating|pellets?|gas meter|heat ?pump|radiator|heizung|"
        r"brenner|ofen|chauffage|lämmitys"
    ),
    "absorber": r"absorb\w*|black (sheet|plate|face|metal)|plate|mesh",
    "gap top": rf"{_GAP}\b.*\b{_TOP}|{_TOP}\b.*\b{_GAP}",
    "gap bottom": rf"{_GAP}\b.*\b{_FOOT}|{_FOOT}\b.*\b{_GAP}",
    "air in": (
        r"inlet|intake|return( air)?|air in|vents? in|lower vents?|bottom vents?|vents? (bottom|lower|low)"
    ),
    "air out": (
        r"outlet|discharge|supply( air)?|air out|vents? out|upper vents?|top vents?|"
        r"vents? (top|upper|high)|duct"
    ),
    "outdoor": (
        r"^out$|outdoors?|outside|outdr|out ?temp|oat|ambient|amb|exterior|external|ext|text|tout|tamb|shade|"
        r"weather|außen\w*|aussen\w*|ulko\w*|ute|utomhus|extérieur\w*|dry ?bulb"
    ),
    "wind": r"wind|gust|windspeed|wind ?spd|tuuli",
    "pressure": r"pressure|baro\w*|luftdruck|ilmanpaine",
    "flow": r"air ?flow|flow|cfm|volumenstrom",
    "shop": (
        r"shop|workshop|room|indoors?|inside|garage|interior|internal|int|bench|ceiling|zone|barn|space|hall|"
        r"studio|cabin|tin|floor|werkstatt|halle|raum|innen\w*|sisä\w*|atelier|verkstad|inne"
    ),
}
_COMPILED = {role: re.compile(rf"(?<!\w)({words})(?!\w)", re.I) for role, words in _WORDS.items()}

# a role by its words turns into another by what its column measures
_BY_MEASURE: dict[str, dict[Measure, str]] = {
    "fan": {"power": "fan power", "flow": "flow", "speed": "other", "temperature": "other"},
    "pv energy": {"power": "pv power", "energy": "pv energy", "irradiance": "sun", "temperature": "other"},
    "backup": {
        "time": "backup run time", "power": "backup power", "energy": "backup energy", "volume": "fuel",
        "mass": "fuel", "temperature": "other",
    },
    "fuel": {
        "time": "backup run time", "power": "backup power", "energy": "backup energy", "state": "backup",
    },
    "air out": {"flow": "flow", "speed": "other"},
    "outdoor": {"share": "humidity", "speed": "wind", "pressure": "pressure", "irradiance": "sun"},
    "shop": {"share": "humidity", "irradiance": "other", "power": "other"},
}  # fmt: skip
_BY_UNIT: dict[Measure, str] = {
    "irradiance": "sun", "speed": "wind", "flow": "flow", "pressure": "pressure",
}  # fmt: skip
_HEIGHT = re.compile(r"(?<![\w.])(\d+(?:[.,]\d+)?)\s?(mm|cm|m|ft|feet|foot|in|inch|inches)\b", re.I)
_BRACKETS = re.compile(r"[\[({<]([^\])}>]{1,24})[\])}>]")
_MEANT = re.compile(r"\b(avg|average|mean|mittel\w*|moyenne)\b", re.I)
_PEAK = re.compile(r"\b(max|maximum|min|minimum|std|stdev|tmx|tmn)\b", re.I)


@dataclass(frozen=True)
class Said:
    """What the words over a column say; None where they say nothing."""

    role: str | None
    bare: str  # heading without its unit
    unit: str | None
    height_m: float | None
    plane: str | None
    place: str | None
    is_mean: bool
    is_extreme: bool  # highest, lowest or spread of the interval: not a reading of the role itself


def said_by(name: str, under: tuple[str, ...] = ()) -> Said:
    """Return what a heading and the lines under it say.

    name    heading of the column;  under   its cells in further heading lines (units, kinds)

    >>> said_by("Shop 2.4 m [°F]").role, said_by("Shop 2.4 m [°F]").unit, said_by("Shop 2.4 m [°F]").height_m
    ('shop', 'F', 2.4)
    """
    unit, bare = _unit(name, under)
    plain = _plain(bare)
    role = _role(plain, unit)
    everything = f"{plain} {' '.join(under)}"
    return Said(
        role=role,
        bare=bare.strip(" ,;:_-"),
        unit=unit,
        height_m=_height(bare) if role == "shop" else None,
        plane=_plane(plain) if role == "sun" else None,
        place=_place(plain) if role == "humidity" else None,
        is_mean=bool(_MEANT.search(everything)),
        is_extreme=bool(_PEAK.search(everything)),
    )


def _plain(text: str) -> str:
    """Return a heading as words: camel case, underscores and points taken apart."""
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    text = re.sub(r"[_\-./:,;()\[\]{}]+", " ", text)
    text = re.sub(r"(?<=[A-Za-z])(?=\d)", " ", text)
    return " ".join(text.lower().split())


def _unit(name: str, under: tuple[str, ...]) -> tuple[str | None, str]:
    """Return the unit a heading names, and the heading without it."""
    for found in reversed(list(_BRACKETS.finditer(name))):
        inner = found[1].split(",")[0]
        if unit := unit_of(inner):
            return unit, name[: found.start()] + " " + name[found.end() :]
    for cell in under:
        if unit := unit_of(cell):
            return unit, name
    if degree := re.search(r"[°º]\s?[CF]\b", name):
        return unit_of(degree[0]), name[: degree.start()] + " " + name[degree.end() :]
    pieces = [piece for piece in re.split(r"[\s_,;:]+", name) if piece]
    for n in (2, 1):
        if len(pieces) > n and (unit := unit_of(" ".join(pieces[-n:]))):
            return unit, " ".join(pieces[:-n])
    return (unit_of(name), name) if unit_of(name) in ("cfm", "kWh", "W/m2") else (None, name)


def _role(plain: str, unit: str | None) -> str | None:
    measure = measure_of(unit) if unit else None
    for role, pattern in _COMPILED.items():
        if not pattern.search(plain):
            continue
        return _BY_MEASURE.get(role, {}).get(measure, role) if measure else role
    return _BY_UNIT.get(measure) if measure else None


def _height(text: str) -> float | None:
    found = _HEIGHT.search(text)
    if not found:
        return None
    word = {"feet": "ft", "foot": "ft", "inch": "in", "inches": "in"}.get(found[2].lower(), found[2].lower())
    return round(float(found[1].replace(",", ".")) * UNITS[word][0], 3)


def _plane(plain: str) -> str | None:
    if re.search(r"\b(horizontal|hor|ghi|global|flat)\b", plain):
        return "horizontal"
    return "wall" if re.search(r"\b(wall|vertical|vert|poa|gti|glazing|south|in plane)\b", plain) else None


def _place(plain: str) -> str | None:
    for role in ("outdoor", "shop"):
        if _COMPILED[role].search(plain):
            return role
    return None
