"""A year calculated with learned values in place of assumed ones."""

from __future__ import annotations

import time as clock
from typing import TYPE_CHECKING

from noonwall.engine.simulate import (
    WITHOUT_STEP_S,
    begin,
    build_case,
    hang_by_hot_days,
    make_year,
    run,
    spread_rows,
    surroundings,
    without_wall,
)
from noonwall.logs.learn.keep import Kept, chosen, with_learned
from noonwall.logs.learn.parameters import adjusted, parameters_of

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Year
    from noonwall.model.project import Project


def learned_year(project: Project, weather: Weather, kept: tuple[Kept, ...], step_s: int = 300) -> Year:
    """Simulate as `simulate` does, with what was learned; the shop without the wall is the learned shop too.

    raises  LearningError when the learned values do not belong to this project
    """
    began = clock.perf_counter()
    around = surroundings(project, weather, step_s)
    case = with_learned(project, around, build_case(project, around), kept)
    case = hang_by_hot_days(project, around, case)
    steps = len(case.drive.out_c)
    ran = run(case, begin(case), 0, steps)
    shop_side = [item for item in kept if item.key in SHOP_SIDE]
    bare = without_wall(project, around, build_case(project, around))
    bare = adjusted(bare, *chosen(parameters_of(bare), shop_side))
    stride = max(1, WITHOUT_STEP_S // step_s)
    alone = run(bare, begin(bare), 0, steps, stride)
    spread_rows(alone.out, stride)
    return make_year(project, weather, around, case, ran, alone, clock.perf_counter() - began)


SHOP_SIDE = ("shop_loss", "air_leakage", "thermal_mass", "ground", "set_point")
