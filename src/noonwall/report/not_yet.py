"""What is said over a project that is still, in whole or in part, a new project's template."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.model.mine import PORTIONS, still_template

if TYPE_CHECKING:
    from noonwall.model.project import Project


def not_yet_lead(project: Project) -> str:
    """Return how much of a project is the builder's; empty when all of it is.

    >>> from noonwall.model.file import from_text
    >>> from noonwall.model.templates import new_text
    >>> not_yet_lead(from_text(new_text()))
    'Not your shop yet: all that is told here is of the template that a new project begins with.'
    """
    left = still_template(project)
    if not left:
        return ""
    if len(left) == len(PORTIONS):
        return "Not your shop yet: all that is told here is of the template that a new project begins with."
    return f"Not your shop yet: {len(PORTIONS) - len(left)} of {len(PORTIONS)} parts are yours."


def not_yet_lines(project: Project) -> list[str]:
    """Return the same for the terminal, with the keys to make one's own; nothing when all is the builder's."""
    left = still_template(project)
    listed = "; ".join(f"{portion.told} ({portion.key})" for portion in left)
    return [f"{not_yet_lead(project)} Still the template's: {listed}."] if left else []


def price_asked(project: Project) -> str:
    """Return the fuel whose price is not told, empty when it is, or when there is no heater."""
    heater = project.shop.heater
    return heater.fuel if heater is not None and heater.price_per_unit is None else ""
