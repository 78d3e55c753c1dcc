"""Trials: the engine under the measured weather and the measured fan, with any values of the parameters."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from os import cpu_count
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine import numbers as n
from noonwall.engine.corrections import obstacle_groups, shade_between
from noonwall.engine.drive import days_of, deep_ground_c
from noonwall.engine.nodes import STRIPS
from noonwall.engine.simulate import (
    WHOLE_YEAR_DAYS,
    Case,
    begin,
    build_case,
    hang_by_hot_days,
    run,
    surroundings,
    without_wall,
)
from noonwall.logs.learn.parameters import OUTDOOR_SENSOR, START, adjusted, parameters_of, shade_parameter
from noonwall.logs.learn.readings import DAY_S, HOUR_S, held
from noonwall.logs.runs import row_switch
from noonwall.shade.frame import Frame
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.climate.weather import Weather
    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Surroundings
    from noonwall.logs.learn.parameters import Parameter
    from noonwall.logs.learn.readings import Measured
    from noonwall.model.project import Project

GAS_J_KGK = 287.055
MOVING_KG_S = 0.01  # air that stands still tells nothing of the air that leaves the wall


class Trials:
    """A project under the weather of its readings, ready to be run with other values."""

    def __init__(
        self,
        project: Project,
        weather: Weather,
        measured: Measured,
        *,
        wall: bool = True,
        given_heat: bool = False,
        outdoors_read: bool = True,
        usual: Weather | None = None,
    ) -> None:
        """Prepare all that does not change from trial to trial.

        weather     covers the readings' steps exactly;  wall  False: a shop without a glazed wall
        given_heat  the measured heat of the backup is put in, instead of a thermostat's
        outdoors_read   air outdoors is a thermometer's, with an error of its own
        usual       a whole year of the place's weather: a shorter stretch does not tell how cold the deep ground is
        """
        self.measured = measured
        self.around: Surroundings = surroundings(project, weather, measured.step_s)
        case = build_case(project, self.around)
        case = (
            hang_by_hot_days(project, self.around, case) if wall else without_wall(project, self.around, case)
        )
        case = _with_cover(case, measured)
        if usual is not None and measured.days < WHOLE_YEAR_DAYS:
            case = _with_deep_ground(case, project, self.around, usual)
        self.parameters: tuple[Parameter, ...] = parameters_of(case)
        if wall:
            self.parameters += obstacles(project, self.around)
        if given_heat:
            case = _with_heat(case, measured)
            self.parameters += (START,)
        if given_heat or measured.backup_w is None:
            self.parameters = tuple(p for p in self.parameters if p.key != "set_point")
        if outdoors_read:
            self.parameters += (OUTDOOR_SENSOR,)
        self.case = case
        if wall and measured.fan_share is not None:
            self.case = self._with_fan(case, measured.fan_share)

    def _with_fan(self, case: Case, share: Floats) -> Case:
        """Let the fans run when they were seen to run; where nobody looked, when the project's switches say so."""
        known = np.isfinite(share)
        if not known.all():
            usual = run(case, begin(case), 0, len(share)).out[:, n.FAN_SHARE]
            share = np.where(known, share, usual)
        return driven_fan(case, share)

    def rows(self, x: Floats, which: Sequence[Parameter] | None = None) -> Floats:
        """Return the kernel's columns with the parameters at x, shape (steps, columns)."""
        case = adjusted(self.case, self.parameters if which is None else which, x)
        return run(case, begin(case), 0, len(case.drive.out_c)).out

    def channels(self, x: Floats) -> dict[str, Floats]:
        """Return what each measured channel should show with the parameters at x, shape (steps,)."""
        return seen(self.rows(x), self.case.drive.pressure_pa, self.measured)


def seen(out: Floats, pressure_pa: Floats, measured: Measured) -> dict[str, Floats]:
    """Return what the measured channels should show by a run's columns."""
    moving = out[:, n.FLOW] > MOVING_KG_S
    warm = out[:, n.GAP_TOP]
    density = pressure_pa / (GAS_J_KGK * (warm + 273.15))
    every = {
        "room_c": out[:, n.ROOM],
        "gap_bottom_c": out[:, n.GAP_BOTTOM],
        "gap_top_c": warm,
        "vent_c": np.where(moving, warm, np.nan),
        "flow_m3_s": np.where(moving, out[:, n.FLOW] / density, np.nan),
        "backup_w": out[:, n.BACKUP],
    }
    return {name: every[name] for name in measured.channels() if name in every}


def driven_fan(case: Case, share: Floats) -> Case:
    """Return a case whose fans run in the given share of each step, whatever its switches say, shape (n,)."""
    steps = len(share)
    return case._replace(
        switches=row_switch(case),
        air=case.air._replace(pv_free=0),
        drive=case.drive._replace(rows=held(share).reshape(1, steps), mains=np.ones(steps)),
    )


def obstacles(project: Project, around: Surroundings) -> tuple[Parameter, ...]:
    """Return the shade of named obstacles as parameters, group by group; what never shades the wall is left out."""
    groups = obstacle_groups(project)
    if not groups:
        return ()
    scene, frame = scene_of(project), Frame.of(project.wall)
    full = shade_in(scene, frame, around.course, STRIPS)
    sun = np.maximum(around.plane.beam, 0.0)
    found = []
    for name, gone in groups.items():
        bare = shade_in(scene.without(gone), frame, around.course, STRIPS)
        taken = float(((bare.beam_share - full.beam_share).mean(axis=1) * sun).sum() / max(sun.sum(), 1.0))
        if taken > LEAST_SHADE:
            found.append(shade_parameter(shade_between(name, full, bare)))
    return tuple(found)


LEAST_SHADE = 0.002  # share of the beam on the wall below which a shade cannot be told


def _with_cover(case: Case, measured: Measured) -> Case:
    """Hang the cover when it was seen to hang."""
    if measured.cover_share is None:
        return case
    through = float(case.drive.pass_share.min())
    through = through if through < 1.0 else 0.0
    known = np.isfinite(measured.cover_share)
    hung = 1.0 - (1.0 - through) * np.where(known, measured.cover_share, 0.0)
    passed = np.where(known, hung, case.drive.pass_share)
    return case._replace(drive=case.drive._replace(pass_share=passed))


def _with_heat(case: Case, measured: Measured) -> Case:
    """Put the measured heat in and take the thermostat out; all begins as warm as the air's first day."""
    heat = measured.backup_w if measured.backup_w is not None else np.zeros(measured.steps)
    gains = case.drive.gains_w + np.where(np.isfinite(heat), heat, 0.0)
    known = measured.room_c[np.isfinite(measured.room_c)]
    start_c = float(known[: DAY_S // measured.step_s].mean())
    return case._replace(
        drive=case.drive._replace(gains_w=gains),
        shop=case.shop._replace(heater_w=0.0, heater_set_c=start_c),
    )


def _with_deep_ground(case: Case, project: Project, around: Surroundings, usual: Weather) -> Case:
    """Let the deep ground be as the place's whole year has it on these dates."""
    year = surroundings(project, usual, HOUR_S).fine
    curve = np.zeros(366)
    curve[days_of(year.time)] = deep_ground_c(year)
    curve[-1] = curve[-1] or curve[-2]
    return case._replace(drive=case.drive._replace(deep_c=curve[days_of(around.fine.time)]))


def together(jobs: Sequence[Floats], trials: Trials) -> list[dict[str, Floats]]:
    """Run several trials side by side, in their order."""
    with ThreadPoolExecutor(max_workers=max(1, min(len(jobs), cpu_count() or 1))) as pool:
        waiting = [pool.submit(trials.channels, x) for x in jobs]
        try:
            return [item.result() for item in waiting]
        except BaseException:
            pool.shutdown(wait=True, cancel_futures=True)
            raise
