"""Missing figures: short gaps are bridged and counted, long ones refuse the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.climate.rows import LIGHT, WORDS, Figure, Floats, Ints

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from noonwall.climate.text import TextFile

LONGEST_LIGHT_H = 3.0  # a gap in the light this long can hide a whole front
LONGEST_READING_H = 12.0
MOST_SHARE = 0.05  # of the stretch


def bridge(
    file: TextFile,
    name: Figure,
    values: Floats,
    lines: Ints,
    step_s: int,
    dark: NDArray[np.bool_] | None = None,
) -> tuple[Floats, NDArray[np.bool_]]:
    """Fill gaps in one figure by straight lines between its neighbours.

    file, name, lines   for the message;  values : shape (n,)   NaN = missing
    dark : shape (n,)   true where the sun is down: light missing there is 0 and no repair
    Returns             values without NaN, and a mask of the repaired ones, shape (n,)
    Raises              WeatherError where a gap is too long or too much is missing
    """
    filled = values.copy()
    missing = ~np.isfinite(filled)
    if dark is not None:
        filled[missing & dark] = 0.0
        missing &= ~dark
    if not missing.any():
        return filled, missing
    longest_h = LONGEST_LIGHT_H if name in LIGHT else LONGEST_READING_H
    begin, length = _runs(missing)
    worst = int(np.argmax(length))
    if length[worst] * step_s > longest_h * 3600.0:
        raise file.error(
            int(lines[begin[worst]]),
            f"{WORDS[name]} is missing for {length[worst] * step_s / 3600.0:g} h in a row; "
            f"at most {longest_h:g} h can be bridged",
        )
    if missing.mean() > MOST_SHARE:
        raise file.error(
            int(lines[begin[0]]),
            f"{WORDS[name]} is missing in {missing.mean():.0%} of the rows; "
            f"at most {MOST_SHARE:.0%} can be bridged",
        )
    known = np.flatnonzero(~missing)
    filled[missing] = np.interp(np.flatnonzero(missing), known, filled[known])
    return filled, missing


def _runs(mask: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Return where runs of true begin and how long they are."""
    edges = np.diff(np.concatenate([[0], mask.astype(np.int8), [0]]))
    begin = np.flatnonzero(edges == 1)
    return begin, np.flatnonzero(edges == -1) - begin
