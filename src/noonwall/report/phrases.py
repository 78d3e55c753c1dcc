"""Small pieces of text that several pages share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.reader import grouped
from noonwall.report.tables import facing, few, place_lines, plural

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.assess.fuel import FuelSaved
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

SMALL_M = 0.3


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
        return reader.show(metres, "length")
    return f"{metres / 0.0254:.2f} in" if reader.us else f"{1000.0 * metres:.0f} mm"


def fuel_words(fuel: FuelSaved, currency: str, reader: Reader) -> str:
    """Return an amount of fuel: "826 kWh of propane, 31 gallons, about 80 USD"."""
    return f"{reader.heat_text(fuel.fuel_kwh)} of {fuel.fuel}, {fuel_amount(fuel, currency)}"


def fuel_amount(fuel: FuelSaved, currency: str) -> str:
    """Return an amount of fuel in its own unit and money: "31 gallons, 80 USD"; "-" for none."""
    if abs(fuel.amount) < 0.05:
        return "-"
    amount = f"{few(fuel.amount)} {plural(fuel.unit, fuel.amount)}"
    money = "" if fuel.money is None else f", {grouped(fuel.money)} {currency}"
    return amount + money
