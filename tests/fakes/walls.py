"""The plain demo with some of its wall's parts replaced, its parts named by their attributes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fakes.projects import plain
from noonwall.model.control import Switch

if TYPE_CHECKING:
    from noonwall.model.project import Project


def walled(wall: dict[str, Any] | None = None, **parts: Any) -> Project:
    """Return the plain demo with some of its wall's and its own attributes replaced."""
    project = plain()
    return project.model_copy(update={"wall": project.wall.model_copy(update=wall or {}), **parts})


def switch(**keys: Any) -> Switch:
    """Return a switch by its keys in the project file, 60 s of lag unless told."""
    return Switch.model_validate({"name": "s", "lag": 60.0, **keys}, strict=True)


def fans_by_hand(word: str) -> Any:
    """Return the demo's circuit with the fans 'off' or 'on' by hand, for ``circuit=``."""
    return plain().circuit.model_copy(update={"fans": word})
