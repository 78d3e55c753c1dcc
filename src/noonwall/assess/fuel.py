"""The fuel the heater did not burn: the third of the three lines, never mixed with the heat itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.catalogue import fuel as fuel_named

if TYPE_CHECKING:
    from noonwall.engine.year import Month
    from noonwall.model.shop import Heater


@dataclass(frozen=True)
class FuelSaved:
    """What the heater burned less of with the wall; negative if it burned more."""

    fuel: str
    heat_kwh: float  # at the heater's outlet
    fuel_kwh: float  # in the fuel, higher heating value, at the heater's efficiency
    efficiency: float
    amount: float  # in ``unit``
    unit: str  # the unit of the builder's price, or the fuel's usual one
    money: float | None  # None when the project gives no price


def fuel_saved(whole: Month, heater: Heater | None) -> FuelSaved | None:
    """Return the fuel the wall displaced: heater's heat without it less that with it, over the efficiency.

    whole    sums of the run;  heater  the project's heater
    Returns  None without a heater: there is no fuel to displace
    Raises   ProjectError for a fuel or a unit of price that no catalogue row knows
    """
    return fuel_between(whole.backup_without_wall_kwh, whole.backup_kwh, heater)


def fuel_between(before_kwh: float, after_kwh: float, heater: Heater | None) -> FuelSaved | None:
    """Return the fuel a heater burns less of when it has to give less heat; arguments else as `fuel_saved`.

    before_kwh, after_kwh  heat it gives in the one case and in the other
    """
    if heater is None:
        return None
    spec = fuel_named(heater.fuel)
    unit = heater.price_unit or spec.usual_unit
    if unit not in spec.kwh_per:
        raise ProjectError(
            f'shop.heater.price_unit: "{unit}" is no unit of {spec.name}; one of {", ".join(spec.kwh_per)} is'
        )
    heat = before_kwh - after_kwh
    in_fuel = heat / heater.efficiency
    amount = in_fuel / spec.kwh_per[unit]
    price = heater.price_per_unit
    return FuelSaved(
        fuel=spec.name,
        heat_kwh=heat,
        fuel_kwh=in_fuel,
        efficiency=heater.efficiency,
        amount=amount,
        unit=unit,
        money=None if price is None else price * amount,
    )
