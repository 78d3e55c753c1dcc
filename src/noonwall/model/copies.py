"""A copy of a project to plan the next wall in: the file and what it names, without readings and what they taught."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.errors import OutputError, ProjectError
from noonwall.model.beside import names_in
from noonwall.model.disk import PROJECT_FILE, project_file, read_text, within, write_new
from noonwall.model.edit import set_value
from noonwall.model.file import from_text

if TYPE_CHECKING:
    import os


def copy_project(
    folder: str | os.PathLike[str], source: str | os.PathLike[str], name: str | None = None
) -> Path:
    """Write a copy of a project into another folder, and return its project file.

    folder  made if it is not there;  source  a project's folder or file
    name    of the copy, default: the project's own with ", the next wall" behind it
    raises  ProjectError when the source does not read, or names a file that is not there
            OutputError when a project file is there already, or the copy cannot be written; nothing is overwritten
    """
    text = read_text(project_file(source))
    project = from_text(text)
    if name is None:
        name = f"{project.name}, the next wall" if project.name else None
    if name is not None:
        text = set_value(text, "name", name)
        from_text(text)
    old, new = project_file(source).parent, Path(folder)
    file = new / PROJECT_FILE
    if file.exists():
        raise OutputError(f"{file}: is there already; nothing was overwritten")
    for word in names_in(text):
        _copied(within(old, word, "file"), new / word)
    write_new(file, text)
    return file


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
