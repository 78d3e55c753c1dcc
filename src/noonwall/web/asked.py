"""What goes to the calculating process and what comes back: plain records that can be sent between processes."""

from __future__ import annotations

import logging
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from noonwall.model.beside import Marks
    from noonwall.report.blocks import Block
    from noonwall.units import System

LOG = logging.getLogger("noonwall")
READER_UNITS = re.compile(
    r"^[ \t]*units[ \t]*=.*\n?", re.MULTILINE
)  # a key of the file's head, before any table
# the ticks of what a builder has thought about, where the page of hottest hours keeps them
TICKS = re.compile(
    r"\n*^\[hot\][ \t]*(\n[ \t]*accepted(_for)?[ \t]*=[ \t]*\[([^\[\]]|\[[^\[\]]*\])*\][ \t]*)*(?=\n*(\[|\Z))",
    re.MULTILINE,
)
Option = str | int | float | bool | None


@dataclass(frozen=True)
class Order:
    """One question about one state of the project."""

    question: str  # a name in ``questions.QUESTIONS``
    text: str  # the project file's text
    folder: str
    system: System
    options: tuple[tuple[str, Option], ...] = ()
    stamp: float = 0.0  # of the readings, for questions that look at them
    learned: float = 0.0  # of the learned values that it is calculated with; 0 with none
    files: Marks = ()  # of weather file and skyline, which may be replaced under the same name

    @property
    def about(self) -> tuple[object, ...]:
        """Return what the answer's figures depend on: neither units of the reader nor ticks."""
        head, table, rest = TICKS.sub("", self.text).rstrip().partition("\n[")
        text = READER_UNITS.sub("", head + "\n") + table + rest
        return (self.question, text, self.folder, self.options, self.stamp, self.learned, self.files)

    def option(self, name: str, default: Option = None) -> Option:
        """Return one option, or the default."""
        return dict(self.options).get(name, default)


@dataclass(frozen=True)
class Answer:
    """What a page shows of one question."""

    question: str
    document: dict[str, Any]  # as the command's --json prints it
    blocks: tuple[Block, ...]
    pictures: tuple[str, ...]  # names to ask for
    fit: bool = True  # False where the command would end with exit code 1
    more: dict[str, Any] = field(default_factory=dict)


def tell_all(calls: Iterable[Callable[[], None]]) -> None:
    """Tell every window; one that fails does not keep the others from it, nor undo what was changed."""
    for call in list(calls):
        try:
            call()
        except Exception:
            LOG.exception("a window could not show what has changed")
