"""The worst hours as text: what gets how hot in which failure, against which limit, and what moves."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from noonwall.report.blocks import Column, Facts, Row, Table, Title, filled, page_of, words
from noonwall.report.hot_accepted import accepted_words
from noonwall.report.hot_lead import SLIGHT_K, case_words, face_of, lead_words
from noonwall.report.hot_sheet import sheet_blocks, touch_words
from noonwall.report.hot_steps import ROOM_LIMIT, unsure
from noonwall.report.phrases import (
    heading_lines,
    kelvin_unit,
    kelvins,
    listed,
    measure,
    recipes,
)
from noonwall.report.reader import grouped, name_of
from noonwall.report.tables import CAUTION
from noonwall.studies.reliefs import METAL, NO_LIMIT, WOOL, WOOL_M
from noonwall.studies.remedies import room_limits
from noonwall.units import MONTHS, in_both

if TYPE_CHECKING:
    from noonwall.assess.hot import PieceHeat, Standing
    from noonwall.assess.pieces import Piece
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader
    from noonwall.studies.hot import HotStudy
    from noonwall.studies.reliefs import Heat

HEADS = {
    "as described": ("as", "is"),
    "fans dead": ("fans", "dead"),
    "fans stuck on": ("fans", "on"),
    "switch dead": ("switch", "dead"),
    "flap stuck open": ("flap", "open"),
    "flap stuck shut": ("flap", "shut"),
    "vents blocked": ("vents", "blocked"),
    "cover forgotten": ("cover", "forgot"),
    "power out for a week": ("power", "out"),
}
KELVINS = re.compile(r"\b(\d+) K\b")
ABOVE, PERHAPS = "*", "†"
NAME_WIDTH, CELL, NARROW_CELL, MANY = 29, 8, 5, 6
ASSUMED = (
    "Frame and studs are assumed to be as hot as the absorber that they touch: the frame as its face, the studs as its "
    "back. In truth they are somewhat cooler; a frame with air or wool between it and the absorber is."
)
METAL_TOML = """
[wall.frame]
material = "steel sheet"
"""


def hot_page(study: HotStudy, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page that ``noonwall hot`` prints."""
    return page_of(
        Title((f"{name_of(project)}: the worst credible hours", *heading_lines(project, weather, reader))),
        words(_days_made_of(study), about="days"),
        _heat_table(study, reader),
        _month_table(study, reader),
        words([*findings(study, project, reader), *touch_words(study, reader)]),
        _limit_table(study.standings, reader),
        _limit_sources(study.standings, reader),
        words(_combustible(study, reader), about="combustible"),
        _relief_table(study, reader),
        recipes(_recipes(study, project)),
        *sheet_blocks(study, project.wall.glazing.kind, reader),
        words([_doubt_words(study, reader)], about="sure"),
        words(_unsure_words(study, reader), about="unsure"),
        words(_verdict(study)),
        words(accepted_words(study, project, reader), about="accepted"),
        words(_accepting_words(study), about="accepting"),
        words([CAUTION]),
    )


def _days_made_of(study: HotStudy) -> list[str]:
    rare = "as hot as one day in a hundred of the month"
    snowy = [MONTHS[m.month - 1] for m in study.worst.months if m.snowy is not None]
    snow = f"Snow lies in front in {listed(snowy)}." if snowy else "No month has snow in front."
    said = (
        f"Every day of this year is clear and dry, without wind, and {rare}. {snow} The hours above a limit are "
        "those of a usual year in which the failure lasts all year (a power cut: its worst week)."
    )
    return [said]


def _heat_table(study: HotStudy, reader: Reader) -> Table:
    cases = study.cases
    cell = CELL if len(cases) <= MANY else NARROW_CELL
    heads = [HEADS[case.case] for case in cases]
    columns = tuple(Column("|".join(head), "", max(cell, 1 + max(map(len, head)))) for head in heads)
    rows = [
        Row(_short(heat.piece), tuple(_marked(case.pieces[place], reader) for case in cases))
        for place, heat in enumerate(cases[0].pieces)
    ]
    rows.append(Row("  absorber hottest in", tuple(MONTHS[case.worst_month - 1][:3] for case in cases)))
    note = f"{ABOVE} above a published limit  {PERHAPS} above a figure from memory, not published"
    left_out = [f"Left out: {case}, {why}." for case, why in study.left_out]
    below = (note, *(filled(line) for line in (ASSUMED, *left_out)))
    return Table(f"HOTTEST HOUR, {reader.degree}", columns, tuple(rows), NAME_WIDTH, below, about="failures")


def _short(piece: Piece) -> str:
    return piece.label.replace("oriented strand board", "strand board")


def _marked(heat: PieceHeat, reader: Reader) -> str:
    over = [limit for limit in heat.piece.limits if heat.hottest_c > limit.value_c]
    mark = ABOVE if any(limit.published for limit in over) else PERHAPS if over else " "
    return f"{reader.degrees(heat.hottest_c):.0f}{mark}"


def _month_table(study: HotStudy, reader: Reader) -> Table:
    face = next(i for i, heat in enumerate(study.cases[0].pieces) if heat.piece.name.startswith("absorber"))
    name = study.cases[0].pieces[face].piece.name
    rows = (
        Row(case.case, tuple(f"{reader.degrees(c):.0f}" for c in case.pieces[face].by_month_c))
        for case in study.cases
    )
    columns = tuple(Column(month[:3], "", 5) for month in MONTHS)
    return Table(f"{name.upper()}, {reader.degree}", columns, tuple(rows), 24)


def _stopped_words(study: HotStudy, project: Project) -> str:
    """Return why dead fans make no hour hotter, with the name of what stops them."""
    told = "Dead fans change nothing in the hottest hours"
    if limits := room_limits(project) if _limit_heats(study) else ():
        names = listed([f'"{limit.name}"' for limit in limits])
        return f"{told}: the shop is so warm by then that {names}, the limit on its warmth, has stopped them already."
    if project.circuit.fans == "off":
        return f"{told}: they are set to off."
    return f"{told}: they do not run then as it is, or move too little air to matter."


def _limit_heats(study: HotStudy) -> bool:
    """Return whether the wall's worst hour would be cooler without the room limit."""
    found = study.reliefs
    without = next((way.described.face_c for way in found.ways if way.name == NO_LIMIT), None)
    return without is not None and found.described.face_c - without > SLIGHT_K


def findings(study: HotStudy, project: Project, reader: Reader) -> list[str]:
    """Return in plain sentences what a usual year does, which month is worst, and how much a failure adds."""
    base, said = study.cases[0], lead_words(study, reader)
    dead = next((case for case in study.cases if case.case == "fans dead"), None)
    if dead is not None:
        more = face_of(dead).hottest_c - face_of(base).hottest_c
        if more > SLIGHT_K:
            said.append(
                f"Dead fans alone make the absorber {kelvins(more, reader)} hotter than the wall as described."
            )
        else:
            said.append(_stopped_words(study, project))
    return [*said, *_limit_words(study, reader)]


def _limit_words(study: HotStudy, reader: Reader) -> list[str]:
    """Return what a room limit that stops the fans in the sun makes of the wall's worst hour."""
    found = study.reliefs
    if not _limit_heats(study):
        return []
    without = next(way.described.face_c for way in found.ways if way.name == NO_LIMIT)
    warmth = [reader.degrees_text(c) for c in (found.described.face_c, without)]
    reached = f"the absorber reaches {warmth[0]} with it, {warmth[1]} without it"
    return [ROOM_LIMIT, f"In the worst credible hour, with everything working, {reached}."]


def _limit_table(standings: tuple[Standing, ...], reader: Reader) -> Table:
    """Return each limit with the hottest case, its margin and hours a year."""
    degree, kelvin = reader.degree, kelvin_unit(reader)
    columns = (
        Column("limit", degree, 5),
        Column("hottest", degree, 8),
        Column("margin", kelvin, 7),
        Column("hours a year|usual", "", 9),
        Column("|worst", "", 7),
        Column("worst case", "", 17, left=True),
    )
    rows = []
    for one in standings:
        hours = [grouped(h) if h else "-" for h in (one.usual_hours, one.year_hours)]
        limit = f"{reader.degrees(one.limit.value_c):.0f}{' ' if one.limit.published else PERHAPS}"
        name = f"{_short(one.piece).removesuffix(', its hot face')}: {one.limit.nature}"
        margin = f"{reader.kelvins(one.margin_k):+.0f}"
        case = one.case.removesuffix(" for a week")
        cells = (limit, f"{reader.degrees(one.hottest_c):.0f}", margin, *hours, case)
        rows.append(Row(name, cells))
    note = f"{PERHAPS} a figure from memory, not a published limit: it decides nothing here"
    unsure_too = any(not one.limit.published for one in standings)
    return Table("AGAINST THE LIMITS", columns, tuple(rows), 31, (note,) if unsure_too else ())


def _limit_sources(standings: tuple[Standing, ...], reader: Reader) -> Facts | None:
    """Return who says so, for each limit."""
    sources = {
        one.limit.name: f"{in_both(one.limit.told, reader.system)} ({one.limit.source})" for one in standings
    }
    facts = tuple((f"  {name}:", text) for name, text in sources.items())
    return Facts("WHO SETS THEM", facts, 4, about="sources") if facts else None


def _combustible(study: HotStudy, reader: Reader) -> list[str]:
    """Return which combustible pieces stand in the hot zone, and what a metal frame changes."""
    hot: dict[str, float] = {}
    for one in study.standings:
        if (
            one.piece.burns
            and one.margin_k < 0.0
            and one.limit.nature in ("lasting", "strength", "softening")
        ):
            hot[one.piece.label] = one.hottest_c
    if not hot:
        return ["No combustible piece gets above a limit of its material in any case."]
    named = listed([f"{name} ({reader.degrees_text(c)})" for name, c in hot.items()])
    left = {one.piece.label for one in study.hard_standings if one.margin_k < 0.0 and one.limit.published}
    held = [name for name in hot if "frame" in name or "studs" in name]
    said = [f"Combustible and in the hot zone: {named}."]
    if held:
        rest = (
            f"still above a published limit: {listed(sorted(left))}"
            if left
            else "nothing is above a published limit"
        )
        same = f"The same wall with frame and studs of sheet metal: {rest}."
        said.append(
            f"{same} Metal does not burn, but it carries heat inward: what it is screwed to must bear that."
        )
    return said


def _doubt_words(study: HotStudy, reader: Reader) -> str:
    named = ", ".join(
        f"{_in_degrees(doubt.name, reader)} {reader.kelvins(doubt.kelvin):+.1f}" for doubt in study.doubts
    )
    sure = max(study.sure_k.values())
    unit = kelvin_unit(reader)
    return (
        f"HOW SURE: the hottest temperatures may be {kelvins(sure, reader)} higher: {named} {unit}, taken together "
        "as the root of the sum of their squares."
    )


def _in_degrees(text: str, reader: Reader) -> str:
    """Return a text with its kelvins as the reader tells them."""
    return KELVINS.sub(lambda hit: kelvins(float(hit[1]), reader), text)


def _relief_table(study: HotStudy, reader: Reader) -> Table:
    """Return what lowers the temperatures, and by how much, most effective first, what would cost wanted heat last."""
    found, unit = study.reliefs, kelvin_unit(reader)
    heads = ["as described", case_words(found.worst_case).removeprefix("the ").removesuffix(" by stock")]
    columns = [
        column
        for head in heads
        for column in (Column(f"{head}|absorber", "", 9), Column("|frame", "", 6), Column("|studs", "", 6))
    ]
    rows = []
    for way in found.ways:
        pairs = ((found.described, way.described), (found.worst, way.worst))
        cells = tuple(cell for old, new in pairs for cell in _cells(old, new, reader))
        name = f"mineral wool, {measure(WOOL_M, reader)}, before the studs" if way.name == WOOL else way.name
        rows.append(Row(name, cells))
    told = (
        "gone: no wood there any more. Each by itself, in the hottest hours of all; `noonwall compare` tells what it "
        "costs in heat. A cover lowers them only on the days it hangs: it stands last where its heat is wanted in the "
        "worst hour."
    )
    return Table(f"WHAT LOWERS THEM, {unit} cooler", tuple(columns), tuple(rows), 42, (filled(told),))


def _cells(old: Heat, new: Heat, reader: Reader) -> tuple[str, str, str]:
    face = f"{round(reader.kelvins(old.face_c - new.face_c))}"
    return face, _less(old.frame_c, new.frame_c, reader), _less(old.studs_c, new.studs_c, reader)


def _less(was: float | None, now: float | None, reader: Reader) -> str:
    if was is None:
        return "-"
    return "gone" if now is None else f"{round(reader.kelvins(was - now))}"


def _recipes(study: HotStudy, project: Project) -> list[tuple[str, str]]:
    """Return what to write for a frame that does not burn, where there is one that does."""
    if METAL not in (way.name for way in study.reliefs.ways):
        return []
    studs = 'studs = "steel sheet"\n' if project.wall.frame.studs is not None else ""
    return [("frame and studs of sheet metal; in [wall.frame] if you have that table", METAL_TOML + studs)]


def _unsure_words(study: HotStudy, reader: Reader) -> list[str]:
    found = unsure(study, reader)
    return ["Above a figure that is no published limit:", *found] if found else []


def _verdict(study: HotStudy) -> list[str]:
    if not study.breaches:
        return ["No published limit is exceeded in a case that is not accepted."]
    cases = list(dict.fromkeys(case for case, _, _ in study.breaches))
    pieces = list(dict.fromkeys(piece.label for _, piece, _ in study.breaches))
    where = f"{len(cases)} of {len(study.cases)} cases: {listed(cases)}"
    return [f"Published limits are exceeded in {where}. Pieces: {listed(pieces)}."]


def _accepting_words(study: HotStudy) -> list[str]:
    """Return how a builder says in the file that a case is known of; a page has ticks for it."""
    told = 'A case the builder has thought about and lives with is named in the project: [hot] accepted = ["..."].'
    return [told] if study.breaches else []
