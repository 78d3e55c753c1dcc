"""What a look at the project file found, as text and as a document."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.report.reader import name_of
from noonwall.report.tables import CAUTION_TEXT, WIDTH

if TYPE_CHECKING:
    from noonwall.model.defaults import Assumed
    from noonwall.model.file import Problem
    from noonwall.model.project import Project

SCHEMA = "noonwall.check/1"
KEY_WIDTH = 34


@dataclass(frozen=True)
class Checked:
    """A project that reads well, and what is to be said about it."""

    project: Project
    file: str
    doubts: list[Problem]
    assumed: list[Assumed]


def check_page(checked: Checked) -> str:
    """Return the page of ``noonwall check``: what looks odd, then every value that was left open."""
    blocks = [f"{name_of(checked.project)}: {checked.file} reads well."]
    if checked.doubts:
        lines = (textwrap.fill(d.told(checked.file), WIDTH, subsequent_indent="    ") for d in checked.doubts)
        blocks.append("\n".join(["LOOKS ODD (it stops nothing)", *(f"  {line}" for line in lines)]))
    else:
        blocks.append("Nothing looks odd.")
    if checked.assumed:
        title = f"ASSUMED: {len(checked.assumed)} values you left open, and what is taken in their place"
        blocks.append("\n".join([title, *(_line(value) for value in checked.assumed)]))
    return "\n\n".join([*blocks, CAUTION_TEXT])


def check_document(checked: Checked) -> dict[str, Any]:
    """Return the same as plain data, schema noonwall.check/1."""
    return {
        "schema": SCHEMA,
        "name": checked.project.name,
        "odd": [{"key": d.key, "line": d.line, "text": d.text} for d in checked.doubts],
        "assumed": [value._asdict() for value in checked.assumed],
    }


def _line(value: Assumed) -> str:
    reason = "; ".join(part for part in (value.why, value.source) if part)
    head = f"  {value.key:<{KEY_WIDTH}}  {value.value}"
    if not reason:
        return head
    return head + "\n" + textwrap.fill(reason, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
