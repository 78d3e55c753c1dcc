"""What the wall loses at night, and what a flap saves: the same year with each way of stopping the air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.assess.condensation import Condensation, condensation
from noonwall.assess.fuel import FuelSaved, fuel_between
from noonwall.assess.night import NightLoss, night_loss
from noonwall.engine.simulate import simulate
from noonwall.studies.remedies import NIGHT, shuttered, with_flap, without_flap
from noonwall.studies.runner import Tell, silent, together

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

WORN_LEAK, DAMPER_PA = 0.15, 10.0  # a warped film; a metal back-draft damper; common practice, no source
NO_FLAP, DESCRIBED, FILM, WORN, DAMPER, SHUT = (
    "nothing stops the air",
    "as described",
    "film flap",
    "worn film flap",
    "metal damper",
    "shut by hand",
)


@dataclass(frozen=True)
class NightChoice:
    """One way of stopping the air at night, over the year."""

    name: str
    told: str  # what it is, for a reader
    opening_pa: float | None  # pressure that lifts its flap; None without one
    lost_kwh: float
    delivered_kwh: float
    useful_kwh: float
    backup_kwh: float
    saved_kwh: float  # heat not lost, against nothing stopping the air
    fuel: FuelSaved | None  # the heater's fuel not burned, against the same; None without a heater
    year: Year


@dataclass(frozen=True)
class NightStudy:
    """All that is told of the nights."""

    has_flap: bool  # the project describes one
    loss: NightLoss  # of the wall as described
    wet: Condensation  # of the wall as described
    wet_with_flap: Condensation  # with the film flap, or the project's own
    choices: tuple[NightChoice, ...]  # nothing at all first, then as described where that is something else
    described: NightChoice
    best: NightChoice  # least heat burned, or, without a heater, most heat of use less heat lost


def night_study(project: Project, weather: Weather, step_s: int = 300, tell: Tell = silent) -> NightStudy:
    """Calculate the year with each way of stopping reversed flow.

    project  as described;  weather  any stretch;  step_s  step of the calculation [s];  tell  (done, of)
    """
    ways = _ways(project)
    jobs: list[Callable[[], Year]] = [_run(way, weather, step_s) for _, _, way in ways]
    years = together(jobs, tell)
    bare = years[0].whole()
    heater = project.shop.heater
    choices = []
    for (name, told, way), year in zip(ways, years, strict=True):
        whole = year.whole()
        fuel = fuel_between(bare.backup_kwh, whole.backup_kwh, heater)
        saved = bare.night_loss_kwh - whole.night_loss_kwh
        choices.append(
            NightChoice(
                name,
                told,
                way.wall.flap.opening_pa if way.wall.flap else None,
                whole.night_loss_kwh,
                whole.delivered_kwh,
                whole.useful_kwh,
                whole.backup_kwh,
                saved,
                fuel,
                year,
            )
        )
    has_flap = project.wall.flap is not None
    described = next((c for c in choices if c.name == DESCRIBED), choices[0])
    flapped = described if has_flap else next(c for c in choices if c.name == FILM)
    return NightStudy(
        has_flap=has_flap,
        loss=night_loss(described.year),
        wet=condensation(described.year, project),
        wet_with_flap=condensation(flapped.year, project),
        choices=tuple(choices),
        described=described,
        best=min(choices, key=lambda c: c.backup_kwh if heater else c.lost_kwh - c.useful_kwh),
    )


def _run(project: Project, weather: Weather, step_s: int) -> Callable[[], Year]:
    return lambda: simulate(project, weather, step_s)


def _ways(project: Project) -> list[tuple[str, str, Project]]:
    """Return (name, what it is, project) of each way, nothing at all first."""
    bare = shuttered(without_flap(project), ())
    usual = with_flap(bare)
    ways = [(NO_FLAP, "vents open day and night", bare)]
    own = project.wall.flap is not None or bool(project.wall.vents.shut_hours)
    if own:
        ways.append((DESCRIBED, _own_words(project), project))
    if project.wall.flap is None:
        leak = f"{100.0 * (usual.wall.flap.leak_share if usual.wall.flap else 0.0):.0f} %"
        ways.append((FILM, f"thin film on a mesh, leaks {leak} of its opening", usual))
    worn = with_flap(with_flap(bare), leak_share=WORN_LEAK)
    ways.append((WORN, f"the same, warped: leaks {100.0 * WORN_LEAK:.0f} %", worn))
    ways.append((DAMPER, "spring-loaded", with_flap(bare, opening_pa=DAMPER_PA)))
    if not project.wall.vents.shut_hours:
        ways.append((SHUT, "every day " + " and ".join(f"{a} to {b}" for a, b in NIGHT), shuttered(bare)))
    return ways


def _own_words(project: Project) -> str:
    flap, hours = project.wall.flap, project.wall.vents.shut_hours
    parts = []
    if flap is not None:
        stuck = "" if flap.stuck == "no" else f", stuck {flap.stuck}"
        parts.append(f"flap in the {flap.row} row, leaks {100.0 * flap.leak_share:.0f} %{stuck}")
    if hours:
        parts.append("shut " + " and ".join(f"{a} to {b}" for a, b in hours))
    return "; ".join(parts)
