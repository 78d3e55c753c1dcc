"""Words that change a project: 'flap', 'cover=05-01..09-15', 'wall.gap=120 mm', several joined by '+'."""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.errors import ProjectError, UnitError
from noonwall.model.calendar import minute_of_day
from noonwall.model.edit import set_value
from noonwall.model.file import examine
from noonwall.model.spans import kept_day, kept_hour
from noonwall.model.species import day_number
from noonwall.studies import remedies
from noonwall.units import parse, quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project
    from noonwall.units import Kind

USUAL_OVERHANG, USUAL_AWNING = "0.6 m", "1 m"
OFF_WORDS = ("none", "no", "off")
KEY = re.compile(r"[A-Za-z_][\w-]*(?:\[\d{1,4}\])?(?:\.[A-Za-z_][\w-]*(?:\[\d{1,4}\])?)+")
NAMED = re.compile(r"\s*([^=:+]{1,60}?)\s*:\s*(.+)", re.S)


@dataclass(frozen=True)
class Varied:
    """A project with something changed."""

    name: str
    changes: tuple[str, ...]  # as they were written
    project: Project


def varied(text: str, written: str, of: Callable[[Project], Project] = lambda project: project) -> Varied:
    """Return the project that a text describes, changed in words.

    text     the whole project file
    written  changes joined by '+', perhaps with a name and a colon before them
    of       what is done to every project that is read, such as finding its weather file
    Raises   ProjectError: one line with the words that do not fit
    """
    found = NAMED.fullmatch(written)
    name, rest = (found[1], found[2]) if found else ("", written)
    pieces = tuple(piece.strip() for piece in rest.split("+"))
    if not all(pieces):
        raise ProjectError(f"variant {quoted(written)}: holds an empty change; write changes joined by +")
    return changed_by(text, name or " + ".join(pieces), pieces, of)


def changed_by(
    text: str, name: str, pieces: tuple[str, ...], of: Callable[[Project], Project] = lambda project: project
) -> Varied:
    """Return the project that a text describes with each piece applied: keys first, then remedies.

    Raises  ProjectError, as `varied`
    """
    where = f"variant {quoted(name)}"
    text, words = keyed(text, pieces, where)
    described, problems = examine(text, where)
    if described is None:
        first = problems[0]
        key = f"{first.key}: " if first.key and not first.text.startswith("unknown key") else ""
        raise ProjectError(f"{where}: {key}{first.text}")
    project = of(described)
    for word, wanted in words:
        project = remedied(project, word, wanted, where)
    return Varied(name, pieces, remedies.checked(project, where))


def keyed(text: str, pieces: tuple[str, ...], where: str) -> tuple[str, list[tuple[str, str | None]]]:
    """Return the text with the keys set that are among the changes, and the other words with their values.

    where   for messages;  Raises  ProjectError for a key without a value, or that leads nowhere
    """
    words: list[tuple[str, str | None]] = []
    for piece in pieces:
        word, equals, value = (part.strip() for part in piece.partition("="))
        if KEY.fullmatch(word):
            text = _with_key(text, word, value, where, bool(equals))
        else:
            words.append((word, value if equals else None))
    return text, words


def _with_key(text: str, key: str, value: str, where: str, given: bool) -> str:
    """Return the text with one key set; 'none' takes the key out."""
    if not given or not value:
        raise ProjectError(f"{where}: {key} has no value; write {key}=...")
    try:
        return set_value(text, key, None if value in OFF_WORDS[:1] else toml_value(value))
    except ProjectError as error:
        raise ProjectError(f"{where}: {error}") from None


def toml_value(written: str) -> Any:
    """Return a value as a project file would hold it: numbers, flags and lists as such, anything else as text."""
    try:
        value = tomllib.loads(f"value = {written}")["value"]
    except (tomllib.TOMLDecodeError, RecursionError):
        return written
    return value if isinstance(value, int | float | bool | list | str) else written


def remedied(project: Project, word: str, value: str | None, where: str) -> Project:
    """Return the project with a remedy by its word, with its usual figures or with a value.

    Raises  ProjectError for an unknown word or a value that does not fit it
    """
    known = _REMEDIES.get(word.lower())
    if known is None:
        near = difflib.get_close_matches(word.lower(), _REMEDIES, 1, 0.6)
        hint = f'nearest is "{near[0]}"' if near else f"there are {', '.join(_REMEDIES)}"
        raise ProjectError(
            f"{where}: no remedy is called {quoted(word)}; {hint}; a key has a dot in it, such as wall.gap"
        )
    try:
        return known(project, value)
    except (ProjectError, UnitError) as error:
        raise ProjectError(f"{where}: {word}: {error}") from None


def remedy_words() -> tuple[str, ...]:
    """Return the words for remedies."""
    return tuple(_REMEDIES)


def _flap(project: Project, value: str | None) -> Project:
    if value is None:
        return remedies.with_flap(project)
    if value in OFF_WORDS:
        return remedies.without_flap(project)
    if value in ("bottom", "top"):
        return remedies.with_flap(project, row=value)
    return remedies.with_flap(project, leak_share=_share(value))


def _cover(project: Project, value: str | None) -> Project:
    return remedies.covered(project, _days(project, value))


def _vent(project: Project, value: str | None) -> Project:
    if value in OFF_WORDS:
        return remedies.not_vented_out(project)
    if value == "top":
        return remedies.vented_out(project, remedies.cover_season(project), only_top=True)
    return remedies.vented_out(project, _days(project, value))


def _limit(project: Project, value: str | None) -> Project:
    if value in OFF_WORDS:
        return remedies.without_room_limit(project)
    return remedies.with_room_limit(project, None if value is None else parse(value, "temperature"))


def _fans(project: Project, value: str | None) -> Project:
    if value not in ("off", "on", "automatic"):
        raise ProjectError("fans=off, fans=on or fans=automatic")
    return remedies.fans_set(project, value)


def _shutters(project: Project, value: str | None) -> Project:
    if value is None:
        return remedies.shuttered(project)
    if value in OFF_WORDS:
        return remedies.shuttered(project, ())
    begin, end = _two(value, "shutters=17:00..08:00")
    minute_of_day(begin), minute_of_day(end)
    return remedies.shuttered(project, ((kept_hour(begin), kept_hour(end)),))


def _frame(project: Project, value: str | None) -> Project:
    return remedies.framed(project) if value is None else remedies.framed(project, value)


def _overhang(project: Project, value: str | None) -> Project:
    if value in OFF_WORDS:
        return remedies.overhung(project, None)
    return remedies.overhung(project, parse(USUAL_OVERHANG if value is None else value, "length"))


def _awning(project: Project, value: str | None) -> Project:
    if value in OFF_WORDS:
        return remedies.awned(project, None)
    return remedies.awned(project, parse(USUAL_AWNING if value is None else value, "length"))


_REMEDIES: dict[str, Callable[[Project, str | None], Project]] = {
    "flap": _flap,
    "room limit": _limit,
    "fans": _fans,
    "cover": _cover,
    "vent out": _vent,
    "shutters": _shutters,
    "metal frame": _frame,
    "overhang": _overhang,
    "awning": _awning,
}


def _share(value: str) -> float:
    kind: Kind = "share"
    number = parse(value, kind)
    if not 0.0 <= number <= 1.0:
        raise ProjectError(
            f"{quoted(value)} is no share from 0 to 1; flap=3 % is a leak, flap=none takes it away"
        )
    return number


def _days(project: Project, value: str | None) -> remedies.Days:
    if value is None:
        return remedies.cover_season(project)
    if value in OFF_WORDS:
        return ()
    begin, end = _two(value, "cover=05-01..09-15")
    day_number(begin), day_number(end)
    return ((kept_day(begin), kept_day(end)),)


def _two(value: str, example: str) -> tuple[str, str]:
    begin, dots, end = (part.strip() for part in value.partition(".."))
    if not dots or not begin or not end:
        raise ProjectError(f"{quoted(value)} is not from..to; write {example}")
    return begin, end
