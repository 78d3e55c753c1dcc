"""The warm season as text: hours too hot with each way of keeping cool, what it costs, when to hang the cover."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.schedule import in_stretches
from noonwall.report.blocks import Column, Facts, Row, Table, Title, page_of, words
from noonwall.report.comfort_cover import (
    LONGEST_DAYS,
    better_dates,
    cover_words,
    days_between,
    month_day,
    season_text,
    worse_words,
)
from noonwall.report.phrases import fuel_words, heading_lines, kelvins, listed, recipes
from noonwall.report.reader import grouped, name_of
from noonwall.report.room_limit import set_points
from noonwall.report.tables import CAUTION
from noonwall.studies.comfort import ALL, COVER, DESCRIBED, LIMIT, OFF, VENT
from noonwall.studies.remedies import LIMIT_NAME, room_limits
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.assess.comfort import Spread
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader
    from noonwall.studies.comfort import ComfortChoice, ComfortStudy

FEW_H, NO_KWH, LITTLE = 1.0, 20.0, 0.7
HOTTER_K = 2.0  # a wall that gets hotter by less is not worth a word
HEADS = {DESCRIBED: "as it stands"}
HOTTER = {
    LIMIT: "a room limit stops the fans while the sun is on the wall",
    OFF: "with the fans off the sun's heat stays in the gap",
    VENT: "vented outdoors the gap moves less air than the fans would",
    DESCRIBED: "as the project stands less air goes through the gap in the sun",
}


def comfort_page(study: ComfortStudy, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page that ``noonwall comfort`` prints."""
    title = f"{name_of(project)}: too hot, when and what helps"
    return page_of(
        Title((title, *heading_lines(project, weather, reader))),
        words(findings(study, project, reader)),
        _hours_table(study, project, reader),
        _cost_table(study, project, reader),
        _ways(study, project, reader),
        words(_heater_words(study, project, reader)),
        words(hotter_words(study, project, reader)),
        words(cover_words(study, project, reader), about="cover"),
        _dates_table(study, reader),
        words(_dates_words(study, project, reader)),
        recipes(_recipes(study, project, reader)),
        words([CAUTION]),
    )


def findings(study: ComfortStudy, project: Project, reader: Reader) -> list[str]:
    """Return in plain sentences how often it is too hot, what helps most, and what that costs."""
    base = study.choices[0]
    hot = reader.degrees_text(project.shop.comfort.too_hot_c)
    if base.whole.too_hot_h < FEW_H:
        return [f"With nothing done about it the shop is above {hot} in less than an hour of the year."]
    worst = max(base.months, key=lambda month: month.too_hot_h)
    hours = f"{base.whole.too_hot_h:,.0f} hours of the year, most of them in {MONTHS[worst.month - 1]}"
    said = [f"With nothing done about it the shop is above {hot} for {hours}."]
    if study.now.name == DESCRIBED:
        left = grouped(study.now.whole.too_hot_h)
        said[0] += f" As the project stands it is {left} {'hour' if left == '1' else 'hours'}."
    single = [c for c in study.choices[1:] if c.name not in (ALL, DESCRIBED)]
    best = min(single, key=lambda c: c.whole.too_hot_h)
    left = f"{_left(best.whole.too_hot_h)} left{_price(best, reader)}"
    said.append(f"{_helps(best)} helps most of the single ways: {left}.")
    said += worse_words(best, base, project, reader)
    said += _together_words(study, best, project, reader)
    weak = [_helps(c).lower() for c in single if c.whole.too_hot_h > LITTLE * base.whole.too_hot_h]
    if weak:
        does = f"By themselves {listed(weak)} do" if len(weak) > 1 else f"By itself {weak[0]} does"
        said.append(f"{does} little: without fans the sun's own draught goes on.")
    return said


def _together_words(study: ComfortStudy, best: ComfortChoice, project: Project, reader: Reader) -> list[str]:
    """Return whether all of the ways together are worth more than the best one, and why where they are not."""
    every = next(c for c in study.choices if c.name == ALL)
    if every.whole.too_hot_h < best.whole.too_hot_h - FEW_H:
        return []
    left = f"{grouped(every.whole.too_hot_h)} hours are left"
    said = (
        f"All of them together do no better than {_helps(best)[:1].lower()}{_helps(best)[1:]} alone: {left}."
    )
    return [said, *worse_words(every, best, project, reader)]


def hotter_words(study: ComfortStudy, project: Project, reader: Reader) -> list[str]:
    """Return which ways cool the shop but make the wall's hottest hour hotter, with its temperatures and days."""
    base = study.choices[0]
    hotter = [
        choice
        for choice in study.choices[1:]
        if choice.absorber_c - base.absorber_c > HOTTER_K and choice.name in HOTTER
    ]
    if not hotter:
        return []
    said = [
        f"Mind the wall: {HOTTER[choice.name]}, and the absorber's hottest hour of a usual year gets "
        f"{kelvins(choice.absorber_c - base.absorber_c, reader)} hotter, {_hour(choice, reader)} in place of "
        f"{_hour(base, reader)}."
        for choice in hotter
    ]
    tried = [choice for choice in hotter if choice.name != DESCRIBED]
    if tried:
        said.append(
            "Each way is tried by itself, on the wall without the cover, room limit and outdoor vent it may have."
        )
        said += _but_now(study.now, tried, project, reader)
    return [
        *said,
        "Wood beside it has a limit: look at the hottest hours (`noonwall hot`) before you build it so.",
    ]


def _hour(choice: ComfortChoice, reader: Reader) -> str:
    """Return how hot a way's hottest hour is, and its day: "208 °F on September 17"."""
    return f"{reader.degrees_text(choice.absorber_c)} on {reader.day_text(choice.year.peaks.absorber_c.time)}"


def _but_now(now: ComfortChoice, tried: list[ComfortChoice], project: Project, reader: Reader) -> list[str]:
    """Return why the project as it stands stays cooler than a way that it has, tried by itself."""
    if now.name != DESCRIBED:
        return []
    cover = project.wall.cover.hung
    times = [choice.year.peaks.absorber_c.time for choice in tried]
    under = [time for time in times if cover and in_stretches(np.array([time]), cover)[0]]
    days = list(dict.fromkeys(reader.day_text(time) for time in under))
    why = f": on {listed(days)} its cover hangs" if days else ""
    return [f"As the project stands the hottest hour is {_hour(now, reader)}{why}."]


def _left(hours: float) -> str:
    return "none of the hours is" if hours < 0.5 else f"{grouped(hours)} hours are"


def _helps(choice: ComfortChoice) -> str:
    named = {
        LIMIT: "A room limit",
        OFF: "Fans off",
        COVER: "A cover",
        VENT: "Venting the gap outdoors",
    }
    return named.get(choice.name, choice.name)


def _price(choice: ComfortChoice, reader: Reader) -> str:
    if choice.given_up_kwh < NO_KWH and choice.burned_kwh < NO_KWH:
        return ", and no heat is given up in the cold months"
    return f"; it gives up {reader.heat_text(choice.given_up_kwh)} of use in the cold months"


def _heater_words(study: ComfortStudy, project: Project, reader: Reader) -> list[str]:
    """Return what the heater burns more with the dearest single way, and why it is not what is given up."""
    ways = [c for c in study.choices[1:] if c.name not in (ALL, DESCRIBED) and c.fuel is not None]
    dearest = max(ways, key=lambda c: c.burned_kwh, default=None)
    if dearest is None or dearest.fuel is None:
        return []
    if dearest.burned_kwh < NO_KWH:
        return ["None of these ways makes the heater work harder by more than a trace."]
    burned = fuel_words(dearest.fuel, project.money.currency, reader)
    more = reader.heat_text(dearest.burned_kwh)
    why = (
        "That is another figure than the heat given up: what the wall brought while the heater rested is given up "
        "without fuel, and what the slab kept of it is missed in the days after."
    )
    return [f"{_helps(dearest)} costs most: the heater gives {more} more, {burned}. {why}"]


def _hours_table(study: ComfortStudy, project: Project, reader: Reader) -> Table:
    hot = reader.degrees_text(project.shop.comfort.too_hot_c)
    columns = (Column(MONTHS[m.month - 1][:3], "", 5) for m in study.choices[0].months)
    rows = (
        Row(HEADS.get(c.name, c.name), tuple(grouped(m.too_hot_h) for m in c.months)) for c in study.choices
    )
    return Table(f"HOURS ABOVE {hot}", tuple(columns), tuple(rows), 22)


def _cost_table(study: ComfortStudy, project: Project, reader: Reader) -> Table:
    heat, heated = reader.heat_unit, project.shop.heater is not None
    columns = [
        Column("too hot|  ", "h", 7),
        Column("hottest|shop", reader.degree, 9),
        Column("absorber|hottest", reader.degree, 10),
        Column("brought|in", heat, 9),
        Column("of use|  ", heat, 8),
        Column("heat lost,|cold months", heat, 12),
        *([Column("heater|burns more", heat, 11)] if heated else []),
    ]
    rows = []
    for choice in study.choices:
        whole = choice.whole
        given, burned = (max(0.0, reader.heat(kwh)) for kwh in (choice.given_up_kwh, choice.burned_kwh))
        cells = [
            grouped(whole.too_hot_h),
            f"{reader.degrees(whole.hottest_c):.0f}",
            f"{reader.degrees(choice.absorber_c):.0f}",
            grouped(reader.heat(whole.delivered_kwh)),
            grouped(reader.heat(whole.useful_kwh)),
            grouped(given),
            *([grouped(burned)] if heated else []),
        ]
        rows.append(Row(HEADS.get(choice.name, choice.name), tuple(cells)))
    return Table("THE YEAR", tuple(columns), tuple(rows), 18)


def _ways(study: ComfortStudy, project: Project, reader: Reader) -> Facts:
    """Return what each way is."""
    told = [
        (f"  {HEADS.get(c.name, c.name)}", _told(c, reader)) for c in study.choices if c.name != DESCRIBED
    ]
    by = f"the hot days of {len(study.years)} possible years" if study.season_found else "the usual season"
    dates = f"{season_text(study, reader)}, by {by}"
    if cover := project.wall.cover.hung:
        own = " and ".join(f"{reader.day_text(a)} to {reader.day_text(b)}" for a, b in cover)
        dates += f"; the project's own cover hangs {own}"
    return Facts("THE WAYS", (*told, ("  the season", f"{dates}")), 20)


def _told(choice: ComfortChoice, reader: Reader) -> str:
    if choice.opens_c is None:
        return choice.told
    return f"{choice.told}, above {reader.degrees_text(choice.opens_c)}"


def _dates_table(study: ComfortStudy, reader: Reader) -> Table | None:
    """Return when the cover is wanted in an early, a middle and a late year."""
    if study.hang is None or study.take_down is None:
        return None
    one = "one year in 10"
    columns = (Column(f"early|{one}", "", 16), Column("middle|  ", "", 16), Column(f"late|{one}", "", 16))
    rows = (
        Row("hang it by", _three(study.hang, reader)),
        Row("take it down from", _three(study.take_down, reader)),
    )
    return Table("THE COVER", columns, rows, 22)


def _dates_words(study: ComfortStudy, project: Project, reader: Reader) -> list[str]:
    of = len(study.years)
    made = f"{of} possible years after the monthly figures of {study.figures_place}"
    if study.hang is None or study.take_down is None:
        season = season_text(study, reader)
        return [f"None of {made} asks for a cover; the season above is the usual one, {season}."]
    a, b = study.season[0]
    rule = ""
    if study.hang_above_c is not None and study.down_below_c is not None:
        above, below = reader.degrees_text(study.hang_above_c), reader.degrees_text(study.down_below_c)
        rule = (
            f" At those dates the week before averages about {above} outdoors in spring, {below} in autumn."
        )
    asking = "all" if study.asking == of else f"{study.asking}"
    hot = reader.degrees_text(project.shop.comfort.too_hot_c)
    wanted = (
        "The cover is wanted from the first that is followed by another within two weeks to the last of such"
    )
    told = [
        f"A hot day is one above {hot} in the shop. {wanted}; in {asking} of {made}.{rule}",
        f"The cover of the tables hangs from {season_text(study, reader)}: soon enough in nine years of ten.",
    ]
    if days_between(a, b) > LONGEST_DAYS:
        told.append(
            "So long a cover costs more than it helps: some hot days fall in the cold months. Shut the vents by hand "
            "on those, and try shorter dates: `noonwall compare PROJECT --variant cover=05-01..09-15`."
        )
    return told


def _recipes(study: ComfortStudy, project: Project, reader: Reader) -> list[tuple[str, str]]:
    """Return what to write to have what the project has not: the cover on these days, a room limit."""
    by_name = {choice.name: choice for choice in study.choices}
    found = []
    if better_dates(study):
        stretches = ", ".join(f'["{a}", "{b}"]' for a, b in study.season)
        found.append(("the cover on these days", f"[wall.cover]\nhung = [{stretches}]"))
    if LIMIT in by_name and not room_limits(project):
        limit = by_name[LIMIT].opens_c
        if limit is not None:
            found.append(("a room limit; by itself it does little", _limit_toml(limit, project, reader)))
    return found


def _limit_toml(opens_c: float, project: Project, reader: Reader) -> str:
    points = set_points(project, reader, opens_c)
    return (
        f'[[switch]]\nname = "{LIMIT_NAME}"\nkind = "open on rise"\nspot = "room"\n'
        f'open = "{points["open"]}"\nclose = "{points["close"]}"'
    )


def _three(spread: Spread, reader: Reader) -> tuple[str, ...]:
    days = (spread.early_day, spread.middle_day, spread.late_day)
    return tuple(reader.day_text(month_day(day)) for day in days)
