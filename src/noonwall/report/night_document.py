"""The nights as one JSON document, schema noonwall.night/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from noonwall.assess.condensation import Condensation
    from noonwall.assess.night import Night, NightMonth
    from noonwall.climate.weather import Weather
    from noonwall.studies.night import NightChoice, NightStudy

SCHEMA = "noonwall.night/1"


def night_document(study: NightStudy, weather: Weather) -> dict[str, Any]:
    """Return the nights as plain data; keys carry units, what does not exist is None."""
    return {
        "schema": SCHEMA,
        "has_flap": study.has_flap,
        "months": [_month(month) for month in study.loss.months],
        "year": {key: value for key, value in _month(study.loss.whole).items() if key != "month"},
        "by_hour_kwh": [round(v, 3) for v in study.loss.by_hour_kwh],
        "month_hour_kwh": [[round(v, 3) for v in row] for row in study.loss.month_hour_kwh],
        "worst_nights": [_night(night) for night in study.loss.worst],
        "choices": [_choice(choice) for choice in study.choices],
        "condensation": _wet(study.wet),
        "condensation_with_flap": _wet(study.wet_with_flap),
        "weather": {"kind": weather.kind, "place": weather.place, "distance_km": weather.distance_km},
    }


def _rounded(record: dict[str, Any]) -> dict[str, Any]:
    return {
        key: round(value, 3) + 0.0 if isinstance(value, float) else value for key, value in record.items()
    }


def _month(month: NightMonth) -> dict[str, Any]:
    return _rounded(asdict(month))


def _night(night: Night) -> dict[str, Any]:
    return _rounded({**vars(night), "evening": str(night.evening)})


def _choice(choice: NightChoice) -> dict[str, Any]:
    fuel = choice.fuel
    return _rounded(
        {
            "name": choice.name,
            "told": choice.told,
            "opening_pa": choice.opening_pa,
            "lost_kwh": choice.lost_kwh,
            "delivered_kwh": choice.delivered_kwh,
            "useful_kwh": choice.useful_kwh,
            "backup_kwh": choice.backup_kwh,
            "saved_kwh": choice.saved_kwh,
            "fuel": None if fuel is None else _rounded(asdict(fuel)),
        }
    )


def _wet(wet: Condensation) -> dict[str, Any]:
    worst = wet.worst
    return {
        "humidity_share": wet.humidity_share,
        "months": [_rounded(asdict(month)) for month in wet.months],
        "year": {key: value for key, value in _rounded(asdict(wet.whole)).items() if key != "month"},
        "worst_night": None
        if worst is None
        else {
            "evening": str(worst.evening),
            "water_g": round(worst.water_g, 1),
            "water_g_m2": round(worst.water_g_m2, 1),
        },
    }
