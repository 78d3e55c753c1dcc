"""Readings handed out at equal steps, each with the share of the step that was really measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.errors import ReadingsError
from noonwall.logs.roles import SI_UNIT
from noonwall.logs.roles import role as role_of
from noonwall.logs.usable import usable

if TYPE_CHECKING:
    from noonwall.logs.records import Channel, Floats, Readings, Whole
    from noonwall.logs.store import Store

HOUR_S = 3600
_BLOCK = 128  # readings over which a logger's interval is taken as steady
_LATE = 2.5  # a reading that comes later than this many intervals leaves a gap
_LONGEST_POINT_S = 3 * HOUR_S  # how long a sensor that only reports changes is believed
_LONGEST_STATE_S = 3 * 86_400
_LONGEST_COUNT_S = 6 * HOUR_S  # what a counter gained over a longer gap has no known hour


@dataclass(frozen=True)
class Series:
    """One role at n equal steps; arrays of shape (n,).

    ``value`` is the mean over the measured part of the step (of an amount or a counter: the total that came
    in it), NaN where nothing was measured. ``share`` is the measured part, from 0 to 1.
    """

    role: str
    unit: str
    channels: tuple[str, ...]
    start_s: int  # seconds since 1970 UTC, beginning of the first step
    step_s: int
    value: Floats
    share: Floats
    notes: tuple[str, ...] = ()

    @property
    def time_s(self) -> Whole:
        """Beginning of each step [s since 1970 UTC], shape (n,)."""
        return self.start_s + self.step_s * np.arange(len(self.value), dtype=np.int64)


def series(
    store: Store,
    role: str,
    start_s: int,
    end_s: int,
    step_s: int = HOUR_S,
    *,
    channels: tuple[Channel, ...] | None = None,
) -> Series | None:
    """Return what was measured of a role, step by step; None when no channel has it.

    start_s, end_s   from, to [s since 1970 UTC];  step_s   length of a step [s]
    channels         only these (default: all of the role; their mean, by how much of the step each measured)
    raises           ReadingsError when the time is empty or the channels measure different things
    """
    if end_s <= start_s or step_s <= 0:
        raise ReadingsError(
            f"readings from {start_s} to {end_s} s in steps of {step_s} s: there is no such time"
        )
    chosen = store.channels(role_of(role).key) if channels is None else channels
    if not chosen:
        return None
    if len({(item.measure, item.kind in ("amount", "counter")) for item in chosen}) > 1:
        names = ", ".join(item.name for item in chosen)
        raise ReadingsError(f'the channels of role "{role}" ({names}) measure different things; ask for one')
    steps = -(-(end_s - start_s) // step_s)
    total, weight, share = np.zeros(steps), np.zeros(steps), np.zeros(steps)
    for item in chosen:
        value, part = _stepped(store, item, start_s, step_s, steps)
        total += np.where(part > 0.0, value, 0.0) * part
        weight += part
        share = np.maximum(share, part)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(weight > 0.0, total / weight, np.nan)
    names_of = tuple(item.name for item in chosen)
    notes = (f"mean of {', '.join(names_of)}",) if len(names_of) > 1 else ()
    return Series(role, SI_UNIT[chosen[0].measure], names_of, start_s, step_s, mean, share, notes)


def _stepped(store: Store, channel: Channel, start: int, step: int, steps: int) -> tuple[Floats, Floats]:
    """Return the means (or totals) of one channel and the measured share of each step."""
    margin = 2 * _LONGEST_STATE_S if channel.kind == "state" else 4 * _LONGEST_COUNT_S
    found = usable(store, channel, start - margin, start + steps * step + margin)
    begin, end, value = stretches(found)
    return step_means(begin, end, value, start, step, steps, total=channel.kind in ("amount", "counter"))


def stretches(readings: Readings) -> tuple[Floats, Floats, Floats]:
    """Return the stretch of time each reading stands for, and its value.

    returns   begin [s], end [s], value: shape (m,), rising, not overlapping; of an amount or a counter the
              value is a rate per second
    """
    times, values = readings.time_s.astype(np.float64), readings.value
    n = len(times)
    if n == 0:
        return times, times, values
    kind = readings.channel.kind
    if n == 1:
        gaps, typical, limit = np.empty(0), np.full(1, 60.0), np.full(1, 60.0)
    else:
        gaps = np.diff(times)
        typical, limit = patience(gaps, _LONGEST_STATE_S if kind == "state" else _LONGEST_POINT_S)
    if kind == "counter":
        return _counted(times, values)
    if kind == "state" or readings.channel.stamp == "begin":
        reach = np.append(np.where(gaps <= limit[:-1], gaps, typical[:-1]), typical[-1])
        begin, end = times, times + reach
    elif readings.channel.stamp == "end":
        reach = np.insert(np.where(gaps <= limit[1:], gaps, typical[1:]), 0, typical[0])
        begin, end = times - reach, times
    else:
        half = 0.5 * np.where(gaps <= limit[:-1], gaps, np.minimum(typical[:-1], gaps))
        begin = times - np.insert(half, 0, 0.5 * typical[0])
        end = times + np.append(half, 0.5 * typical[-1])
    return begin, end, values / (end - begin) if kind == "amount" else values


def patience(gaps: Floats, longest_s: float) -> tuple[Floats, Floats]:
    """Return for each reading its logger's usual interval and how long it is believed, shape (n,)."""
    blocks = -(-len(gaps) // _BLOCK)
    filled = np.resize(gaps, blocks * _BLOCK) if blocks == 1 else np.append(gaps, gaps[-_BLOCK:])
    ranked = np.sort(filled[: blocks * _BLOCK].reshape(blocks, _BLOCK), axis=1)
    middle, most = ranked[:, _BLOCK // 2], ranked[:, int(0.9 * _BLOCK)]
    patient = np.maximum(_LATE * middle, np.minimum(3.0 * most, longest_s))
    limit = np.where(most <= 1.5 * middle, _LATE * middle, patient)
    block = np.minimum(np.arange(len(gaps) + 1) // _BLOCK, blocks - 1)
    return middle[block], limit[block]


def _counted(times: Floats, values: Floats) -> tuple[Floats, Floats, Floats]:
    """Return a counter's gains as rates; a fall is a counter set back to zero."""
    gain = np.diff(values)
    gain = np.where(gain < 0.0, values[1:], gain)
    reach = np.diff(times)
    near = reach <= _LONGEST_COUNT_S
    return times[:-1][near], times[1:][near], gain[near] / reach[near]


def step_means(
    begin: Floats, end: Floats, value: Floats, start_s: int, step_s: int, steps: int, *, total: bool = False
) -> tuple[Floats, Floats]:
    """Return mean (or total) and measured share of equal steps, exact for values that hold over stretches.

    begin, end, value   shape (m,), rising, not overlapping [s, s, any]
    returns             shape (steps,) each; a mean is NaN where nothing was measured
    """
    edges = start_s + step_s * np.arange(steps + 1, dtype=np.float64)
    if len(begin) == 0:
        return np.full(steps, np.nan), np.zeros(steps)
    origin = begin[0]
    knots = np.column_stack([begin, end]).reshape(-1) - origin
    length = end - begin
    measured = np.repeat(np.append(0.0, np.cumsum(length)), 2)[1:-1]
    filled = np.repeat(np.append(0.0, np.cumsum(length * value)), 2)[1:-1]
    seconds = np.diff(np.interp(edges - origin, knots, measured))
    sums = np.diff(np.interp(edges - origin, knots, filled))
    share = np.clip(seconds / step_s, 0.0, 1.0)
    share[share < 1e-9] = 0.0
    with np.errstate(invalid="ignore", divide="ignore"):
        out = sums if total else sums / seconds
    return np.where(share > 0.0, out, np.nan), share


def thin(time_s: Whole, value: Floats, most: int = 2000) -> tuple[Whole, Floats]:
    """Return at most ``most`` readings that draw the same picture: lowest and highest of each equal run.

    time_s, value   shape (n,), rising in time
    returns         the chosen readings themselves, rising, both extremes of the whole always among them
    """
    n, runs = len(time_s), max(1, most // 2)
    if n <= most:
        return time_s, value
    edges = np.linspace(0, n, runs + 1).astype(int)[:-1]
    low = _place_of(value, edges, n, np.minimum)
    high = _place_of(value, edges, n, np.maximum)
    chosen = np.unique(np.concatenate([low, high]))
    return time_s[chosen], value[chosen]


def _place_of(value: Floats, edges: Whole, n: int, extreme: np.ufunc) -> Whole:
    """Return the first place in each run at which the run's extreme stands."""
    best = extreme.reduceat(value, edges)
    run = np.repeat(np.arange(len(edges)), np.diff(np.append(edges, n)))
    hits = np.flatnonzero(value == best[run])
    _, first = np.unique(run[hits], return_index=True)
    return hits[first]
