"""The year in six figures, each with what the last change of the project made of it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from noonwall.assess.fuel import fuel_between
from noonwall.report.phrases import kelvin_unit
from noonwall.report.reader import cell, grouped
from noonwall.report.tables import fuel_amount_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.model.project import Project
    from noonwall.report.reader import Reader


AS_BEFORE, MINUS = "as before", "\N{MINUS SIGN}"


class KeyFigure(NamedTuple):
    """One figure of the year, ready to show."""

    name: str
    value: str  # with its unit
    change: str  # "+120 kWh"; "+9 kWh, about as before" where the model tells none apart; empty without a year before
    better: bool | None  # whether the change is for the better; None where it is neither or unknown
    told: str  # what the figure is, and from which change on it counts as better or worse
    also: str = ""  # the same in fuel and money: "70 gallons, about 182 USD"


class Least(NamedTuple):
    """The smallest changes that count as better or worse, in the reader's units, as they are shown."""

    heat: int
    hours: int
    degrees: int


# name, key of the year's sums, whether it is heat, whether more is better, what it is
_FIGURES = (
    ("into the shop", "delivered_kwh", True, True, "all heat that the warm air brought in the year"),
    ("of use", "useful_kwh", True, True, "that part of it which came while the shop was not above its comfort limit"),
    ("carried back out", "night_loss_kwh", True, False, "heat that air running backwards took out, mostly at night"),
    ("heater gives less", "saved_kwh", True, True, "what the heater gives less than in the same shop without the wall"),
    ("too hot", "too_hot_hours", False, False, "hours above what counts as too hot to work"),
)  # fmt: skip
SHARE = 0.01  # of the heat into the shop, of the hours too hot: what the model tells apart, as in `compare`
FEWEST = 3  # hours, or units of heat
DEGREES = {"metric": 2, "us": 3}


def key_figures(
    document: dict[str, Any], before: dict[str, Any] | None, reader: Reader, project: Project | None = None
) -> list[KeyFigure]:
    """Return the year's key figures.

    document  a year, schema noonwall.year/1;  before  the year before the last change, None without one
    project   whose year it is, to tell what was saved in fuel and money too
    """
    now, then = _sums(document), _sums(before) if before else {}
    least = _least(now, then, reader)
    figures = [_figure(row, now.get(row[1]), then.get(row[1]), reader, least) for row in _FIGURES]
    also = _in_fuel(now, project) if project else ""
    figures[3] = figures[3]._replace(also=also)
    return [*figures, _hottest(_peak(document), _peak(before) if before else None, reader, least)]


def change_rule(document: dict[str, Any], before: dict[str, Any], reader: Reader) -> str:
    """Return from which change on a figure counts as better or worse: one rule for all of them."""
    least = _least(_sums(document), _sums(before), reader)
    return (
        f"Better or worse from {least.heat} {reader.heat_unit} on (1 % of the heat into the shop), {least.hours} h, "
        f"{least.degrees} {kelvin_unit(reader)}."
    )


def _least(now: Mapping[str, float | None], then: Mapping[str, float | None], reader: Reader) -> Least:
    def part(key: str) -> float:
        return SHARE * max(now.get(key) or 0.0, then.get(key) or 0.0)

    heat, hours = reader.heat(part("delivered_kwh")), part("too_hot_hours")
    return Least(max(math.ceil(heat), FEWEST), max(math.ceil(hours), FEWEST), DEGREES[reader.system])


def _in_fuel(sums: Mapping[str, float | None], project: Project) -> str:
    alone, with_wall = sums.get("backup_without_wall_kwh"), sums.get("backup_kwh")
    if alone is None or with_wall is None or not project.shop.heater:
        return ""
    fuel = fuel_between(alone, with_wall, project.shop.heater)
    more = " more burned" if alone < with_wall else ""
    return fuel_amount_text(fuel, project.money.currency, more) if fuel else ""


USUAL = (
    "the absorber in its hottest hour of a usual year, with everything working; "
    "the worst credible hours, which are hotter, stand on the page Hottest hours"
)


def _peak(document: dict[str, Any]) -> float | None:
    peak = document["peaks"]["absorber_c"]
    return None if peak is None else peak["value"]


def _hottest(now: float | None, then: float | None, reader: Reader, least: Least) -> KeyFigure:
    """Return the wall's hottest hour: what cools the shop may heat the wall, and that is to be seen beside it."""
    name, told = "wall's usual peak", USUAL
    if now is None:
        return KeyFigure(name, "-", "", None, told)
    shown = reader.degrees_text(now)
    if then is None:
        return KeyFigure(name, shown, "", None, told)
    size, unit = f"{reader.kelvins(abs(now - then)):.0f}", kelvin_unit(reader)
    apart = int(size) >= least.degrees
    change = _signed(now - then, size, unit, apart=apart)
    return KeyFigure(
        name, shown, change, now < then if apart else None, _ruled(told, f"{least.degrees} {unit}")
    )


def _ruled(told: str, least: str) -> str:
    return f"{told}; a change of less than {least} is told as about as before"


def _signed(change: float, size: str, unit: str, *, apart: bool) -> str:
    """Return a change with its sign and unit; what the model hardly tells from none keeps its size, and says so."""
    if not size.strip("0."):
        return AS_BEFORE
    told = f"{'+' if change > 0.0 else MINUS}{size} {unit}"
    return told if apart else f"{told}, about {AS_BEFORE}"


def _sums(document: dict[str, Any]) -> dict[str, float | None]:
    sums = dict(document["year"])
    alone, with_wall = sums.get("backup_without_wall_kwh"), sums.get("backup_kwh")
    sums["saved_kwh"] = alone - with_wall if alone is not None and with_wall is not None else None
    return sums


def _figure(
    row: tuple[str, str, bool, bool, str], now: float | None, then: float | None, reader: Reader, least: Least
) -> KeyFigure:
    name, _, heat, more_is_better, told = row
    if now is None:
        return KeyFigure(name, "-", "", None, told)
    unit = reader.heat_unit if heat else "h"
    value = reader.heat(now) if heat else now
    shown = f"{grouped(value) if heat else cell(value)} {unit}"
    if then is None:
        return KeyFigure(name, shown, "", None, told)
    change = value - (reader.heat(then) if heat else then)
    lowest = least.heat if heat else least.hours
    apart = math.floor(abs(change) + 0.5) >= lowest
    words = _signed(change, grouped(abs(change)), unit, apart=apart)
    better = (change > 0.0) is more_is_better if apart else None
    return KeyFigure(name, shown, words, better, _ruled(told, f"{lowest} {unit}"))
