"""One wall in one year's weather, in many surroundings: heat into the shop and electricity for each of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.modules import field_year
from noonwall.assess.sums import COLD_HALF_NORTH, COLD_HALF_SOUTH
from noonwall.engine import numbers as n
from noonwall.engine.nodes import wall_numbers
from noonwall.engine.simulate import begin, build_case, hang_by_hot_days, run, surroundings
from noonwall.engine.year import J_PER_KWH
from noonwall.shade.frame import Frame
from noonwall.shade.modules import module_shade_in
from noonwall.shade.reach import Reach
from noonwall.shade.wall import shade_in

if TYPE_CHECKING:
    from collections.abc import Collection

    from noonwall.climate.weather import Weather
    from noonwall.engine.simulate import Case, Surroundings
    from noonwall.engine.year import Floats
    from noonwall.model.project import Project
    from noonwall.model.pv import PvField
    from noonwall.shade.reach import Tracer
    from noonwall.shade.record import Ints, WallShade
    from noonwall.shade.scene import Scene

MONTHS = 12
STRIPS = 4  # half as many as a year has: gains agree within half a hundredth, in two thirds of the time
Monthly = tuple[float, ...]


@dataclass(frozen=True)
class Yield:
    """What a wall and its modules give over a stretch of weather, January first; months without steps are 0."""

    heat_kwh: Monthly  # into the shop, as a year's ``delivered_kwh``
    pv_kwh: Monthly  # electricity after the inverter
    sun_kwh: Monthly  # sun that reaches the glazing
    backup_kwh: Monthly  # heat of the heater
    season: tuple[int, ...]  # months of the heating season, 1 to 12

    def less(self, other: Yield) -> Yield:
        """Return what this one gives more than another."""

        def apart(these: Monthly, those: Monthly) -> Monthly:
            return tuple(a - b for a, b in zip(these, those, strict=True))

        return Yield(
            apart(self.heat_kwh, other.heat_kwh),
            apart(self.pv_kwh, other.pv_kwh),
            apart(self.sun_kwh, other.sun_kwh),
            apart(self.backup_kwh, other.backup_kwh),
            self.season,
        )

    @cached_property
    def heat(self) -> float:
        """Heat of all months [kWh]."""
        return sum(self.heat_kwh)

    @cached_property
    def season_heat(self) -> float:
        """Heat of the heating season [kWh]."""
        return sum(self.heat_kwh[month - 1] for month in self.season)

    @cached_property
    def pv(self) -> float:
        """Electricity of all months [kWh]."""
        return sum(self.pv_kwh)

    @cached_property
    def backup(self) -> float:
        """Heat of the heater over all months [kWh]."""
        return sum(self.backup_kwh)

    @property
    def worth(self) -> float:
        """Heat of the heating season and electricity of all months, a kilowatt-hour for a kilowatt-hour."""
        return self.season_heat + self.pv


class Trial:
    """A project in one stretch of weather, ready to be calculated in other surroundings."""

    def __init__(self, project: Project, weather: Weather, step_s: int, years_on: float = 0.0) -> None:
        """Prepare all that does not change with the surroundings."""
        self.project, self.frame = project, Frame.of(project.wall)
        self.around: Surroundings = surroundings(project, weather, step_s)
        self.case: Case = hang_by_hot_days(
            project, self.around, build_case(project, self.around, STRIPS, years_on)
        )
        north = project.site.latitude_deg >= 0.0
        self.season = COLD_HALF_NORTH if north else COLD_HALF_SOUTH
        self.month: Ints = self.around.fine.time.astype("datetime64[M]").astype(np.int64) % MONTHS

    def given(self, scene: Scene, tracer: Tracer = Reach, gone: Collection[str] = ()) -> Yield:
        """Return what wall and modules give in a scene.

        tracer  what traces its shade; one that knows a like scene is quicker
        gone    names of what is taken out of the scene; modules that are gone give nothing
        """
        scene = scene.without(gone)
        case = self._shaded(shade_in(scene, self.frame, self.around.course, STRIPS, tracer))
        ran = run(case, begin(case), 0, len(case.drive.out_c))
        electric = np.zeros(MONTHS)
        for field in self.project.pv:
            if field.name not in gone:
                electric += self._field_kwh(scene, field, tracer)
        return Yield(
            heat_kwh=self._monthly(ran.out[:, n.DELIVERED]),
            pv_kwh=tuple(float(kwh) for kwh in electric),
            sun_kwh=self._monthly(ran.out[:, n.SUN]),
            backup_kwh=self._monthly(ran.out[:, n.BACKUP]),
            season=self.season,
        )

    def _shaded(self, shade: WallShade) -> Case:
        wall = wall_numbers(self.project, STRIPS, float(shade.sky_view.mean()))
        drive = self.case.drive._replace(
            beam_share=shade.beam_share,
            sky_view=shade.sky_view,
            horizon_view=shade.horizon_view,
            ground_share=shade.ground_share,
            ground_view=shade.ground_sky,
        )
        return self.case._replace(wall=wall, drive=drive)

    def _field_kwh(self, scene: Scene, field: PvField, tracer: Tracer) -> Floats:
        course, fine = self.around.course, self.around.fine
        shade = module_shade_in(scene, self.project, field, course, tracer)
        return np.array(field_year(self.project, field, course, fine, shade=shade).month_kwh)

    def _monthly(self, power_w: Floats) -> Monthly:
        sums = np.bincount(self.month, weights=power_w, minlength=MONTHS)
        return tuple(float(joule) for joule in sums * self.around.course.step_s / J_PER_KWH)
