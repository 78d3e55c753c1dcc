"""The built-in demo project, and it with some of its parts replaced."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.model.file import from_text
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from noonwall.model.project import Project


AROUND = "# What stands around it"
OVERHANG = '[wall.overhang]\ndepth = "1.1 m"\nabove = "0.4 m"\nside = "0.4 m"\n\n'


def plain_text() -> str:
    """Return the demo's file with a plain overhang in place of all that stands around it."""
    before, around, _ = demo_text().partition(AROUND)
    assert around
    return before.replace("[[fan]]", OVERHANG + "[[fan]]", 1)


def demo(**parts: Any) -> Project:
    """Return the demo project with some of its attributes replaced."""
    return from_text(demo_text(), "demo").model_copy(update=parts)


def plain(**parts: Any) -> Project:
    """Return the demo with a plain overhang and nothing around it, with some of its attributes replaced."""
    return from_text(plain_text(), "plain").model_copy(update=parts)
