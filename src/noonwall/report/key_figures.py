"""The year in six figures, each with what the last change of the project made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from noonwall.report.phrases import kelvin_unit
from noonwall.report.reader import cell, grouped
from noonwall.studies.compare import told_apart

if TYPE_CHECKING:
    from noonwall.report.reader import Reader


AS_BEFORE, MINUS = "as before", "\N{MINUS SIGN}"


class KeyFigure(NamedTuple):
    """One figure of the year, ready to show."""

    name: str
    value: str  # with its unit
    change: str  # "+120 kWh"; "+9 kWh, about as before" where the model tells none apart; empty without a year before
    better: bool | None  # whether the change is for the better; None where it is neither or unknown
    told: str  # what the figure is


# name, key of the year's sums, whether it is heat, whether more is better, what it is
_FIGURES = (
    ("into the shop", "delivered_kwh", True, True, "all heat that the warm air brought in the year"),
    ("of use", "useful_kwh", True, True, "that part of it which came while the shop was not above its comfort limit"),
    ("carried back out", "night_loss_kwh", True, False, "heat that air running backwards took out, mostly at night"),
    ("backup heat saved", "saved_kwh", True, True, "what the heater gives less than in the same shop without the wall"),
    ("too hot", "too_hot_hours", False, False, "hours above what counts as too hot to work"),
)  # fmt: skip


def key_figures(document: dict[str, Any], before: dict[str, Any] | None, reader: Reader) -> list[KeyFigure]:
    """Return the year's key figures.

    document  a year, schema noonwall.year/1;  before  the year before the last change, None without one
    """
    now, then = _sums(document), _sums(before) if before else {}
    burned = max(now.get("backup_kwh") or 0.0, then.get("backup_kwh") or 0.0)
    sizes = {"saved_kwh": burned}  # what is saved is the difference of two years of heating
    figures = [
        _figure(row, now.get(row[1]), then.get(row[1]), reader, sizes.get(row[1], 0.0)) for row in _FIGURES
    ]
    return [*figures, _hottest(_peak(document), _peak(before) if before else None, reader)]


USUAL = (
    "the absorber in its hottest hour of a usual year, with everything working; "
    "the worst credible hours, which are hotter, stand on the page Hottest hours"
)


def _peak(document: dict[str, Any]) -> float | None:
    peak = document["peaks"]["absorber_c"]
    return None if peak is None else peak["value"]


def _hottest(now: float | None, then: float | None, reader: Reader) -> KeyFigure:
    """Return the wall's hottest hour: what cools the shop may heat the wall, and that is to be seen beside it."""
    name, told = "wall's usual peak", USUAL
    if now is None:
        return KeyFigure(name, "-", "", None, told)
    shown = reader.degrees_text(now)
    if then is None:
        return KeyFigure(name, shown, "", None, told)
    apart = told_apart("hottest_c", now, then)
    size = f"{reader.kelvins(abs(now - then)):.0f}"
    change = _signed(now - then, size, kelvin_unit(reader), apart=apart)
    return KeyFigure(name, shown, change, now < then if apart else None, told)


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
    row: tuple[str, str, bool, bool, str],
    now: float | None,
    then: float | None,
    reader: Reader,
    size: float,
) -> KeyFigure:
    name, key, heat, more_is_better, told = row
    if now is None:
        return KeyFigure(name, "-", "", None, told)
    unit = reader.heat_unit if heat else "h"
    value = reader.heat(now) if heat else now
    shown = f"{grouped(value) if heat else cell(value)} {unit}"
    if then is None:
        return KeyFigure(name, shown, "", None, told)
    change = value - (reader.heat(then) if heat else then)
    apart = told_apart(key, now, then, size)
    words = _signed(change, grouped(abs(change)), unit, apart=apart)
    return KeyFigure(name, shown, words, (change > 0.0) is more_is_better if apart else None, told)
