"""What stands between sun and wall: trees, rows, stands, buildings, awnings, posts, wing walls, a slope."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from noonwall.model.fields import Record, entry, word
from noonwall.model.place import Placed, Sighted

Form = Literal["conifer", "broadleaf"]
Point = tuple[float, float]


class Foliage(Record):
    """How much light leaves and twigs let through, when, and how fast they grow."""

    form: Form | None = word(
        "form", None, doc="conifer (a cone) or broadleaf (an egg); default: as the species grows"
    )
    species: str | None = word("species", None, doc="name from the catalogue of trees; default: by the form")
    passes_in_leaf: float | None = entry(
        "passes_in_leaf",
        "share",
        None,
        low=0.0,
        high=1.0,
        doc="share of level light that gets through in leaf",
    )
    passes_bare: float | None = entry(
        "passes_bare",
        "share",
        None,
        low=0.0,
        high=1.0,
        doc="share of level light that gets through when bare",
    )
    leaf_out: str | None = word("leaf_out", None, doc="day it is half in leaf in spring, MM-DD")
    leaf_fall: str | None = word("leaf_fall", None, doc="day half its leaves are down in autumn, MM-DD")
    leaf_days: float | None = entry(
        "leaf_days", "number", None, low=1.0, high=90.0, doc="days from bare to full leaf, and back"
    )
    growth_m_per_year: float | None = entry(
        "growth", "growth", None, low=0.0, high=3.0, doc="how much taller it grows a year"
    )
    thinned: float = entry(
        "thinned", "share", 0.0, low=0.0, high=1.0, doc="share of its branches, or of the stems, taken out"
    )


class Tree(Foliage, Sighted):
    """A single tree."""

    kind: Literal["tree"] = word("kind", "tree", doc="tree")
    name: str = word("name", doc="what to call it; no two alike")
    height_m: float | None = entry(
        "height", "length", None, low=0.3, high=120.0, doc="height, unless the angles give it"
    )
    crown_base_m: float | None = entry(
        "crown_base",
        "length",
        None,
        low=0.0,
        high=100.0,
        doc="height of the lowest branches; default: height / 10 (conifer) or / 5 (broadleaf)",
        why="common practice, no source",
    )
    crown_width_m: float = entry("crown_width", "length", low=0.2, high=60.0, doc="width of the crown")
    trunk_m: float | None = entry(
        "trunk",
        "length",
        None,
        low=0.0,
        high=5.0,
        doc="thickness of the trunk; default: a fiftieth of the height",
        why="common practice, no source",
    )
    full_height_m: float | None = entry(
        "full_height", "length", None, low=0.3, high=120.0, doc="height at which it stops growing"
    )
    topped_m: float | None = entry(
        "topped", "length", None, low=0.0, high=120.0, doc="height at which its top was cut off"
    )


class Row(Foliage):
    """Single trees, evenly along a line."""

    kind: Literal["row"] = word("kind", "row", doc="row")
    name: str = word("name", doc="what to call it; no two alike")
    line: tuple[Point, ...] = word(
        "line",
        each=("length", "length"),
        doc="points [east, north] from the middle of the wall's foot; two at least",
    )
    spacing_m: float = entry("spacing", "length", low=0.2, high=100.0, doc="from tree to tree along the line")
    rows: int = word(
        "rows",
        1,
        low=1,
        high=50,
        doc="how many such rows, one behind the other, each set half a spacing over",
    )
    row_spacing_m: float | None = entry(
        "row_spacing", "length", None, low=0.2, high=100.0, doc="from row to row; default: the spacing"
    )
    low_m: float = entry("height_low", "length", low=0.3, high=120.0, doc="height of the lowest tree")
    high_m: float = entry("height_high", "length", low=0.3, high=120.0, doc="height of the highest tree")
    crown_base_m: float | None = entry(
        "crown_base",
        "length",
        None,
        low=0.0,
        high=100.0,
        doc="height of the lowest branches; default: as a tree",
    )
    crown_width_m: float = entry("crown_width", "length", low=0.2, high=60.0, doc="width of each crown")
    full_height_m: float | None = entry(
        "full_height", "length", None, low=0.3, high=120.0, doc="height at which they stop growing"
    )
    topped_m: float | None = entry(
        "topped", "length", None, low=0.0, high=120.0, doc="height at which their tops were cut off"
    )
    ground_m: float | None = entry(
        "ground", "length", None, low=-500.0, high=500.0, doc="its ground above the ground at the wall's foot"
    )


class Stand(Foliage):
    """A closed body of foliage: a belt along a line, a hedge, or a wood inside an outline."""

    kind: Literal["stand"] = word("kind", "stand", doc="stand")
    name: str = word("name", doc="what to call it; no two alike")
    line: tuple[Point, ...] = word(
        "line", (), each=("length", "length"), doc="points [east, north] down the middle of a belt"
    )
    depth_m: float | None = entry(
        "depth", "length", None, low=0.1, high=500.0, doc="thickness of a belt, across its line"
    )
    outline: tuple[Point, ...] = word(
        "outline",
        (),
        each=("length", "length"),
        doc="points [east, north] round a wood, instead of line and depth",
    )
    low_m: float = entry(
        "height_low", "length", low=0.3, high=120.0, doc="height the foliage is closed up to"
    )
    high_m: float = entry("height_high", "length", low=0.3, high=120.0, doc="height of the highest tips")
    crown_base_m: float = entry(
        "crown_base", "length", 0.0, low=0.0, high=100.0, doc="height of the lowest branches"
    )
    measured_depth_m: float | None = entry(
        "measured_depth",
        "length",
        None,
        low=0.1,
        high=500.0,
        doc="foliage depth the shares of light hold for; default: the belt's depth, 10 m for a wood",
    )
    full_height_m: float | None = entry(
        "full_height", "length", None, low=0.3, high=120.0, doc="height at which it stops growing"
    )
    topped_m: float | None = entry(
        "topped", "length", None, low=0.0, high=120.0, doc="height at which the tops were cut off"
    )
    ground_m: float | None = entry(
        "ground", "length", None, low=-500.0, high=500.0, doc="its ground above the ground at the wall's foot"
    )


class Building(Placed):
    """A solid building; its place is the middle of its footprint."""

    kind: Literal["building"] = word("kind", "building", doc="building")
    name: str = word("name", doc="what to call it; no two alike")
    roof: Literal["flat", "gable", "shed"] = word("roof", "flat", doc="shape of the roof")
    faces_deg: float = entry(
        "faces", "bearing", 180.0, low=0.0, high=360.0, doc="way its front looks, from north clockwise"
    )
    width_m: float = entry("width", "length", low=0.05, high=500.0, doc="along its front")
    length_m: float = entry("length", "length", low=0.05, high=500.0, doc="from front to back")
    eaves_m: float = entry(
        "eaves", "length", low=0.1, high=100.0, doc="height of the eaves (flat roof: the top)"
    )
    ridge_m: float | None = entry(
        "ridge", "length", None, low=0.1, high=150.0, doc="height of the ridge, or of a shed roof's high side"
    )
    ridge_runs: Literal["along front", "front to back"] = word(
        "ridge_runs",
        "along front",
        doc="gable: which way the ridge runs; a shed roof rises from front to back",
    )


class Awning(Record):
    """A solid awning on the wall, above the glazing; it may be taken down for part of the year."""

    kind: Literal["awning"] = word("kind", "awning", doc="awning")
    name: str = word("name", doc="what to call it; no two alike")
    depth_m: float = entry(
        "depth", "length", low=0.01, high=20.0, doc="how far its outer edge stands out, level"
    )
    above_m: float = entry(
        "above", "length", 0.1, low=-15.0, high=20.0, doc="height of its inner edge above the glazing's top"
    )
    tilt_deg: float = entry(
        "tilt",
        "angle",
        0.0,
        low=-80.0,
        high=80.0,
        doc="fall of the outer edge below the inner; negative: it rises",
    )
    side_m: float = entry(
        "side", "length", 0.0, low=-50.0, high=100.0, doc="how far it runs past the glazing at each side"
    )
    gap_m: float = entry(
        "gap", "length", 0.0, low=0.0, high=10.0, doc="how far its inner edge stands off the wall"
    )
    passes: float = entry("passes", "share", 0.0, low=0.0, high=1.0, doc="share of light it lets through")
    hung: tuple[tuple[str, str], ...] = word(
        "hung", (), doc="stretches of the year it is up, as [from, to] in MM-DD; default: always"
    )


class Post(Sighted):
    """A post, pole or mast."""

    kind: Literal["post"] = word("kind", "post", doc="post")
    name: str = word("name", doc="what to call it; no two alike")
    width_m: float = entry("width", "length", low=0.005, high=5.0, doc="its thickness")
    height_m: float | None = entry(
        "height", "length", None, low=0.05, high=150.0, doc="height, unless the angles give it"
    )


class WingWall(Record):
    """A solid wall that stands out at one end of the glazing."""

    kind: Literal["wing wall"] = word("kind", "wing wall", doc="wing wall")
    name: str = word("name", doc="what to call it; no two alike")
    end: Literal["left", "right"] = word("end", doc="which end, for someone outside who faces the wall")
    away_m: float = entry("away", "length", 0.0, low=0.0, high=50.0, doc="distance from the glazing's end")
    depth_m: float = entry("depth", "length", low=0.01, high=50.0, doc="how far it stands out")
    bottom_m: float = entry(
        "bottom", "length", 0.0, low=0.0, high=30.0, doc="height of its foot above the ground"
    )
    top_m: float = entry("top", "length", low=0.05, high=50.0, doc="height of its top above the ground")


class Slope(Record):
    """Ground that rises or falls evenly from the wall's foot; what stands on it stands on the slope."""

    kind: Literal["slope"] = word("kind", "slope", doc="slope")
    name: str = word("name", doc="what to call it; no two alike")
    rise_deg: float = entry("rise", "angle", low=0.0, high=45.0, doc="how steep")
    uphill_deg: float = entry(
        "uphill", "bearing", low=0.0, high=360.0, doc="bearing of straight uphill, from north clockwise"
    )


Obstacle = Annotated[
    Tree | Row | Stand | Building | Awning | Post | WingWall | Slope, Field(discriminator="kind")
]
