"""The warm season as one JSON document, schema noonwall.comfort/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.report.comfort_cover import month_day

if TYPE_CHECKING:
    from noonwall.assess.comfort import CoverDates, Spread
    from noonwall.climate.weather import Weather
    from noonwall.studies.comfort import ComfortChoice, ComfortStudy

SCHEMA = "noonwall.comfort/1"


def comfort_document(study: ComfortStudy, weather: Weather) -> dict[str, Any]:
    """Return the warm season as plain data; keys carry units, what does not exist is None."""
    return {
        "schema": SCHEMA,
        "choices": [_choice(choice) for choice in study.choices],
        "season": [list(stretch) for stretch in study.season],
        "season_found": study.season_found,
        "cover": {
            "hang": _spread(study.hang),
            "take_down": _spread(study.take_down),
            "years": len(study.years),
            "years_asking": study.asking,
            "hang_above_week_mean_c": _number(study.hang_above_c),
            "down_below_week_mean_c": _number(study.down_below_c),
            "figures_place": study.figures_place,
            "dates": [_dates(dates) for dates in study.years],
        },
        "weather": {"kind": weather.kind, "place": weather.place, "distance_km": weather.distance_km},
    }


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, 3) + 0.0


def _choice(choice: ComfortChoice) -> dict[str, Any]:
    def rounded(record: Any) -> dict[str, Any]:
        return {k: _number(v) if isinstance(v, float) else v for k, v in asdict(record).items()}

    return {
        "name": choice.name,
        "told": choice.told,
        "opens_c": _number(choice.opens_c),
        "months": [rounded(month) for month in choice.months],
        "year": {key: value for key, value in rounded(choice.whole).items() if key != "month"},
        "absorber_c": _number(choice.absorber_c),
        "given_up_kwh": _number(choice.given_up_kwh),
        "burned_kwh": _number(choice.burned_kwh),
        "fuel": None if choice.fuel is None else rounded(choice.fuel),
    }


def _spread(spread: Spread | None) -> dict[str, str] | None:
    if spread is None:
        return None
    return {
        "early": month_day(spread.early_day),
        "middle": month_day(spread.middle_day),
        "late": month_day(spread.late_day),
    }


def _dates(dates: CoverDates) -> dict[str, str | None]:
    return {
        "hang": None if dates.hang is None else str(dates.hang)[5:],
        "take_down": None if dates.take_down is None else str(dates.take_down)[5:],
    }
