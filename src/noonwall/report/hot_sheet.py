"""The glazing's movement as text: how far a sheet grows, what to leave on the day it is set, how far it bows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.assess.glazing import COLDER_YEARS_K
from noonwall.report.blocks import Column, Row, Table, filled, words
from noonwall.report.phrases import kelvins, measure

if TYPE_CHECKING:
    from noonwall.assess.glazing import SheetMoves
    from noonwall.report.blocks import Block
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy

# European Polycarbonate Sheet Extruders, multiwall installation instructions: edge held, growth for 50 K.
EDGE_M, GROWTH_K = 0.020, 50.0
# Installation guides of several makers of multiwall sheet, 8 to 10 mm: spacing of screws, widening of their holes.
SPACING_M, HOLE_M = (0.4, 0.6), 0.003


def sheet_blocks(study: HotStudy, kind: str, reader: Reader) -> list[Block]:
    """Return how a sheet of the glazing grows and bows, what room to leave, how to hold it; ``kind`` is its name."""
    sheet = study.sheet
    if sheet is None:
        return [
            words(["GLAZING: its expansion is not known; ask its maker how much it grows for each degree."])
        ]
    cold, hot = reader.degrees_text(sheet.coldest_c), reader.degrees_text(sheet.hottest_c)
    sides = f"{measure(sheet.length_m, reader)} x {measure(sheet.width_m, reader)}"
    grows = f"{measure(sheet.grows_m, reader)} in height and {measure(sheet.grows_wide_m, reader)} in width"
    span = f"from {cold} to {hot} (hottest hour, {study.sheet_case})"
    less = kelvins(COLDER_YEARS_K, reader)
    head = (
        f"A SHEET OF {sides} grows {grows} {span}. Both are means through the sheet; {cold} is its coldest night in a "
        f"usual year, warmer than the air outdoors for the shop's heat, less {less} for colder years."
    )
    return [words([head], about="sheet"), _build_table(sheet, _bow_words(study, sheet, kind, reader), reader)]


def _build_table(sheet: SheetMoves, said: list[str], reader: Reader) -> Table:
    """Return the room to leave on the day a sheet is set, by how warm the sheet is then."""
    unit, scale, digits = ("in", 1.0 / 0.0254, 2) if reader.us else ("mm", 1000.0, 0)
    columns = (
        Column("head, foot|gap", unit, 13),
        Column("|bite", unit, 8),
        Column("each side|gap", unit, 12),
        Column("|bite", unit, 8),
        Column("holes|wider", unit, 10),
    )
    rows = []
    for day in sheet.days:
        sizes = (day.end_gap_m, day.end_bite_m, day.side_gap_m, day.side_bite_m, day.hole_m)
        name = f"  sheet at {reader.degrees_text(day.sheet_c)}"
        rows.append(Row(name, tuple(f"{scale * size:.{digits}f}" for size in sizes)))
    below = tuple(map(filled, said))
    return Table("LEAVE ON THE DAY IT IS SET", columns, tuple(rows), 30, below, about="sheet")


def touch_words(study: HotStudy, reader: Reader) -> list[str]:
    """Return that the glazing can bow into the absorber, and what keeps it off; nothing where it has the room."""
    sheet = study.sheet
    if sheet is None or max(sheet.free_bow_wide_m, sheet.tight_bow_m) <= sheet.gap_m:
        return []
    bows = (
        (sheet.free_bow_wide_m, "in its hottest hour, held along both sides"),
        (sheet.tight_bow_m, "set tight, without room to grow"),
    )
    ways = [f"{measure(bow_m, reader)} {how}" for bow_m, how in bows if bow_m > sheet.gap_m]
    gap = measure(sheet.gap_m, reader)
    said = f"The glazing can bow into the absorber: {', or '.join(ways)}, in a gap of {gap}."
    return [f"{said} Bars closer together, and room to grow, keep it off."]


def _bow_words(study: HotStudy, sheet: SheetMoves, kind: str, reader: Reader) -> list[str]:
    case, when = study.across
    across = f"{kelvins(sheet.across_k, reader)} between its skins ({case}, {reader.moment_text(when)})"
    gap = "Gap: room to grow into. Bite: how far the edge draws back in the cold; it must be held deeper than that."
    holes = "Holes: wider than the screw by so much at the sheet's ends, if it is fixed at its middle."
    bow = f"bows {measure(sheet.free_bow_m, reader)} towards its warm side, the gap"
    wide = f"held along both sides, {measure(sheet.free_bow_wide_m, reader)} across its width"
    room = f"in a gap of {measure(sheet.gap_m, reader)}"
    said = [
        f"{gap} {holes}",
        f"With {across} a sheet that is free along its height {bow}; {wide}, {room}.",
        f"Set tight on a mild day it has nowhere to grow and stands out {measure(sheet.tight_bow_m, reader)}.",
    ]
    if max(sheet.free_bow_wide_m, sheet.tight_bow_m) > sheet.gap_m:
        said.append("That would touch the absorber: bars closer together, and room to grow, keep it off.")
    if "polycarbonate" in kind:
        return [*said, *_fixing_words(sheet, reader)]
    return [*said, "No published figure for fixing such a sheet is known here: its maker's table decides."]


def _fixing_words(sheet: SheetMoves, reader: Reader) -> list[str]:
    """Return what is published on holding such a sheet, and whether the holes it prints are wide enough here."""
    growth = "0.036 in of room for each foot" if reader.us else "3 mm of room for each metre"
    least, most = (measure(m, reader) for m in SPACING_M)
    wide = max(day.hole_m for day in sheet.days)
    holes = (
        f"Makers' guides that allow screws print {least} to {most} between them and holes {measure(HOLE_M, reader)} "
        "wider than the screw."
    )
    if wide > HOLE_M:
        holes += f" That is too tight here ({measure(wide, reader)}): hold this sheet by its edges."
    edges = (
        f"Published: an edge held {measure(EDGE_M, reader)} deep besides its room to grow, {growth} and "
        f"{kelvins(GROWTH_K, reader)}, and rather no screws through the sheet (European Polycarbonate Sheet Extruders, "
        "installation instructions)."
    )
    return [f"{edges} {holes} Wind decides the spacing: the maker's table goes before all this."]
