"""What a wall brings in a year, in the few figures that a builder asks for first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.reader import grouped, percent
from noonwall.report.tables import fuel_amount_text, money_text

if TYPE_CHECKING:
    from noonwall.assess.fuel import FuelSaved
    from noonwall.assess.sums import Answers
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader

NOTHING_KWH = 0.5


def brought(found: Answers, project: Project, reader: Reader) -> list[dict[str, str]]:
    """Return the year's heat, fuel, money and electricity: for each a name, a value, a note."""
    whole, currency = found.whole, project.money.currency
    share = (
        percent(whole.useful_kwh / whole.delivered_kwh) if whole.delivered_kwh >= NOTHING_KWH else "nothing"
    )
    limit = reader.degrees_text(project.shop.comfort.limit_c)
    fans = "electricity for the fans"
    if found.fan_money is not None:
        fans += f", {money_text(found.fan_money, currency)}"
    return [
        _row(
            "Heat into the shop",
            reader.heat_text(whole.delivered_kwh),
            "all that the warm air brought in the year",
        ),
        _row(
            "Of use",
            reader.heat_text(whole.useful_kwh),
            f"{share} of it: it came while the shop was not above {limit}",
        ),
        _fuel(found.fuel, currency, reader),
        _row("Fans", f"{grouped(whole.fan_kwh)} kWh", fans),
    ]


def _row(name: str, value: str, note: str) -> dict[str, str]:
    return {"name": name, "value": value, "note": note}


def _fuel(fuel: FuelSaved | None, currency: str, reader: Reader) -> dict[str, str]:
    if fuel is None:
        return _row("Fuel not burned", "-", "there is no heater in this project")
    if abs(fuel.heat_kwh) < NOTHING_KWH:
        return _row(
            "Fuel not burned", "none", f"the heater burns as much {fuel.fuel} with the wall as without it"
        )
    heat = reader.heat_text(abs(fuel.heat_kwh))
    if fuel.heat_kwh < 0.0:
        note = f"{fuel.fuel}: the heater gives {heat} more than without the wall"
        return _row("More fuel burned", fuel_amount_text(fuel, currency), note)
    note = f"{fuel.fuel}: the heater gives {heat} less than without the wall, at {percent(fuel.efficiency)}"
    return _row("Fuel not burned", fuel_amount_text(fuel, currency), note)
