"""Every field that crosses a door stands on the nomenclature page, with the unit its name says."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import re
from pathlib import Path

import pytest

from noonwall.model.fields import Record

PAGE = Path(__file__).parents[2] / "docs" / "nomenclature.md"
ROOMS = (
    "noonwall.climate.weather",
    "noonwall.engine.year",
    "noonwall.model.site",
    "noonwall.model.absorber",
    "noonwall.model.cover",
    "noonwall.model.glazing",
    "noonwall.model.openings",
    "noonwall.model.wall",
    "noonwall.model.shop",
    "noonwall.model.layers",
    "noonwall.model.control",
    "noonwall.model.place",
    "noonwall.model.obstacle",
    "noonwall.model.pv",
    "noonwall.shade.record",
)
# Longest ending first: the first that fits names the unit.
UNITS = {
    "_w_m2k": "W/(m² K)",
    "_w_mk": "W/(m K)",
    "_m2k_w": "m² K/W",
    "_j_m2k": "J/(m² K)",
    "_j_kgk": "J/(kg K)",
    "_kg_m3": "kg/m³",
    "_m2_per_m": "m²/m",
    "_w_m2": "W/m²",
    "_m3_s": "m³/s",
    "_kg_s": "kg/s",
    "_m_s": "m/s",
    "_per_h": "1/h",
    "_per_k": "1/K",
    "_1_m": "1/m",
    "_share": "share 0 to 1",
    "_kwh": "kWh",
    "_deg": "°",
    "_m2": "m²",
    "_m3": "m³",
    "_pa": "Pa",
    "_km": "km",
    "_kg": "kg",
    "_c": "°C",
    "_k": "K",
    "_m": "m",
    "_w": "W",
    "_s": "s",
    "_h": "h",
}


def records(room: str) -> list[type]:
    """Return the records a room's file defines."""
    module = importlib.import_module(room)
    return [
        item
        for _, item in inspect.getmembers(module, inspect.isclass)
        if item.__module__ == room and (dataclasses.is_dataclass(item) or issubclass(item, Record))
    ]


def names(record: type) -> list[str]:
    if issubclass(record, Record):
        return list(record.model_fields)
    return [item.name for item in dataclasses.fields(record)]


def page_rows() -> dict[str, dict[str, str]]:
    """Return record -> field -> unit, as the page has them."""
    found: dict[str, dict[str, str]] = {}
    record = ""
    for line in PAGE.read_text("utf-8").splitlines():
        if line.startswith("#"):
            record = line.removeprefix("#### ").strip() if line.startswith("#### ") else ""
        row = re.match(r"\| `(\w+)` \| (.+?) \| (.+) \|$", line)
        if record and row:
            found.setdefault(record, {})[row[1]] = row[2]
    return found


@pytest.mark.parametrize("room", ROOMS)
def test_every_field_is_on_the_page_and_none_is_stale(room: str) -> None:
    page = page_rows()
    for record in records(room):
        assert sorted(page.get(record.__name__, {})) == sorted(names(record)), (
            f"docs/nomenclature.md and {room}.{record.__name__} differ"
        )


def test_units_follow_the_names() -> None:
    for record, fields in page_rows().items():
        for name, unit in fields.items():
            ending = next((UNITS[end] for end in UNITS if name.endswith(end)), None)
            assert ending is None or ending == unit, (
                f"{record}.{name}: {unit} on the page, {ending} by its name"
            )
