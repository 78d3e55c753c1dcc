"""Two to eight ways of building or running a wall, side by side over the same year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from noonwall.assess.condensation import condensation
from noonwall.assess.fuel import fuel_saved
from noonwall.assess.hot import hours_above
from noonwall.assess.january import midwinter_month
from noonwall.assess.pieces import FRAME, STUDS, pieces_of
from noonwall.assess.sums import warm_hours
from noonwall.climate.load import load_weather
from noonwall.engine.inside import simulate_inside
from noonwall.engine.simulate import simulate
from noonwall.errors import ProjectError
from noonwall.studies.change import Varied
from noonwall.studies.hot import with_dated_cover
from noonwall.studies.runner import Tell, silent, together
from noonwall.studies.worst import STEP_S, worst_year

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.assess.fuel import FuelSaved
    from noonwall.climate.weather import Weather
    from noonwall.engine.inside import Inside
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

MOST = 8
BASE = "as described"
WOOD_C = 77.0  # the limit of wood in lasting heat; see the catalogue of limits
REMEDIES = (
    ("flap", ("flap",)),
    ("shutters", ("shutters",)),
    ("room limit", ("room limit",)),
    ("cover", ("cover",)),
    ("vent out", ("vent out",)),
    ("metal frame", ("metal frame",)),
    ("together", ("flap", "room limit", "cover", "vent out", "metal frame")),
)
Better = Literal["more", "less"]
SAME_SHARE = 0.01  # closer than this the model does not tell two ways apart


@dataclass(frozen=True)
class Compared:
    """One way over the year."""

    name: str
    changes: tuple[str, ...]
    delivered_kwh: float
    useful_kwh: float
    night_loss_kwh: float
    fan_kwh: float
    fan_starts: float
    warm_h: float
    winter_mean_c: float
    too_hot_h: float
    backup_kwh: float | None  # None without a heater
    fuel: FuelSaved | None  # against the same shop without the wall
    frost_h: float  # dew and frost on the glazing
    hottest_c: float  # absorber in the worst credible hours, everything working
    wood_h: (
        float  # hours of the year in which combustible frame or studs stand above 77 °C, as `hot` counts them
    )
    room_hottest_c: float


@dataclass(frozen=True)
class Measure:
    """One row of the comparison."""

    key: str  # attribute of `Compared`
    better: Better


MEASURES = (
    Measure("delivered_kwh", "more"),
    Measure("useful_kwh", "more"),
    Measure("night_loss_kwh", "less"),
    Measure("backup_kwh", "less"),
    Measure("warm_h", "more"),
    Measure("winter_mean_c", "more"),
    Measure("too_hot_h", "less"),
    Measure("room_hottest_c", "less"),
    Measure("fan_kwh", "less"),
    Measure("fan_starts", "less"),
    Measure("frost_h", "less"),
    Measure("hottest_c", "less"),
    Measure("wood_h", "less"),
)


@dataclass(frozen=True)
class CompareStudy:
    """Ways side by side, the first as described."""

    ways: tuple[Compared, ...]
    winter_month: int
    already: tuple[str, ...] = ()  # ways that were asked for and change nothing: left out

    def value(self, measure: Measure, way: int) -> float | None:
        """Return one figure; None where it does not exist."""
        value: float | None = getattr(self.ways[way], measure.key)
        return value

    def verdict(self, measure: Measure, way: int) -> Literal["better", "worse", "same"]:
        """Return how a way stands against the first one; within a hundredth of the larger they are the same."""
        value, base = self.value(measure, way), self.value(measure, 0)
        if value is None or base is None:
            return "same"
        if not told_apart(measure.key, value, base):
            return "same"
        return "better" if (value > base) == (measure.better == "more") else "worse"


def told_apart(key: str, value: float, base: float, size: float = 0.0) -> bool:
    """Whether two figures differ by more than the model tells apart.

    key   of a measure;  value, base  the figures, in its unit
    size  what the share is taken of where it is more than both: a difference is as sure as what it is made of
    """
    return abs(value - base) > max(SAME_SHARE * max(abs(value), abs(base), size), _least(key))


def _least(key: str) -> float:
    """Return the smallest difference that is worth a word, in the measure's unit."""
    return {"winter_mean_c": 0.1, "hottest_c": 1.0, "room_hottest_c": 0.2, "fan_kwh": 1.0}.get(key, 2.0)


def compare_study(
    project: Project, variants: Sequence[Varied], weather: Weather, step_s: int = 300, tell: Tell = silent
) -> CompareStudy:
    """Calculate every way over the same year and set them side by side.

    project   as described, the first way;  variants  one to seven others
    weather   of the project; a variant that moves the site or names other weather gets its own
    step_s    step of the calculation [s];  tell  (done, of)
    Raises    ProjectError for no variant or too many
    """
    if not 1 <= len(variants) < MOST:
        raise ProjectError(f"{len(variants)} variants: wanted 1 to {MOST - 1} beside the project itself")
    already = tuple(way.name for way in variants if way.project == project)
    already = already if len(already) < len(variants) else ()
    ways = [Varied(BASE, (), project), *(way for way in variants if way.name not in already)]
    jobs: list[Callable[[], Compared]] = [_job(way, project, weather, step_s) for way in ways]
    done = together(jobs, tell)
    return CompareStudy(tuple(done), midwinter_month(project.site.latitude_deg), already)


def _job(way: Varied, base: Project, weather: Weather, step_s: int) -> Callable[[], Compared]:
    def run() -> Compared:
        moved = way.project.site != base.site or way.project.weather != base.weather
        own = load_weather(way.project, ".") if moved else weather
        year = simulate(way.project, own, step_s)
        worst = worst_year(way.project, own)
        return _compared(
            way, year, simulate_inside(worst.project, worst.weather, STEP_S), _wood_hours(way, own)
        )

    return run


def _wood_hours(way: Varied, weather: Weather) -> float:
    """Return the hours a year above what wood bears for long, counted as the study of the worst hours counts them."""
    wood = [piece for piece in pieces_of(way.project) if piece.burns and piece.name in (FRAME, STUDS)]
    if not wood:
        return 0.0
    usual = simulate_inside(with_dated_cover(way.project, weather), weather, STEP_S)
    return max(hours_above(piece.of(usual), WOOD_C, usual.step_s) for piece in wood)


def _compared(way: Varied, year: Year, worst: Inside, wood_h: float) -> Compared:
    project = way.project
    whole, winter = year.whole(), midwinter_month(project.site.latitude_deg)
    month = next((m for m in year.months() if m.month == winter), whole)
    wet = condensation(year, project).whole
    face = next(piece for piece in pieces_of(project) if piece.name.startswith("absorber"))
    heater = project.shop.heater
    return Compared(
        name=way.name,
        changes=way.changes,
        delivered_kwh=whole.delivered_kwh,
        useful_kwh=whole.useful_kwh,
        night_loss_kwh=whole.night_loss_kwh,
        fan_kwh=whole.fan_kwh,
        fan_starts=float(whole.fan_starts),
        warm_h=warm_hours(year).with_wall_h,
        winter_mean_c=month.shop_mean_c,
        too_hot_h=whole.too_hot_hours,
        backup_kwh=whole.backup_kwh if heater else None,
        fuel=fuel_saved(whole, heater),
        frost_h=wet.dew_h + wet.frost_h,
        hottest_c=float(np.max(face.of(worst))),
        wood_h=wood_h,
        room_hottest_c=whole.shop_max_c,
    )
