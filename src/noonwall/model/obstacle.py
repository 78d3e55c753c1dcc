"""What stands between sun and wall: trees, rows, stands, buildings, awnings, posts, wing walls, a slope."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from noonwall.model.fields import ABSENT, COMMON, Record, entry, word
from noonwall.model.place import Placed, Sighted
from noonwall.model.spans import Day, DayPair

Form = Literal["conifer", "broadleaf"]
Point = tuple[float, float]


class Foliage(Record):
    """How much light leaves and twigs let through, when, and how fast they grow."""

    form: Form | None = word(
        "form",
        None,
        doc="conifer (a cone) or broadleaf (an egg); default: as the species grows",
        why="as the species grows",
        source="the catalogue of trees",
    )
    species: str | None = word(
        "species",
        None,
        doc="name from the catalogue of trees; default: by the form",
        why="by the form alone",
        source="the catalogue of trees",
    )
    passes_in_leaf: float | None = entry(
        "passes_in_leaf",
        "share",
        None,
        low=0.0,
        high=1.0,
        doc="share of level light that gets through in leaf",
        why="as the species",
        source="the catalogue of trees",
    )
    passes_bare: float | None = entry(
        "passes_bare",
        "share",
        None,
        low=0.0,
        high=1.0,
        doc="share of level light that gets through when bare",
        why="as the species",
        source="the catalogue of trees",
    )
    leaf_out: Day | None = word(
        "leaf_out",
        None,
        doc="day it is half in leaf in spring, such as 05-05 or May 5",
        why="half in leaf on 5 May, in the south half a year on",
        source="the catalogue of trees, leaf_year",
    )
    leaf_fall: Day | None = word(
        "leaf_fall",
        None,
        doc="day half its leaves are down in autumn, such as 10-15 or Oct 15",
        why="half bare on 15 October, in the south half a year on",
        source="the catalogue of trees, leaf_year",
    )
    leaf_days: float | None = entry(
        "leaf_days",
        "number",
        None,
        low=1.0,
        high=90.0,
        doc="days from bare to full leaf, and back",
        why="three weeks",
        source="the catalogue of trees, leaf_year",
    )
    growth_m_per_year: float | None = entry(
        "growth",
        "growth",
        None,
        low=0.0,
        high=3.0,
        doc="how much taller it grows a year",
        why="as the species",
        source="the catalogue of trees",
    )
    thinned: float = entry(
        "thinned",
        "share",
        0.0,
        low=0.0,
        high=1.0,
        doc="share of its branches, or of the stems, taken out",
        why="nothing was cut",
        source="absent means none",
    )


class Tree(Foliage, Sighted):
    """A single tree."""

    kind: Literal["tree"] = word("kind", "tree", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    height_m: float | None = entry(
        "height",
        "length",
        None,
        low=0.3,
        high=120.0,
        doc="height, unless the angles give it",
        why="the angles give it",
        source="measured where it stands",
    )
    crown_base_m: float | None = entry(
        "crown_base",
        "length",
        None,
        low=0.0,
        high=100.0,
        doc="height of the lowest branches; default: height / 10 (conifer) or / 5 (broadleaf)",
        why="branches start at a tenth (conifer) or a fifth of the height",
        source=COMMON,
    )
    crown_width_m: float = entry("crown_width", "length", low=0.2, high=60.0, doc="width of the crown")
    trunk_m: float | None = entry(
        "trunk",
        "length",
        None,
        low=0.0,
        high=5.0,
        doc="thickness of the trunk; default: a fiftieth of the height",
        why="a fiftieth of the height",
        source=COMMON,
    )
    full_height_m: float | None = entry(
        "full_height",
        "length",
        None,
        low=0.3,
        high=120.0,
        doc="height at which it stops growing",
        why="it goes on growing",
        source=COMMON,
    )
    topped_m: float | None = entry(
        "topped",
        "length",
        None,
        low=0.0,
        high=120.0,
        doc="height at which its top was cut off",
        source=ABSENT,
    )


class Row(Foliage):
    """Single trees, evenly along a line."""

    kind: Literal["row"] = word("kind", "row", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    line: tuple[Point, ...] = word(
        "line",
        each=("length", "length"),
        doc="points [east, north] from the middle of the wall's foot; two at least",
        source=ABSENT,
    )
    spacing_m: float = entry("spacing", "length", low=0.2, high=100.0, doc="from tree to tree along the line")
    rows: int = word(
        "rows",
        1,
        low=1,
        high=50,
        doc="how many such rows, one behind the other, each set half a spacing over",
        why="one row",
        source=COMMON,
    )
    row_spacing_m: float | None = entry(
        "row_spacing",
        "length",
        None,
        low=0.2,
        high=100.0,
        doc="from row to row; default: the spacing",
        why="as far apart as the trees of a row",
        source=COMMON,
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
        why="branches start at a tenth (conifer) or a fifth of the height",
        source=COMMON,
    )
    crown_width_m: float = entry("crown_width", "length", low=0.2, high=60.0, doc="width of each crown")
    full_height_m: float | None = entry(
        "full_height",
        "length",
        None,
        low=0.3,
        high=120.0,
        doc="height at which they stop growing",
        why="it goes on growing",
        source=COMMON,
    )
    topped_m: float | None = entry(
        "topped",
        "length",
        None,
        low=0.0,
        high=120.0,
        doc="height at which their tops were cut off",
        source=ABSENT,
    )
    ground_m: float | None = entry(
        "ground",
        "length",
        None,
        low=-500.0,
        high=500.0,
        doc="its ground above the ground at the wall's foot",
        why="level with the wall's foot, or on the slope",
        source="measured where it stands",
    )


class Stand(Foliage):
    """A closed body of foliage: a belt along a line, a hedge, or a wood inside an outline."""

    kind: Literal["stand"] = word("kind", "stand", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    line: tuple[Point, ...] = word(
        "line",
        (),
        each=("length", "length"),
        doc="points [east, north] down the middle of a belt",
        source=ABSENT,
    )
    depth_m: float | None = entry(
        "depth",
        "length",
        None,
        low=0.1,
        high=500.0,
        doc="thickness of a belt, across its line",
        source=ABSENT,
    )
    outline: tuple[Point, ...] = word(
        "outline",
        (),
        each=("length", "length"),
        doc="points [east, north] round a wood, instead of line and depth",
        source=ABSENT,
    )
    low_m: float = entry(
        "height_low", "length", low=0.3, high=120.0, doc="height the foliage is closed up to"
    )
    high_m: float = entry("height_high", "length", low=0.3, high=120.0, doc="height of the highest tips")
    crown_base_m: float = entry(
        "crown_base",
        "length",
        0.0,
        low=0.0,
        high=100.0,
        doc="height of the lowest branches",
        why="foliage down to the ground",
        source=COMMON,
    )
    measured_depth_m: float | None = entry(
        "measured_depth",
        "length",
        None,
        low=0.1,
        high=500.0,
        doc="foliage depth the shares of light hold for; default: the belt's depth, 10 m for a wood",
        why="the belt's depth; 10 m for a wood",
        source=COMMON,
    )
    full_height_m: float | None = entry(
        "full_height",
        "length",
        None,
        low=0.3,
        high=120.0,
        doc="height at which it stops growing",
        why="it goes on growing",
        source=COMMON,
    )
    topped_m: float | None = entry(
        "topped",
        "length",
        None,
        low=0.0,
        high=120.0,
        doc="height at which the tops were cut off",
        source=ABSENT,
    )
    ground_m: float | None = entry(
        "ground",
        "length",
        None,
        low=-500.0,
        high=500.0,
        doc="its ground above the ground at the wall's foot",
        why="level with the wall's foot, or on the slope",
        source="measured where it stands",
    )


class Building(Placed):
    """A solid building; its place is the middle of its footprint."""

    kind: Literal["building"] = word("kind", "building", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    roof: Literal["flat", "gable", "shed"] = word(
        "roof", "flat", doc="shape of the roof", why="the plainest", source=COMMON
    )
    faces_deg: float = entry(
        "faces",
        "bearing",
        180.0,
        low=0.0,
        high=360.0,
        doc="way its front looks, from north clockwise",
        why="south",
        source=COMMON,
    )
    width_m: float = entry("width", "length", low=0.05, high=500.0, doc="along its front")
    length_m: float = entry("length", "length", low=0.05, high=500.0, doc="from front to back")
    eaves_m: float = entry(
        "eaves", "length", low=0.1, high=100.0, doc="height of the eaves (flat roof: the top)"
    )
    ridge_m: float | None = entry(
        "ridge",
        "length",
        None,
        low=0.1,
        high=150.0,
        doc="height of the ridge, or of a shed roof's high side",
        source=ABSENT,
    )
    ridge_runs: Literal["along front", "front to back"] = word(
        "ridge_runs",
        "along front",
        doc="gable: which way the ridge runs; a shed roof rises from front to back",
        why="along the front",
        source=COMMON,
    )


class Awning(Record):
    """A solid awning on the wall, above the glazing; it may be taken down for part of the year."""

    kind: Literal["awning"] = word("kind", "awning", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    depth_m: float = entry(
        "depth", "length", low=0.01, high=20.0, doc="how far its outer edge stands out, level"
    )
    above_m: float = entry(
        "above",
        "length",
        0.1,
        low=-15.0,
        high=20.0,
        doc="height of its inner edge above the glazing's top",
        why="just over the glazing",
        source=COMMON,
    )
    tilt_deg: float = entry(
        "tilt",
        "angle",
        0.0,
        low=-80.0,
        high=80.0,
        doc="fall of the outer edge below the inner; negative: it rises",
        why="level",
        source=COMMON,
    )
    side_m: float = entry(
        "side",
        "length",
        0.0,
        low=-50.0,
        high=100.0,
        doc="how far it runs past the glazing at each side",
        why="as wide as the glazing",
        source=COMMON,
    )
    gap_m: float = entry(
        "gap",
        "length",
        0.0,
        low=0.0,
        high=10.0,
        doc="how far its inner edge stands off the wall",
        why="fixed to the wall",
        source=COMMON,
    )
    passes: float = entry(
        "passes",
        "share",
        0.0,
        low=0.0,
        high=1.0,
        doc="share of light it lets through",
        why="solid",
        source=COMMON,
    )
    hung: tuple[DayPair, ...] = word(
        "hung",
        (),
        doc="stretches of the year it is up, as [from, to], such as ['05-15', '09-15']; default: always",
        why="up all year",
        source=COMMON,
    )


class Post(Sighted):
    """A post, pole or mast."""

    kind: Literal["post"] = word("kind", "post", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    width_m: float = entry("width", "length", low=0.005, high=5.0, doc="its thickness")
    height_m: float | None = entry(
        "height",
        "length",
        None,
        low=0.05,
        high=150.0,
        doc="height, unless the angles give it",
        why="the angles give it",
        source="measured where it stands",
    )


class WingWall(Record):
    """A solid wall that stands out at one end of the glazing."""

    kind: Literal["wing wall"] = word(
        "kind", "wing wall", doc="the word that tells what it is", source=ABSENT
    )
    name: str = word("name", doc="what to call it; no two alike")
    end: Literal["left", "right"] = word("end", doc="which end, for someone outside who faces the wall")
    away_m: float = entry(
        "away",
        "length",
        0.0,
        low=0.0,
        high=50.0,
        doc="distance from the glazing's end",
        why="at the glazing's end",
        source=COMMON,
    )
    depth_m: float = entry("depth", "length", low=0.01, high=50.0, doc="how far it stands out")
    bottom_m: float = entry(
        "bottom",
        "length",
        0.0,
        low=0.0,
        high=30.0,
        doc="height of its foot above the ground",
        why="it stands on the ground",
        source=COMMON,
    )
    top_m: float = entry("top", "length", low=0.05, high=50.0, doc="height of its top above the ground")


class Slope(Record):
    """Ground that rises or falls evenly from the wall's foot; what stands on it stands on the slope."""

    kind: Literal["slope"] = word("kind", "slope", doc="the word that tells what it is", source=ABSENT)
    name: str = word("name", doc="what to call it; no two alike")
    rise_deg: float = entry("rise", "angle", low=0.0, high=45.0, doc="how steep")
    uphill_deg: float = entry(
        "uphill", "bearing", low=0.0, high=360.0, doc="bearing of straight uphill, from north clockwise"
    )


Obstacle = Annotated[
    Tree | Row | Stand | Building | Awning | Post | WingWall | Slope, Field(discriminator="kind")
]
