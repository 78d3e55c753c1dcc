"""Readings of one channel thinned for a chart: what is used, and apart from it what was set aside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.series import patience, thin
from noonwall.logs.usable import findings_on, usable

if TYPE_CHECKING:
    from noonwall.logs.records import Channel, Floats, Readings, Whole
    from noonwall.logs.store import Store

MOST_POINTS = 2000
LONGEST_S = 6 * 3600  # what changes seldom is believed to hold for so long


@dataclass(frozen=True)
class Drawn:
    """One channel over a stretch of time, SI; arrays of shape (n,), rising in time.

    ``value`` is NaN at a stamp put in where nothing was measured, so that a line breaks there.
    """

    channel: Channel
    time_s: Whole
    value: Floats
    aside_time_s: Whole
    aside_value: Floats
    readings: int  # raw ones in this time
    mended: bool
    has_aside: bool  # whether any of the channel is set aside, at whatever time


def drawn(store: Store, channel: Channel, start_s: int, end_s: int, most: int = MOST_POINTS) -> Drawn:
    """Return a channel's readings in a time, lowest and highest of each stretch always among them.

    start_s, end_s   from (included) to (not included) [s since 1970 UTC]
    most             points of what is used, and half as many of what was set aside
    """
    raw = store.read(channel, start_s, end_s)
    used = usable(store, channel, start_s, end_s)
    verdicts = {finding.verdict for finding in findings_on(store, channel)}
    if "set aside" in verdicts:
        gone = _told_aside(store, raw)
        gone[gone] = ~_among(raw.time_s[gone], used.time_s)
        aside_time, aside = thin(raw.time_s[gone], raw.value[gone], max(2, most // 2))
    else:
        aside_time, aside = raw.time_s[:0], raw.value[:0]
    time, value = _with_gaps(used, most)
    return Drawn(
        channel, time, value, aside_time, aside, len(raw), "mended" in verdicts, "set aside" in verdicts
    )


def _among(times_s: Whole, rising_s: Whole) -> np.ndarray:
    """Return which stamps are among others that rise; by halving, since hashing millions of them takes seconds."""
    if len(rising_s) == 0:
        return np.zeros(len(times_s), bool)
    place = np.minimum(np.searchsorted(rising_s, times_s), len(rising_s) - 1)
    return np.asarray(rising_s[place] == times_s)


def _told_aside(store: Store, raw: Readings) -> np.ndarray:
    """Return which raw readings lie in a stretch that was set aside."""
    inside = np.zeros(len(raw.time_s), bool)
    for finding in findings_on(store, raw.channel):
        if finding.set_aside:
            inside |= (raw.time_s >= finding.from_s) & (raw.time_s <= finding.to_s)
    return inside


def _with_gaps(used: Readings, most: int) -> tuple[Whole, Floats]:
    """Return thinned readings with a NaN put into each gap that the logger's own interval does not explain."""
    time, value = used.time_s, used.value
    if len(time) < 2:
        return time, value
    apart = np.diff(time.astype(np.float64))
    _, limit = patience(apart, LONGEST_S)
    run = np.concatenate([[0], np.cumsum(apart > limit[:-1])])
    kept_time, kept = thin(time, value, most)
    run_of_kept = run[np.searchsorted(time, kept_time)]
    at = np.flatnonzero(np.diff(run_of_kept)) + 1
    return (
        np.insert(kept_time, at, kept_time[at - 1] + 1),
        np.insert(kept.astype(np.float64), at, np.nan),
    )
