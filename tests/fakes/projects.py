"""The built-in demo project, and it with some of its parts replaced."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.model.file import from_text
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from noonwall.model.project import Project


def demo(**parts: Any) -> Project:
    """Return the demo project with some of its attributes replaced."""
    return from_text(demo_text(), "demo").model_copy(update=parts)
