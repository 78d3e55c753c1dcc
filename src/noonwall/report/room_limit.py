"""A room limit as text: its usual set points, and what it makes of the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.report.hot_lead import SLIGHT_K
from noonwall.report.hot_steps import ROOM_LIMIT
from noonwall.studies.remedies import limit_points

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.limit import LimitHeat


def set_points(project: Project, reader: Reader, opens_c: float | None = None) -> dict[str, str]:
    """Return where a new room limit closes and opens, as the project file says it in the reader's units.

    opens_c  where it opens; without it the usual place, above the project's comfort limit
    """
    closes, opens = limit_points(project, opens_c)
    return {
        name: f"{reader.degrees(c):.4g} {reader.degree[1:]}"
        for name, c in (("close", closes), ("open", opens))
    }


def limit_document(found: LimitHeat | None) -> dict[str, Any]:
    """Return the absorber's worst credible hour with a room limit and without it as plain data."""
    return {
        "with_limit_c": None if found is None else round(found.with_c, 1),
        "without_limit_c": None if found is None else round(found.without_c, 1),
    }


def limit_told(with_c: float, without_c: float, reader: Reader) -> str:
    """Return in two sentences what a room limit makes of the wall, with its figures."""
    hour = "In the worst credible hour, with everything working, the absorber reaches"
    if with_c - without_c <= SLIGHT_K:
        return f"The room limit keeps the shop cooler. {hour} {reader.degrees_text(with_c)} with it and without it."
    with_it, without_it = reader.degrees_text(with_c), reader.degrees_text(without_c)
    return f"{ROOM_LIMIT} {hour} {with_it} with it, {without_it} without it."
