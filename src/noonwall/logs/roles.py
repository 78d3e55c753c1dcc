"""What a channel of readings may stand for, and in which unit it leaves the store."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Literal

from noonwall.logs.errors import ReadingsError

Measure = Literal[
    "temperature", "irradiance", "power", "energy", "share", "state", "speed", "pressure", "flow", "time",
    "volume", "mass", "number", "text",
]  # fmt: skip
Kind = Literal["point", "mean", "state", "amount", "counter"]

SI_UNIT: dict[Measure, str] = {
    "temperature": "C",
    "irradiance": "W/m2",
    "power": "W",
    "energy": "kWh",
    "share": "1",
    "state": "1",
    "speed": "m/s",
    "pressure": "Pa",
    "flow": "m3/s",
    "time": "s",
    "volume": "m3",
    "mass": "kg",
    "number": "",
    "text": "",
}


@dataclass(frozen=True)
class Role:
    """One thing that can be measured around the wall.

    ``low`` and ``high`` bound what such a sensor can honestly show [SI]; None is unbounded.
    """

    key: str
    measures: tuple[Measure, ...]
    doc: str
    low: float | None = None
    high: float | None = None

    @property
    def measure(self) -> Measure:
        """The usual measure of the role."""
        return self.measures[0]


def _temperature(key: str, doc: str, low: float, high: float) -> Role:
    return Role(key, ("temperature",), doc, low, high)


# Bounds are common practice, no source: wide enough for a cold record and for a stagnant absorber.
ROLES: dict[str, Role] = {
    role.key: role
    for role in (
        _temperature("outdoor", "air outdoors, in the shade", -60.0, 50.0),
        _temperature("shop", "air in the shop, at a height", -40.0, 50.0),
        _temperature("gap bottom", "air low in the gap", -60.0, 120.0),
        _temperature("gap top", "air high in the gap", -60.0, 150.0),
        _temperature("absorber", "the dark face itself", -60.0, 200.0),
        _temperature("air in", "air that enters the wall from the shop", -60.0, 80.0),
        _temperature("air out", "air that leaves the wall into the shop", -60.0, 120.0),
        Role("fan", ("state",), "fan running (1) or not (0)", 0.0, 1.0),
        Role("fan power", ("power",), "electric power of the fan", 0.0, 20_000.0),
        Role("sun", ("irradiance",), "irradiance, on a plane", -20.0, 1600.0),
        Role("humidity", ("share",), "relative humidity of air", 0.0, 1.02),
        Role("backup", ("state",), "backup heater running (1) or not (0)", 0.0, 1.0),
        Role("backup run time", ("time",), "running time of the backup heater", 0.0, None),
        Role("backup power", ("power",), "electric power of the backup heater", 0.0, 200_000.0),
        Role("backup energy", ("energy",), "electricity or heat of the backup heater", 0.0, None),
        Role("fuel", ("volume", "mass"), "fuel burnt by the backup heater", 0.0, None),
        Role("cover", ("state",), "cover hung (1) or not (0)", 0.0, 1.0),
        Role("pv power", ("power",), "power of the PV field", -1000.0, 1e6),
        Role("pv energy", ("energy",), "energy of the PV field", None, None),
        Role("wind", ("speed",), "wind speed", 0.0, 75.0),
        Role("pressure", ("pressure",), "air pressure", 50_000.0, 110_000.0),
        Role("flow", ("flow",), "air flow through the wall", -20.0, 20.0),
        Role("remark", ("text",), "what somebody wrote down by hand"),
        Role("other", ("number", *(m for m in SI_UNIT if m != "text")), "kept, but not used"),
        Role("skip", ("number", "text"), "not read at all"),
    )
}


def role(key: str) -> Role:
    """Return the role of a name.

    key      one of the keys of ROLES, hyphens and underscores as blanks
    raises   ReadingsError naming the nearest role
    """
    plain = " ".join(key.replace("_", " ").replace("-", " ").lower().split())
    if plain in ROLES:
        return ROLES[plain]
    near = difflib.get_close_matches(plain, ROLES, n=1)
    hint = f'; nearest is "{near[0]}"' if near else ""
    raise ReadingsError(f'unknown role "{key[:40]}"{hint}; roles are {", ".join(ROLES)}')
