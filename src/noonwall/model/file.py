"""The project file: read it, check it, change one value in it with every comment kept."""

from __future__ import annotations

import copy
import re
import tomllib
from functools import lru_cache
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any, NamedTuple

from noonwall.errors import ProjectError
from noonwall.model import sense
from noonwall.model.convert import Fault, dotted, to_record, written_in
from noonwall.model.disk import PROJECT_FILE, project_file, read_text, write_text
from noonwall.model.doubts import doubts
from noonwall.model.lines import line_of, lines_of
from noonwall.model.not_toml import complaint
from noonwall.model.project import Project
from noonwall.model.skyline import with_skyline

if TYPE_CHECKING:
    import os

    from noonwall.model.lines import Path
    from noonwall.units import System

MOST_TABLES = 2000
DEEPEST = 12
MOST_MISSING = 24
_LONG_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){50}""")


class Problem(NamedTuple):
    """One thing to mend in a project file."""

    key: str  # "wall.gap", "fan[2].flow"; empty for the file as a whole
    line: int | None
    text: str

    def told(self, name: str = PROJECT_FILE) -> str:
        """Return it as one line, with file, line and key."""
        place = f"{name}:{self.line}" if self.line else name
        lead = "" if not self.key or self.text.startswith("unknown key") else f"{self.key}: "
        return f"{place}: {lead}{self.text}"


def load(path: str | os.PathLike[str]) -> Project:
    """Read a project.

    path     folder that holds ``noonwall.toml``, or that file itself
    returns  the project, SI inside
    raises   ProjectError: one line with file, line, key, what was wrong and what would be right
    """
    file = project_file(path)
    return with_skyline(from_text(read_text(file), file.name), file.parent)


def with_files(project: Project, folder: FilePath) -> Project:
    """Return a project with its skyline read and its weather file named by its full path.

    folder   where relative file names count from
    raises   ProjectError when the skyline's file does not read
    """
    project, choice = with_skyline(project, folder), project.weather
    if choice.file is None:
        return project
    full = choice.model_copy(update={"file": str(folder / choice.file)})
    return project.model_copy(update={"weather": full})


def from_text(text: str, name: str = PROJECT_FILE) -> Project:
    """Return the project that a text describes; ``name`` stands for the file in messages."""
    project, problems = examine(text, name)
    if project is None:
        more = f" (and {len(problems) - 1} more to mend)" if len(problems) > 1 else ""
        raise ProjectError(problems[0].told(name) + more)
    return project


def examine(text: str, name: str = PROJECT_FILE) -> tuple[Project | None, list[Problem]]:
    """Return the project, or None and everything that is wrong with the text, the first to mend first.

    raises  ProjectError when the text is no TOML at all
    """
    raw = parse_toml(text, name)
    system = written_in(raw)
    project, faults = to_record(Project, raw, system)
    if project is not None:
        faults = sense.faults(project, system)
    if not faults:
        return project, []
    return None, located(faults, text)


def doubts_about(project: Project, text: str, system: System | None = None) -> list[Problem]:
    """Return what looks odd in a project that reads well, with the lines of its text.

    system  units to speak in; None takes those the file is written in
    """
    raw = parse_toml(text)
    return located(doubts(project, raw, system or written_in(raw)), text)


def located(faults: list[Fault], text: str) -> list[Problem]:
    """Return faults with their lines; all missing keys as one."""
    lines = lines_of(text)
    problems = [Problem(f.key, line_of(lines, f.path), f.text) for f in faults if not f.missing]
    problems.sort(key=lambda p: p.line or 0)
    missing = [f for f in faults if f.missing]
    if missing:
        problems.append(_missing(missing, lines))
    return problems


def _missing(faults: list[Fault], lines: dict[Path, int]) -> Problem:
    """Return all missing keys as one thing to mend, at the table that wants the first, with what to write."""
    keys = [f.key for f in faults]
    word = "key" if len(keys) == 1 else "keys"
    more = f" and {len(keys) - MOST_MISSING} more" if len(keys) > MOST_MISSING else ""
    wanted = f"; {faults[0].text}" if faults[0].text else ""
    told = f"missing {word} {', '.join(keys[:MOST_MISSING])}{more}{wanted}"
    return Problem("", line_of(lines, faults[0].path), told)


def parse_toml(text: str, name: str = PROJECT_FILE) -> dict[str, Any]:
    """Return the tables of a TOML text, the caller's own to change.

    raises  ProjectError with the line for a text that does not read, or is no project by its sheer size
    """
    return copy.deepcopy(_parsed(text, name))


@lru_cache(maxsize=4)  # one edit reads the same two texts several times; a copy takes a thirtieth of that
def _parsed(text: str, name: str) -> dict[str, Any]:
    if len(re.findall(r"^\s*\[", text, re.M)) > MOST_TABLES:
        raise ProjectError(f"{name}: more than {MOST_TABLES} tables; this is no project file")
    if _LONG_KEY.search(text):
        raise ProjectError(f"{name}: nested too deep for a project file")
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        raise ProjectError(f"{name}: nested too deep for a project file") from None
    except ValueError as error:
        raise ProjectError(complaint(str(error), text, name)) from None
    if _depth(raw) > DEEPEST:
        raise ProjectError(f"{name}: nested too deep for a project file")
    return raw


def _depth(value: Any) -> int:
    """Return how deep tables and lists are nested, without recursion."""
    deepest, stack = 0, [(value, 0)]
    while stack:
        item, depth = stack.pop()
        deepest = max(deepest, depth)
        if isinstance(item, dict):
            stack += [(v, depth + 1) for v in item.values()]
        elif isinstance(item, list):
            stack += [(v, depth + 1) for v in item]
    return deepest


def save(path: str | os.PathLike[str], text: str) -> Project:
    """Check a text and write it as the project's file, all or nothing.

    path     folder or file;  text  the whole project file
    returns  the project it describes
    raises   ProjectError when the text is no project, OutputError when it cannot be written; the old file
             stays then
    """
    named = FilePath(path)
    file = named / PROJECT_FILE if named.is_dir() else named
    project = from_text(text, file.name)
    write_text(file, text)
    return project


__all__ = ["Problem", "dotted", "examine", "from_text", "load", "located", "parse_toml", "save"]
