"""Trees, rows and stands as crowns, trunks and bodies of foliage."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.species import Leafage, form_of, leafage
from noonwall.model.survey import Spot, ground_at, height_of, spot_of
from noonwall.shade import bodies
from noonwall.shade.leaves import thickness, thickness_per_m
from noonwall.shade.scene import Block, Crown, Pole

if TYPE_CHECKING:
    from noonwall.model.obstacle import Row, Stand, Tree
    from noonwall.shade.sketch import Sketch

GOLDEN = 0.6180339887498949
FADING_LAYERS = 3
WOOD_DEPTH_M = 10.0


@dataclass(frozen=True)
class Grown:
    """A tree's measures after some years."""

    tip_m: float
    base_m: float
    cut_m: float
    radius_m: float


def grown(
    height_m: float,
    base_m: float | None,
    width_m: float,
    growth_m: float,
    full_m: float | None,
    topped_m: float | None,
    form: str,
) -> Grown:
    """Return a tree's measures after growing by ``growth_m``: wider in proportion, lowest branches in place.

    height_m, base_m, width_m  as measured; a base of None is a tenth (conifer) or a fifth of the height
    full_m, topped_m           height at which growth ends; height at which the top was cut off
    """
    tip = height_m + growth_m
    if full_m is not None:
        tip = max(height_m, min(tip, full_m))
    base = (0.1 if form == "conifer" else 0.2) * height_m if base_m is None else base_m
    cut = tip if topped_m is None else min(tip, topped_m + growth_m)
    return Grown(tip, min(base, cut), cut, 0.5 * width_m * tip / height_m)


def _crown(
    site: Sketch, owner: int, spot: Spot, size: Grown, form: str, leaves: Leafage, kept: float, trunk_m: float
) -> None:
    middle = site.flat(spot.east_m, spot.north_m)
    across = 2.0 * size.radius_m
    site.draft.crowns.append(
        Crown(
            owner=owner,
            cone=form == "conifer",
            middle=middle,
            base_m=spot.ground_m + size.base_m,
            tip_m=spot.ground_m + size.tip_m,
            cut_m=spot.ground_m + size.cut_m,
            radius_m=size.radius_m,
            thick_bare=kept * thickness(form, leaves.passes_bare) / across,
            thick_leaf=kept * thickness(form, leaves.passes_in_leaf) / across,
            season=site.draft.season(leaves.leaves),
        )
    )
    if trunk_m > 0.0 and size.base_m > 0.0:
        site.draft.poles.append(Pole(owner, middle, spot.ground_m, spot.ground_m + size.base_m, trunk_m))


def draw_tree(site: Sketch, owner: int, tree: Tree) -> None:
    """Draw a single tree: crown and trunk."""
    form, leaves = form_of(tree), leafage(tree, site.project.site.latitude_deg)
    height = height_of(site.project, tree, tree.height_m)
    growth = leaves.growth_m_per_year * site.years_on
    size = grown(
        height, tree.crown_base_m, tree.crown_width_m, growth, tree.full_height_m, tree.topped_m, form
    )
    trunk = 0.02 * height if tree.trunk_m is None else tree.trunk_m
    _crown(site, owner, spot_of(site.project, tree), size, form, leaves, 1.0 - tree.thinned, trunk)


def draw_row(site: Sketch, owner: int, row: Row) -> None:
    """Draw a row tree by tree; heights differ in a fixed irregular order between lowest and highest."""
    form, leaves = form_of(row), leafage(row, site.project.site.latitude_deg)
    growth = leaves.growth_m_per_year * site.years_on
    for number, (east, north) in enumerate(row_places(row)):
        height = row.low_m + (row.high_m - row.low_m) * ((number + 1) * GOLDEN % 1.0)
        size = grown(
            height, row.crown_base_m, row.crown_width_m, growth, row.full_height_m, row.topped_m, form
        )
        ground = ground_at(site.project, east, north) if row.ground_m is None else row.ground_m
        spot = Spot(east, north, ground)
        _crown(site, owner, spot, size, form, leaves, 1.0 - row.thinned, 0.02 * height)


def row_places(row: Row) -> tuple[tuple[float, float], ...]:
    """Return where the trees of a row stand, (east, north) in metres: evenly along the line, row by row.

    Raises  ProjectError for a line without length
    """
    line = [p for i, p in enumerate(row.line) if i == 0 or math.dist(p, row.line[i - 1]) > 1e-6]
    if len(line) < 2:
        raise ProjectError("its line needs two points at least, [[east, north], [east, north]]")
    lengths = [math.dist(a, b) for a, b in itertools.pairwise(line)]
    total = sum(lengths)
    places: list[tuple[float, float]] = []
    between = row.row_spacing_m or row.spacing_m
    for k in range(row.rows):
        across = (k - 0.5 * (row.rows - 1)) * between
        start = 0.5 * row.spacing_m * (k % 2)
        count = int((total - start) / row.spacing_m + 1e-9) + 1
        places += [_beside(line, lengths, start + n * row.spacing_m, across) for n in range(count)]
    return tuple(places)


def _beside(
    line: list[tuple[float, float]], lengths: list[float], way: float, across: float
) -> tuple[float, float]:
    i = 0
    while i < len(lengths) - 1 and way > lengths[i]:
        way -= lengths[i]
        i += 1
    (x0, y0), (x1, y1) = line[i], line[i + 1]
    ux, uy = (x1 - x0) / lengths[i], (y1 - y0) / lengths[i]
    return x0 + ux * way - uy * across, y0 + uy * way + ux * across


def draw_stand(site: Sketch, owner: int, stand: Stand) -> None:
    """Draw a stand as convex bodies of foliage, thinning out between its lowest and highest tips."""
    leaves = leafage(stand, site.project.site.latitude_deg)
    growth = leaves.growth_m_per_year * site.years_on
    full = stand.full_height_m or math.inf
    low, high = (max(h, min(h + growth, full)) for h in (stand.low_m, max(stand.low_m, stand.high_m)))
    cut = math.inf if stand.topped_m is None else stand.topped_m + growth
    pieces, depth = _footprint(stand)
    season = site.draft.season(leaves.leaves)
    for piece in pieces:
        flat = tuple(site.flat(*point) for point in piece)
        east, north = (sum(p[i] for p in piece) / len(piece) for i in (0, 1))
        ground = ground_at(site.project, east, north) if stand.ground_m is None else stand.ground_m
        for bottom, top, share in _layers(stand.crown_base_m, low, high):
            if min(top, cut) - bottom < 1e-6:
                continue
            corners, planes = bodies.prism(flat, ground + bottom, ground + min(top, cut))
            kept = share * (1.0 - stand.thinned)
            bare, leaf = (
                kept * thickness_per_m(p, depth) for p in (leaves.passes_bare, leaves.passes_in_leaf)
            )
            site.draft.blocks.append(Block(owner, corners, planes, bare, leaf, season))


def _footprint(stand: Stand) -> tuple[tuple[bodies.Flat, ...], float]:
    """Return a stand's flat convex pieces and the depth its shares of light hold for."""
    if stand.outline and (stand.line or stand.depth_m is not None):
        raise ProjectError("has both outline and line or depth; keep one")
    if stand.outline:
        if len(stand.outline) < 3:
            raise ProjectError("its outline needs three points at least, [[east, north], ...]")
        whole = bodies.is_convex(stand.outline) and len(stand.outline) <= 8
        pieces = (stand.outline,) if whole else bodies.triangles(stand.outline)
        return pieces, stand.measured_depth_m or WOOD_DEPTH_M
    line = tuple(p for i, p in enumerate(stand.line) if i == 0 or math.dist(p, stand.line[i - 1]) > 1e-6)
    if len(line) < 2 or stand.depth_m is None:
        raise ProjectError("needs a line of two points at least and a depth, or an outline")
    return bodies.belt(line, stand.depth_m), stand.measured_depth_m or stand.depth_m


def _layers(base: float, low: float, high: float) -> list[tuple[float, float, float]]:
    """Return (bottom, top, density): full up to the lowest tips, fading in steps to the highest."""
    step = (high - low) / FADING_LAYERS
    fading = [
        (max(base, low + i * step), low + (i + 1) * step, 1.0 - (i + 0.5) / FADING_LAYERS)
        for i in range(FADING_LAYERS)
    ]
    return [(base, low, 1.0), *fading]
