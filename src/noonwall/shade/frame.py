"""The wall's own axes: along it, out of it, up.

            out (azimuth of the wall)
             ^
             |      seen from above; ``along`` is to the right hand of someone who looks out of the wall
    ---------+--------> along
          wall's foot

The origin is the middle of the wall's foot line on the ground; the glazing starts ``foot_m`` above it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.model.wall import Wall
    from noonwall.shade.record import Floats


@dataclass(frozen=True)
class Frame:
    """Where the glazing is and which way it faces."""

    azimuth_deg: float
    width_m: float
    height_m: float
    foot_m: float

    @classmethod
    def of(cls, wall: Wall) -> Frame:
        """Return the frame of a described wall."""
        return cls(wall.azimuth_deg, wall.width_m, wall.height_m, wall.foot_m)

    @property
    def out(self) -> tuple[float, float]:
        """East and north part of the outward normal [-]."""
        turn = math.radians(self.azimuth_deg)
        return math.sin(turn), math.cos(turn)

    def turned(self, east: Floats, north: Floats) -> tuple[Floats, Floats]:
        """Turn (east, north) into (along, out); shapes and units pass through."""
        out_east, out_north = self.out
        return east * out_north - north * out_east, east * out_east + north * out_north

    def world(self, along: Floats, out: Floats) -> tuple[Floats, Floats]:
        """Turn (along, out) back into (east, north)."""
        out_east, out_north = self.out
        return along * out_north + out * out_east, out * out_north - along * out_east
