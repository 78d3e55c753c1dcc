"""Ways side by side as text and as a document, schema noonwall.compare/1."""

from __future__ import annotations

import textwrap
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.report.blocks import Column, Facts, Row, Table, Title, page_of, words
from noonwall.report.phrases import fuel_amount, heading_lines, kelvins, listed
from noonwall.report.reader import grouped, name_of
from noonwall.report.tables import CAUTION
from noonwall.studies.compare import MEASURES, SAME_SHARE
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader
    from noonwall.studies.compare import CompareStudy, Measure

SCHEMA = "noonwall.compare/1"
MARKS = {"better": "+", "worse": "-", "same": " "}
NAME_WIDTH = 30
BASE_SHORT = "as it is"
NARROW, WIDE = 9, 84


def measure_name(key: str, study: CompareStudy, reader: Reader) -> str:
    """Return what a row tells, with its unit."""
    heat, degree = reader.heat_unit, reader.degree
    return {
        "delivered_kwh": f"brought into the shop, {heat}",
        "useful_kwh": f"of use, {heat}",
        "night_loss_kwh": f"carried back out, {heat}",
        "backup_kwh": f"heater gives, {heat}",
        "warm_h": "warm enough, h",
        "winter_mean_c": f"shop in {MONTHS[study.winter_month - 1]}, {degree}",
        "too_hot_h": "too hot, h",
        "room_hottest_c": f"shop at its hottest, {degree}",
        "fan_kwh": "fans, kWh",
        "fan_starts": "fan starts",
        "frost_h": "dew or frost on glazing, h",
        "hottest_c": f"absorber, worst hours, {degree}",
        "wood_h": f"wood at it above {reader.degrees(77.0):.0f} {degree}, h",
    }[key]


def shown(measure: Measure, value: float | None, reader: Reader) -> str:
    """Return a figure of a measure in the reader's unit."""
    if value is None:
        return "-"
    if measure.key.endswith("_c"):
        return (
            f"{reader.degrees(value):.1f}"
            if measure.key == "winter_mean_c"
            else f"{reader.degrees(value):.0f}"
        )
    if measure.key.endswith("_kwh") and measure.key != "fan_kwh":
        return grouped(reader.heat(value))
    return grouped(value)


def compare_page(study: CompareStudy, project: Project, weather: Weather, reader: Reader) -> Page:
    """Return the page that ``noonwall compare`` prints."""
    title = f"{name_of(project)}: {len(study.ways)} ways side by side"
    return page_of(
        Title((title, *heading_lines(project, weather, reader))),
        words(findings(study, reader)),
        *_tables(study, reader),
        _fuel_facts(study, project),
        _change_facts(study),
        words([CAUTION]),
    )


def findings(study: CompareStudy, reader: Reader) -> list[str]:
    """Return in plain sentences which way gives most, and which ways are the same."""
    heated = study.ways[0].backup_kwh is not None
    measure = next(m for m in MEASURES if m.key == ("backup_kwh" if heated else "useful_kwh"))
    values = [study.value(measure, i) or 0.0 for i in range(len(study.ways))]
    best = values.index(min(values) if measure.better == "less" else max(values))
    gain = abs(values[best] - values[0])
    said = []
    if study.verdict(measure, best) == "better":
        what = "less heat from the heater" if heated else "more heat of use"
        said.append(f"{_way(study, best)} does most: {reader.heat_text(gain)} {what} than as described.")
    else:
        said.append("None of these ways saves heat that the model could tell from none.")
    same = [_way(study, i) for i in range(1, len(values)) if study.verdict(measure, i) == "same"]
    if same:
        said.append(f"In that, {listed(same)} cannot be told from the wall as described.")
    said += _other_findings(study, reader)
    if study.already:
        named = listed([f'"{name}"' for name in study.already])
        said.append(f"Left out, for the wall as described has it already: {named}.")
    return said


def _other_findings(study: CompareStudy, reader: Reader) -> list[str]:
    said = []
    hours = [way.too_hot_h for way in study.ways]
    cool = hours.index(min(hours))
    if hours[cool] < hours[0] - 2.0:
        said.append(
            f"{_way(study, cool)} leaves fewest hours too hot: {hours[cool]:,.0f} instead of {hours[0]:,.0f}."
        )
    hot = [way.hottest_c for way in study.ways]
    mild = hot.index(min(hot))
    if hot[mild] < hot[0] - 1.0:
        less = kelvins(hot[0] - hot[mild], reader)
        said.append(f"{_way(study, mild)} keeps the absorber coolest in the worst hours, by {less}.")
    if max(hot) > hot[0] + 1.0:
        way, more = _way(study, hot.index(max(hot))), kelvins(max(hot) - hot[0], reader)
        said.append(f"{way} lets the absorber get hotter in the worst hours, by {more}.")
    return said


def _way(study: CompareStudy, place: int) -> str:
    return f'"{study.ways[place].name}"'


def _tables(study: CompareStudy, reader: Reader) -> list[Table]:
    """Return the table, broken in two where the ways do not fit on a line."""
    count = len(study.ways)
    width = max(NARROW, min(14, (WIDE - NAME_WIDTH) // min(count, 6)))
    fit = (WIDE - NAME_WIDTH) // width
    signs = (
        f"+ better, - worse than as described; no mark: within {100 * SAME_SHARE:.0f} %, not to be told apart"
    )
    found = []
    for first in range(0, count, fit):
        places = list(range(first, min(first + fit, count)))
        if first and 0 not in places:
            places = [0, *places][:fit]
        last = first + fit >= count
        found.append(_table(study, places, width, reader, (signs,) if last else ()))
    return found


def _table(
    study: CompareStudy, places: list[int], width: int, reader: Reader, below: tuple[str, ...]
) -> Table:
    names = [_broken(BASE_SHORT if i == 0 else study.ways[i].name, width - 1) for i in places]
    columns = tuple(
        Column("|".join(f"{line.replace('|', '/')} " for line in name), "", width) for name in names
    )
    rows = []
    for measure in MEASURES:
        if study.value(measure, 0) is None:
            continue
        marks = [MARKS[study.verdict(measure, i)] if i else " " for i in places]
        figures = [shown(measure, study.value(measure, i), reader) for i in places]
        cells = (figure + mark for figure, mark in zip(figures, marks, strict=True))
        rows.append(Row(measure_name(measure.key, study, reader), tuple(cells)))
    return Table("OVER THE YEAR", columns, tuple(rows), NAME_WIDTH, below)


def _broken(name: str, width: int) -> list[str]:
    """Return a name in lines of a column, two at most."""
    lines = textwrap.wrap(name, max(width, 4)) or [""]
    return lines if len(lines) <= 3 else [*lines[:2], lines[2][: width - 1] + "."]


def _fuel_facts(study: CompareStudy, project: Project) -> Facts | None:
    if study.ways[0].fuel is None:
        return None
    facts = (
        (f"  {way.name}", fuel_amount(way.fuel, project.money.currency))
        for way in study.ways
        if way.fuel is not None
    )
    return Facts("FUEL NOT BURNED, against the shop without the wall", tuple(facts), NAME_WIDTH + 2)


def _change_facts(study: CompareStudy) -> Facts | None:
    told = tuple(
        (f"  {way.name}:", ", ".join(way.changes))
        for way in study.ways
        if way.changes and way.name != " + ".join(way.changes)
    )
    return Facts("WHAT IS DIFFERENT", told, NAME_WIDTH + 2) if told else None


def compare_document(study: CompareStudy, weather: Weather) -> dict[str, Any]:
    """Return the ways as plain data; keys carry units, what does not exist is None."""
    return {
        "schema": SCHEMA,
        "ways": [_plain(asdict(way)) for way in study.ways],
        "verdicts": [
            {
                "name": study.ways[i].name,
                **{measure.key: study.verdict(measure, i) for measure in MEASURES},
            }
            for i in range(1, len(study.ways))
        ],
        "same_share": SAME_SHARE,
        "winter_month": study.winter_month,
        "already": list(study.already),
        "weather": {"kind": weather.kind, "place": weather.place, "distance_km": weather.distance_km},
    }


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return round(value, 3) + 0.0 if isinstance(value, float) else value
