"""Projects to start from: the invented demo, and a fresh file with every usual key explained."""

from __future__ import annotations

import json
import re
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.model.disk import PROJECT_FILE, write_new
from noonwall.model.file import from_text

if TYPE_CHECKING:
    import os

    from noonwall.units import System


def demo_text() -> str:
    """Return the project file of the invented demo."""
    return _library("demo.toml")


def new_text(name: str = "My shop", system: System = "metric") -> str:
    """Return a fresh project file, complete enough to run, with the usual keys and their defaults as notes.

    name  of the project;  system  units it is written in, "metric" or "us"
    """
    text = _library("new.toml").replace('"NAME"', json.dumps(name, ensure_ascii=False))
    side = 1 if system == "metric" else 2
    return re.sub(r"\{([^{}|\n]*)\|([^{}|\n]*)\}", lambda found: found[side], text)


def signed(text: str, name: str | None = None, system: System = "metric") -> str:
    """Return an example project file under another name, told in other units; its own figures stay as written.

    name  None: its own;  system  "us": a line that says so is added
    """
    own = re.search(r"(?m)^name = .*$", text)
    if own is None:
        return text
    line = own[0] if name is None else f"name = {json.dumps(name, ensure_ascii=False)}"
    line += '\nunits = "us"   # what is printed and drawn' if system == "us" else ""
    return text[: own.start()] + line + text[own.end() :]


def create(
    folder: str | os.PathLike[str], *, demo: bool = False, name: str | None = None, system: System = "metric"
) -> Path:
    """Write a project folder with a project file in it, and return the file.

    folder  made if it is not there;  demo  a copy of the demo instead of a fresh file
    name    of the project, default: the folder's name, the demo's own;  system  units of the file
    raises  OutputError when there is a project file already, or it cannot be written; nothing is overwritten
            ProjectError for a name that is none
    """
    where = Path(folder)
    if demo:
        text = signed(demo_text(), name, system)
    else:
        text = new_text(name if name is not None else where.resolve().name, system)
    from_text(text)
    file = where / PROJECT_FILE
    write_new(file, text)
    return file


def _library(name: str) -> str:
    """Return a text that ships with the package."""
    return resources.files("noonwall.model").joinpath("library", name).read_text(encoding="utf-8")
