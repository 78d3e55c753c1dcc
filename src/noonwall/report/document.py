"""The year as one JSON document, schema noonwall.year/1, and every step of it as CSV."""

from __future__ import annotations

import io
import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from noonwall.assess.sums import ShopAlone
    from noonwall.engine.year import Month, Peak, Year

SCHEMA = "noonwall.year/1"
SHOP_FIELDS = {
    "shop_mean_c": "mean_c",
    "shop_min_c": "min_c",
    "shop_max_c": "max_c",
    "shop_mean_without_wall_c": "mean_c",
    "too_hot_hours": "too_hot_hours",
    "backup_kwh": "backup_kwh",
    "backup_without_wall_kwh": "backup_kwh",
}


def year_document(year: Year) -> dict[str, Any]:
    """Return the year as plain data: months, their sum, peaks, ledger, weather, engine.

    year     a simulated year
    Returns  a document that ``json.dumps`` takes; keys carry units, a figure that does not exist is None
    """
    return {
        "schema": SCHEMA,
        "months": [_sums(month) for month in year.months()],
        "year": _without(_sums(year.whole()), "month"),
        "peaks": {name: _peak(peak) for name, peak in vars(year.peaks).items()},
        "ledger": _ledger(year),
        "weather": _weather(year),
        "engine": _engine(year),
    }


def alone_document(year: Year, months: tuple[ShopAlone, ...], whole: ShopAlone) -> dict[str, Any]:
    """Return the same document for the shop without the wall: what only a wall has is None.

    year  the simulated year (it carries the shop with and without);  months, whole  the shop without
    """
    names = list(_sums(year.whole()))

    def alone(shop: ShopAlone) -> dict[str, Any]:
        told = {name: getattr(shop, SHOP_FIELDS[name]) for name in SHOP_FIELDS}
        return {name: shop.month if name == "month" else _number(told.get(name)) for name in names}

    return {
        "schema": SCHEMA,
        "months": [alone(shop) for shop in months],
        "year": _without(alone(whole), "month"),
        "peaks": dict.fromkeys(vars(year.peaks)),
        "ledger": None,
        "weather": _weather(year),
        "engine": _engine(year),
    }


def as_json(document: dict[str, Any]) -> str:
    """Return a document as JSON text with a line end; a number that is none is refused, never written."""
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def steps_csv(year: Year) -> str:
    """Return every step as CSV: a heading line with units in the names, then one line a step, SI.

    The first column is the beginning of the step in local standard time.
    """
    columns = dict(year.table.columns())
    time = np.datetime_as_string(columns.pop("time").astype("datetime64[s]"), unit="s")
    numbers = np.column_stack([values.astype(np.float64) for values in columns.values()])
    text = io.StringIO()
    text.write(",".join(["time", *columns]) + "\n")
    row = ",".join(["%.6g"] * numbers.shape[1])
    for stamp, values in zip(time, numbers.tolist(), strict=True):
        text.write(f"{stamp},{row % tuple(values)}\n")
    return text.getvalue()


def _sums(month: Month) -> dict[str, Any]:
    return {name: _number(value) for name, value in asdict(month).items()}


def _peak(peak: Peak) -> dict[str, Any]:
    return {"value": _number(peak.value_c), "time": str(peak.time.astype("datetime64[s]"))}


def _ledger(year: Year) -> dict[str, Any]:
    ledger = year.ledger
    return {
        "terms_kwh": {name: _number(value) for name, value in ledger.terms.items()},
        "stored_kwh": _number(ledger.stored_kwh),
        "closing_error_kwh": _small(ledger.closing_error_kwh),
        "closing_error_share": _small(ledger.closing_error_share),
        "node_error_share": _small(ledger.node_error_share),
    }


def _weather(year: Year) -> dict[str, Any]:
    return {
        "kind": year.weather_kind,
        "place": year.weather_place,
        "distance_km": _number(year.weather_distance_km),
        "hours_repaired": _number(year.weather_hours_repaired),
    }


def _engine(year: Year) -> dict[str, Any]:
    return {"step_s": year.step_s, "steps": year.work.steps, "seconds": _number(year.work.seconds)}


def _number(value: float | None) -> float | None:
    """Return a figure with three decimals: a millikelvin, a watt-hour, a thousandth of a share."""
    return value if value is None or isinstance(value, int) else round(float(value), 3) + 0.0


def _small(value: float) -> float:
    """Return a tiny figure with three significant digits."""
    return float(f"{value:.3g}")


def _without(record: dict[str, Any], name: str) -> dict[str, Any]:
    return {key: value for key, value in record.items() if key != name}
