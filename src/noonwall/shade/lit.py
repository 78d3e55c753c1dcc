"""Which part of the glazing the direct sun reaches at one moment, cell by cell."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.reach import Reach
from noonwall.shade.receiver import wall_receiver

if TYPE_CHECKING:
    from noonwall.shade.frame import Frame
    from noonwall.shade.record import Floats
    from noonwall.shade.scene import Scene


def lit_cells(scene: Scene, frame: Frame, way: Floats, day: float, rows: int, columns: int) -> Floats:
    """Return the share of direct sun on each cell of the glazing, (rows, columns), the lowest row first.

    way      (3,) unit vector to the sun in (east, north, up);  day  of the year, 1 January as 0
    columns  run to the right hand of someone who looks out of the wall
    Returns  1 everywhere for a sun that is not before the wall
    """
    cells = wall_receiver(frame, rows, rows, columns)
    bins = np.arange(rows * columns, dtype=np.int64).reshape(rows, columns)
    along, out = frame.turned(way[:1], way[1:2])
    asked = Reach(scene, frame, replace(cells, bins=bins, count=bins.size))
    ways = np.column_stack([along, out, way[2:3]])
    found: Floats = asked.shares(ways, scene.calendar(np.array([day])), np.zeros(1, np.int64))
    return found.reshape(bins.shape)
