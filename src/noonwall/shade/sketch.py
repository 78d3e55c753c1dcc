"""What the shapes of one obstacle are drawn with: the project, the wall's axes, the lists that fill up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.shade.frame import Frame
    from noonwall.shade.scene import Draft


@dataclass(frozen=True)
class Sketch:
    """What the shapes of one obstacle are drawn with."""

    project: Project
    frame: Frame
    draft: Draft
    years_on: float

    def flat(self, east: float, north: float) -> tuple[float, float]:
        """Return (along, out) of a point given in metres east and north."""
        out_east, out_north = self.frame.out
        return east * out_north - north * out_east, east * out_east + north * out_north
