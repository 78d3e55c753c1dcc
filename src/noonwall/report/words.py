"""The year in plain sentences: chosen by the numbers, told in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.reader import cell, percent, shown_whole
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.assess.idle_fans import NeverCloses
    from noonwall.assess.sums import Answers, HeaterHours
    from noonwall.engine.year import Month
    from noonwall.report.reader import Reader

NEARLY_ALL, A_TRIFLE, A_LOT = 0.97, 0.01, 0.08
NOTHING_KWH = 1.0
HARDLY_ANY_H = 0.5
WORTH_TELLING = 0.05
UNLIKELY_CLOSE_C = 70.0  # a closing point above it was perhaps meant in degrees Fahrenheit
SPOTS = {
    "gap top": "the air at the top of the gap",
    "absorber": "the absorber",
    "glazing": "the glazing's inner face",
    "room": "the shop",
}


def sentences(found: Answers, comfort_limit_c: float, reader: Reader) -> tuple[str, str, str]:
    """Return three sentences: what the wall gave, how much of it was of use, and what the shop feels of it.

    found  the year's answers;  comfort_limit_c  heat beyond this was not needed;  reader  units
    """
    return (
        _gave(found, reader),
        _of_use(found, comfort_limit_c, reader),
        _shop_feels(found, reader),
    )


def fan_words(found: Answers, reader: Reader) -> str:
    """Return why the fans never start, the hottest moment against the closing point; empty when they do."""
    idle = found.idle_fans
    if idle is None:
        return ""
    if idle.by_hand:
        return 'The fans are switched off in this project (circuit.fans = "off"): they never run.'
    if not idle.switches:
        return "The fans never start: no single switch explains it; `noonwall circuit` goes through them all."
    return f"The fans never start: {'; '.join(_never_closes(one, reader) for one in idle.switches)}."


def _never_closes(one: NeverCloses, reader: Reader) -> str:
    when, sign = reader.moment_text(one.time), "" if one.above_room else f" {reader.degree}"
    hottest, close = (
        reader.kelvins(value) if one.above_room else reader.degrees(value)
        for value in (one.hottest, one.close)
    )
    beyond = f" {'°F' if reader.us else 'K'} above the shop" if one.above_room else ""
    said = f"{SPOTS[one.spot]} reaches {hottest:.0f}{sign}{beyond} at most ({when})"
    said += f', and "{one.switch}" starts the fans at {close:.0f}{sign}{beyond}'
    if not one.above_room and one.close > UNLIKELY_CLOSE_C:
        said += f' (a bare number in the project file is in °C; if °F was meant, write "{one.close:g} F")'
    return said


def warm_words(found: Answers, reader: Reader, *, alone: bool = False) -> str:
    """Return the hours warm enough to work in; with a heater that holds as much, the hours in which it rests.

    alone  tell only the shop without the wall
    """
    heater = found.heater
    if heater is not None and heater.holds_warm_enough:
        return _held_words(found, heater, reader, alone=alone)
    warm, months = found.warm, "October to April" if found.winter_month == 1 else "April to October"
    limit = f"At {reader.degrees_text(warm.limit_c)} or warmer, fit to work in:"
    if alone:
        return f"{limit} {cell(warm.without_wall_h)} h of the year."
    said = (
        f"{limit} {cell(warm.with_wall_h)} h of the year with the wall, {cell(warm.without_wall_h)} h without"
    )
    if warm.cold_half_h:
        said += (
            f"; {months}: {cell(warm.cold_half_with_wall_h)} h with, "
            f"{cell(warm.cold_half_without_wall_h)} h without, of {cell(warm.cold_half_h)} h"
        )
    return f"{said}."


def _held_words(found: Answers, heater: HeaterHours, reader: Reader, *, alone: bool) -> str:
    said = f"The heater holds {reader.degrees_text(heater.setpoint_c)}, fit to work in, all year"
    short = heater.short_with_wall_h, heater.short_without_wall_h
    lowest = reader.degrees_text(found.whole.shop_min_c, 1), reader.degrees_text(found.alone.min_c, 1)
    if alone:
        if short[1] >= HARDLY_ANY_H:
            said += f", but for {cell(short[1])} h in which it is too small for the cold (lowest {lowest[1]})"
        return f"{said}; it rests for {cell(heater.rests_without_wall_h)} h of the year."
    if max(short) >= HARDLY_ANY_H:
        said += (
            f", but for {cell(short[0])} h with the wall and {cell(short[1])} h without, in which it is too small "
            f"for the cold (lowest {lowest[0]} and {lowest[1]})"
        )
    rests = cell(heater.rests_with_wall_h), cell(heater.rests_without_wall_h)
    return f"{said}; it rests for {rests[0]} h of the year with the wall, {rests[1]} h without."


def saving_words(found: Answers, reader: Reader) -> str:
    """Return what became of the heat of use that did not spare the heater; empty when that is little.

    The amounts are an account: as they are shown they add up to the heat of use, to the last digit.
    """
    if found.fuel is None or found.heater is None:
        return ""
    useful, spared = found.whole.useful_kwh, found.fuel.heat_kwh
    less = useful - spared
    if useful < NOTHING_KWH or less < 2 * WORTH_TELLING * useful:
        return ""
    said = _account(useful, spared, found.whole.night_loss_kwh, reader)
    rest = found.heater.useful_at_rest_kwh
    if rest >= WORTH_TELLING * useful:
        said += (
            f" {percent(rest / useful)} of the heat of use came while the heater would have rested anyway."
        )
    return said.strip()


def _account(useful: float, spared: float, night: float, reader: Reader) -> str:
    """Return where the heat of use went [kWh]; without amounts where these do not divide it."""
    shown = [shown_whole(reader.heat(kwh)) for kwh in (useful, spared, night)]
    kept = shown[0] - shown[1] - shown[2]
    if reader.heat(spared) < 1.0 or kept < 1:
        return (
            "The heater is spared less than the heat of use: what goes back out in the cold hours has to be made up, "
            "and a shop that the wall makes warmer loses more through walls and roof."
        )
    parts = [f"{shown[1]:,} {reader.heat_unit} spared the heater"]
    if shown[2] >= 1:
        parts.append(f"{shown[2]:,} {reader.heat_unit} went back out in the cold hours")
    parts.append(
        f"the other {kept:,} {reader.heat_unit} made the shop warmer than the heater would have, and went through "
        "walls and roof in time"
    )
    return f"Of the {shown[0]:,} {reader.heat_unit} of use, {', '.join(parts[:-1])}, and {parts[-1]}."


def _gave(found: Answers, reader: Reader) -> str:
    whole = found.whole
    if whole.sun_on_wall_kwh < NOTHING_KWH:
        return "No sun reached the glazing, so the wall gave nothing."
    sun = reader.heat_text(whole.sun_on_wall_kwh)
    if whole.delivered_kwh < NOTHING_KWH:
        return f"{sun} of sun reached the glazing, and none of it came into the shop as warm air."
    best = MONTHS[max(found.months, key=lambda month: month.delivered_kwh).month - 1]
    share = percent(whole.delivered_kwh / whole.sun_on_wall_kwh)
    return (
        f"{sun} of sun reached the glazing and the wall brought {reader.heat_text(whole.delivered_kwh)} into "
        f"the shop as warm air, {share} of it; the best month was {best}."
    )


def _of_use(found: Answers, comfort_limit_c: float, reader: Reader) -> str:
    whole = found.whole
    night = _night(whole, reader)
    if whole.delivered_kwh < NOTHING_KWH:
        return night
    limit = reader.degrees_text(comfort_limit_c)
    share = whole.useful_kwh / whole.delivered_kwh
    if share >= NEARLY_ALL:
        return f"The shop could use {_nearly(share)} of that heat; {_lower_first(night)}"
    idle = max(found.months, key=lambda month: month.delivered_kwh - month.useful_kwh)
    return (
        f"The shop could use {reader.heat_text(whole.useful_kwh)} of that ({percent(share)}): the rest came "
        f"when it was already above {limit}, most of it in {MONTHS[idle.month - 1]}; {_lower_first(night)}"
    )


def _night(whole: Month, reader: Reader) -> str:
    lost, gave = whole.night_loss_kwh, whole.delivered_kwh
    if lost < NOTHING_KWH or (gave > 0.0 and lost < A_TRIFLE * gave):
        return "Hardly any heat went back out through the wall in the cold hours."
    said = f"In the cold hours {reader.heat_text(lost)} went back out through the vents"
    if gave < lost:
        return f"{said}, more than the wall gave."
    share = percent(lost / gave)
    if lost >= A_LOT * gave:
        return (
            f"{said}, {share} of what the wall gave; a tight flap or vents shut at night are the usual cure."
        )
    return f"{said}, {share} of what the wall gave."


def _shop_feels(found: Answers, reader: Reader) -> str:
    month = next((m for m in found.months if m.month == found.winter_month), found.months[0])
    name = MONTHS[month.month - 1]
    warmer = month.shop_mean_c - month.shop_mean_without_wall_c
    mean = reader.degrees_text(month.shop_mean_c, 1)
    other = reader.degrees_text(month.shop_mean_without_wall_c, 1)
    if abs(warmer) < 0.1:
        felt = f"In {name} the shop averages {mean} with the wall and without it"
        if found.fuel is not None and month.backup_without_wall_kwh >= NOTHING_KWH:
            heats = (reader.heat_text(v) for v in (month.backup_kwh, month.backup_without_wall_kwh))
            felt += ", the heater giving {} with it and {} without".format(*heats)
    else:
        felt = f"In {name} the shop averages {mean} with the wall and {other} without it"
    return f"{felt}; {_too_hot(found)}."


def _too_hot(found: Answers) -> str:
    hours, alone = found.whole.too_hot_hours, found.alone.too_hot_hours
    if hours < HARDLY_ANY_H:
        return "it is never too hot to work in over the year"
    worst = max(found.months, key=lambda month: month.too_hot_hours)
    added = (
        f" ({cell(alone)} without the wall)" if alone >= HARDLY_ANY_H else ", none of them without the wall"
    )
    most = f"most of them in {MONTHS[worst.month - 1]}"
    return f"it is too hot to work in for {cell(hours)} hours of the year{added}, {most}"


def _nearly(share: float) -> str:
    return "all" if share >= 0.9995 else f"nearly all ({percent(share)})"


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
