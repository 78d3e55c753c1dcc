"""What a page asks of the readings, each answer plain data: look a file over, take it in, list, judge, take back.

Every function opens the store of a folder and closes it again; ``tell`` is called with (done, of) and may raise to
stop the work, which leaves everything as it was.
"""

from __future__ import annotations

import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError
from noonwall.logs import maps
from noonwall.logs.errors import NoTimeError, ReadingsError
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.joins import as_known, joins
from noonwall.logs.measures import units_of
from noonwall.logs.period import unbroken
from noonwall.logs.quality.check import check_and_keep
from noonwall.logs.quality.little import too_little
from noonwall.logs.roles import ROLES
from noonwall.logs.stamps import shown
from noonwall.logs.store import FILE, Store
from noonwall.logs.tellable import tells
from noonwall.logs.told import import_page, list_document, local

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

    from noonwall.logs.guess import ColumnGuess, Guess
    from noonwall.logs.joins import Join
    from noonwall.logs.records import Channel, Finding, Import, Verdict
    from noonwall.model.project import Project
    from noonwall.model.site import Site

    Tell = Callable[[int, int], None]

PARTS = 100
LOOKED = 40  # of a hundred parts of an import: looking over; reading and checking take the rest
READ = 80
SHOWN_CELLS = 3


def silent(done: int, of: int) -> None:
    """Tell nobody."""
    del done, of


def choices() -> dict[str, Any]:
    """Return what a column may be: "roles" with their words, "units" by role, roles that want a height, a plane."""
    return {
        "roles": {key: role.doc for key, role in ROLES.items()},
        "units": {key: [u for m in role.measures for u in units_of(m)] for key, role in ROLES.items()},
        "height": ["shop"],
        "plane": ["sun"],
    }


def look_over(
    folder: Path, path: Path, words: Sequence[str], project: Project, tell: Tell = silent
) -> dict[str, Any]:
    """Return what a file is understood to be, with the builder's words; nothing is read into the store.

    words    as typed after --map: "unit=F", "T1=shop at 1.2 m; unit=F"
    Returns  the guess; "no_time" alone, the columns to choose from, where none of them tells when
    Raises   ReadingsError with the file's own name when it is no table of readings
    """
    with _by_name(path):
        try:
            guess = _guessed(folder, path, words, project, lambda share, _: tell(int(PARTS * share), PARTS))
        except NoTimeError as error:
            return {"no_time": list(error.names)}
        known: Import | None = None
        offered: tuple[Join, ...] = ()
        channels: Sequence[Channel] = ()
        if (folder / FILE).exists():
            with Store(folder) as store:
                known, channels = store.import_of(guess.content), store.channels()
        guess = as_known(guess, channels)
        if known is None:
            offered = joins(guess, channels)
    return {
        **_guess_data(guess),
        "already": None if known is None else known.id,
        "joins": [_join_data(item) for item in offered],
    }


def _join_data(item: Join) -> dict[str, Any]:
    """Return a column that may go on with a known channel: the word for each, and the word to keep it apart."""
    return {
        "key": item.key,
        "column": item.column,
        "text": item.text,
        "channels": [
            {"spec": spec.text(), "name": one.name, "role": one.role, "height_m": one.height_m}
            for one, spec in item.channels
        ],
        "apart": item.apart.text(),
        "apart_name": item.apart.name or item.column,
    }


def take_in(
    folder: Path, path: Path, words: Sequence[str], project: Project, tell: Tell = silent
) -> dict[str, Any]:
    """Read a file into the store of a folder, all of it or nothing, and check the readings anew.

    Returns  "told" (sentences on what came in), "import", "already", "doubtful" (how many things), "older" (how many
             of them were known before)
    Raises   ReadingsError; also when something is left that must be answered
    """

    def far(begin: int, end: int) -> Callable[[float, str], None]:
        return lambda share, _word: tell(begin + int((end - begin) * share), PARTS)

    with _by_name(path):
        guess = _guessed(folder, path, words, project, far(0, LOOKED))
        with Store(folder) as store:
            guess = as_known(guess, store.channels())
            before = _things(store.findings())
            found = import_file(store, guess, progress=far(LOOKED, READ))
            maps.keep(folder, guess.table.names, guess.as_map())
            doubtful = [] if found.already else check_and_keep(store, project.site, far(READ, PARTS))
    told = import_page(found, project.site.clock_h).splitlines()
    told += [] if found.already else [tells(column.role for column in guess.columns)]
    return {
        "told": [line.strip() for line in told if line],
        "import": found.id,
        "already": found.already,
        "doubtful": len(_things(doubtful)),
        "older": len(_things(doubtful) & before),
    }


def _things(findings: Sequence[Finding]) -> set[tuple[str, int, int]]:
    """Return findings without their channels: several of one kind and time are one thing."""
    return {(item.kind, item.from_s, item.to_s) for item in findings}


def periods(folder: Path, site: Site) -> list[tuple[str, str]]:
    """Return first and last day of each time that was read without a longer break; empty where nothing was."""
    if not (folder / FILE).exists():
        return []
    with Store(folder) as store:
        return unbroken(store, site.clock_h)


def listing(folder: Path, site: Site, tell: Tell = silent) -> dict[str, Any]:
    """Return imports, channels and findings of a folder; empty lists where nothing was read yet."""
    tell(0, 1)
    if not (folder / FILE).exists():
        return {"imports": [], "channels": [], "findings": [], "span": None, "too_little": ""}
    offset = site.clock_h
    with Store(folder) as store:
        listed = list_document(store)
        span = store.span()
        findings, little = store.findings(), too_little(store)
        contents = {item.id: item.content for item in store.imports()}
        measures = {item.name: item.measure for item in store.channels() if item.measure != "text"}
        watched = len([item for item in store.channels() if item.measure != "text" and item.role != "other"])
    for item in listed["imports"]:
        item["content"] = contents[item["id"]]
        item["span"] = f"{local(item['first_s'], offset)[:10]} to {local(item['last_s'], offset)[:10]}"
    return {
        "imports": listed["imports"],
        "channels": listed["channels"],
        "findings": findings_data(findings, offset, measures, watched),
        "span": span,
        "too_little": little,
    }


def findings_data(
    findings: Sequence[Finding], utc_offset_h: float, measures: Mapping[str, str], watched: int
) -> list[dict[str, Any]]:
    """Return findings by date, those that differ in their channel only as one, each with what may be said to it.

    measures   of the channels, by name;  watched   how many channels gaps are looked for in
    """
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for item in findings:
        groups.setdefault((item.kind, item.from_s, item.to_s, item.consequence, item.verdict), []).append(
            item
        )
    return [_group(group, utc_offset_h, measures, watched) for group in groups.values()]


def _group(
    group: list[Finding], utc_offset_h: float, measures: Mapping[str, str], watched: int
) -> dict[str, Any]:
    item = group[0]
    mendable = all(one.mend is not None and "daily_utc_s" not in one.mend for one in group)
    return {
        "ids": [one.id for one in group],
        "kind": item.kind,
        "channels": [one.channel for one in group],
        "from": local(item.from_s, utc_offset_h),
        "to": local(item.to_s, utc_offset_h),
        "from_s": item.from_s,
        "to_s": item.to_s,
        "consequence": item.consequence,
        "verdict": item.verdict,
        "verdicts": ["used", "set aside", *(["mended"] if mendable else [])],
        "evidence": {name: round(value, 3) for name, value in item.evidence.items()},
        "measure": measures.get(item.channel),
        "nothing_then": item.kind == "gap" and item.evidence.get("channels", 0.0) >= watched,
    }


def check_again(folder: Path, site: Site, tell: Tell = silent) -> dict[str, Any]:
    """Look for what is doubtful anew; the builder's words on findings stay. Returns the listing."""
    with Store(folder) as store:
        check_and_keep(store, site, lambda share, _word: tell(int(PARTS * share), PARTS))
    return listing(folder, site)


def judge(
    folder: Path, ids: Sequence[int], verdict: Verdict, site: Site, tell: Tell = silent
) -> dict[str, Any]:
    """Write the builder's word on findings. Returns the listing; raises ReadingsError for what is not there."""
    tell(0, 1)
    with Store(folder) as store:
        for number in ids:
            store.judge(number, verdict)
    return listing(folder, site)


def take_back(folder: Path, number: int, content: str, site: Site, tell: Tell = silent) -> dict[str, Any]:
    """Take one import back, as if it had never been made, and check anew.

    content  as the listing told it: a list that is no longer true takes nothing else back
    Returns  the listing;  raises ReadingsError when that import is not there any more
    """
    with Store(folder) as store:
        if not any((item.id, item.content) == (number, content) for item in store.imports()):
            raise ReadingsError(f"import {number} was taken back already; nothing else was touched")
        store.undo(number)
        check_and_keep(store, site, lambda share, _word: tell(int(PARTS * share), PARTS))
    return listing(folder, site)


@contextmanager
def _by_name(path: Path) -> Iterator[None]:
    """Tell errors with a file's own name instead of the place where it lies for the moment."""
    try:
        yield
    except NoonwallError as error:
        if str(path) not in str(error):
            raise
        raise ReadingsError(str(error).replace(str(path), path.name)) from None


def _guessed(
    folder: Path, path: Path, words: Sequence[str], project: Project, progress: Callable[[float, str], None]
) -> Guess:
    for word in words:
        if "=" not in word:
            raise ReadingsError(f'"{word[:40]}": wanted KEY=VALUE')
    return guess_file(
        path,
        said=maps.typed(words),
        folder=folder,
        utc_offset_h=project.site.clock_h,
        today=int(time.time() // 86_400),
        us=project.units == "us",
        progress=progress,
    )


def _guess_data(guess: Guess) -> dict[str, Any]:
    rule = guess.time.stamp
    epoch = rule.form in ("epoch s", "epoch ms", "epoch us", "serial day")
    return {
        "name": guess.path.name,
        "rows": guess.rows,
        "from": shown(guess.first_clock_s),
        "to": shown(guess.last_clock_s),
        "step_s": guess.step_s,
        "text": guess.text(),
        "decimal": guess.decimal,
        "layout": guess.layout,
        "dates": None if epoch else rule.order,
        "zone": guess.time.zone,
        "zone_reason": guess.time.reason,
        "zone_is_written": guess.time.zone == "in the stamps" or rule.form.startswith("epoch"),
        "time_columns": [guess.table.names[i] for i in rule.columns],
        "columns": [_column_data(guess, item) for item in guess.columns],
        "no_readings": list(guess.no_readings),
        "notes": list(guess.notes),
        "questions": [
            {"text": q.text, "answers": [a for a in (q.answer, q.other) if a], "must": q.must}
            for q in guess.questions
        ],
        "ready": guess.ready,
    }


def _column_data(guess: Guess, item: ColumnGuess) -> dict[str, Any]:
    return {
        "column": item.column,
        "role": item.role,
        "unit": item.unit,
        "name": item.name,
        "height_m": item.height_m,
        "plane": item.plane,
        "sure": "sure" if item.confidence >= 0.8 else "likely" if item.confidence >= 0.5 else "a guess",
        "reason": item.reason,
        "spec": item.spec().text(),
        "cells": _cells(guess, item),
    }


def _cells(guess: Guess, item: ColumnGuess) -> list[str]:
    """Return some of a column's cells as they stand in the file."""
    rows = guess.table.rows
    if guess.channel_place is not None:
        place = guess.channel_place
        rows = [r for r in rows if place < len(r.cells) and r.cells[place].strip().strip('"') == item.column]
    found = [r.cells[item.place].strip()[:14] for r in rows if item.place < len(r.cells)]
    return [cell for cell in found if cell][:SHOWN_CELLS]
