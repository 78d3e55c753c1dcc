"""The sun and the cuts as rows for charts, in the reader's units."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.report.cuts_page import fuel_and_money, hidden_words
from noonwall.report.reader import percent
from noonwall.report.sun_tables import season_text
from noonwall.report.sun_words import subjects

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.shade.calendar import SunCalendar
    from noonwall.studies.sunlight import Sunlight
    from noonwall.studies.trees import Cuts

MOST_TAKERS = 5
WORTH_A_ROW_KWH = 1.0
CARPET_DAYS, CARPET_MIN = 5, 20
Data = dict[str, Any]


def sun_series(found: Sunlight, reader: Reader) -> Data:
    """Return months of sun on the glazing, what the largest takers keep off, and the calendar by date.

    Returns  months (numbers), on_wall, open_site, takers (name, months) in the reader's heat unit; calendar:
             dates MM-DD with first and last sun in hours of the day, None where no sun comes
    """
    takers = [take for take in subjects(found) if sum(take.sun_kwh) >= WORTH_A_ROW_KWH][:MOST_TAKERS]
    calendar = found.calendar
    return {
        "months": [month.month for month in found.months],
        "on_wall": [round(reader.heat(m.sun_on_wall_kwh), 1) for m in found.months],
        "open_site": [round(reader.heat(m.sun_on_wall_open_site_kwh), 1) for m in found.months],
        "takers": [
            {"name": take.name, "months": [round(reader.heat(kwh), 1) for kwh in take.sun_kwh]}
            for take in takers
        ],
        "calendar": {
            "dates": [str(day.astype("datetime64[D]"))[5:] for day in calendar.date],
            "first": _hours(calendar.first, calendar.date),
            "last": _hours(calendar.last, calendar.date),
            "first_open": _hours(calendar.first_open, calendar.date),
            "last_open": _hours(calendar.last_open, calendar.date),
            "hours": [round(float(h), 2) for h in calendar.hours],
            "hours_open": [round(float(h), 2) for h in calendar.hours_open],
            "carpet": _carpet(calendar),
        },
    }


def _carpet(calendar: SunCalendar) -> Data:
    """Return the lit share of the glazing in steps of some days and minutes.

    Returns  days and minutes of a step; rows, a text a step of days from 1 January: a digit a step of minutes from
             midnight, 0 for no sun to 4 for all of it
    """
    days = len(calendar.date)
    share = calendar.share.reshape(days, -1)
    order = np.argsort([str(day)[5:] for day in calendar.date.astype("datetime64[D]")])
    whole, each = days // CARPET_DAYS * CARPET_DAYS, share.shape[1] * CARPET_MIN // (24 * 60)
    blocks = share[order[:whole]].reshape(whole // CARPET_DAYS, CARPET_DAYS, -1, each).mean(axis=(1, 3))
    levels = np.minimum(np.ceil(4.0 * blocks - 0.2), 4.0).astype(int)
    return {"days": CARPET_DAYS, "minutes": CARPET_MIN, "rows": ["".join(map(str, row)) for row in levels]}


def _hours(times: Any, dates: Any) -> list[float | None]:
    """Return hours since the midnight of each date, None where no time is."""
    since = (times - dates.astype("datetime64[s]")).astype("timedelta64[s]")
    return [None if np.isnat(gone) else round(float(gone.astype(int)) / 3600.0, 2) for gone in since]


def cuts_series(found: Cuts, project: Project, reader: Reader) -> Data:
    """Return the order of cuts with gain and running total, and what less than felling gains.

    Returns  steps: names, gain and running total in the reader's heat unit, told in words, fuel and money, and why two
             cuts are one step; others: obstacles by what
             their absence gains, topped and thinned too; whole: the gain when all is cut
    """
    whole = found.all_cut.worth if found.all_cut else 0.0
    return {
        "unit": reader.heat_unit,
        "whole": round(reader.heat(whole), 1),
        "steps": [
            {
                "names": list(step.names),
                "gain": round(reader.heat(step.gain.worth), 1),
                "running": round(reader.heat(step.running_kwh), 1),
                "told": f"{reader.heat_text(max(step.gain.worth, 0.0))} more"
                + (
                    f"; so far {percent(step.running_kwh / whole)} of all to be gained" if whole > 0.0 else ""
                ),
                "fuel": fuel_and_money(step, project.money),
                "why": hidden_words(found, step, reader),
            }
            for step in found.steps
        ],
        "heated": project.shop.heater is not None,
        "counted": f"The order of cuts counts heat of {season_text(found.now.season)} alone",
        "turned": any(a.gain.worth < b.gain.worth for a, b in pairwise(found.steps)),
        "less": [
            {
                "name": cost.name,
                "topped_m": cost.topped_m,
                "top_words": "" if cost.topped_m is None else reader.show(cost.topped_m, "length", 2),
                "topped": _gain_text(cost.topped, reader),
                "thinned": _gain_text(cost.thinned, reader),
                "gone": _gain_text(cost.gone, reader),
                "grows": cost.topped is not None or cost.thinned is not None,
            }
            for cost in found.costs
        ],
        "thin": found.wanted.thin,
        "thin_words": percent(found.wanted.thin),
    }


def _gain_text(gain: Any, reader: Reader) -> str | None:
    return None if gain is None else reader.heat_text(max(gain.worth, 0.0))


__all__ = ["cuts_series", "sun_series"]
