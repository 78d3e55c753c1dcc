"""The sun on a wall and the cuts as JSON documents, schemas noonwall.sun/1 and noonwall.cuts/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.cuts_page import cut_words
from noonwall.report.sun_tables import stretches

if TYPE_CHECKING:
    from noonwall.assess.fuel import FuelSaved
    from noonwall.assess.sun import SunMonth
    from noonwall.climate.weather import Weather
    from noonwall.shade.calendar import SunCalendar
    from noonwall.studies.sunlight import Hour, Sunlight, Take
    from noonwall.studies.trees import Cost, Cuts, Pair, Step
    from noonwall.studies.trial import Yield

SUN, CUTS = "noonwall.sun/1", "noonwall.cuts/1"


def sun_document(found: Sunlight, weather: Weather) -> dict[str, Any]:
    """Return the sun on a wall as plain data; keys carry units, what does not exist is None."""
    return {
        "schema": SUN,
        "years_on": found.years_on,
        "months": [_month(month) for month in found.months],
        "year": {key: value for key, value in _month(found.whole).items() if key != "month"},
        "obstacles": [_take(take) for take in found.takes],
        "season_months": list(found.season),
        "groups": [{**_take(take), "members": list(take.members)} for take in found.groups],
        "moment": _hour(found.moment),
        "hours": [_hour(hour) for hour in found.hours],
        "afternoons": {
            "months": list(found.afternoons.months),
            "beam_share_kept": _round(found.afternoons.beam_share_kept),
            "pv_share_kept": _round(found.afternoons.pv_share_kept),
        },
        "calendar": _calendar(found.calendar),
        "bites": [
            {
                "name": bite.name,
                "stretches": [[_day(a), _day(b)] for a, b in stretches(bite, len(bite.hours))],
            }
            for bite in found.calendar.bites
        ],
        "weather": _weather(weather),
    }


def cuts_document(found: Cuts, weather: Weather, years_on: float = 0.0) -> dict[str, Any]:
    """Return cuts as plain data; a gain is the difference of two calculated years."""
    return {
        "schema": CUTS,
        "years_on": years_on,
        "way": found.wanted.way,
        "thinned_share": found.wanted.thin,
        "season_months": list(found.now.season),
        "now": _given(found.now),
        "steps": [_step(found, step) for step in found.steps],
        "all_cut": None if found.all_cut is None else _gain(found.all_cut),
        "can_be_cut": found.can_be_cut,
        "pairs": [_pair(pair) for pair in found.pairs],
        "obstacles": [_cost(cost) for cost in found.costs],
        "weather": _weather(weather),
        "engine": {"step_s": found.step_s, "years": found.runs},
    }


def _month(month: SunMonth) -> dict[str, Any]:
    return {key: _round(value) for key, value in asdict(month).items()}


def _take(take: Take) -> dict[str, Any]:
    return {
        "name": take.name,
        "kind": take.kind,
        "takes_kwh": _list(take.sun_kwh),
        "takes_pv_kwh": _list(take.pv_kwh),
        "moment_share": _round(take.moment_share),
        "moment_alone_share": _round(take.moment_alone_share),
        "afternoon_share": _round(take.afternoon_share),
        "afternoon_pv_share": _round(take.afternoon_pv_share),
    }


def _hour(hour: Hour) -> dict[str, Any]:
    return {
        "time": str(hour.time.astype("datetime64[m]")),
        "elevation_deg": round(hour.elevation_deg, 2),
        "azimuth_deg": round(hour.azimuth_deg, 2),
        "beam_share": _round(hour.beam_share),
    }


def _calendar(calendar: SunCalendar) -> list[dict[str, Any]]:
    return [
        {
            "date": _day(calendar.date[i]),
            "first_sun": _clock(calendar.first[i]),
            "last_sun": _clock(calendar.last[i]),
            "sun_hours": _round(float(calendar.hours[i])),
            "first_sun_open_site": _clock(calendar.first_open[i]),
            "last_sun_open_site": _clock(calendar.last_open[i]),
            "sun_hours_open_site": _round(float(calendar.hours_open[i])),
        }
        for i in range(len(calendar.date))
    ]


def _step(found: Cuts, step: Step) -> dict[str, Any]:
    return {
        "cut": cut_words(found, step.names),
        "names": list(step.names),
        **_gain(step.gain),
        "running_total_kwh": _round(step.running_kwh),
        "fuel": None if step.fuel is None else _fuel(step.fuel),
    }


def _fuel(fuel: FuelSaved) -> dict[str, Any]:
    return {key: _round(value) if isinstance(value, float) else value for key, value in asdict(fuel).items()}


def _pair(pair: Pair) -> dict[str, Any]:
    return {"hidden": pair.hidden, "other": pair.other, "alone": _gain(pair.alone), "then": _gain(pair.then)}


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        "name": cost.name,
        "kind": cost.kind,
        "gone": None if cost.gone is None else _monthly(cost.gone),
        "topped_m": _round(cost.topped_m),
        "topped": None if cost.topped is None else _monthly(cost.topped),
        "thinned": None if cost.thinned is None else _monthly(cost.thinned),
        "why": cost.why,
    }


def _gain(gain: Yield) -> dict[str, Any]:
    return {
        "delivered_gain_kwh": _round(gain.heat),
        "season_gain_kwh": _round(gain.season_heat),
        "pv_gain_kwh": _round(gain.pv),
        "heater_gives_less_kwh": _round(-gain.backup),
    }


def _monthly(gain: Yield) -> dict[str, Any]:
    months = {"delivered_gain_by_month_kwh": _list(gain.heat_kwh), "pv_gain_by_month_kwh": _list(gain.pv_kwh)}
    return _gain(gain) | months


def _given(given: Yield) -> dict[str, Any]:
    return {
        "delivered_kwh": _round(given.heat),
        "season_kwh": _round(given.season_heat),
        "pv_kwh": _round(given.pv),
    }


def _weather(weather: Weather) -> dict[str, Any]:
    return {"kind": weather.kind, "place": weather.place, "distance_km": _round(weather.distance_km)}


def _round(value: float | None) -> float | None:
    return value if value is None or isinstance(value, int) else round(float(value), 3) + 0.0


def _list(values: tuple[float, ...]) -> list[float]:
    return [round(float(value), 3) + 0.0 for value in values]


def _day(date: np.datetime64) -> str:
    """Return MM-DD: a simulated year has no number worth telling."""
    return str(date.astype("datetime64[D]"))[5:]


def _clock(time: np.datetime64) -> str | None:
    return None if np.isnat(time) else str(time.astype("datetime64[m]"))[11:]
