"""Small pieces of text that several pages share."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from noonwall.report.blocks import Lines, filled
from noonwall.report.reader import grouped
from noonwall.report.tables import facing, few, place_lines, plural, worth_as_shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.assess.fuel import FuelSaved
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

SMALL_M = 0.3
CLOCK = re.compile(r"\b(\d\d):(\d\d)\b")


def heading_lines(project: Project, weather: Weather, reader: Reader) -> list[str]:
    """Return the wall, its place and its weather, a line each."""
    wall = project.wall
    sides = f"{reader.show(wall.width_m, 'length')} x {reader.show(wall.height_m, 'length')}"
    first = f"  wall {sides}, facing {facing(wall.azimuth_deg)}, gap {reader.show(wall.gap_m, 'length')}"
    told = (weather.kind, weather.place, weather.distance_km, weather.hours_repaired)
    return [first, *place_lines(project, reader, *told)]


def listed(words: Sequence[str], last: str = "and") -> str:
    """Return words as a list in a sentence.

    >>> listed(["a"]), listed(["a", "b", "c"]), listed([])
    ('a', 'a, b and c', 'none')
    """
    if len(words) < 2:
        return words[0] if words else "none"
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def kelvins(kelvin: float, reader: Reader, decimals: int = 0) -> str:
    """Return a temperature difference with its unit: "12 K", "22 °F"."""
    return f"{reader.kelvins(kelvin):.{decimals}f} {kelvin_unit(reader)}"


def kelvin_unit(reader: Reader) -> str:
    """Return the unit of a temperature difference."""
    return "°F" if reader.us else "K"


def measure(metres: float, reader: Reader) -> str:
    """Return a length for a ruler: "14 mm", "0.55 in"; a long one as it is shown elsewhere."""
    if abs(metres) >= SMALL_M:
        return reader.feet_text(metres)
    return f"{metres / 0.0254:.2f} in" if reader.us else f"{1000.0 * metres:.0f} mm"


def fuel_words(fuel: FuelSaved, currency: str, reader: Reader) -> str:
    """Return what became of fuel: "826 kWh of propane, 31 gallons, 80 USD not burned", or "more burned"."""
    fate = "not burned" if fuel.amount >= 0.0 else "more burned"
    return f"{reader.heat_text(abs(fuel.fuel_kwh))} of {fuel.fuel}, {_fuel(fuel, currency)} {fate}"


def fuel_amount(fuel: FuelSaved, currency: str) -> str:
    """Return fuel not burned in its own unit and money: "31 gallons, 80 USD"; "5.0 gallons more, ..."; "-" for none."""
    if abs(fuel.amount) < 0.05:
        return "-"
    return _fuel(fuel, currency, "" if fuel.amount > 0.0 else " more")


def _fuel(fuel: FuelSaved, currency: str, word: str = "") -> str:
    amount = f"{few(abs(fuel.amount))} {plural(fuel.unit, abs(fuel.amount))}{word}"
    return amount + (
        "" if fuel.money is None else f", {grouped(worth_as_shown(fuel.amount, fuel.money))} {currency}"
    )


def clocked(text: str, reader: Reader) -> str:
    """Return a text with its hours as the reader tells them: "17:00 to 08:00", or "5 pm to 8 am"."""
    if not reader.us:
        return text
    return CLOCK.sub(lambda hit: reader.hour_text(int(hit[1]) + int(hit[2]) / 60.0), text)


def recipes(blocks: Sequence[tuple[str, str]]) -> Lines | None:
    """Return lines to write into the project file, each block under what it makes; nothing for none."""
    if not blocks:
        return None
    lines = ["TO HAVE IT SO, write into noonwall.toml"]
    for name, toml in blocks:
        lines += [filled(f"  {name}", indent=4), *(f"    {line}" for line in toml.strip().splitlines())]
    return Lines("\n".join(lines), about="recipes")
