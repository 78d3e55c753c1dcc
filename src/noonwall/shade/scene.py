"""Everything that can shade, as plain shapes in the wall's axes (along, out, up from the wall's foot)."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Collection

    from noonwall.model.species import LeafYear
    from noonwall.shade.record import Floats

Corners = tuple[tuple[float, float, float], ...]
ALWAYS = -1


@dataclass(frozen=True)
class Crown:
    """A crown: an upright ellipsoid or cone, perhaps cut off at the top."""

    owner: int  # number of the obstacle it belongs to
    cone: bool
    middle: tuple[float, float]  # along, out [m]
    base_m: float  # height of the lowest branches
    tip_m: float  # height of the tip, as if never cut
    cut_m: float  # height at which it ends
    radius_m: float
    thick_bare: float  # light lost per metre of way when bare [1/m]
    thick_leaf: float  # the same in leaf
    season: int  # which of the scene's leaf years; ALWAYS for none


@dataclass(frozen=True)
class Block:
    """A convex body of foliage."""

    owner: int
    corners: Corners
    planes: tuple[tuple[float, float, float, float], ...]  # outward normal and distance
    thick_bare: float
    thick_leaf: float
    season: int


@dataclass(frozen=True)
class Solid:
    """A convex solid body by its corners."""

    owner: int
    corners: Corners


@dataclass(frozen=True)
class Board:
    """A flat convex thing without thickness."""

    owner: int
    corners: Corners
    stops: float  # share of light it stops
    hung: int  # which of the scene's hanging calendars; ALWAYS for none


@dataclass(frozen=True)
class Pole:
    """An upright round thing that is thin beside its length: a post or a trunk."""

    owner: int
    middle: tuple[float, float]
    base_m: float
    top_m: float
    width_m: float


@dataclass(frozen=True)
class Scene:
    """All shapes of a site."""

    names: tuple[str, ...]  # obstacles by number
    crowns: tuple[Crown, ...] = ()
    blocks: tuple[Block, ...] = ()
    solids: tuple[Solid, ...] = ()
    boards: tuple[Board, ...] = ()
    poles: tuple[Pole, ...] = ()
    slope: tuple[float, float] | None = None  # rise per metre along and out of the ground
    slope_owner: int = ALWAYS
    seasons: tuple[LeafYear, ...] = ()
    hangings: tuple[tuple[tuple[float, float], ...], ...] = ()  # calendars: (first, last) day of the year
    skyline: tuple[tuple[float, float], ...] = ()

    @property
    def empty(self) -> bool:
        """Whether nothing here can shade anything."""
        shapes = (self.crowns, self.blocks, self.solids, self.boards, self.poles, self.skyline)
        return self.slope is None and not any(shapes)

    def without(self, names: Collection[str]) -> Scene:
        """Return the scene without the shapes of some obstacles."""
        gone = {number for number, name in enumerate(self.names) if name in names}
        return replace(
            self,
            crowns=tuple(s for s in self.crowns if s.owner not in gone),
            blocks=tuple(s for s in self.blocks if s.owner not in gone),
            solids=tuple(s for s in self.solids if s.owner not in gone),
            boards=tuple(s for s in self.boards if s.owner not in gone),
            poles=tuple(s for s in self.poles if s.owner not in gone),
            slope=None if self.slope_owner in gone else self.slope,
        )

    def only(self, name: str) -> Scene:
        """Return one obstacle on an otherwise open site; any other name leaves the skyline alone."""
        bare = self.without([other for other in self.names if other != name])
        return replace(bare, skyline=() if name in self.names else self.skyline)

    def without_slope(self) -> Scene:
        """Return the scene on level ground."""
        return replace(self, slope=None)

    def calendar(self, day_of_year: Floats) -> Floats:
        """Return what changes with the season, shape (days, seasons + hangings), 0 to 1.

        day_of_year  1 January as 0, shape (days,)
        Returns      leaf share of each leaf year, then 1 while a hanging calendar's board is up
        """
        table = np.empty((len(day_of_year), len(self.seasons) + len(self.hangings)))
        for j, season in enumerate(self.seasons):
            table[:, j] = [season.leaf_share(float(day)) for day in day_of_year]
        for j, stretches in enumerate(self.hangings, start=len(self.seasons)):
            table[:, j] = [float(any(_within(day, *pair) for pair in stretches)) for day in day_of_year]
        return table


def _within(day: float, first: float, last: float) -> bool:
    """Return whether a day lies in a stretch of the year, across New Year too; both ends belong to it."""
    return first <= day <= last if first <= last else day >= first or day <= last


@dataclass
class Draft:
    """A scene in the making: lists that fill up."""

    names: list[str] = field(default_factory=list)
    crowns: list[Crown] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    solids: list[Solid] = field(default_factory=list)
    boards: list[Board] = field(default_factory=list)
    poles: list[Pole] = field(default_factory=list)
    slope: tuple[float, float] | None = None
    slope_owner: int = ALWAYS
    seasons: list[LeafYear] = field(default_factory=list)
    hangings: list[tuple[tuple[float, float], ...]] = field(default_factory=list)

    def owner(self, name: str) -> int:
        """Enter an obstacle's name and return its number."""
        self.names.append(name)
        return len(self.names) - 1

    def season(self, leaves: LeafYear | None) -> int:
        """Return the number of a leaf year, entered once."""
        if leaves is None:
            return ALWAYS
        if leaves not in self.seasons:
            self.seasons.append(leaves)
        return self.seasons.index(leaves)

    def hanging(self, stretches: tuple[tuple[float, float], ...]) -> int:
        """Return the number of a hanging calendar, entered once."""
        if not stretches:
            return ALWAYS
        if stretches not in self.hangings:
            self.hangings.append(stretches)
        return self.hangings.index(stretches)

    def done(self, skyline: tuple[tuple[float, float], ...]) -> Scene:
        """Return the finished scene."""
        return Scene(
            names=tuple(self.names),
            crowns=tuple(self.crowns),
            blocks=tuple(self.blocks),
            solids=tuple(self.solids),
            boards=tuple(self.boards),
            poles=tuple(self.poles),
            slope=self.slope,
            slope_owner=self.slope_owner,
            seasons=tuple(self.seasons),
            hangings=tuple(self.hangings),
            skyline=skyline,
        )
