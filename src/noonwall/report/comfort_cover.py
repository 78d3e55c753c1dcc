"""The cover's best dates in words, against the cover a project has, and why one way comes out worse than another."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from noonwall.report.phrases import listed
from noonwall.report.reader import grouped
from noonwall.studies.comfort import DESCRIBED
from noonwall.studies.compare import told_apart
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.assess.comfort import ComfortMonth
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.comfort import ComfortChoice, ComfortStudy

NO_KWH, FEW_H = 20.0, 1.0
LONGEST_DAYS = 240  # of a cover that is worth its trouble; common practice, no source
MOST_OF = 0.8  # months are named until they hold this share of a difference


def cover_words(study: ComfortStudy, project: Project, reader: Reader) -> list[str]:
    """Return the cover's best dates and what they would change of the project as it stands; nothing for none."""
    now, dated = study.now, study.dated
    if not study.season_found or days_between(*study.season[0]) > LONGEST_DAYS:
        return []
    dates = season_text(study, reader)
    if dated is None:
        return [f"The cover hangs already on the dates that hot days ask for, {dates}."]
    years = f"the hot days of {len(study.years)} possible years"
    said = [
        f"By {years} a cover is wanted here from {dates}; those dates are soon enough in nine years of ten."
    ]
    said.append(f"{_present(project, reader)}: {_figures(now, reader)}.")
    said.append(f"With a cover on these dates: {_figures(dated, reader)}.")
    if now.name == DESCRIBED:
        said += worse_words(now, dated, project, reader) + worse_words(dated, now, project, reader)
    said.append(_verdict(now, dated, reader))
    return said


def better_dates(study: ComfortStudy) -> bool:
    """Return whether the season's dates are worth taking over: not worse than what the project has, nor too long."""
    dated = study.dated
    if dated is None or days_between(*study.season[0]) > LONGEST_DAYS:
        return False
    return not _worse_in_all(dated, study.now)


def cover_offer(study: ComfortStudy, project: Project, reader: Reader) -> dict[str, Any] | None:
    """Return what a page offers: "told" (sentences), "word" for a button and the "change" it makes, None for none."""
    told = cover_words(study, project, reader)
    if not told:
        return None
    first, last = study.season[0]
    dates = f"{reader.day_text(first, short=True)} to {reader.day_text(last, short=True)}"
    word = f"{'Hang it' if project.wall.cover.hung else 'Hang a cover'} {dates}"
    return {
        "told": told,
        "word": word if better_dates(study) else None,
        "change": f"cover={first}..{last}",
        "done": f"the cover: {dates}",
    }


def worse_words(worse: ComfortChoice, better: ComfortChoice, project: Project, reader: Reader) -> list[str]:
    """Return in what one way of the year comes out worse than another, and why, from their months."""
    said = []
    less = better.whole.useful_kwh - worse.whole.useful_kwh
    if less > NO_KWH:
        months = _months(worse, better, lambda m: -m.useful_kwh)
        limit = reader.degrees_text(project.shop.comfort.limit_c)
        name = _named(worse)
        said.append(
            f"{name[:1].upper()}{name[1:]}: {reader.heat_text(less)} less heat of use, mostly in {months}; it would "
            f"have come while the shop was not above {limit}, its comfort limit."
        )
    more = worse.whole.too_hot_h - better.whole.too_hot_h
    if more >= FEW_H:
        months = _months(worse, better, lambda m: m.too_hot_h)
        hours = f"{grouped(more)} {'hour' if round(more) == 1 else 'hours'} more too hot with {_named(worse)}"
        said.append(f"{hours}, mostly in {months}{_cause(worse, better, reader)}.")
    return said


def _cause(worse: ComfortChoice, better: ComfortChoice, reader: Reader) -> str:
    """Return which heat makes the months hotter: what came in in them and the month before, or did not go out."""
    gaps = [w.too_hot_h - b.too_hot_h for w, b in zip(worse.months, better.months, strict=True)]
    at = max(range(len(gaps)), key=gaps.__getitem__)
    pairs = [(worse.months[i], better.months[i]) for i in ((at - 1) % len(gaps), at)]
    names = " and ".join(MONTHS[w.month - 1] for w, _ in pairs)
    came = sum(w.delivered_kwh - b.delivered_kwh for w, b in pairs)
    stayed = sum(b.night_loss_kwh - w.night_loss_kwh for w, b in pairs)
    if max(came, stayed) < NO_KWH:
        return ""
    if came >= stayed:
        return f": in {names} it lets {reader.heat_text(came)} more into the shop, and floor and contents keep it"
    return f": in {names} {reader.heat_text(stayed)} less goes back out through its vents in the cool hours"


def _months(worse: ComfortChoice, better: ComfortChoice, of: Callable[[ComfortMonth], float]) -> str:
    """Return the months that hold most of a difference, by name, the year's order kept."""
    gaps = [(of(w) - of(b), w.month) for w, b in zip(worse.months, better.months, strict=True)]
    total, chosen = sum(gap for gap, _ in gaps if gap > 0.0), list[int]()
    kept = 0.0
    for gap, month in sorted(gaps, reverse=True):
        if kept >= MOST_OF * total or gap <= 0.0 or len(chosen) == 3:
            break
        chosen.append(month)
        kept += gap
    return listed([MONTHS[month - 1] for month in sorted(chosen)])


def _named(choice: ComfortChoice) -> str:
    return {
        "nothing": "nothing done",
        "as described": "the project as it stands",
        "all of these": "all of them",
        "cover": "the cover",
        "with these dates": "the new dates",
    }.get(choice.name, choice.name)


def _present(project: Project, reader: Reader) -> str:
    cover = project.wall.cover
    if cover.hung:
        days = " and ".join(f"{reader.day_text(a)} to {reader.day_text(b)}" for a, b in cover.hung)
        return f"The cover you have, {days}"
    return (
        "The cover you have, hung by its rule"
        if cover.by_rule
        else "The project as it stands, without a cover"
    )


def _figures(choice: ComfortChoice, reader: Reader) -> str:
    whole = choice.whole
    heat = f"{reader.heat_text(whole.delivered_kwh)} delivered in the year, {reader.heat_text(whole.useful_kwh)} of use"
    return f"{grouped(whole.too_hot_h)} hours too hot, {heat}"


def _verdict(now: ComfortChoice, dated: ComfortChoice, reader: Reader) -> str:
    hours = _gain("too_hot_h", -now.whole.too_hot_h, -dated.whole.too_hot_h)
    heat = _gain("useful_kwh", now.whole.useful_kwh, dated.whole.useful_kwh)
    if not hours and not heat:
        return "The model does not tell the two apart."
    if min(hours, heat) >= 0:
        return "The new dates are the better ones."
    if max(hours, heat) <= 0:
        return "What the project has does better; leave it so."
    apart = reader.heat_text(abs(dated.whole.useful_kwh - now.whole.useful_kwh))
    if hours > 0:
        return f"Fewer hours too hot, for {apart} less heat of use: yours to weigh."
    return f"{apart} more heat of use, for more hours too hot: yours to weigh."


def _worse_in_all(one: ComfortChoice, other: ComfortChoice) -> bool:
    hours = _gain("too_hot_h", -other.whole.too_hot_h, -one.whole.too_hot_h)
    heat = _gain("useful_kwh", other.whole.useful_kwh, one.whole.useful_kwh)
    return max(hours, heat) <= 0 and min(hours, heat) < 0


def _gain(key: str, before: float, after: float) -> int:
    """Return whether more is better (1), worse (-1), or not told apart (0)."""
    return 0 if not told_apart(key, after, before) else 1 if after > before else -1


def season_text(study: ComfortStudy, reader: Reader) -> str:
    """Return "4 June to 30 September"."""
    return " and ".join(f"{reader.day_text(a)} to {reader.day_text(b)}" for a, b in study.season)


def days_between(first: str, last: str) -> int:
    """Return how many days two days of the year, MM-DD, and those between them are.

    >>> days_between("05-01", "05-31"), days_between("12-31", "01-01")
    (31, 2)
    """
    begin, end = (dt.date.fromisoformat(f"2001-{day}") for day in (first, last))
    return (end - begin).days % 365 + 1


def month_day(day: float) -> str:
    """Return the day of the year (1 January: 0) as MM-DD."""
    return (dt.date(2001, 1, 1) + dt.timedelta(days=round(day) % 365)).strftime("%m-%d")
