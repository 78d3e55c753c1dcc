"""What hides the sun hides the sky there: undescribed shade on the sun's path taken off the sky's light too.

Seen from the wall, each cell of the sun calendar is a direction. Whatever stands there is taken to stand on the
ground: the sky below that direction is as much hidden as the sun was. Above the sun's paths nothing is known and
nothing is taken away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from noonwall.engine.simulate import Case
    from noonwall.logs.records import Floats, Whole
    from noonwall.logs.runs import Scene

AZIMUTHS, ELEVATIONS = 36, 18  # of the half sky before the wall, 5 degrees each
BAND_ROWS = 2  # of the band above the horizon that is brighter than the rest of the sky


@dataclass(frozen=True)
class SkyMask:
    """Factors on the sky's light, by half month, shape (rows,); 1 in those without undescribed shade."""

    sky: Floats
    horizon: Floats


def sky_mask(at: Scene, lit: np.ndarray, cells: Floats, cell: Whole) -> SkyMask:
    """Return what a sun calendar takes off the sky.

    lit    steps on which the sun tells, shape (n,);  cells  factors on the beam, (half months, half hours)
    cell   flat index into ``cells`` of each step, shape (n,)
    """
    course = at.around.course
    part = slice(at.first, at.first + at.steps)
    turn = np.deg2rad(course.azimuth_deg[part] - at.project.wall.azimuth_deg)
    side = np.rad2deg(np.arctan2(np.sin(turn), np.cos(turn)))
    column = np.clip(((side + 90.0) / 5.0).astype(np.int64), 0, AZIMUTHS - 1)
    height = np.clip((course.elevation_deg[part] / 5.0).astype(np.int64), 0, ELEVATIONS - 1)
    row = cell // cells.shape[1]
    factor = cells.reshape(-1)[cell]
    seen = lit & (np.abs(side) < 90.0)
    out = np.ones((2, len(cells)))
    rows = np.flatnonzero((cells < 1.0).any(axis=1))
    if len(rows):
        seen &= np.isin(row, rows)
        out[:, rows] = np.array(_views(_dome(column[seen], height[seen], factor[seen])))[:, None]
    return SkyMask(*out)


def with_mask(at: Scene, case: Case, mask: SkyMask, span: Whole) -> Case:
    """Return a case whose sky is hidden as a mask has it; ``span`` is the half month of each step, shape (n,)."""
    day = case.drive.day[at.first : at.first + at.steps]
    sky, horizon = case.drive.sky_view.copy(), case.drive.horizon_view.copy()
    rows, first = np.unique(day, return_index=True)
    sky[rows] *= mask.sky[span[first], None]
    horizon[rows] *= mask.horizon[span[first], None]
    return case._replace(drive=case.drive._replace(sky_view=sky, horizon_view=horizon))


def _dome(column: Whole, height: Whole, factor: Floats) -> Floats:
    """Return the factor on each direction of the sky, shape (AZIMUTHS, ELEVATIONS).

    A direction between or below the sun's paths has the factor of the path above it.
    """
    dome = np.ones((AZIMUTHS, ELEVATIONS))
    place = column * ELEVATIONS + height
    count = np.bincount(place, minlength=dome.size).reshape(dome.shape)
    total = np.bincount(place, factor, minlength=dome.size).reshape(dome.shape)
    for a in range(AZIMUTHS):
        above = 1.0
        for h in range(ELEVATIONS - 1, -1, -1):
            above = float(total[a, h] / count[a, h]) if count[a, h] else above
            dome[a, h] = above
    return dome


def _views(dome: Floats) -> tuple[float, float]:
    """Return what a dome leaves of the even sky's and the horizon's light on an upright wall."""
    side = np.deg2rad(np.arange(AZIMUTHS) * 5.0 - 87.5)
    up = np.deg2rad(np.arange(ELEVATIONS) * 5.0 + 2.5)
    weight = np.cos(side)[:, None] * np.cos(up)[None, :] ** 2
    band = weight[:, :BAND_ROWS]
    return float((weight * dome).sum() / weight.sum()), float((band * dome[:, :BAND_ROWS]).sum() / band.sum())
