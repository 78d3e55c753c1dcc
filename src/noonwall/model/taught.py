"""A project together with what readings taught of it.

What was assumed stays in the project's own records; a calculation of a `Taught` project corrects its numbers, and
so does every study that changes the description and calculates again.
"""

from __future__ import annotations

from noonwall.model.fields import Record
from noonwall.model.project import Project


class Correction(Record):
    """One thing that was assumed, and what it really is.

    ``factor``   times the assumed value; with ``plus`` it is added to it
    ``assumed``  the value that the project said when this was learned, SI
    ``told``     whether the readings told it; if not, ``factor`` leaves the assumed value as it is
    """

    key: str
    factor: float
    plus: bool
    assumed: float
    told: bool


class Taught(Project):
    """A described shop, wall and site, and corrections of what was assumed."""

    corrections: tuple[Correction, ...] = ()


def taught(project: Project, corrections: tuple[Correction, ...]) -> Taught:
    """Return the project with corrections; those it had are replaced."""
    return Taught.model_validate({**dict(project), "corrections": corrections}, strict=True)


def corrections_of(project: Project) -> tuple[Correction, ...]:
    """Return the corrections of a project, none for one that was only described."""
    return project.corrections if isinstance(project, Taught) else ()
