"""Places by name: the table's towns and stations, to choose where a site is."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from noonwall.climate.places import places

if TYPE_CHECKING:
    from noonwall.climate.places import Place
    from noonwall.model.edit import Value
    from noonwall.units import System

FOOT = 0.3048
STATES = {
    "CO": "Colorado", "FIN": "Finland", "ID": "Idaho", "MA": "Massachusetts", "ME": "Maine", "MN": "Minnesota",
    "MT": "Montana", "ND": "North Dakota", "NH": "New Hampshire", "NM": "New Mexico", "OR": "Oregon",
    "SD": "South Dakota", "UT": "Utah", "VT": "Vermont", "WI": "Wisconsin", "WY": "Wyoming",
}  # fmt: skip


@cache
def known() -> dict[str, Place]:
    """Return the table's places by "town, state", in the order of states, then of towns."""
    found: dict[str, Place] = {}
    for place in places():
        town, _, state = place.name.rpartition(", ")
        found.setdefault(f"{' '.join(town.split())}, {STATES.get(state, state)}", place)
    return dict(sorted(found.items(), key=lambda item: (item[0].rpartition(", ")[2], item[0])))


def site_values(name: str, system: System) -> dict[str, Value | None]:
    """Return the keys of a project's site as one of `known` has them; a clock or compass typed for another is let go.

    name  as `known` has it;  system  units the height is written in

    >>> site_values(next(iter(known())), "us")["site.utc_offset"] is None
    True
    """
    place = known()[name]
    height = (
        f"{round(place.elevation_m / FOOT, -1):.0f} ft" if system == "us" else f"{place.elevation_m:.0f} m"
    )
    return {
        "site.latitude": _angle(place.latitude_deg, "NS"),
        "site.longitude": _angle(place.longitude_deg, "EW"),
        "site.elevation": height,
        "site.utc_offset": None,
        "site.magnetic_declination": None,
    }


def _angle(degrees: float, ways: str) -> str:
    """Return an angle as it is typed.

    >>> _angle(-67.812, "EW"), _angle(45.0, "NS")
    ('67.81 W', '45 N')
    """
    return f"{round(abs(degrees), 2):g} {ways[degrees < 0.0]}"
