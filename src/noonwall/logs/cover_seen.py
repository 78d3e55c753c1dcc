"""When the cover hung, from the gap's warmth: each day is held against the engine with and without a cover."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import DAY_S, STEP_S
from noonwall.logs.runs import ran, with_cover, with_fans

if TYPE_CHECKING:
    from noonwall.logs.records import Floats
    from noonwall.logs.runs import Scene
    from noonwall.logs.seen import Seen

TELLS_APART_K = 6.0  # a day tells when its warmest gap would differ by more
HUNG_BELOW, OPEN_ABOVE = 0.35, 0.5  # of the way from covered to open
SMOOTH_DAYS = 5
STEPS = DAY_S // STEP_S


def cover_by_warmth(at: Scene, what: Seen) -> Floats | None:
    """Return 1 while the cover hung, 0 while it did not, shape (n,); None when the gap was not measured.

    Days that tell nothing (dull, or nothing measured) take the nearest that does; where none tells within a
    month the value is NaN: as described.
    """
    if what.gap_top_c is None:
        return None
    fans = at.case if what.fan_share is None else with_fans(at, at.case, what.fan_share)
    ones = np.ones(at.steps)
    hung = _peaks(ran(at, with_cover(at, fans, ones)).gap_top_c)
    free = _peaks(ran(at, with_cover(at, fans, 0.0 * ones)).gap_top_c)
    real = _peaks(what.gap_top_c)
    with np.errstate(invalid="ignore"):
        way = np.where(free - hung > TELLS_APART_K, (real - hung) / np.maximum(free - hung, 1e-6), np.nan)
    told = np.flatnonzero(np.isfinite(way))
    if len(told) == 0:
        return None
    smooth = np.array([np.median(way[_near(told, day)]) for day in told.tolist()])
    state = np.where(smooth < HUNG_BELOW, 1.0, np.where(smooth > OPEN_ABOVE, 0.0, np.nan))
    told, state = told[np.isfinite(state)], state[np.isfinite(state)]
    if len(told) == 0:
        return None
    days = np.arange(len(way))
    nearest = told[np.argmin(np.abs(days[:, None] - told[None, :]), axis=1)]
    value = state[np.searchsorted(told, nearest)]
    return np.repeat(np.where(np.abs(days - nearest) <= 31, value, np.nan), STEPS)


def _peaks(values: Floats) -> Floats:
    """Return each day's warmest hour, shape (days,); NaN on days not measured."""
    hours = values.reshape(-1, 3600 // STEP_S).mean(axis=1).reshape(-1, 24)
    out = np.full(len(hours), np.nan)
    enough = np.isfinite(hours[:, 8:17]).sum(axis=1) >= 7
    out[enough] = np.nanmax(hours[enough, 8:17], axis=1)
    return out


def _near(told: np.ndarray, day: int) -> np.ndarray:
    return told[np.argsort(np.abs(told - day), kind="stable")[:SMOOTH_DAYS]]


def stretches_of(hung: Floats) -> list[tuple[int, int]]:
    """Return first and last day of each stretch in which a cover hung by day; ``hung`` of shape (n,)."""
    day = np.nan_to_num(hung.reshape(-1, STEPS).mean(axis=1)) > 0.5
    edges = np.flatnonzero(np.diff(np.concatenate([[False], day, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]
