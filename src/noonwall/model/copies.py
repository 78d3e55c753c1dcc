"""A copy of a project to plan the next wall in: the file and what it names, without readings and what they taught."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.errors import OutputError, ProjectError
from noonwall.model.beside import names_in
from noonwall.model.disk import PROJECT_FILE, project_file, read_text, within, write_new
from noonwall.model.edit import set_value
from noonwall.model.file import from_text
from noonwall.units import day_words

if TYPE_CHECKING:
    import datetime as dt
    import os

    from noonwall.units import System

COPY = "# A copy of"
NOTES = "# Notes below were written for that project; change those that are not true here."


def copy_project(
    folder: str | os.PathLike[str],
    source: str | os.PathLike[str],
    name: str | None = None,
    *,
    system: System | None = None,
    today: dt.date | None = None,
) -> Path:
    """Write a copy of a project into another folder, and return its project file.

    Every figure stays as its builder wrote it, whatever the units: a copy has no roundings of its own. The first
    comment says what it is a copy of; the notes of the other file stay below.

    folder  made if it is not there;  source  a project's folder or file
    name    of the copy, default: the project's own with ", the next wall" behind it
    system  units in which it is printed and drawn from then on; None: as the other
    today   day of the copy, for its first comment
    raises  ProjectError when the source does not read, or names a file that is not there
            OutputError when a project file is there already, or the copy cannot be written; nothing is overwritten
    """
    text = read_text(project_file(source))
    project = from_text(text)
    if name is None:
        name = f"{project.name}, the next wall" if project.name else None
    if name is not None:
        text = set_value(text, "name", name)
    if system is not None:
        text = set_value(text, "units", system)
    from_text(text)
    us = (system or project.units) == "us"
    text = _headed(text, project.name, project_file(source), today, "us" if us else "metric")
    old, new = project_file(source).parent, Path(folder)
    file = new / PROJECT_FILE
    if file.exists():
        raise OutputError(f"{file}: is there already; nothing was overwritten")
    for word in names_in(text):
        _copied(within(old, word, "file"), new / word)
    write_new(file, text)
    return file


def _headed(text: str, name: str, source: Path, today: dt.date | None, system: System) -> str:
    """Return a copy's text with a first comment of its own; what another copy's said is left out."""
    called = f'"{name}"' if name else "a project"
    day = f" on {day_words(today, system, year=True)}" if today else ""
    flat = "".join(
        sign if sign.isprintable() else " " for sign in f"{called}, folder {source.resolve().parent.name},"
    )
    kept = re.sub(rf"\A{COPY}[^\n]*\n(?:#[^\n]*\n)*?{NOTES}\n", "", text)
    return (
        f"{COPY} {flat}{day}: shop, site and wall as they were there, without its readings.\n{NOTES}\n{kept}"
    )


def _copied(old: Path, new: Path) -> None:
    if not old.is_file():
        raise ProjectError(f"{old}: the project names it, but it is not there")
    if new.exists():
        raise OutputError(f"{new}: is there already; nothing was overwritten")
    try:
        new.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(old, new)
    except OSError as error:
        raise OutputError(f"{new}: cannot be written ({error.strerror or 'unknown reason'})") from None
