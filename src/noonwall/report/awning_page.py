"""The page and the document of ``noonwall awning``: the trade-off of winter sun and summer shade."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.report.blocks import Title, page_of, table, words
from noonwall.report.phrases import heading_lines
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.sun_tables import season_text
from noonwall.report.tables import CAUTION
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
M_PER_FT = 0.3048


def awning_page(curve: Curve, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page."""
    title = f"{name_of(project)}: how deep, how high, how steep"
    return page_of(
        Title((title, *heading_lines(project, weather, reader))),
        words(findings(curve, reader)),
        _table(curve, reader),
        words(_notes(curve), about="notes"),
        words([CAUTION]),
    )


def findings(curve: Curve, reader: Reader) -> list[str]:
    """Return in plain sentences what hangs there now, and the best that keeps enough of winter."""
    said = []
    winter, summer = months_text(curve.winter), months_text(curve.summer)
    if curve.now is not None:
        now = curve.now
        said.append(
            f'Past "{curve.name}" as described {percent(now.winter_kept)} of the sun of {winter} reaches the '
            f"glazing; {percent(now.summer_blocked)} of that of {summer} is kept off."
        )
    enough = [point for point in curve.points if point.enough]
    if not enough:
        said.append(f"Nothing that was tried leaves {percent(curve.keep)} of the sun of {winter}.")
        return said
    best = max(enough, key=lambda point: point.summer_blocked)
    more = _gain_words(curve, best, reader)
    said.append(
        f"Of those that leave {percent(curve.keep)} or more, the one that keeps off most of {summer} "
        f"({percent(best.summer_blocked)}): {design_words(best.design, curve, reader)}{more}."
    )
    if best.summer_blocked < MOST:
        half = next((p for p in curve.points if p.summer_blocked >= MOST), None)
        if half is not None:
            said.append(
                f"To keep off half of {summer} costs winter sun: {percent(half.winter_kept)} are left."
            )
    return said


def _gain_words(curve: Curve, point: Point, reader: Reader) -> str:
    if curve.now is None:
        return ""
    gain = point.given.less(curve.now.given)
    words = f"; {_more(reader.heat(gain.season_heat), reader.heat_unit)} heat in {season_text(gain.season)}"
    return words + (f" and {_more(gain.pv, 'kWh')} electricity than now" if curve.modules else " than now")


def _more(amount: float, unit: str) -> str:
    return f"{grouped(abs(amount))} {unit} {'more' if amount >= 0.0 else 'less'}"


def design_words(design: Design, curve: Curve, reader: Reader) -> str:
    """Return a design in words."""
    edge = "lower edge" if curve.modules else "outer edge"
    height = reader.show(abs(design.height_m), "length")
    where = (
        "level with"
        if design.height_m == 0.0
        else f"{height} {'above' if design.height_m > 0.0 else 'below'}"
    )
    return (
        f"{edge} {reader.show(design.depth_m, 'length')} out and {where} the glazing's top, "
        f"slope {design.tilt_deg:g}°"
    )


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


def _notes(curve: Curve) -> list[str]:
    edge = "the modules' lower edge" if curve.modules else "the outer edge"
    fall = "their plane against the level" if curve.modules else "fall of the outer edge below the inner"
    note = (
        f"{curve.tried} ways to hang it were tried by the light they let through; listed are some of those that no "
        f"other beats both in winter and in summer, each calculated as a whole year. Out and above: {edge}; slope: "
        f"{fall}. Shares are of the sun that would reach the glazing without it, past all that stands around."
    )
    return [note]


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
