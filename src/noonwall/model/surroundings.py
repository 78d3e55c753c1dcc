"""Whether what stands around the wall can be: places, heights, rows, skyline, modules."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.convert import Fault, dotted
from noonwall.model.obstacle import Awning, Building, Post, Row, Slope, Stand, Tree, WingWall
from noonwall.model.place import Placed
from noonwall.model.species import day_number, species_of
from noonwall.model.survey import ground_at, height_of, spot_of
from noonwall.units import quoted
from noonwall.units import show as plain_show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from noonwall.model.lines import Path
    from noonwall.model.obstacle import Foliage, Obstacle
    from noonwall.model.project import Project
    from noonwall.model.pv import PvField
    from noonwall.units import Show

WIDEST_GAP_DEG = 90.0
FEWEST_CORNERS = 3
RESERVED = ("overhang", "skyline")  # names under which the wall's own overhang and the horizon are told


def check_site(project: Project) -> None:
    """Stop at the first thing around the wall that cannot be.

    Raises  ProjectError, one line with the key and what would be right
    """
    for fault in site_faults(project):
        raise ProjectError(f"{dotted(fault.path)}: {fault.text}")


def site_faults(project: Project, show: Show = plain_show) -> Iterator[Fault]:
    """Yield everything around the wall that cannot be, each with the key to mend.

    show  tells a quantity in the reader's units
    """
    yield from _skyline(project)
    slopes = [i for i, item in enumerate(project.obstacles) if isinstance(item, Slope)]
    if len(slopes) > 1:
        yield Fault(("obstacle", slopes[1]), "there is a slope already; the ground can have but one")
    for i, item in enumerate(project.obstacles):
        path: Path = ("obstacle", i)
        if item.name.strip() in RESERVED:
            yield Fault(
                (*path, "name"), f"{quoted(item.name)} is what the program itself calls a part; take another"
            )
        if _from_nowhere(project, item):
            continue
        try:
            yield from _obstacle(project, item, path, show)
        except ProjectError as error:
            yield Fault(path, f"{quoted(item.name)} {error}")
    names = {item.name.strip() for item in project.obstacles}
    for i, field in enumerate(project.pv):
        path = ("pv", i)
        if field.name.strip() in names:
            yield Fault((*path, "name"), f"{quoted(field.name)} is an obstacle's name already")
        if _from_nowhere(project, field):
            continue
        try:
            yield from _modules(project, field, path, show)
        except ProjectError as error:
            yield Fault(path, f"{quoted(field.name)} {error}")


def _from_nowhere(project: Project, item: object) -> bool:
    """Return whether something is sighted from a standing point that is not there; that is told elsewhere."""
    known = {point.name for point in project.standing_points}
    return isinstance(item, Placed) and item.seen_from is not None and item.seen_from not in known


def _skyline(project: Project) -> Iterator[Fault]:
    if project.site.horizon and project.site.horizon_file is not None:
        yield Fault(("site", "horizon_file"), "there is site.horizon too; keep one of the two")
    for told in skyline_faults(project.site.horizon):
        yield Fault(("site", "horizon"), told)


def skyline_faults(points: tuple[tuple[float, float], ...]) -> Iterator[str]:
    """Yield what keeps a skyline from going round: a stretch without a point wider than a quarter.

    points  (azimuth, elevation) pairs [deg]; none: a level horizon, which is fine
    """
    turns = sorted(azimuth % 360.0 for azimuth, _ in points)
    for here, there in zip(turns, turns[1:] + turns[:1], strict=True):
        gap = (there - here) % 360.0 or (360.0 if len(turns) == 1 else 0.0)
        if gap > WIDEST_GAP_DEG:
            yield (
                f"does not go round: no point between {here:g} and {there:g} deg; add some there, "
                "elevation 0 where it is open"
            )
            return


def _obstacle(project: Project, item: Obstacle, path: Path, show: Show) -> Iterator[Fault]:
    if isinstance(item, Placed):
        yield from _place(project, item, item.name, path, show)
    if isinstance(item, Tree | Row | Stand):
        yield from _foliage(item, path)
    match item:
        case Tree():
            yield from _tall(item, path, (item.crown_base_m, height_of(project, item, item.height_m)), show)
        case Row():
            yield from _row(item, path, show)
        case Stand():
            yield from _stand(item, path)
        case Building():
            yield from _building(item, path, show)
        case Awning() | WingWall():
            yield from _board(project, item, path)
        case Post():
            height_of(project, item, item.height_m)
        case Slope():
            pass


def _place(project: Project, item: Placed, name: str, path: Path, show: Show) -> Iterator[Fault]:
    spot = spot_of(project, item)
    along, out = _from_wall(project, spot.east_m, spot.north_m)
    if _inside_shop(project, along, out):
        told = (
            f"{quoted(name)} stands inside the shop, {show(-out, 'length')} behind the wall; "
            "east and north are counted from the middle of the wall's foot, west and south are negative"
        )
        yield Fault(path, told)


def _board(project: Project, item: Awning | WingWall, path: Path) -> Iterator[Fault]:
    if isinstance(item, WingWall):
        if item.top_m <= item.bottom_m:
            yield Fault((*path, "top"), "must lie above bottom")
        return
    if item.depth_m <= item.gap_m:
        yield Fault((*path, "depth"), "must be more than gap, or nothing is left of the awning")
    if project.wall.width_m + 2.0 * item.side_m <= 0.0:
        yield Fault((*path, "side"), "takes away more than the whole width of the glazing")


def _from_wall(project: Project, east_m: float, north_m: float) -> tuple[float, float]:
    """Return (along, out) of a place [m]."""
    turn = math.radians(project.wall.azimuth_deg)
    out_east, out_north = math.sin(turn), math.cos(turn)
    return east_m * out_north - north_m * out_east, east_m * out_east + north_m * out_north


def _inside_shop(project: Project, along_m: float, out_m: float) -> bool:
    """Return whether a place is inside the shop whichever of its sides the wall is on."""
    shortest = min(project.shop.length_m, project.shop.width_m)
    return abs(along_m) < 0.5 * shortest and -shortest < out_m < 0.0


def _foliage(item: Foliage, path: Path) -> Iterator[Fault]:
    row = species_of(item)
    for key, day in (("leaf_out", item.leaf_out), ("leaf_fall", item.leaf_fall)):
        if day is not None:
            try:
                day_number(day)
            except ProjectError as error:
                yield Fault((*path, key), str(error))
    in_leaf = row.passes_in_leaf if item.passes_in_leaf is None else item.passes_in_leaf
    if item.passes_bare is not None and item.passes_bare < in_leaf:
        told = f"{item.passes_bare:.0%} when bare is less than the {in_leaf:.0%} in leaf; are they swapped?"
        yield Fault((*path, "passes_bare"), told)


def _tall(item: Tree | Row, path: Path, crown_m: tuple[float | None, float], show: Show) -> Iterator[Fault]:
    base_m, height_m = crown_m
    if base_m is not None and base_m >= height_m:
        base, top = show(base_m, "length"), show(height_m, "length")
        told = f"the lowest branches, at {base}, are not below the top, {top}"
        yield Fault((*path, "crown_base"), told)
    if item.topped_m is not None and base_m is not None and item.topped_m <= base_m:
        told = "cut below the lowest branches nothing of the crown is left; take the tree out instead"
        yield Fault((*path, "topped"), told)


def _row(row: Row, path: Path, show: Show) -> Iterator[Fault]:
    if row.low_m > row.high_m:
        yield Fault((*path, "height_low"), "is above height_high; are they swapped?")
    yield from _tall(row, path, (row.crown_base_m, min(row.low_m, row.high_m)), show)
    between = row.row_spacing_m or row.spacing_m
    tight = row.spacing_m if row.rows == 1 else min(row.spacing_m, between)
    if row.crown_width_m > tight:
        told = (
            f"crowns {show(row.crown_width_m, 'length')} wide do not fit {show(tight, 'length')} apart; give "
            'the width they leave each other, or describe a closed belt as kind = "stand"'
        )
        yield Fault((*path, "crown_width"), told)
    if _steps(row.line) < 1:
        yield Fault((*path, "line"), "needs two points at least, [[east, north], [east, north]]")


def _steps(line: tuple[tuple[float, float], ...]) -> int:
    """Return how many steps of a line have a length."""
    return sum(math.dist(a, b) > 1e-6 for a, b in pairwise(line))


def _stand(stand: Stand, path: Path) -> Iterator[Fault]:
    if stand.low_m > stand.high_m:
        yield Fault((*path, "height_low"), "is above height_high; are they swapped?")
    if stand.crown_base_m >= stand.high_m:
        yield Fault((*path, "crown_base"), "the lowest branches are not below the highest tips")
    if stand.outline and (stand.line or stand.depth_m is not None):
        yield Fault((*path, "outline"), "there is a line or a depth too; keep one of the two ways")
    elif stand.outline and len(stand.outline) < FEWEST_CORNERS:
        yield Fault((*path, "outline"), "needs three points at least, [[east, north], ...]")
    elif not stand.outline and (_steps(stand.line) < 1 or stand.depth_m is None):
        yield Fault(path, f"{quoted(stand.name)} needs a line of two points and a depth, or an outline")


def _building(house: Building, path: Path, show: Show) -> Iterator[Fault]:
    if house.roof != "flat" and house.ridge_m is None:
        yield Fault((*path, "ridge"), f"missing; a {house.roof} roof has a height of its ridge")
    elif house.ridge_m is not None and house.ridge_m < house.eaves_m:
        told = f"{show(house.ridge_m, 'length')} is below the eaves, {show(house.eaves_m, 'length')}"
        yield Fault((*path, "ridge"), told)


def _modules(project: Project, field: PvField, path: Path, show: Show) -> Iterator[Fault]:
    spot = spot_of(project, field)
    if (field.lower_edge_m is None) == (field.lower_edge_above_glazing_m is None):
        yield Fault((*path, "lower_edge"), "give either lower_edge or lower_edge_above_glazing")
        return
    low = spot.ground_m + (field.lower_edge_m or 0.0)
    if field.lower_edge_above_glazing_m is not None:
        low = project.wall.foot_m + project.wall.height_m + field.lower_edge_above_glazing_m
    ground = ground_at(project, spot.east_m, spot.north_m)
    if low < ground - 1e-6:
        key = "lower_edge" if field.lower_edge_m is not None else "lower_edge_above_glazing"
        told = (
            f"the modules would reach {show(ground - low, 'length')} below the ground; raise the lower edge"
        )
        yield Fault((*path, key), told)
    yield from _strings(field, path)


def _strings(field: PvField, path: Path) -> Iterator[Fault]:
    numbers = [number for string in field.string_modules for number in string]
    wrong = next((n for n in numbers if not 1 <= n <= field.modules), None)
    if wrong is not None:
        yield Fault((*path, "strings"), f"there is no module {wrong}; they count from 1 to {field.modules}")
    elif len(set(numbers)) < len(numbers):
        twice = next(n for n in numbers if numbers.count(n) > 1)
        yield Fault((*path, "strings"), f"module {twice} is wired twice")
    elif any(not string for string in field.string_modules):
        yield Fault((*path, "strings"), "a string without modules; leave it out")
