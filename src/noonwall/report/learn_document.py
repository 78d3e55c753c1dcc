"""What readings taught as one JSON document, schema noonwall.learn/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from noonwall.logs.learn.judge import Measure
    from noonwall.logs.learn.story import Learned, Value

SCHEMA = "noonwall.learn/1"


def learn_document(learned: Learned) -> dict[str, Any]:
    """Return what was learned as plain data; keys carry units, what does not exist is absent from its list."""
    return {
        "schema": SCHEMA,
        "from": str(learned.start.astype("datetime64[D]")),
        "days": round(learned.days, 2),
        "step_s": learned.step_s,
        "values": [_value(value) for value in learned.values],
        "hardly_told_apart": [
            {"first": a, "second": b, "correlation": round(r, 3)} for a, b, r in learned.alike
        ],
        "sensor_offsets": {name: round(value, 3) for name, value in learned.offset_k.items()},
        "temperatures": [
            {
                "channel": error.channel,
                "hours": error.hours,
                "rmse_k": round(error.rmse_k, 3),
                "bias_k": round(error.bias_k, 3),
            }
            for error in learned.errors
        ],
        "temperatures_assumed": [
            {
                "channel": error.channel,
                "hours": error.hours,
                "rmse_k": round(error.rmse_k, 3),
                "bias_k": round(error.bias_k, 3),
            }
            for error in learned.errors_assumed
        ],
        "heat": [_measure(measure) for measure in learned.measures],
        "heat_assumed": [_measure(measure) for measure in learned.measures_assumed],
        "days_left_out": learned.days_left_out,
        "runs": learned.runs,
        "notes": list(learned.notes),
    }


def _value(value: Value) -> dict[str, Any]:
    kept = ("key", "title", "unit", "told", "at_bound")
    out: dict[str, Any] = {name: getattr(value, name) for name in kept}
    figures = ("assumed", "learned", "low", "high", "factor")
    out.update({name: _digits(getattr(value, name)) for name in figures})
    out["factor_is_added"] = value.plus
    return out


def _measure(measure: Measure) -> dict[str, Any]:
    out = {name: _digits(v) if isinstance(v, float) else v for name, v in asdict(measure).items()}
    return {**out, "met": measure.met}


def _digits(number: float) -> float:
    return float(f"{number:.5g}")
