"""Warm in February, bearable in April: the same year with each way of keeping the shop cool."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.comfort import (
    ComfortMonth,
    CoverDates,
    Spread,
    comfort_months,
    cover_dates,
    spread_of,
)
from noonwall.assess.fuel import fuel_between
from noonwall.climate.monthly import ensemble
from noonwall.engine.simulate import simulate
from noonwall.studies.remedies import (
    covered,
    fans_off_on,
    not_vented_out,
    vented_out,
    warm_season,
    with_room_limit,
    without_room_limit,
)
from noonwall.studies.runner import Tell, silent, together

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.assess.fuel import FuelSaved
    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Year
    from noonwall.model.project import Project
    from noonwall.studies.remedies import Days

STEP_S, DATES_STEP_S = 300, 900  # of the ways, as in `noonwall year`; of the years that only give dates
YEARS = 10
NONE, LIMIT, OFF, COVER, VENT, ALL, DESCRIBED, DATED = (
    "nothing",
    "room limit",
    "fans off",
    "cover",
    "vent out",
    "all of these",
    "as described",
    "with these dates",
)
COLD_HALF_NORTH, COLD_HALF_SOUTH = (10, 11, 12, 1, 2, 3, 4), (4, 5, 6, 7, 8, 9, 10)


@dataclass(frozen=True)
class ComfortChoice:
    """One way of keeping the shop cool, over the year."""

    name: str
    told: str
    opens_c: float | None  # where a room limit opens; None for the other ways
    months: tuple[ComfortMonth, ...]
    whole: ComfortMonth
    given_up_kwh: float  # heat of use in the cold half of the year, against doing nothing
    burned_kwh: float  # heat the heater gives more, against doing nothing
    fuel: FuelSaved | None  # the heater's fuel for it, negative: more burned; None without a heater
    absorber_c: float  # the absorber's hottest hour of this year
    year: Year


@dataclass(frozen=True)
class ComfortStudy:
    """All that is told of the warm season."""

    choices: tuple[ComfortChoice, ...]
    season: Days  # on which fans are off, the cover hangs, the gap is vented out: soon enough in nine years of ten
    season_found: bool  # by the years below; else the usual season
    years: tuple[CoverDates, ...]  # of each made year without any remedy
    hang: Spread | None  # None when no year asks for a cover
    take_down: Spread | None
    asking: int  # years that ask for a cover
    hang_above_c: float | None  # middle of the weeks' means at those dates
    down_below_c: float | None
    figures_place: str  # whose monthly figures the years are made from

    @property
    def now(self) -> ComfortChoice:
        """The project as it stands."""
        return next((c for c in self.choices if c.name == DESCRIBED), self.choices[0])

    @property
    def dated(self) -> ComfortChoice | None:
        """The project as it stands with its cover on the season's dates; None where it hangs so, or no year asks."""
        if not self.season_found:
            return None
        name = COVER if self.now is self.choices[0] else DATED
        return next((c for c in self.choices if c.name == name), None)


def comfort_study(
    project: Project, weather: Weather, years: int = YEARS, tell: Tell = silent
) -> ComfortStudy:
    """Calculate the year with each way of keeping the shop cool, and the cover's dates over several made years.

    project  as described;  weather  the year the ways are compared in
    years    how many possible years the dates are spread over;  tell  (done, of)
    """
    bare = not_vented_out(covered(without_room_limit(project), ()))
    made = ensemble(project.site, range(1, years + 1), project.weather.months)
    south = project.site.latitude_deg < 0.0
    total = years + 8
    jobs: list[Callable[[], Year]] = [_run(bare, one, DATES_STEP_S) for one in made]
    dates = tuple(cover_dates(year, south=south) for year in together(jobs, lambda now, _: tell(now, total)))
    hang = spread_of([d.hang for d in dates if d.hang is not None])
    down = spread_of([d.take_down for d in dates if d.take_down is not None])
    found = hang is not None and down is not None
    season = warm_season(project)
    if hang is not None and down is not None:
        season = ((_month_day(hang.early_day), _month_day(down.late_day - 1.0)),)
    ways = _ways(project, bare, season)
    done = together(
        [_run(way, weather, STEP_S) for _, _, way in ways], lambda now, _: tell(years + now, total)
    )
    return ComfortStudy(
        choices=_choices(ways, done, south),
        season=season,
        season_found=found,
        years=dates,
        hang=hang,
        take_down=down,
        asking=sum(d.hang is not None for d in dates),
        hang_above_c=_middle([d.week_mean_hang_c for d in dates]),
        down_below_c=_middle([d.week_mean_down_c for d in dates]),
        figures_place=made[0].place,
    )


def _run(project: Project, weather: Weather, step_s: int) -> Callable[[], Year]:
    return lambda: simulate(project, weather, min(step_s, weather.step_s))


def _ways(project: Project, bare: Project, season: Days) -> list[tuple[str, str, Project]]:
    limit = with_room_limit(bare)
    all_three = vented_out(covered(limit, season), season)
    ways = [
        (NONE, "no limit, no cover, vents open to the shop", bare),
        (LIMIT, "stops the fans when the shop is warm", limit),
        (OFF, "switched off by hand in the season", fans_off_on(bare, season)),
        (COVER, "opaque, hung in the season", covered(bare, season)),
        (
            VENT,
            "gap open to outdoors at foot and top, shut to the shop, in the season",
            vented_out(bare, season),
        ),
        (ALL, f"{'room limit, ' if project.fans else ''}cover and vent out", all_three),
    ]
    if not project.fans:
        ways = [way for way in ways if way[0] not in (LIMIT, OFF)]
    if project != bare:
        ways.append((DESCRIBED, "the project as it stands", project))
        dated = covered(project, season)
        if dated != project:
            ways.append((DATED, "the project as it stands, its cover hung in the season", dated))
    return ways


def _choices(
    ways: list[tuple[str, str, Project]], done: list[Year], south: bool
) -> tuple[ComfortChoice, ...]:
    found: list[ComfortChoice] = []
    cold = COLD_HALF_SOUTH if south else COLD_HALF_NORTH
    for (name, told, way), year in zip(ways, done, strict=True):
        months, whole = comfort_months(year)
        base = found[0] if found else None
        useful = sum(m.useful_kwh for m in months if m.month in cold)
        before = sum(m.useful_kwh for m in base.months if m.month in cold) if base else useful
        burned = whole.backup_kwh - base.whole.backup_kwh if base else 0.0
        fuel = fuel_between(0.0, burned, way.shop.heater)
        opens_c = way.switches[-1].open if name == LIMIT else None
        hottest = year.peaks.absorber_c.value_c
        found.append(
            ComfortChoice(name, told, opens_c, months, whole, before - useful, burned, fuel, hottest, year)
        )
    return tuple(found)


def _month_day(day: float) -> str:
    return (dt.date(2001, 1, 1) + dt.timedelta(days=round(day) % 365)).strftime("%m-%d")


def _middle(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return float(np.median(known)) if known else None
