"""The story of a guess: look at a file, settle its time and its columns, say what stays open."""

from __future__ import annotations

import difflib
import re
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from noonwall.logs import lines as text_lines
from noonwall.logs import maps
from noonwall.logs.cells import cell_reader, decimal_sign, numbers
from noonwall.logs.clock import near, proposal, put_back, put_on, standard_throughout, zone_of
from noonwall.logs.columns import Sample, Setting, guess_columns
from noonwall.logs.errors import ReadingsError
from noonwall.logs.guess import ColumnGuess, Guess, Layout, Question, TimeGuess
from noonwall.logs.reader import NO_NAME
from noonwall.logs.stamps import Order, StampRule, parse_zone, shown
from noonwall.logs.survey import date_orders, survey
from noonwall.logs.table import EMPTY_WORDS, look_at, splitter
from noonwall.logs.words import STATE_WORDS

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.maps import FileMap
    from noonwall.logs.survey import Cancel, Progress, Survey
    from noonwall.logs.table import Table

_CHANNEL_WORDS = re.compile(
    r"\b(sensor|channel|entity|device|probe|name|tag|point|location|parameter|variable|series|id)\b", re.I
)
_VALUE_WORDS = re.compile(r"\b(value|state|reading|wert|arvo|valeur|measurement|data)\b", re.I)
_ZONE_LINE = re.compile(
    r"(?:time ?zone|zone|tz)\W{1,3}((?:GMT|UTC)?\s?[+-]\d{1,2}(?::\d{2})?|UTC|[A-Z]\w+/\w+)", re.I
)
_INDEX_WORDS = re.compile(r"^(#|no\.?|nr\.?|index|record|recnum|row|id)$", re.I)
AT_SITE = "standard time at the site"  # why a zone is taken that nobody told


def guess_file(
    path: Path,
    *,
    said: FileMap | None = None,
    folder: Path | None = None,
    utc_offset_h: float | None = None,
    today: int | None = None,
    us: bool = False,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Guess:
    """Return what a file of readings is understood to be; nothing is stored.

    said           the builder's words (`maps.typed`), before all else
    folder         project folder, whose saved maps count next
    utc_offset_h   standard time at the site [h], taken for clocks that do not say
    today          days since 1970: no reading is from later than tomorrow; None: not checked
    us             whether Fahrenheit and month-first dates are the likelier where the file leaves it open
    raises         ReadingsError with file and line when it cannot be a table of readings
    """
    words = said or maps.FileMap()
    time = words.general["time"].split("+") if "time" in words.general else None
    table = look_at(path, words.general.get("delimiter"), time)
    if folder is not None:
        words = words.over(maps.saved(folder, table.names))
    general = words.general
    decimal = general.get("decimal") or decimal_sign(_sample_columns(table))
    rule, order_reason, questions = _date_order(path, table, general.get("dates"), today, us=us)
    layout, channel_place, value_place = _layout(path, table, decimal, general)
    places = None if channel_place is None or value_place is None else (channel_place, value_place)
    found = survey(path, table, rule, places, progress, cancel)
    _refuse_unknown(path, said, table, list(found.channels))
    zone = _zone(table, rule, found, general.get("zone"), utc_offset_h)
    samples = _samples(table, rule, layout, channel_place, value_place, found)
    stem = " ".join(re.split(r"[_\-.\s]+", path.name.split(".")[0]))
    setting = Setting(decimal, stem, general.get("unit"), "F" if us and decimal == "." else "C")
    columns, open_columns = guess_columns(samples, setting, words.columns)
    if "empty" in general:
        empties = tuple(word.strip() for word in general["empty"].split(","))
        columns = tuple(replace(item, empties=(*item.empties, *empties)) for item in columns)
    notes = (
        [order_reason]
        if not rule.form.startswith("epoch") and order_reason.startswith(("only", "as"))
        else []
    )
    notes += _passed_over(table)
    if found.muddled and layout == "wide":
        notes += ["its rows are not in the order of time; they are put in order as they are read"]
    notes += [] if table.named else ["the file has no heading; columns are numbered"]
    return Guess(
        path=path,
        table=table,
        content=text_lines.content_hash(path, table.form),
        decimal=decimal,
        layout=layout,
        channel_place=channel_place,
        value_place=value_place,
        time=zone[0],
        descending=found.descending,
        rows=found.rows,
        first_clock_s=found.first_s,
        last_clock_s=found.last_s,
        step_s=found.step_s,
        columns=columns,
        no_readings=found.odd.notes(columns, decimal),
        notes=(*notes, *zone[2], *found.account.notes(), *_none_used(columns)),
        questions=(*questions, *zone[1], *_merged(open_columns)),
    )


def _passed_over(table: Table) -> list[str]:
    """Return what is told of lines above the readings that are no heading."""
    heads = [{cell.lower() for cell in line if cell} for line in (table.names, *table.under)]
    left = []
    for text, cells in zip(table.preamble, splitter(table.delimiter)(table.preamble), strict=True):
        words = {" ".join(cell.strip().strip('"').split()).lower() for cell in cells} - {""}
        if not any(2 * len(words & head) >= len(words) for head in heads):
            left.append(text)
    if not left:
        return []
    lines = "1 line above the readings is" if len(left) == 1 else f"{len(left)} lines above the readings are"
    return [f'{lines} passed over ("{left[-1][:40]}"{", ..." if len(left) > 1 else ""})']


def _refuse_unknown(path: Path, said: FileMap | None, table: Table, channels: list[str]) -> None:
    """Refuse a name the builder typed that no column (in a long file: no channel) has."""
    names = channels or list(table.names)
    for column in said.columns if said else ():
        if column not in names:
            near = difflib.get_close_matches(column, names, n=1, cutoff=0.4)
            hint = f'; nearest is "{near[0]}"' if near else ""
            raise ReadingsError(f'{path}:{table.data_line}: no column "{column[:60]}"{hint}')


def _none_used(columns: tuple[ColumnGuess, ...]) -> list[str]:
    used = [item for item in columns if item.role not in ("skip", "other")]
    return (
        []
        if used
        else ["no column has a role yet; say what they are with --map, or nothing can be made of it"]
    )


def _merged(questions: list[Question]) -> list[Question]:
    """Return the questions, those that ask the same of many columns as one."""
    out: list[Question] = []
    for question in questions:
        what = question.text.partition(": ")[2]
        same = [q for q in questions if q.text.partition(": ")[2] == what and q.must == question.must]
        if question is not same[0]:
            continue
        if len(same) > 1:
            columns = ", ".join(q.text.split('"')[1] for q in same[:4]) + (", ..." if len(same) > 4 else "")
            out.append(replace(question, text=f"columns {columns}: {what}"))
        else:
            out.append(question)
    return out


def _sample_columns(table: Table) -> list[list[str]]:
    rows = table.rows[:: max(1, len(table.rows) // 300)]
    return [[row.cells[i] for row in rows] for i in range(len(table.names)) if i not in table.stamp.columns]


def _date_order(
    path: Path, table: Table, said: str | None, today: int | None, *, us: bool
) -> tuple[StampRule, str, list[Question]]:
    """Return the time's rule with the order of its dates, why, and the question if it stays open."""
    orders, reason = date_orders(table.rows, table.stamp, today)
    if said is not None:
        order = cast("Order", said)
        if orders and order not in orders and reason != "its dates read one way only":
            raise ReadingsError(
                f"{path}:{table.rows[0].line}: dates={said} does not fit the file's dates ({reason})"
            )
        return replace(table.stamp, order=order), "your word", []
    if not orders:
        raise ReadingsError(f"{path}:{table.rows[0].line}: {reason}")
    rule = replace(table.stamp, order=orders[0])
    if len(orders) == 1:
        return rule, reason, []
    example = table.rows[0].cells[rule.columns[0]].strip()
    question = Question(
        f'is "{example[:24]}" day first or month first? The file\'s dates read both ways',
        "dates=mdy" if us else "dates=dmy",
        must=True,
        other="dates=dmy" if us else "dates=mdy",
    )
    return rule, reason, [question]


def _layout(
    path: Path, table: Table, decimal: str, general: dict[str, str]
) -> tuple[Layout, int | None, int | None]:
    """Return wide or long, and for a long file the places of the channel's name and of its value."""
    said = general.get("layout")
    if said == "wide":
        return "wide", None, None
    places = [i for i in range(len(table.names)) if i not in table.stamp.columns]
    channel = _place(path, table, general.get("channel"))
    value = _place(path, table, general.get("value"))
    rows = table.rows[:: max(1, len(table.rows) // 500)]
    reader = cell_reader(decimal, state=True)
    numeric, wordy = [], []
    for i in places:
        cells = [row.cells[i] for row in rows]
        filled = [c.strip() for c in cells if c.strip() and c.strip().lower() not in EMPTY_WORDS]
        read = sum(value_ != float("inf") for value_ in numbers(filled, reader, point=False).tolist())
        if filled and read > 0.5 * len(filled) and not _INDEX_WORDS.match(table.names[i]):
            numeric.append(i)
        names = {c.lower() for c in filled}
        few = 1 <= len(names) <= max(3, len(filled) // 3) and not names <= STATE_WORDS.keys()
        if few and (read < 0.5 * len(filled) or _CHANNEL_WORDS.search(table.names[i])):
            wordy.append(i)
    if channel is None:
        named = [i for i in wordy if _CHANNEL_WORDS.search(table.names[i])]
        channel = next(iter(named or wordy), None)
    if value is None:
        left = [i for i in numeric if i != channel]
        named = [i for i in left if _VALUE_WORDS.search(table.names[i])]
        value = next(iter(named), left[0] if len(left) == 1 else None)
    if said == "long" and (channel is None or value is None):
        raise ReadingsError(
            f"{path}:{table.data_line}: layout=long needs a column of channel names and one of values; "
            "name them with --map channel=NAME --map value=NAME"
        )
    if channel is None or value is None or (said is None and not _repeats(table, channel, general)):
        return "wide", None, None
    return "long", channel, value


def _repeats(table: Table, channel: int, general: dict[str, str]) -> bool:
    """Return whether a column names channels: told or headed so, or several names that come again."""
    names = {row.cells[channel].strip() for row in table.rows}
    return "channel" in general or bool(_CHANNEL_WORDS.search(table.names[channel])) or 2 <= len(names) <= 40


def _place(path: Path, table: Table, name: str | None) -> int | None:
    if name is None:
        return None
    if name not in table.names:
        raise ReadingsError(
            f'{path}:{table.data_line}: no column "{name[:60]}"; columns are {", ".join(table.names)}'
        )
    return table.names.index(name)


def _samples(
    table: Table,
    rule: StampRule,
    layout: Layout,
    channel_place: int | None,
    value_place: int | None,
    found: Survey,
) -> list[Sample]:
    """Return a sample of each column's cells, or of each channel's in a long file."""
    if layout == "wide":
        return [
            Sample(name, i, [row.cells[i] for row in table.rows], tuple(line[i] for line in table.under))
            for i, name in enumerate(table.names)
            if i not in rule.columns
        ]
    places = cast("tuple[int, int]", (channel_place, value_place))
    unit_place = next(
        (i for i, name in enumerate(table.names) if re.fullmatch(r"units?|einheit", name, re.I)), None
    )
    out = []
    for name in sorted(found.channels):
        rows = [row for row in table.rows if row.cells[places[0]].strip().strip('"') == name]
        under = (rows[0].cells[unit_place],) if unit_place is not None and rows else ()
        cells = [row.cells[places[1]] for row in rows]
        out.append(Sample(name or NO_NAME, places[1], cells, under))
    return out


def _zone(
    table: Table, rule: StampRule, found: Survey, said: str | None, utc_offset_h: float | None
) -> tuple[TimeGuess, list[Question], list[str]]:
    """Return how clock becomes UTC, with what is open and what is to be told."""
    if rule.form.startswith("epoch"):
        return TimeGuess(rule, "UTC", 1.0, "counted from 1970 UTC"), [], []
    if said is not None:
        zone_of(said)
        return TimeGuess(rule, said, 1.0, "your word"), [], []
    if found.zoned_share > 0.999:
        return TimeGuess(rule, "in the stamps", 1.0, "each stamp carries its offset"), [], []
    if written := _zone_in_heading(table, rule):
        return TimeGuess(rule, written, 0.9, "the heading says so"), [], []
    usual = "UTC" if utc_offset_h is None else _fixed(utc_offset_h)
    if seen := _by_its_changes(rule, found, utc_offset_h, usual):
        return seen
    if utc_offset_h is None:
        ask = Question("the file does not say in which time zone its clock runs", "zone=UTC-7", must=True)
        return TimeGuess(rule, "UTC", 0.2, "nothing says so"), [ask], []
    saving = near(utc_offset_h)
    if saving and standard_throughout(saving, found.first_s, found.last_s):
        return (
            TimeGuess(rule, usual, 0.8, f"{AT_SITE}, and no clock is put on in these days"),
            [],
            [],
        )
    check = Question(
        f"taken as standard time at the site ({usual}) all year; does its clock follow daylight saving?",
        f"zone={saving or usual}",
        must=False,
    )
    return TimeGuess(rule, usual, 0.5, AT_SITE), [check], []


def _by_its_changes(
    rule: StampRule, found: Survey, utc_offset_h: float | None, usual: str
) -> tuple[TimeGuess, list[Question], list[str]] | None:
    """Return the zone that a clock gives away when it is put back or on; None when it never was."""
    if found.muddled:
        return None
    if turned := put_back(found.jumps_back, found.step_s):
        seen = f"its clock was put back an hour at {shown(turned[0])}"
        if name := proposal(utc_offset_h, turned):
            check = Question(f"{seen}, as in {name}: is that its zone?", f"zone={name}", must=False)
            return TimeGuess(rule, name, 0.7, seen), [check], []
        ask = Question(
            f"{seen}; in which zone is it?", f"zone={near(utc_offset_h) or 'America/Denver'}", must=True
        )
        return TimeGuess(rule, usual, 0.2, seen), [ask], []
    turned = put_on(found.jumps_on, found.step_s)
    name = proposal(utc_offset_h, (), turned) if turned else None
    if name is None:
        return None
    seen = f"its clock leaves an hour out at {shown(turned[0])}"
    text = f"{seen}, as when it is put on in spring in {name}: is that its zone?"
    return TimeGuess(rule, name, 0.7, seen), [Question(text, f"zone={name}", must=False)], []


def _fixed(offset_h: float) -> str:
    minutes = round(abs(offset_h) * 60)
    sign = "-" if offset_h < 0 else "+"
    return f"UTC{sign}{minutes // 60}" + (f":{minutes % 60:02d}" if minutes % 60 else "")


def _zone_in_heading(table: Table, rule: StampRule) -> str | None:
    """Return the zone that the time's heading or a line above it names."""
    places = [table.names[i] for i in rule.columns]
    places += [line[i] for line in table.under for i in rule.columns]
    for text in places:
        if found := re.search(r"\b(?:GMT|UTC)\s?[+-]\s?\d{1,2}(?::\d{2})?", text):
            return found[0].replace(" ", "")
        for word in re.findall(r"\b[A-Z]{3,4}\b", text):
            if parse_zone(word) is not None:
                return str(word)
    for line in table.preamble:
        if found := _ZONE_LINE.search(line):
            try:
                zone_of(found[1].strip())
            except ReadingsError:
                continue
            return found[1].strip()
    return None
