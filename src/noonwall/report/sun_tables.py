"""The page of ``noonwall sun``: months, what each obstacle takes, the chosen day, the sun's calendar."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.report.blocks import (
    NAME_WIDTH,
    WIDTH,
    Column,
    Facts,
    Row,
    Table,
    Title,
    month_table,
    page_of,
    table,
    words,
)
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.sun_words import findings
from noonwall.report.tables import CAUTION
from noonwall.units import MONTHS, day_words

if TYPE_CHECKING:
    from noonwall.assess.sun import SunMonth
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Block, Page
    from noonwall.report.reader import Reader
    from noonwall.shade.calendar import Bite
    from noonwall.studies.sunlight import Hour, Sunlight, Take

CALENDAR_DAYS = (1, 16)
DAY_COLUMN, US_DAY_COLUMN = 5, 7


def sun_page(found: Sunlight, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page."""
    title = f"{name_of(project)}: the sun on its wall"
    head = [title, *heading_lines(project, weather, reader)]
    if found.years_on > 0.0:
        head.append(f"  trees as they stand in {years_text(found.years_on)}, if nobody cuts them")
    return page_of(
        Title(tuple(head)),
        words(findings(found, reader)),
        _months(found, reader),
        _takes(found, reader),
        _day(found, reader),
        _calendar(found, reader),
        _bites(found, reader),
        words([NOTES, *([PV_NOTE] if project.pv else [])], about="notes"),
        words([CAUTION]),
    )


NOTES = (
    "Each obstacle is told by what would be gained if it alone were gone: where shadows overlap, two together may "
    "take more or less than the sum. Hours of sun follow the sun's path under a clear sky, an hour on half the "
    "glazing counting half; first and last sun are when a fifth of it gets through. Amounts of heat follow "
    "the weather. All times are standard time."
)
PV_NOTE = "Electricity: shaded module parts by their bypass diodes; snow lying on modules is left out."


def years_text(years: float) -> str:
    """Return "1 year", "5 years"."""
    return f"{years:g} year{'' if years == 1.0 else 's'}"


def season_text(season: tuple[int, ...]) -> str:
    """Return "October to April"."""
    return f"{MONTHS[season[0] - 1]} to {MONTHS[season[-1] - 1]}"


def _months(found: Sunlight, reader: Reader) -> Table:
    heat = reader.heat_unit
    columns: list[tuple[str, str, int]] = [
        ("sun on|glazing", heat, 9),
        ("open|site", heat, 8),
        ("direct|kept", "", 8),
        ("sky|seen", "", 7),
        ("ground|light", "", 8),
        ("hours|of sun", "h", 8),
        ("open|site", "h", 7),
    ]
    electric = found.whole.pv_kwh is not None
    if electric:
        columns += [("modules|make", "kWh", 9), ("open|site", "kWh", 8)]

    def row(month: SunMonth) -> list[str]:
        cells = [
            grouped(reader.heat(month.sun_on_wall_kwh)),
            grouped(reader.heat(month.sun_on_wall_open_site_kwh)),
            _percent(month.beam_share_kept),
            percent(month.sky_view),
            _percent(month.ground_view),
            grouped(month.sun_hours),
            grouped(month.sun_hours_open_site),
        ]
        if electric:
            cells += [grouped(month.pv_kwh or 0.0), grouped(month.pv_open_site_kwh or 0.0)]
        return cells

    return month_table("THE SUN", columns, [(m.month, row(m)) for m in (*found.months, found.whole)])


def _takes(found: Sunlight, reader: Reader) -> Table | None:
    if not found.takes:
        return None
    heat, electric, season = reader.heat_unit, found.whole.pv_kwh is not None, found.season
    middle = f"{MONTHS[found.afternoons.months[0] - 1][:3]}, {MONTHS[found.afternoons.months[1] - 1][:3]}"
    columns: list[tuple[str, str, int]] = [
        (f"{MONTHS[season[0] - 1][:3]} to {MONTHS[season[-1] - 1][:3]}|sun", heat, 11),
        ("year|sun", heat, 8 if reader.us else 9),
        ("year|modules", "kWh", 8 if reader.us else 10),
        (f"{_short(found.moment.time, reader)}|direct sun", "", 16 if reader.us else 13),
        (f"p.m. {middle}|direct sun", "", 14),
    ]
    if not electric:
        columns.pop(2)

    def row(take: Take) -> list[str]:
        cells = [
            grouped(reader.heat(sum(take.sun_kwh[month - 1] for month in season))),
            grouped(reader.heat(sum(take.sun_kwh))),
            "-" if take.kind == "modules" else grouped(sum(take.pv_kwh)),
            _percent(take.moment_share),
            _percent(take.afternoon_share),
        ]
        return cells if electric else [*cells[:2], *cells[3:]]

    rows = [(take.name, row(take)) for take in found.takes]
    together = [(f"{take.name}, together", row(take)) for take in found.groups]
    return table("WHAT EACH KEEPS OFF", columns, rows, together)


def _day(found: Sunlight, reader: Reader) -> Block:
    """Return the chosen day hour by hour."""
    hours, wide = found.hours, US_DAY_COLUMN if reader.us else DAY_COLUMN
    if not hours:
        return words([f"On {reader.day_text(found.moment.time)} the sun does not rise."])

    def clock(hour: Hour) -> str:
        return reader.hour_text(float(hour.time.astype("datetime64[h]").astype(int) % 24))

    rows = (
        Row("  sun above the horizon", tuple(f"{hour.elevation_deg:.0f}°" for hour in hours)),
        Row("  its bearing", tuple(f"{hour.azimuth_deg:.0f}°" for hour in hours)),
        Row("  direct sun, % let through", tuple(_whole_percent(hour.beam_share) for hour in hours)),
    )
    title = f"ON {reader.day_text(found.moment.time).upper()}"
    columns = tuple(Column(clock(hour), "", wide) for hour in hours)
    return Table(title, columns, rows, NAME_WIDTH, fold=(WIDTH - NAME_WIDTH) // wide)


def _calendar(found: Sunlight, reader: Reader) -> Table:
    told, wide = found.calendar, 10 if reader.us else 8
    columns: list[tuple[str, str, int]] = [
        ("first|sun", "", 10 if reader.us else 9),
        ("last|sun", "", wide),
        ("hours|of sun", "h", 7 if reader.us else 9),
        ("open site|first", "", 11 if reader.us else 12),
        ("|last", "", wide),
        ("|hours", "h", 6 if reader.us else 8),
    ]
    rows = []
    for i, date in enumerate(told.date):
        if (
            int((date - date.astype("datetime64[M]").astype("datetime64[D]")).astype(int)) + 1
            in CALENDAR_DAYS
        ):
            edges = (told.first[i], told.last[i], told.first_open[i], told.last_open[i])
            first, last, *open_site = (_clock(edge, reader) for edge in edges)
            cells = [first, last, f"{told.hours[i]:.1f}", *open_site, f"{told.hours_open[i]:.1f}"]
            rows.append((reader.day_text(date), cells))
    return table("DIRECT SUN ON THE GLAZING", columns, rows)


def _bites(found: Sunlight, reader: Reader) -> Facts | None:
    if not found.calendar.bites:
        return None
    facts = []
    for bite in found.calendar.bites:
        spans = stretches(bite, len(found.calendar.date))
        dates = ", ".join(f"{reader.day_text(first)} to {reader.day_text(last)}" for first, last in spans)
        whole = len(spans) == 1 and bool((bite.hours > 0.0).all())
        told = "all year" if whole and _full(spans[0], found) else (dates or "never")
        facts.append((f"  {bite.name[: NAME_WIDTH - 4]}", told))
    return Facts("WHEN EACH KEEPS DIRECT SUN OFF, by itself", tuple(facts), NAME_WIDTH)


def _full(span: tuple[np.datetime64, np.datetime64], found: Sunlight) -> bool:
    return bool(span[1] - span[0] >= np.timedelta64(len(found.calendar.date) - 1, "D"))


def stretches(bite: Bite, days: int) -> list[tuple[np.datetime64, np.datetime64]]:
    """Return the stretches in which an obstacle bites, one that runs across New Year as one."""
    spans = list(bite.stretches)
    if len(spans) > 1:
        year_end = spans[0][0] + np.timedelta64(days - 1, "D")
        starts_new = spans[0][0] == spans[0][0].astype("datetime64[Y]").astype("datetime64[D]")
        if starts_new and spans[-1][1] == year_end:
            spans = [*spans[1:-1], (spans[-1][0], spans[0][1])]
    return spans


def _short(time: np.datetime64, reader: Reader) -> str:
    """Return "5 Feb 11:45", "Feb 5 11:45 am"."""
    return day_words(time, reader.system, short=True, hour=True)


def _clock(time: np.datetime64, reader: Reader) -> str:
    return "-" if np.isnat(time) else reader.clock_text(time).removeprefix("0")


def _whole_percent(share: float | None) -> str:
    return "-" if share is None else f"{100.0 * share:.0f}"


def _percent(share: float | None) -> str:
    return "-" if share is None else percent(share)
