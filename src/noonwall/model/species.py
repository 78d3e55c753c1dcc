"""The catalogue of trees, and what it fills in where a builder named no figure."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.spans import kept_day

if TYPE_CHECKING:
    from noonwall.model.obstacle import Foliage

COMMON_YEAR = 2001
HALF_YEAR_DAYS = 182.0


@dataclass(frozen=True)
class Species:
    """One row of the catalogue."""

    name: str
    form: str
    passes_in_leaf: float
    passes_bare: float
    growth_m_per_year: float
    sources: tuple[str, ...]  # published sources of these figures, spelled out


@dataclass(frozen=True)
class LeafYear:
    """When a tree is in leaf; days counted from 1 January as 0."""

    out_day: float  # half in leaf
    fall_day: float  # half bare
    ramp_days: float  # from bare to full leaf, and back

    def leaf_share(self, day: float) -> float:
        """Return the share of leaves on the tree on a day of the year, 0 to 1."""
        summer = (self.fall_day - self.out_day) % 365.0
        from_middle = abs((day - self.out_day - 0.5 * summer + 182.5) % 365.0 - 182.5)
        return min(1.0, max(0.0, 0.5 + (0.5 * summer - from_middle) / self.ramp_days))


@dataclass(frozen=True)
class Leafage:
    """A foliage with every figure filled in."""

    passes_in_leaf: float
    passes_bare: float
    leaves: LeafYear | None  # None: the same all year
    growth_m_per_year: float


@cache
def catalogue() -> dict[str, Species]:
    """Return the trees by name, each with its sources spelled out."""
    text = resources.files("noonwall.model").joinpath("library", "trees.toml").read_text("utf-8")
    raw = tomllib.loads(text)
    return {row["name"]: _species(row, raw["sources"]) for row in raw["tree"]}


def _species(row: dict[str, object], sources: dict[str, str]) -> Species:
    told = tuple(sources[key] for key in row["sources"])  # type: ignore[attr-defined]
    in_leaf = float(row["passes_in_leaf"])  # type: ignore[arg-type]
    return Species(
        name=str(row["name"]),
        form=str(row["form"]),
        passes_in_leaf=in_leaf,
        passes_bare=float(row.get("passes_bare", in_leaf)),  # type: ignore[arg-type]
        growth_m_per_year=float(row["growth_m_per_year"]),  # type: ignore[arg-type]
        sources=(*told, str(row["note"])) if "note" in row else told,
    )


@cache
def usual_leaf_year() -> LeafYear:
    """Return the catalogue's leaf dates, for the northern half of the earth."""
    text = resources.files("noonwall.model").joinpath("library", "trees.toml").read_text("utf-8")
    raw = tomllib.loads(text)["leaf_year"]
    return LeafYear(day_number(raw["leaf_out"]), day_number(raw["leaf_fall"]), float(raw["leaf_days"]))


def day_number(month_day: str) -> float:
    """Return the day of a common year, 1 January as 0, for MM-DD or a day with its month's name.

    Raises  ProjectError for a text that is no such day
    """
    try:
        day = date.fromisoformat(f"{COMMON_YEAR}-{kept_day(month_day)}")
    except ValueError:
        raise ProjectError(
            f'"{month_day}" is no day of the year; write a date like Feb 15 (or 02-15)'
        ) from None
    return float((day - date(COMMON_YEAR, 1, 1)).days)


def species_of(foliage: Foliage) -> Species:
    """Return the catalogue row a foliage names, or its form's.

    Raises  ProjectError for a name that is not in the catalogue, or when neither species nor form is named
    """
    name = foliage.species or foliage.form
    found = catalogue().get(name or "")
    if name is None:
        raise ProjectError('says neither species nor form; write form = "conifer" or form = "broadleaf"')
    if found is None:
        raise ProjectError(f'no tree "{name}" in the catalogue; it has {", ".join(sorted(catalogue()))}')
    return found


def form_of(foliage: Foliage) -> str:
    """Return the crown's shape: as told, or as the species grows."""
    return foliage.form or species_of(foliage).form


def leafage(foliage: Foliage, latitude_deg: float) -> Leafage:
    """Return a foliage with the catalogue's figures filled in where the builder gave none.

    latitude_deg  of the site; south of the equator the catalogue's leaf dates move by half a year
    """
    row = species_of(foliage)
    in_leaf = row.passes_in_leaf if foliage.passes_in_leaf is None else foliage.passes_in_leaf
    bare = row.passes_bare if foliage.passes_bare is None else foliage.passes_bare
    if foliage.passes_bare is None and foliage.passes_in_leaf is not None:
        evergreen = row.passes_bare == row.passes_in_leaf
        bare = in_leaf if evergreen else max(in_leaf, row.passes_bare)
    usual = usual_leaf_year()
    shift = 0.0 if latitude_deg >= 0.0 else HALF_YEAR_DAYS
    leaves = LeafYear(
        (usual.out_day + shift) % 365.0 if foliage.leaf_out is None else day_number(foliage.leaf_out),
        (usual.fall_day + shift) % 365.0 if foliage.leaf_fall is None else day_number(foliage.leaf_fall),
        usual.ramp_days if foliage.leaf_days is None else foliage.leaf_days,
    )
    growth = row.growth_m_per_year if foliage.growth_m_per_year is None else foliage.growth_m_per_year
    return Leafage(in_leaf, bare, leaves if bare != in_leaf else None, growth)
