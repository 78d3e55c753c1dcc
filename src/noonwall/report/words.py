"""The year in three plain sentences: chosen by the numbers, told in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.reader import MONTHS, percent

if TYPE_CHECKING:
    from noonwall.assess.sums import Answers
    from noonwall.engine.year import Month
    from noonwall.report.reader import Reader

NEARLY_ALL, A_TRIFLE, A_LOT = 0.97, 0.01, 0.08
NOTHING_KWH = 1.0


def sentences(found: Answers, comfort_limit_c: float, reader: Reader) -> tuple[str, str, str]:
    """Return three sentences: what the wall gave, how much of it was of use, and what the shop feels of it.

    found  the year's answers;  comfort_limit_c  heat beyond this was not needed;  reader  units
    """
    return (
        _gave(found, reader),
        _of_use(found, comfort_limit_c, reader),
        _shop_feels(found, reader),
    )


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
    else:
        felt = f"In {name} the shop averages {mean} with the wall and {other} without it"
    return f"{felt}; {_too_hot(found)}."


def _too_hot(found: Answers) -> str:
    hours, alone = found.whole.too_hot_hours, found.alone.too_hot_hours
    if hours < 0.5:
        return "it is never too hot to work in over the year"
    worst = max(found.months, key=lambda month: month.too_hot_hours)
    added = f" ({alone:,.0f} without the wall)" if alone >= 0.5 else ", none of them without the wall"
    most = f"most of them in {MONTHS[worst.month - 1]}"
    return f"it is too hot to work in for {hours:,.0f} hours of the year{added}, {most}"


def _nearly(share: float) -> str:
    return "all" if share >= 0.9995 else f"nearly all ({percent(share)})"


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
