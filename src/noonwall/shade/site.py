"""The story from a described site to plain shapes: every obstacle, board and trunk in the wall's axes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model import obstacle as described
from noonwall.model.species import day_number
from noonwall.shade.frame import Frame
from noonwall.shade.plants import draw_row, draw_stand, draw_tree
from noonwall.shade.scene import ALWAYS, Draft
from noonwall.shade.sketch import Sketch
from noonwall.shade.works import draw_awning, draw_building, draw_modules, draw_post, draw_wing

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.shade.scene import Scene

OVERHANG = "overhang"


def scene_of(project: Project, years_on: float = 0.0) -> Scene:
    """Return the shapes of everything that can shade the wall or its surroundings.

    years_on  years of growth to add to what is described [a]
    Raises    ProjectError naming the obstacle whose place or height does not come out
    """
    draft = Draft()
    site = Sketch(project, Frame.of(project.wall), draft, years_on)
    if project.wall.overhang is not None and project.wall.overhang.depth_m > 0.0:
        hang = project.wall.overhang
        draw_awning(site, OVERHANG, hang.depth_m, hang.above_m, hang.side_m)
    for item in project.obstacles:
        try:
            _draw(site, item)
        except ProjectError as error:
            raise ProjectError(f'obstacle "{item.name}": {error}') from None
    for field in project.pv:
        try:
            draw_modules(site, field)
        except ProjectError as error:
            raise ProjectError(f'pv "{field.name}": {error}') from None
    return draft.done(project.site.horizon)


def _draw(site: Sketch, item: described.Obstacle) -> None:
    owner = site.draft.owner(item.name) if not isinstance(item, described.Awning) else ALWAYS
    match item:
        case described.Tree():
            draw_tree(site, owner, item)
        case described.Row():
            draw_row(site, owner, item)
        case described.Stand():
            draw_stand(site, owner, item)
        case described.Building():
            draw_building(site, owner, item)
        case described.Awning():
            stretches = tuple((day_number(first), day_number(last)) for first, last in item.hung)
            draw_awning(
                site, item.name, item.depth_m, item.above_m, item.side_m,
                gap_m=item.gap_m, tilt_deg=item.tilt_deg, passes=item.passes, hung=stretches,
            )  # fmt: skip
        case described.Post():
            draw_post(site, owner, item)
        case described.WingWall():
            draw_wing(site, owner, item)
        case described.Slope():
            east, north = (f(math.radians(item.uphill_deg)) for f in (math.sin, math.cos))
            along, out = site.flat(east, north)
            rise = math.tan(math.radians(item.rise_deg))
            site.draft.slope, site.draft.slope_owner = (rise * along, rise * out), owner
