"""The nights as text: what goes out through the wall, what stops it, what settles on the glazing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.report.blocks import Column, Facts, Row, Table, Title, month_table, page_of, words
from noonwall.report.night_steps import STUCK
from noonwall.report.phrases import clocked, fuel_amount, fuel_words, heading_lines, kelvin_unit, recipes
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.tables import CAUTION
from noonwall.studies.night import DAMPER, DESCRIBED, FILM, NO_FLAP, SHUT
from noonwall.studies.remedies import NIGHT
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader
    from noonwall.studies.night import NightChoice, NightStudy

NOTHING_KWH, SLIGHT = 1.0, 0.02
LB_PER_KG, MPH_PER_M_S = 2.20462262, 2.23693629
FLAP_PA = 0.3  # what just lifts a flap of film
FLAP_TOML = """
[wall.flap]
row = "bottom"
opening_pressure = "{pressure}"
leak = 0.03
"""
SHUT_TOML = f"""
[wall.vents]
shut_hours = [["{NIGHT[0][0]}", "{NIGHT[0][1]}"]]
"""


def night_page(study: NightStudy, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page that ``noonwall night`` prints."""
    title = f"{name_of(project)}: what goes back out at night"
    return page_of(
        Title((title, *heading_lines(project, weather, reader))),
        words(findings(study, project, reader)),
        words([STUCK] if study.has_flap or _of(study, FILM) is not None else [], about="stuck"),
        _months(study, reader),
        _hours(study, reader),
        _choices(study, project, reader),
        _told_of(study, reader),
        recipes(_recipes(study, reader)),
        _worst(study, reader),
        words(_wet_words(study, reader)),
        words([CAUTION]),
    )


def findings(study: NightStudy, project: Project, reader: Reader) -> list[str]:
    """Return in plain sentences what is lost, what a flap saves and what it costs."""
    lost = study.loss.whole.lost_kwh
    if lost < NOTHING_KWH and study.described.name != DESCRIBED:
        return ["Hardly any heat goes back out through the wall at night."]
    return [_lost_words(study, reader), *_flap_words(study, project, reader)]


def _lost_words(study: NightStudy, reader: Reader) -> str:
    whole, gave = study.loss.whole, study.described.delivered_kwh
    said = f"In a year {reader.heat_text(whole.lost_kwh)} goes back out through the wall"
    if gave >= NOTHING_KWH:
        said += f", {percent(whole.lost_kwh / gave)} of what it brings in"
    worst = max(study.loss.months, key=lambda month: month.lost_kwh)
    hours = middle_hours(study.loss.by_hour_kwh)
    when = f"most in {MONTHS[worst.month - 1]}"
    if hours is not None:
        when += f", four fifths of it between {reader.span_text(*hours)}"
    if study.loss.dark_share is not None:
        when += f", {percent(study.loss.dark_share)} while no sun is on the wall"
    return f"{said}; {when}."


def middle_hours(by_hour_kwh: tuple[float, ...]) -> tuple[int, int] | None:
    """Return the hours between which four fifths of the year's loss falls, counted from noon to noon."""
    turned = np.roll(np.asarray(by_hour_kwh), -12)
    if turned.sum() <= 0.0:
        return None
    share = np.cumsum(turned) / turned.sum()
    first, last = int(np.searchsorted(share, 0.1)), int(np.searchsorted(share, 0.9)) + 1
    return (first + 12) % 24, (last + 12) % 24


def _flap_words(study: NightStudy, project: Project, reader: Reader) -> list[str]:
    bare = study.choices[0]
    flap = study.described if study.has_flap else _of(study, FILM)
    said = []
    if flap is not None and bare.lost_kwh >= NOTHING_KWH:
        whose = "A film flap with its real leak"
        if study.has_flap:
            whose = f"Without {_own(project)} it would be {reader.heat_text(bare.lost_kwh)}: {_own(project)}"
        kept = (
            f"{reader.heat_text(abs(flap.saved_kwh))} of it ({percent(abs(flap.saved_kwh) / bare.lost_kwh)})"
        )
        does = f"keeps {kept} in the shop" if flap.saved_kwh >= 0.0 else f"adds {kept}"
        said.append(f"{whose} {does}{_cost_words(bare, flap, reader)}.")
        if flap.fuel is not None:
            said[-1] += f" At the heater that makes {fuel_words(flap.fuel, project.money.currency, reader)}."
    damper = _of(study, DAMPER)
    if damper is not None and bare.delivered_kwh > 0.0:
        less = 1.0 - damper.delivered_kwh / bare.delivered_kwh
        if less > 5 * SLIGHT:
            said.append(
                f"A metal damper stops the loss too, but takes {percent(less)} of the day's heat with it: the sun's "
                "own draught cannot lift it."
            )
    return said


def _own(project: Project) -> str:
    """Return what the project has to stop the air besides its flap, for a sentence about both."""
    return "the flap and the shut vents" if project.wall.vents.shut_hours else "the flap"


def _recipes(study: NightStudy, reader: Reader) -> list[tuple[str, str]]:
    """Return what to write to have what the project has not: a film flap, vents shut by hand."""
    found = []
    if not study.has_flap:
        found.append(
            (
                "a film flap at the foot vents (leak = 0.15 once it has warped)",
                FLAP_TOML.format(pressure=reader.show(FLAP_PA, "pressure")),
            )
        )
    if _of(study, SHUT) is not None:
        found.append(("vents shut by hand every day; in [wall.vents] if you have that table", SHUT_TOML))
    return found


def _cost_words(bare: NightChoice, flap: NightChoice, reader: Reader) -> str:
    less = bare.useful_kwh - flap.useful_kwh
    if less < SLIGHT * bare.useful_kwh:
        return ""
    return f" and takes {reader.heat_text(less)} of use by day, being in the air's way"


def _of(study: NightStudy, name: str) -> NightChoice | None:
    return next((choice for choice in study.choices if choice.name == name), None)


def _months(study: NightStudy, reader: Reader) -> Table:
    heat = reader.heat_unit
    columns: list[tuple[str, str, int]] = [
        ("carried|back out", heat, 10),
        ("hours|of that", "h", 13),
        ("coldest|outdoors", reader.degree, 11),
        ("on the glazing|dew", "h", 16),
        ("|frost", "h", 7),
        ("|water", "lb" if reader.us else "kg", 8),
    ]
    wet = {row.month: row for row in (*study.wet.months, study.wet.whole)}
    rows = []
    for month in (*study.loss.months, study.loss.whole):
        water = wet[month.month].water_g / 1000.0 * (LB_PER_KG if reader.us else 1.0)
        cells = [
            grouped(reader.heat(month.lost_kwh)),
            grouped(month.hours),
            f"{reader.degrees(month.coldest_c):.0f}",
            grouped(wet[month.month].dew_h),
            grouped(wet[month.month].frost_h),
            grouped(water),
        ]
        rows.append((month.month, cells))
    return month_table("THE NIGHTS", columns, rows)


def _hours(study: NightStudy, reader: Reader) -> Table:
    """Return the loss by the hour of the clock, from noon to noon."""
    values = np.roll([reader.heat(v) for v in study.loss.by_hour_kwh], -12)
    columns = (Column(_hour(float((hour + 12) % 24), reader), "", 6) for hour in range(24))
    row = Row("  begins at", tuple(grouped(float(v)) for v in values))
    title = f"BY THE CLOCK, {reader.heat_unit} a year carried back out in the hour that begins at"
    return Table(title, tuple(columns), (row,), 12, fold=12)


def _hour(hour: float, reader: Reader) -> str:
    return reader.hour_text(hour) if reader.us else f"{hour:.0f}"


def _choices(study: NightStudy, project: Project, reader: Reader) -> Table:
    heat, heater = reader.heat_unit, project.shop.heater is not None
    columns = [Column("back out|  ", heat, 9), Column("brought|in", heat, 9), Column("of use|  ", heat, 9)]
    if heater:
        columns += [Column("heater|gives", heat, 9), Column("fuel not burned", "", 26)]
    rows = []
    for choice in study.choices:
        figures = [choice.lost_kwh, choice.delivered_kwh, choice.useful_kwh]
        cells = [grouped(reader.heat(kwh)) for kwh in figures]
        if heater:
            spared = "-" if choice.fuel is None else fuel_amount(choice.fuel, project.money.currency)
            cells += [grouped(reader.heat(choice.backup_kwh)), spared]
        rows.append(Row(choice.name, tuple(cells)))
    return Table("WHAT STOPS IT, a year", tuple(columns), tuple(rows), 22)


def _told_of(study: NightStudy, reader: Reader) -> Facts:
    """Return what each way is."""
    told = ((f"  {c.name}", _told(c, reader)) for c in study.choices if c.name != NO_FLAP)
    return Facts("THE WAYS", tuple(told), 22)


def _told(choice: NightChoice, reader: Reader) -> str:
    if choice.opening_pa is None:
        return clocked(choice.told, reader)
    return f"{clocked(choice.told, reader)}; opens at {reader.show(choice.opening_pa, 'pressure')}"


def _worst(study: NightStudy, reader: Reader) -> Table | None:
    if not study.loss.worst:
        return None
    degree, wind = reader.degree, "mph" if reader.us else "m/s"
    columns = (
        Column("back out|  ", reader.heat_unit, 10),
        Column("outdoors|mean", degree, 12),
        Column("|lowest", degree, 9),
        Column("wind|  ", wind, 8),
        Column("sky colder|than air", kelvin_unit(reader), 14),
    )
    rows = []
    for night in study.loss.worst:
        speed = night.wind_mean_m_s * (MPH_PER_M_S if reader.us else 1.0)
        cells = (
            f"{reader.heat(night.lost_kwh):.1f}",
            f"{reader.degrees(night.outdoors_mean_c):.0f}",
            f"{reader.degrees(night.outdoors_lowest_c):.0f}",
            f"{speed:.1f}",
            f"{reader.kelvins(night.sky_below_air_k):.0f}",
        )
        rows.append(Row(f"  {reader.day_text(night.evening)}", cells))
    return Table("THE WORST NIGHTS, from", columns, tuple(rows), 24)


def _wet_words(study: NightStudy, reader: Reader) -> list[str]:
    wet, flapped = study.wet, study.wet_with_flap
    humid = percent(wet.humidity_share)
    if wet.whole.dew_h + wet.whole.frost_h < 0.5:
        return [f"Shop air of {humid} leaves neither dew nor frost on the glazing."]
    hours = f"dew in {wet.whole.dew_h:,.0f} h and frost in {wet.whole.frost_h:,.0f} h of the year"
    water = f"at most {_mass(wet.whole.water_g, reader)} of water in all"
    said = [
        f"Shop air at {humid} of saturation all year leaves {hours} on the glazing's inner face, {water}."
    ]
    if wet.worst is not None:
        night = reader.day_text(wet.worst.evening)
        said.append(
            f"The wettest night is that of {night}: {_one_night(wet.worst.water_g, reader)}; in the sun it runs down."
        )
    if not study.has_flap:
        less = f"With a film flap the water is {_mass(flapped.whole.water_g, reader)}: less shop air passes the pane"
        said.append(f"{less}, though the pane gets colder (frost in {flapped.whole.frost_h:,.0f} h).")
    return said


def _one_night(grams: float, reader: Reader) -> str:
    return reader.show(grams / 1000.0, "mass", 2) if grams >= 1000.0 or reader.us else f"{grams:.0f} g"


def _mass(grams: float, reader: Reader) -> str:
    """Return an amount of water in the digits of the table of months."""
    if reader.us:
        return f"{grouped(LB_PER_KG * grams / 1000.0)} lb"
    return f"{grouped(grams / 1000.0)} kg" if grams >= 9500.0 else f"{grams:,.0f} g"
