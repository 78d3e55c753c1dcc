"""What the envelope's parts come to beside the shop's size, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.errors import ProjectError
from noonwall.model.envelope import change_words, pitch_words, sizes

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader


def sizes_words(project: Project, reader: Reader) -> list[str]:
    """Return what the parts come to and what the shop's size asks for: one line for what stands, one for the roof."""
    now = sizes(project)
    gables = f" with gables of {reader.show(now.gables_m2, 'area')}" if now.gables_m2 else ""
    together = f"Walls, windows, doors and the glazed wall: {reader.show(now.upright_m2, 'area')}"
    lines = [f"{together}. Length, width and eaves ask for {reader.show(now.asked_m2, 'area')}{gables}."]
    if now.above_m2:
        pitch = f", a pitch of {pitch_words(now.rise)}" if now.rise > 0.0 and now.covers else ""
        lines.append(
            f"Roof and ceiling: {reader.show(now.above_m2, 'area')} over a floor of "
            f"{reader.show(now.floor_m2, 'area')}{pitch}."
        )
    return lines


def fit_words(project: Project, reader: Reader) -> str:
    """Return what fitting the areas to the sizes would change; empty where nothing, or where it cannot be done."""
    try:
        return change_words(project, reader.system)
    except ProjectError:
        return ""
