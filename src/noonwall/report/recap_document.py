"""A recap as one JSON document, schema noonwall.recap/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from noonwall.logs.chain import Chain
    from noonwall.logs.claim import Claim
    from noonwall.logs.links import Link
    from noonwall.logs.mishaps import Mishap
    from noonwall.logs.period import Period
    from noonwall.logs.recap import Recap, Row
    from noonwall.logs.worth import Change, Lap

SCHEMA = "noonwall.recap/1"


def recap_document(found: Recap) -> dict[str, Any]:
    """Return a recap as plain data: keys carry units, a figure that does not exist is None."""
    chain, period = found.chain, found.period
    return {
        "schema": SCHEMA,
        "invented": found.invented,
        "period": {
            "from": str(period.first),
            "to": str(period.last),
            "days": period.days,
            "known_share": float(found.whole.known_share),  # rounded once only, where it is told
        },
        "verdict": found.verdict,
        "causes": [item.text for item in found.causes],
        "causes_kwh": [_number(item.kwh) for item in found.causes],
        "causes_link": [item.key for item in found.causes],
        "expectation": found.expectation,
        "project_written": found.changed,
        "project_kept": None if found.kept is None else found.kept.day,
        "project_changed": None if found.kept is None else list(found.kept.changed),
        "changed_since": found.since,
        "as_was": found.as_was,
        "reckoned": found.reckoned,
        "weather": {
            "measured_share": {name: _number(value) for name, value in found.lived.measured.items()},
            "file_of_those_dates_share": _number(found.lived.of_dates),
            "degree_days_k_d": _number(found.degree_days),
            "typical_degree_days_k_d": _number(found.typical_degree_days),
            "notes": list(found.lived.notes),
        },
        "measured": _measured(chain),
        "chain": _chain(chain),
        "days": [_row(row) for row in found.days],
        "months": [_row(row) for row in found.months],
        "seasons": [_row(row) for row in found.seasons],
        "whole": _row(found.whole),
        "mishaps": [_mishap(item, period) for item in chain.mishaps],
        "undescribed_shade": list(chain.calendar.words) if chain.calendar is not None else None,
        "loss_factor": _number(chain.loss_factor),
        "worth": None if found.worth is None else _numbers(asdict(found.worth)),
        "electricity_money": _number(found.electricity_money),
        "heater_kwh": _number(found.heater_kwh),
        "years": [_lap(lap) for lap in found.laps],
        "change": None if found.change is None else _change(found.change),
        "own_figure": None if found.own_claim is None else _claim(found.own_claim),
        "claim": None if found.claim is None else _claim(found.claim),
    }


def _measured(chain: Chain) -> dict[str, Any]:
    measured = chain.measured
    return {
        "level": measured.level,
        "heat_kwh": _number(chain.measured_kwh),
        "error_kwh": _number(measured.error_kwh),
        "errors_kwh": {name: _number(value) for name, value in measured.errors_kwh.items()},
        "largest_error": measured.largest_error,
        "flow_m3_s": None if measured.flow_m3_s is None else round(measured.flow_m3_s, 4),
        "density_kg_m3": round(measured.density_kg_m3, 4),
        "notes": list(measured.notes),
    }


def _chain(chain: Chain) -> dict[str, Any]:
    """Return the chain with full digits, so that it adds up for whoever adds it up."""
    return {
        "expected_kwh": chain.expected_kwh,
        "links": [_link(item) for item in chain.links],
        "measured_kwh": chain.measured_kwh,
        "sensors": _link(chain.sensors),
    }


def _link(item: Link) -> dict[str, Any]:
    return {
        "key": item.key,
        "name": item.name,
        "kwh": item.kwh,
        "dates": list(item.dates),
        "evidence": item.evidence,
        "advice": item.advice,
    }


def _mishap(item: Mishap, period: Period) -> dict[str, Any]:
    return {
        "kind": item.kind,
        "from": period.date(item.first),
        "to": period.date(item.last),
        "evidence": item.evidence,
    }


def _row(row: Row) -> dict[str, Any]:
    out = _numbers(asdict(row)) | {"known_share": float(row.known_share)}
    if row.measured_kwh is None:  # nothing to compare is no nought
        out |= dict.fromkeys(("sun_kwh", "typical_kwh", "expected_kwh"))
    return out


def _lap(lap: Lap) -> dict[str, Any]:
    return {
        **_numbers(asdict(lap)),
        "of_sun": _number(lap.of_sun),
        "heater_kwh_per_degree_day": _number(lap.heater_per_degree_day),
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "before": change.before.name,
        "after": change.after.name,
        "plain_share": _number(change.plain_share),
        "by_sun_share": _number(change.by_sun_share),
        "by_weather_share": _number(change.by_weather_share),
        "band_share": _number(change.band_share),
        "verdict": change.verdict,
        "heater_share": _number(change.heater_share),
        "saved": None if change.saved is None else _numbers(asdict(change.saved)),
    }


def _claim(claim: Claim) -> dict[str, Any]:
    return _numbers(asdict(claim))


def _numbers(record: dict[str, Any]) -> dict[str, Any]:
    return {
        name: _number(float(value)) if isinstance(value, (float, np.floating)) else value
        for name, value in record.items()
    }


def _number(value: float | None) -> float | None:
    """Return a figure with three decimals, None for none."""
    return None if value is None or not np.isfinite(value) else round(float(value), 3) + 0.0
