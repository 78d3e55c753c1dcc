"""The page and the document of ``noonwall awning``: the trade-off of winter sun and summer shade."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.report.blocks import Title, page_of, table, words
from noonwall.report.phrases import heading_lines, recipes
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.sun_tables import season_text
from noonwall.report.tables import CAUTION
from noonwall.shade.site import OVERHANG
from noonwall.studies.hang import ROOF_EDGE, hung_keys, table_of
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page, Table
    from noonwall.report.reader import Reader
    from noonwall.studies.awning import Curve, Design, Point
    from noonwall.studies.trial import Yield

SCHEMA = "noonwall.awning/1"
MOST = 0.5
ALIKE_M, ALIKE_DEG = 0.01, 0.5
M_PER_FT = 0.3048
AS_WIDE = "as wide as the glazing"


def awning_page(curve: Curve, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page."""
    title = f"{name_of(project)}: how deep, how high, how steep"
    return page_of(
        Title((title, *heading_lines(project, weather, reader))),
        words([*findings(curve, reader), _cover_words(curve, project)]),
        _table(curve, reader),
        words(_notes(curve, reader), about="notes"),
        recipes(_recipes(curve, project, reader)),
        words([CAUTION]),
    )


def findings(curve: Curve, reader: Reader) -> list[str]:
    """Return in plain sentences what hangs there costs, and the best that keeps enough of winter."""
    said = _as_it_hangs(curve, reader)
    winter, summer = months_text(curve.winter), months_text(curve.summer)
    best = best_of(curve)
    if best is None:
        said.append(f"Nothing that was tried leaves {percent(curve.keep)} of the sun of {winter}.")
        return said
    said.append(
        f"Of those that leave {percent(curve.keep)} or more, the one that keeps off most of {summer} "
        f"({percent(best.summer_blocked)}): {design_words(best.design, curve, reader)}"
        f"{_gain_words(curve, best, reader)}."
    )
    first = curve.points[0]
    if first != best:
        said.append(
            f"The one that leaves most of {winter} ({percent(first.winter_kept)}) keeps off "
            f"{percent(first.summer_blocked)} of {summer}: {design_words(first.design, curve, reader)}"
            f"{_gain_words(curve, first, reader)}."
        )
    if best.summer_blocked < MOST:
        half = next((p for p in curve.points if p.summer_blocked >= MOST), None)
        if half is not None:
            said.append(
                f"To keep off half of {summer} costs winter sun: {percent(half.winter_kept)} are left."
            )
    return said


def best_of(curve: Curve) -> Point | None:
    """Return the design that keeps off most of the summer of those that leave what was asked; None for none."""
    enough = [point for point in curve.points if point.enough]
    return max(enough, key=lambda point: point.summer_blocked) if enough else None


def _as_now(design: Design, curve: Curve) -> bool:
    """Whether a design is how the thing hangs now, to what a builder would measure."""
    if curve.now is None:
        return False
    now = curve.now.design
    apart = (design.depth_m - now.depth_m, design.height_m - now.height_m)
    return max(map(abs, apart)) < ALIKE_M and abs(design.tilt_deg - now.tilt_deg) < ALIKE_DEG


def _as_it_hangs(curve: Curve, reader: Reader) -> list[str]:
    """Return what the thing costs as described, season by season, and what doing without it would bring."""
    now, without = curve.now, curve.without
    winter, summer = months_text(curve.winter), months_text(curve.summer)
    if now is None:
        return [f"Nothing hangs over the glazing: the figures are those of a new awning, {AS_WIDE}."]
    lost, season = without.less(now.given), season_text(without.season)
    costs = "cost" if curve.modules else "costs"
    heat = (
        f"{costs} {reader.heat_text(lost.season_heat)} of heat in {season}: the wall brings "
        f"{reader.heat_text(now.given.season_heat)} with {_it(curve)}, {reader.heat_text(without.season_heat)} without"
        if lost.season_heat >= 1.0
        else f"{costs} hardly any heat in {season}"
    )
    light = (
        f"{percent(1.0 - now.winter_kept)} of the sun of {winter} is kept off the glazing by {_it(curve)}, and "
        f"{percent(now.summer_blocked)} of that of {summer}."
    )
    said = [f'As described "{curve.name}" {heat}. {light}']
    if curve.modules:
        said.append(
            f"All modules of the project make {grouped(now.given.pv)} kWh of electricity in the year."
        )
    let_in = sum(lost.sun_kwh[month - 1] for month in curve.summer)
    if lost.season_heat >= 1.0 and let_in >= 1.0:
        said.append(
            f"To do without {_it(curve)} would bring that heat, and let {reader.heat_text(let_in)} more of sun onto "
            f"the glazing in {summer}: see first whether the shop gets too warm then."
        )
    return said


def _cover_words(curve: Curve, project: Project) -> str:
    """Return that a cover does in summer what the awning is there for; nothing without one."""
    if project.wall.cover is None or curve.modules:
        return ""
    return (
        "A cover is described too: while it hangs it keeps the sun off by itself, and the awning's shade adds "
        "little then."
    )


def _it(curve: Curve) -> str:
    return "them" if curve.modules else "it"


def _gain_words(curve: Curve, point: Point, reader: Reader) -> str:
    """Return what a design brings against what hangs there now, or against nothing for a new one."""
    if curve.now is None:
        cost = curve.without.less(point.given).season_heat
        return f"; it costs {reader.heat_text(max(cost, 0.0))} of heat in {season_text(curve.without.season)}"
    if _as_now(point.design, curve):
        return "; so it hangs now" if not curve.modules else "; so they hang now"
    gain = point.given.less(curve.now.given)
    words = f"; {_more(reader.heat(gain.season_heat), reader.heat_unit)} heat in {season_text(gain.season)}"
    return words + (f" and {_more(gain.pv, 'kWh')} electricity than now" if curve.modules else " than now")


def _more(amount: float, unit: str) -> str:
    return f"{grouped(abs(amount))} {unit} {'more' if amount >= 0.0 else 'less'}"


def _short(design: Design, reader: Reader) -> str:
    out, height = (reader.tape_text(abs(value)) for value in (design.depth_m, design.height_m))
    return f"{out} out, {height} {'above' if design.height_m >= 0.0 else 'below'}"


def design_words(design: Design, curve: Curve, reader: Reader) -> str:
    """Return a design in words."""
    edge = "lower edge" if curve.modules else "outer edge"
    height = reader.tape_text(abs(design.height_m))
    where = (
        "level with"
        if design.height_m == 0.0
        else f"{height} {'above' if design.height_m > 0.0 else 'below'}"
    )
    slope = "level" if design.tilt_deg == 0.0 else f"slope {design.tilt_deg:g}°"
    return f"{edge} {reader.tape_text(design.depth_m)} out and {where} the glazing's top, {slope}"


def months_text(months: tuple[int, ...]) -> str:
    """Return "November to March"."""
    return f"{MONTHS[months[0] - 1]} to {MONTHS[months[-1] - 1]}"


def _table(curve: Curve, reader: Reader) -> Table:
    heat = reader.heat_unit
    winter, summer = (
        f"{MONTHS[m[0] - 1][:3]} to {MONTHS[m[-1] - 1][:3]}" for m in (curve.winter, curve.summer)
    )
    season = curve.without.season
    columns: list[tuple[str, str, int]] = [
        ("stands|out", _length_unit(reader), 9),
        ("above|glazing", _length_unit(reader), 9),
        ("|slope", "°", 7),
        (f"{winter}|sun left", "", 11),
        (f"{summer}|kept off", "", 11),
        (f"{MONTHS[season[0] - 1][:3]} to {MONTHS[season[-1] - 1][:3]}|heat", heat, 11),
        ("year|modules", "kWh", 10),
    ]
    if not curve.modules:
        columns.pop()

    def row(point: Point) -> list[str]:
        design, given = point.design, point.given
        cells = [
            _length(design.depth_m, reader),
            _length(design.height_m, reader),
            f"{design.tilt_deg:g}",
            percent(point.winter_kept),
            percent(point.summer_blocked),
            grouped(reader.heat(given.season_heat)),
        ]
        return [*cells, grouped(given.pv)] if curve.modules else cells

    def bare(given: Yield) -> list[str]:
        cells = ["-", "-", "-", "100 %", "0 %", grouped(reader.heat(given.season_heat))]
        return [*cells, "0"] if curve.modules else cells

    enough = f"leaves {percent(curve.keep)}"
    rows = [(enough if point.enough else "", row(point)) for point in curve.points]
    below = [("without it", bare(curve.without))]
    if curve.now is not None:
        below.insert(0, ("as described", row(curve.now)))
    return table("THE TRADE-OFF", columns, rows, below, name_width=15)


def _length_unit(reader: Reader) -> str:
    return "ft" if reader.us else "m"


def _length(metres: float, reader: Reader) -> str:
    return f"{metres / M_PER_FT:.1f}" if reader.us else f"{metres:.2f}"


def _notes(curve: Curve, reader: Reader) -> list[str]:
    edge = "the modules' lower edge" if curve.modules else "the outer edge"
    fall = "their plane against the level" if curve.modules else "fall of the outer edge below the inner"
    note = (
        f"{curve.tried} ways to hang it were tried by the light they let through; listed are some of those that no "
        f"other beats both in winter and in summer, each calculated as a whole year. Out and above: {edge}; slope: "
        f"{fall}. Shares are of the sun that would reach the glazing without it, past all that stands around."
    )
    out, up = (reader.tape_text(value) for value in (curve.within.most_out_m, curve.within.most_up_m))
    upper = "lower edge" if curve.modules else "edge"
    bounds = (
        f"Sought was only what can be built on brackets: no farther out than {out}, and no {upper} higher than {up} "
        "above the glazing's top, where the wall ends at the eaves or the thing hangs already."
    )
    if curve.modules:
        bounds += " Upper edges may reach above the eaves: that takes a gable behind them, or a frame."
    return [note, bounds]


def _recipes(curve: Curve, project: Project, reader: Reader) -> list[tuple[str, str]]:
    """Return what to write to hang it as the best design does, and what to take out to do without it."""
    best, new = best_of(curve), curve.now is None
    table = table_of(project, curve.name, new=new)
    head = f"[{table}]" if table == ROOF_EDGE else f"[[{table.partition('[')[0]}]]"
    found = []
    if best is not None and (not _as_now(best.design, curve)):
        keys = hung_keys(project, curve.name, best.design, reader.system)
        named = ({"kind": "awning"} if not curve.modules else {}) | {"name": curve.name}
        lines = keys if table == ROOF_EDGE else named | keys
        told = "as the best found" if new else f'"{curve.name}" as the best found; its other lines stay'
        found.append((told, "\n".join([head, *(f'{key} = "{value}"' for key, value in lines.items())])))
    if not new:
        name = "" if table == ROOF_EDGE else f', named "{curve.name}"'
        found.append((f"to do without it, take out the table {head}{name}, with all its lines", ""))
    return found


def awning_offers(curve: Curve, reader: Reader) -> list[dict[str, Any]]:
    """Return what a page offers to try: the best found, and to do without what hangs there.

    Returns  word for a button, what it does, the name, whether it is new, and the design (None: without it)
    """
    offers: list[dict[str, Any]] = []
    common = {"name": curve.name, "new": curve.now is None}
    best = best_of(curve)
    what = "the modules so" if curve.modules else "this overhang" if curve.name == OVERHANG else "this awning"
    wanted = [point.design for point in ((best, curve.points[0]) if best else ())]
    for design in dict.fromkeys(wanted):
        if not _as_now(design, curve):
            told = f"{curve.name}: {design_words(design, curve, reader)}"
            word = f"Try {what}: {_short(design, reader)}"
            offers.append({**common, "word": word, "told": told, "design": asdict(design)})
    if curve.now is not None:
        told = f"{curve.name} taken away"
        offers.append({**common, "word": f"Try it without {curve.name}", "told": told, "design": None})
    return offers


def awning_document(curve: Curve, weather: Weather) -> dict[str, Any]:
    """Return the same as plain data, schema noonwall.awning/1."""
    return {
        "schema": SCHEMA,
        "name": curve.name,
        "modules": curve.modules,
        "keep_share": round(curve.keep, 3),
        "winter_months": list(curve.winter),
        "summer_months": list(curve.summer),
        "curve": [_point(point) for point in curve.points],
        "now": None if curve.now is None else _point(curve.now),
        "without": {"season_heat_kwh": round(curve.without.season_heat, 3)},
        "tried": curve.tried,
        "within": {key: round(value, 3) for key, value in asdict(curve.within).items()},
        "weather": {"kind": weather.kind, "place": weather.place, "distance_km": weather.distance_km},
    }


def _point(point: Point) -> dict[str, Any]:
    return {
        **{key: round(value, 3) + 0.0 for key, value in asdict(point.design).items()},
        "winter_sun_kept": round(point.winter_kept, 4),
        "summer_sun_blocked": round(point.summer_blocked, 4),
        "season_heat_kwh": round(point.given.season_heat, 3),
        "pv_kwh": round(point.given.pv, 3),
        "keeps_enough": point.enough,
    }
