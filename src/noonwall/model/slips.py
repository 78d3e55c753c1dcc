"""A unit left out, a point forgotten: figures that would make sense with the unit the builder had in mind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from noonwall.model import catalogue
from noonwall.model.convert import Fault
from noonwall.units import show

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from noonwall.model.layers import Layer
    from noonwall.model.lines import Path
    from noonwall.model.project import Project
    from noonwall.units import System

# bounds of the usual; common practice, no source
WARMEST_CLOSE_C, WARMEST_ROOM_C, WARMEST_LIMIT_C = 65.0, 45.0, 100.0
SENSIBLE_C = (-5.0, 65.0)  # a set point in Fahrenheit must lie here to be offered
MOST_R_M2K_W = {"wall": 8.0, "door": 3.0, "window": 3.0, "roof": 12.0, "ceiling": 14.0, "floor": 8.0}
MOST_LAYER_R_M2K_W, MOST_EDGE_R_M2K_W = 8.0, 5.0
ABOVE_EAVES_M = 0.3
TALLEST_VENT_M, TALLEST_VENT_SHARE = 0.5, 0.2  # one opening, alone and of the wall's height
DOLLAR_LIKE = ("USD", "CAD", "EUR", "GBP", "CHF", "AUD", "NZD")
FUEL_PRICES_KWH, POWER_PRICES_KWH = (0.005, 0.6), (0.01, 1.5)  # of one kWh in a dollar-like currency


class Look(NamedTuple):
    """What a second look goes by: the record, what was written for it, and the units to speak in."""

    project: Project
    raw: dict[str, Any]  # tables as the TOML parser gives them; {} where nothing was written
    system: System


def bare(raw: Any, path: Path) -> float | None:
    """Return the number written at a path when it stands there without a unit, else None."""
    for step in path:
        try:
            raw = raw[step]
        except (KeyError, IndexError, TypeError):
            return None
    if isinstance(raw, bool) or not isinstance(raw, int | float | str):
        return None
    try:
        return float(raw)
    except ValueError:
        return None


def slips(look: Look) -> Iterator[Fault]:
    """Yield every figure that a missing unit or point would explain, each with its key."""
    yield from _set_points(look)
    yield from _resistances(look)
    yield from _heights(look)
    yield from _prices(look)


def _set_points(look: Look) -> Iterator[Fault]:
    """Set points hotter than any wall needs: Fahrenheit written without its letter."""
    for i, switch in enumerate(look.project.switches):
        if switch.kind == "difference" or not switch.feels_heat:
            continue
        limit = WARMEST_CLOSE_C if switch.kind == "close on rise" else WARMEST_LIMIT_C
        if switch.spot == "room":
            limit = WARMEST_ROOM_C
        for key, value in (("close", switch.close), ("open", switch.open)):
            if value is None or value <= limit:
                continue
            path: Path = ("switch", i, key)
            number = bare(look.raw, path)
            fits = number is not None and SENSIBLE_C[0] <= (number - 32.0) / 1.8 <= SENSIBLE_C[1]
            hint = f'; did you mean "{number:g} F"?' if fits else "; is that meant?"
            shown = show(value, "temperature", look.system)
            where = "the room" if switch.spot == "room" else "the wall"
            yield Fault(path, f"{shown} is seldom reached in {where}, so it would hardly ever act{hint}")


def _resistances(look: Look) -> Iterator[Fault]:
    """Resistances far above the usual: R-11 written as a bare 11."""
    shop, wall = look.project.shop, look.project.wall
    for i, part in enumerate(shop.parts):
        path: Path = ("shop", "part", i)
        if part.r_m2k_w is not None:
            yield from _resistance(look, (*path, "r"), part.r_m2k_w, MOST_R_M2K_W[part.kind])
        yield from _layers(look, part.layers, (*path, "layer"))
    yield from _layers(look, wall.absorber.layers, ("wall", "absorber", "layer"))
    yield from _layers(look, wall.backing, ("wall", "backing"))
    edge = shop.slab.edge_insulation_r_m2k_w
    if shop.slab.kind == "slab":
        yield from _resistance(look, ("shop", "slab", "edge_insulation"), edge, MOST_EDGE_R_M2K_W)


def _layers(look: Look, layers: Iterable[Layer], path: Path) -> Iterator[Fault]:
    for i, layer in enumerate(layers):
        if layer.resistance_m2k_w is not None:
            yield from _resistance(look, (*path, i, "r"), layer.resistance_m2k_w, MOST_LAYER_R_M2K_W)


def _resistance(look: Look, path: Path, r_m2k_w: float, most: float) -> Iterator[Fault]:
    if r_m2k_w <= most:
        return
    number = bare(look.raw, path)
    hint = f'; did you mean "R-{number:g}"?' if number is not None else "; is that meant?"
    yield Fault(path, f"RSI {r_m2k_w:.3g} is R-{r_m2k_w * 5.678263:.0f}, more than is ever built{hint}")


def _heights(look: Look) -> Iterator[Fault]:
    """Look for a wall above the eaves and vents as tall as doors."""
    project, wall = look.project, look.project.wall
    top_m = wall.foot_m + wall.height_m
    if top_m > project.shop.eaves_m + ABOVE_EAVES_M:
        told = (
            f"the glazing's top is {show(top_m, 'length', look.system)} above the ground, the eaves are at "
            f"{show(project.shop.eaves_m, 'length', look.system)}; only a gable has room for that"
        )
        yield Fault(("wall", "height"), told)
    for name, row in (("bottom", wall.vents.bottom), ("top", wall.vents.top)):
        if row.height_m > min(TALLEST_VENT_M, TALLEST_VENT_SHARE * wall.height_m):
            told = (
                f"{show(row.height_m, 'length', look.system)} is tall for a vent in a wall of "
                f"{show(wall.height_m, 'length', look.system)}; was a tenth of it meant?"
            )
            yield Fault(("wall", "vents", name, "height"), told)


def _prices(look: Look) -> Iterator[Fault]:
    """Prices of fuel and electricity a hundred times off."""
    money, heater = look.project.money, look.project.shop.heater
    if money.currency.strip().upper() not in DOLLAR_LIKE:
        return
    if heater is not None and heater.price_per_unit:
        fuel = catalogue.fuel(heater.fuel)
        unit = heater.price_unit or fuel.usual_unit
        content = fuel.kwh_per[unit]
        path: Path = ("shop", "heater", "price")
        limits = POWER_PRICES_KWH if heater.fuel == "electricity" else FUEL_PRICES_KWH
        yield from _price(
            path, heater.price_per_unit, f"{heater.fuel}, a {unit}", content, limits, money.currency
        )
    if money.electricity_per_kwh:
        path = ("money", "electricity")
        price = money.electricity_per_kwh
        yield from _price(path, price, "electricity, a kWh", 1.0, POWER_PRICES_KWH, money.currency)


def _price(
    path: Path, price: float, what: str, kwh: float, limits: tuple[float, float], currency: str
) -> Iterator[Fault]:
    """Yield the doubt about one price when a kilowatt-hour of it would cost more or less than it ever does."""
    low, high = limits
    each = price / kwh
    if low <= each <= high:
        return
    factors = (0.01, 0.1) if each > high else (100.0, 10.0)  # cents for dollars is the usual slip
    meant = next((price * f for f in factors if low <= each * f <= high), None)
    hint = f"; did you mean {meant:.2f}?" if meant is not None else ""
    yield Fault(
        path, f"{price:g} {currency} for {what}, is {each:.3g} {currency} for a kWh of its heat{hint}"
    )
