"""The nights as text: what goes out through the wall, what stops it, what settles on the glazing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.report.phrases import fuel_amount, fuel_words, heading_lines, kelvin_unit
from noonwall.report.reader import MONTHS, day_text, grouped, name_of, percent
from noonwall.report.tables import CAUTION_TEXT, month_table, prose
from noonwall.studies.night import DAMPER, DESCRIBED, FILM, NO_FLAP

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.report.tables import Column
    from noonwall.studies.night import NightChoice, NightStudy

NOTHING_KWH, SLIGHT = 1.0, 0.02
LB_PER_KG = 2.20462262


def night_page(study: NightStudy, project: Project, weather: Weather, reader: Reader) -> str:
    """Return the page that ``noonwall night`` prints."""
    title = f"{name_of(project)}: what the wall loses at night"
    blocks = [
        "\n".join([title, *heading_lines(project, weather, reader)]),
        prose(findings(study, project, reader)),
        _months(study, reader),
        _hours(study, reader),
        _choices(study, project, reader),
        _worst(study, reader),
        prose(_wet_words(study, reader)),
        CAUTION_TEXT,
    ]
    return "\n\n".join(block for block in blocks if block)


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
        when += f", four fifths of it between {hours[0]} and {hours[1]} h"
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
        whose = "The flap" if study.has_flap else "A film flap with its real leak"
        kept = f"{reader.heat_text(flap.saved_kwh)} of it ({percent(flap.saved_kwh / bare.lost_kwh)})"
        verb = "keeps" if flap.saved_kwh >= 0.0 else "loses"
        said.append(f"{whose} {verb} {kept} in the shop{_cost_words(bare, flap, reader)}.")
        if flap.fuel is not None:
            said[-1] = (
                said[-1][:-1] + f": {fuel_words(flap.fuel, project.money.currency, reader)} not burned."
            )
    damper = _of(study, DAMPER)
    if damper is not None and bare.delivered_kwh > 0.0:
        less = 1.0 - damper.delivered_kwh / bare.delivered_kwh
        if less > 5 * SLIGHT:
            said.append(
                f"A metal damper stops the loss too, but takes {percent(less)} of the day's heat with it: the sun's "
                "own draught cannot lift it."
            )
    return said


def _cost_words(bare: NightChoice, flap: NightChoice, reader: Reader) -> str:
    less = bare.useful_kwh - flap.useful_kwh
    if less < SLIGHT * bare.useful_kwh:
        return ""
    return f" and takes {reader.heat_text(less)} of use by day, being in the air's way"


def _of(study: NightStudy, name: str) -> NightChoice | None:
    return next((choice for choice in study.choices if choice.name == name), None)


def _months(study: NightStudy, reader: Reader) -> str:
    heat = reader.heat_unit
    columns: list[Column] = [
        ("lost|at night", heat, 10),
        ("air carries|heat out", "h", 13),
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


def _hours(study: NightStudy, reader: Reader) -> str:
    values = np.roll([reader.heat(v) for v in study.loss.by_hour_kwh], -12)
    clock = [(hour + 12) % 24 for hour in range(24)]
    lines = [f"BY THE CLOCK, {reader.heat_unit} a year lost in the hour that begins at"]
    for half in (slice(0, 12), slice(12, 24)):
        lines.append("".join(f"{hour:>7}" for hour in clock[half]))
        lines.append("".join(f"{grouped(float(v)):>7}" for v in values[half]))
    return "\n".join(lines)


def _choices(study: NightStudy, project: Project, reader: Reader) -> str:
    heat, heater = reader.heat_unit, project.shop.heater is not None
    head = f"{'WHAT STOPS IT':<24}{'lost':>8}{'brought':>9}{'of use':>9}" + (
        f"{'heater':>9}" if heater else ""
    )
    unit = f"{f'{heat} a year':<24}{'':>8}{'in':>9}{'':>9}" + (
        f"{'gives':>9}{'fuel not burned':>24}" if heater else ""
    )
    lines = [head, unit]
    for choice in study.choices:
        cells = [choice.lost_kwh, choice.delivered_kwh, choice.useful_kwh] + (
            [choice.backup_kwh] if heater else []
        )
        row = f"{choice.name:<22}" + f"{grouped(reader.heat(cells[0])):>10}"
        row += "".join(f"{grouped(reader.heat(v)):>9}" for v in cells[1:])
        if choice.fuel is not None:
            row += f"{fuel_amount(choice.fuel, project.money.currency):>24}"
        lines.append(row)
    lines += [
        f"  {choice.name}: {_told(choice, reader)}" for choice in study.choices if choice.name != NO_FLAP
    ]
    return "\n".join(lines)


def _told(choice: NightChoice, reader: Reader) -> str:
    if choice.opening_pa is None:
        return choice.told
    return f"{choice.told}; opens at {reader.show(choice.opening_pa, 'pressure')}"


def _worst(study: NightStudy, reader: Reader) -> str:
    if not study.loss.worst:
        return ""
    unit, wind = reader.heat_unit, "mph" if reader.us else "m/s"
    head = f"{'THE WORST NIGHTS':<20}{'lost':>8}{'outdoors':>12}{'lowest':>9}{'wind':>8}{'sky colder':>16}"
    units = f"{'the evening of':<20}{unit:>8}{reader.degree:>12}{reader.degree:>9}{wind:>8}"
    lines = [head, units + f"{f'than air, {kelvin_unit(reader)}':>16}"]
    for night in study.loss.worst:
        speed = night.wind_mean_m_s * (2.23693629 if reader.us else 1.0)
        lines.append(
            f"{day_text(night.evening):<20}{reader.heat(night.lost_kwh):>8.1f}{reader.degrees(night.outdoors_mean_c):>12.0f}"
            f"{reader.degrees(night.outdoors_lowest_c):>9.0f}{speed:>8.1f}{reader.kelvins(night.sky_below_air_k):>16.0f}"
        )
    return "\n".join(lines)


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
        night = day_text(wet.worst.evening)
        said.append(
            f"The wettest night is that of {night}: {_mass(wet.worst.water_g, reader)}; in the sun it runs down."
        )
    if not study.has_flap:
        less = f"With a film flap the water is {_mass(flapped.whole.water_g, reader)}: less shop air passes the pane"
        said.append(f"{less}, though the pane gets colder (frost in {flapped.whole.frost_h:,.0f} h).")
    return said


def _mass(grams: float, reader: Reader) -> str:
    return reader.show(grams / 1000.0, "mass", 2) if grams >= 1000.0 or reader.us else f"{grams:.0f} g"
