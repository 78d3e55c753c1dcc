"""How the glazing moves: room to grow, oversize holes, bow towards its warm side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.model.catalogue import glazing_of
from noonwall.physics.solids import expansion_m, free_bow_m, gripped_bow_m

if TYPE_CHECKING:
    from noonwall.model.project import Project

BUILD_DAYS_C = (-10.0, 0.0, 10.0, 20.0, 30.0)
COLDER_YEARS_K = 5.0  # a cold night of other years under the coldest of this one; common practice, no source
TIGHT_C = 20.0  # a sheet set tight on a day like this


@dataclass(frozen=True)
class BuildDay:
    """What to leave when the sheet is set at one temperature."""

    sheet_c: float
    end_gap_m: float  # at head and at foot each, for the sheet to grow into
    end_bite_m: float  # how far the sheet draws back out of head and foot each in the cold
    side_gap_m: float  # at each side
    side_bite_m: float
    hole_m: float  # how much wider than the screw a hole at the sheet's end must be, fixed at the middle


@dataclass(frozen=True)
class SheetMoves:
    """The movement of one sheet between the coldest night and the hottest hour."""

    length_m: float
    width_m: float
    thickness_m: float
    expansion_per_k: float
    coldest_c: float  # mean of the sheet's skins
    hottest_c: float
    grows_m: float  # over its length, coldest to hottest
    grows_wide_m: float
    across_k: float  # inner skin less outer skin, largest
    free_bow_m: float  # free along its length, towards the gap
    free_bow_wide_m: float  # free across its width, held along both sides
    tight_bow_m: float  # set tight, no room to grow, held at head and foot
    gap_m: float  # depth of the air gap it bows into
    days: tuple[BuildDay, ...]


@dataclass(frozen=True)
class Sheet:
    """The innermost sheet of a glazing, the one that gets hottest."""

    first_skin: int  # place of its outer skin among all skins
    last_skin: int
    thickness_m: float
    expansion_per_k: float | None


def inner_sheet(project: Project) -> Sheet:
    """Return the innermost sheet of a project's glazing; own skins are a sheet each."""
    wanted = project.wall.glazing
    spec = glazing_of(wanted)
    count = len(spec.skins)
    each = 1 if wanted.skins else count // wanted.sheets
    mine = spec.skins[count - each :]
    inside = spec.cavities[len(spec.cavities) - (each - 1) :] if each > 1 else ()
    thick = sum(skin.thickness_m for skin in mine) + sum(cavity.depth_m for cavity in inside)
    return Sheet(count - each, count - 1, thick, spec.expansion_per_k)


def sheet_moves(project: Project, coldest_c: float, hottest_c: float, across_k: float) -> SheetMoves | None:
    """Return how a sheet moves, or None where the glazing's expansion is not known.

    coldest_c, hottest_c  mean temperature of the sheet's skins, coldest night and hottest hour
    across_k              largest temperature of its inner skin above that of its outer skin
    """
    wall, sheet = project.wall, inner_sheet(project)
    expansion, thick = sheet.expansion_per_k, sheet.thickness_m
    if expansion is None:
        return None
    length, width = wall.height_m, min(wall.glazing.sheet_width_m, wall.width_m)
    held = expansion_m(length, expansion, hottest_c - TIGHT_C)
    return SheetMoves(
        length_m=length,
        width_m=width,
        thickness_m=thick,
        expansion_per_k=expansion,
        coldest_c=coldest_c,
        hottest_c=hottest_c,
        grows_m=expansion_m(length, expansion, hottest_c - coldest_c),
        grows_wide_m=expansion_m(width, expansion, hottest_c - coldest_c),
        across_k=across_k,
        free_bow_m=free_bow_m(length, thick, expansion, across_k),
        free_bow_wide_m=free_bow_m(width, thick, expansion, across_k),
        tight_bow_m=gripped_bow_m(length, held),
        gap_m=wall.gap_m,
        days=tuple(_day(length, width, expansion, coldest_c, hottest_c, c) for c in BUILD_DAYS_C),
    )


def _day(
    length: float, width: float, expansion: float, coldest_c: float, hottest_c: float, sheet_c: float
) -> BuildDay:
    grows, draws = max(hottest_c - sheet_c, 0.0), max(sheet_c - coldest_c, 0.0)
    half, wide = 0.5 * length, 0.5 * width
    return BuildDay(
        sheet_c=sheet_c,
        end_gap_m=expansion_m(half, expansion, grows),
        end_bite_m=expansion_m(half, expansion, draws),
        side_gap_m=expansion_m(wide, expansion, grows),
        side_bite_m=expansion_m(wide, expansion, draws),
        hole_m=2.0 * expansion_m(half, expansion, max(grows, draws)),
    )
