"""The site's true sun calendar: at which hours of which weeks the wall is shaded though nothing said so.

The gap's warmth is held against the engine's, hour by hour over half a month of clear hours. Where it falls
far behind what the same half month shows at its best hours, something stands in the sun; next to it less will do.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import DAY_S, STEP_S
from noonwall.logs.runs import ran, with_beam
from noonwall.logs.sky_mask import SkyMask, sky_mask, with_mask

if TYPE_CHECKING:
    from noonwall.engine.simulate import Case
    from noonwall.logs.period import Period
    from noonwall.logs.records import Floats, Whole
    from noonwall.logs.runs import Scene
    from noonwall.logs.seen import Seen

SPAN_DAYS = 15
FULL = 0.95  # a factor above it is no shade
CELL_S = 1800
CLEAR_W_M2 = 150.0  # beam on the open wall above which an hour tells of shade
LEAST_STEPS = 6  # of a cell
WARM_K = 6.0  # the engine's gap must be this much over the shop
SHADED = 0.9  # of the half month's best hours
EDGE = 0.97  # the same beside hours that are shaded
ROUNDS = 5
LEAST_CELLS = 4  # of nine neighbours, itself among them, else it is noise
RESPONSE = 1.6  # the gap answers to less than all of a change in the sun


@dataclass(frozen=True)
class SunCalendar:
    """``dim`` is the factor on the beam step by step, shape (n,); cells: (half months, half hours)."""

    dim: Floats
    mask: SkyMask  # what the same things keep off of the sky's light
    span: Whole  # half month of each step, shape (n,)
    cells: Floats  # factor on the beam, 1 where nothing is missing
    words: tuple[str, ...]  # a line for each half month with undescribed shade

    @property
    def told(self) -> str:
        """All of it in one line: how many half months, the worst of them, and where the whole list is."""
        lost = np.where(self.cells < FULL, 1.0 - self.cells, 0.0).sum(axis=1)
        rows = np.flatnonzero(lost > 0.0)
        place = int(np.flatnonzero(rows == int(np.argmax(lost)))[0])
        first, last = self.words[0].split(": ")[0], self.words[-1].split(": ")[0]
        if len(rows) == 1:
            return self.words[0]
        return f"in {len(rows)} half months, {first} the first and {last} the last; worst {self.words[place]}"

    def stretches(self, period: Period) -> tuple[tuple[int, int], ...]:
        """Return first and last day of each stretch of half months with undescribed shade, within the period."""
        rows = np.flatnonzero((self.cells < FULL).any(axis=1))
        runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1) if len(rows) else []
        return tuple(
            (int(run[0]) * SPAN_DAYS, min((int(run[-1]) + 1) * SPAN_DAYS, period.days) - 1) for run in runs
        )

    @property
    def any_shade(self) -> bool:
        """Whether the wall was shaded at hours at which nothing was described."""
        return bool((self.cells < FULL).any())


def sun_calendar(at: Scene, case: Case, what: Seen, period: Period) -> SunCalendar | None:
    """Return the undescribed shade of a period; None when the gap or the shop was not measured.

    case   with the fans and the cover as they were
    """
    if what.gap_top_c is None or what.shop_c is None:
        return None
    span, slot = period.day // SPAN_DAYS, (np.arange(at.steps) * STEP_S % DAY_S) // CELL_S
    shape = (int(span[-1]) + 1, DAY_S // CELL_S)
    cell = span * shape[1] + slot
    drive = case.drive
    part = slice(at.first, at.first + at.steps)
    share = np.broadcast_to(drive.beam_share.mean(axis=1), drive.beam.shape)[part]
    lit = (drive.beam[part] * share > CLEAR_W_M2) & (drive.pass_share[part] > 0.5)
    real = what.gap_top_c - what.shop_c
    told = lit & np.isfinite(real)
    own = ran(at, case)
    ratio = _ratios(real, own.gap_top_c - own.room_c, told, cell, shape)
    shaded = _shaded(ratio, _best(ratio, np.zeros(shape, bool)))
    cells = np.ones(shape)
    mask = sky_mask(at, lit, cells, cell)
    lasting = _to_the_edge(shaded, ratio)
    for _ in range(ROUNDS if shaded.any() else 0):
        best = _best(ratio, shaded)
        with np.errstate(invalid="ignore"):
            step = np.where(shaded & np.isfinite(ratio), ratio / best[:, None], 1.0)
        cells = np.clip(cells * np.clip(step, 0.0, 2.0) ** RESPONSE, 0.0, 1.0)
        cells = np.take_along_axis(cells, lasting, axis=1)
        mask = sky_mask(at, lit, cells, cell)
        own = ran(at, shaded_case(at, case, cells.reshape(-1)[cell], mask, span))
        ratio = _ratios(real, own.gap_top_c - own.room_c, told, cell, shape)
    return SunCalendar(cells.reshape(-1)[cell], mask, span, cells, _words(cells, period))


def shaded_case(at: Scene, case: Case, dim: Floats, mask: SkyMask, span: Whole) -> Case:
    """Return a case with undescribed shade on sun and sky."""
    return with_mask(at, with_beam(at, case, dim), mask, span)


def _ratios(
    real: Floats, own: Floats, chosen: np.ndarray, cell: np.ndarray, shape: tuple[int, int]
) -> Floats:
    """Return measured over calculated warmth of each cell, NaN where too little tells."""
    many = shape[0] * shape[1]
    count = np.bincount(cell[chosen], minlength=many)
    above = np.bincount(cell[chosen], np.maximum(real[chosen], 0.0), minlength=many)
    below = np.bincount(cell[chosen], own[chosen], minlength=many)
    good = (count >= LEAST_STEPS) & (below > WARM_K * np.maximum(count, 1))
    return np.where(good, above / np.maximum(below, 1e-6), np.nan).reshape(shape)


def _best(ratio: Floats, shaded: np.ndarray) -> Floats:
    """Return what each half month shows at its better hours: dirt and flow do not count as shade."""
    out = np.ones(len(ratio))
    for i, row in enumerate(ratio):
        known = np.isfinite(row)
        free = known & ~shaded[i]
        if free.sum() >= LEAST_CELLS and shaded[i].any():
            out[i] = np.clip(np.median(row[free]), 0.6, 1.3)
        elif known.sum() >= LEAST_CELLS:
            out[i] = np.clip(np.percentile(row[known], 75.0), 0.6, 1.3)
    return out


def _shaded(ratio: Floats, best: Floats) -> np.ndarray:
    """Return the cells in which something stands in the sun: far behind, or behind and beside such a one."""
    with np.errstate(invalid="ignore"):
        far, behind = ratio < SHADED * best[:, None], ratio < EDGE * best[:, None]
    found = _joined(far)
    while True:
        beside = found.copy()
        beside[:, 1:] |= found[:, :-1]
        beside[:, :-1] |= found[:, 1:]
        beside &= behind
        if np.array_equal(beside | found, found):
            return found
        found |= beside


def _joined(found: np.ndarray) -> np.ndarray:
    """Keep cells that have company: at least LEAST_CELLS of the nine around and including them."""
    padded = np.pad(found, 1).astype(int)
    rows, columns = found.shape
    company = sum(padded[i : i + rows, j : j + columns] for i in range(3) for j in range(3))
    return np.asarray(found & (company >= LEAST_CELLS))


def _to_the_edge(shaded: np.ndarray, ratio: Floats) -> np.ndarray:
    """Return for each cell the one of its row it copies: itself, or one of the outermost before dusk or after dawn.

    The last and first hours of light tell too little themselves; shade that reaches them stays until dark. Of
    the two outermost that tell, the darker one is copied: towards the horizon shade does not thin out.
    """
    source = np.tile(np.arange(ratio.shape[1]), (len(ratio), 1))
    for row in range(len(ratio)):
        known = np.flatnonzero(np.isfinite(ratio[row]))
        if len(known) == 0:
            continue
        if shaded[row, known[-1]]:
            source[row, known[-1] :] = _darker(known[-2:], shaded[row], ratio[row])
        if shaded[row, known[0]]:
            source[row, : known[0] + 1] = _darker(known[:2], shaded[row], ratio[row])
    return source


def _darker(places: Whole, shaded: np.ndarray, ratio: Floats) -> int:
    """Return the shaded one of some cells with the least warmth."""
    found = places[shaded[places]]
    return int(found[np.argmin(ratio[found])])


def _words(cells: Floats, period: Period) -> tuple[str, ...]:
    """Return a line for each half month with undescribed shade: the dates, the hours, how much is missing."""
    lines = []
    for row, factors in enumerate(cells):
        slots = np.flatnonzero(factors < FULL)
        if len(slots) == 0:
            continue
        last = min((row + 1) * SPAN_DAYS, period.days) - 1
        first_h, end_h = slots[0] * CELL_S / 3600.0, (slots[-1] + 1) * CELL_S / 3600.0
        hours = f"from {_clock(first_h)}" if end_h >= 24.0 else f"{_clock(first_h)} to {_clock(end_h)}"
        hours = f"until {_clock(end_h)}" if first_h == 0.0 else hours
        lost = 100.0 * (1.0 - float(factors[slots].mean()))
        lines.append(
            f"{period.date(row * SPAN_DAYS)} to {period.date(last)}: {hours}, "
            f"about {lost:.0f} % of the direct sun missing"
        )
    return tuple(lines)


def _clock(hour: float) -> str:
    return f"{int(hour):02d}:{int(hour % 1 * 60):02d}"
