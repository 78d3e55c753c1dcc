"""Two sensors that have changed places: the order physics sets is turned, each goes on where the other stopped."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import STEP_S, Panel, bridged, runs
from noonwall.logs.records import Finding

if TYPE_CHECKING:
    from noonwall.logs.records import Floats

_CROSS_K = 5.0  # by how much closer the crossed continuation must be
_MEET_K = 1.5  # two sensors that show nearly the same may change places unseen
_NEARLY = 0.3  # what may be left of the leap when it is read crosswise
_GROSS_K = 6.0  # an order turned by so much needs no third day
_FEWEST_WITH_EDGE, _FEWEST_WITHOUT = 2, 4  # days of turned order


@dataclass(frozen=True)
class Order:
    """What must hold between two channels day by day: ``margin`` positive when it does, NaN when not told."""

    low: str
    high: str
    margin: Floats  # shape (days,) [K]
    least_k: float
    said: str
    only_crossed: bool  # the order may be turned by weather or use as well: a crossing must show the swap


def swapped(panel: Panel, *, crossing: bool) -> list[Finding]:
    """Return pairs of channels that stand in each other's place for some days, two findings a pair.

    crossing   only those where each channel is seen to go on where the other stopped
    """
    candidates: list[tuple[float, list[Finding]]] = []
    for order in _orders(panel):
        known = np.isfinite(order.margin)
        with np.errstate(invalid="ignore"):
            turned = known & (order.margin < -order.least_k)
            upright = known & (order.margin > order.least_k)
        for first, last in runs(bridged(turned, upright, 0)):
            found = _judged(panel, order, turned, upright, (first, last))
            if found is not None and (not crossing or found[1][0].evidence["crossed_by_k"] > _CROSS_K):
                candidates.append(found)
    return _best(candidates)


def _orders(panel: Panel) -> list[Order]:
    out: list[Order] = []
    dark = panel.dark()
    night = dark if dark is not None else (panel.hour < 6.0) | (panel.hour > 22.0)
    for outdoor in panel.of("outdoor"):
        for shop in panel.of("shop", "air in"):
            gap = panel.columns[shop] - panel.columns[outdoor]
            out.append(
                Order(outdoor, shop, panel.daily(gap, night), 2.0, "is warmer at night", only_crossed=True)
            )
    for low, high in (("gap bottom", "gap top"), ("air in", "air out"), ("gap bottom", "absorber")):
        pairs = product(panel.of(low), panel.of(high))
        out += [
            Order(a, b, _while_hot(panel, a, b), 1.5, "is warmer in the sun", only_crossed=False)
            for a, b in pairs
        ]
    for hot in panel.of("gap top", "absorber"):
        hot_range = panel.daily_range(panel.columns[hot])
        for cool in panel.of("shop", "outdoor", "air in"):
            cool_range = panel.daily_range(panel.columns[cool])
            with np.errstate(invalid="ignore"):
                told = np.fmax(hot_range, cool_range) > 14.0
            margin = np.where(told, hot_range - cool_range, np.nan)
            out.append(Order(cool, hot, margin, 8.0, "swings more on sunny days", only_crossed=True))
    return out


def _while_hot(panel: Panel, a: str, b: str) -> Floats:
    """Return the day's median of b less a while one of them is well above its own night."""
    x, y = panel.columns[a], panel.columns[b]
    hotter = np.fmax(x, y)
    base = panel.by_day(hotter)
    quiet = np.full(panel.days, np.nan)
    enough = np.count_nonzero(np.isfinite(base), axis=1) > 36
    quiet[enough] = np.nanmedian(base[enough], axis=1)
    with np.errstate(invalid="ignore"):
        hot = hotter - quiet[panel.day] > 10.0
    return panel.daily(y - x, hot)


def _judged(
    panel: Panel, order: Order, turned: np.ndarray, upright: np.ndarray, days: tuple[int, int]
) -> tuple[float, list[Finding]] | None:
    """Return how sure a stretch is a swap, and its findings; None when it is not sure enough."""
    count = int(np.count_nonzero(turned[days[0] : days[1] + 1]))
    before, after = upright[: days[0]].any(), upright[days[1] + 1 :].any()
    a, b = panel.raw[order.low], panel.raw[order.high]
    begin, end = int(max(a.time_s[0], b.time_s[0])), int(min(a.time_s[-1], b.time_s[-1]))
    sure = -np.inf
    if before:
        last_good = int(np.flatnonzero(upright[: days[0]])[-1])
        begin, gain = _crossing(panel, order, panel.begin_of(last_good), panel.begin_of(days[0]) + 86_400)
        sure = max(sure, gain)
    if after:
        next_good = days[1] + 1 + int(np.flatnonzero(upright[days[1] + 1 :])[0])
        moment, gain = _crossing(panel, order, panel.begin_of(days[1]), panel.begin_of(next_good) + 86_400)
        end, sure = moment - 1, max(sure, gain)
    crossed = sure > _CROSS_K
    edged = bool(before or after)
    if edged and not crossed and (order.only_crossed or sure < -_MEET_K):
        return None
    if not edged and count < 0.8 * np.count_nonzero(turned | upright):
        return None
    margin = -float(np.median(order.margin[days[0] : days[1] + 1][turned[days[0] : days[1] + 1]]))
    fewest = _FEWEST_WITH_EDGE if crossed or margin > _GROSS_K else _FEWEST_WITHOUT
    if count < fewest or end <= begin:
        return None
    evidence = {
        "days": float(count),
        "turned_by_k": round(margin, 2),
        "crossed_by_k": round(max(sure, 0.0), 1),
    }
    said = (
        f"{order.low} {order.said} than {order.high} by {margin:.1f} K on {count} days: the two have changed "
        "places; each is used as the other"
    )
    found = [
        Finding("swap", name, begin, end, evidence, said, "mended", {"swap": other})
        for name, other in ((order.low, order.high), (order.high, order.low))
    ]
    return max(sure, 0.0) + margin + count, found


def _crossing(panel: Panel, order: Order, low_s: int, high_s: int) -> tuple[int, float]:
    """Return the moment at which each channel best goes on where the other stopped, and by how many kelvin."""
    a, b = panel.raw[order.low], panel.raw[order.high]
    times, i, j = np.intersect1d(a.time_s, b.time_s, return_indices=True)
    if len(times) > 0.5 * min(len(a), len(b)):
        x, y = a.value[i], b.value[j]
    else:
        times, x, y = panel.time_s, panel.columns[order.low], panel.columns[order.high]
    low, high = np.searchsorted(times, (low_s, high_s))
    low = max(0, low - 1)
    if high - low < 3:
        return low_s, 0.0
    times, x, y = times[low:high], x[low:high], y[low:high]
    straight = np.abs(np.diff(x)) + np.abs(np.diff(y))
    crossed = np.abs(x[1:] - y[:-1]) + np.abs(y[1:] - x[:-1])
    # what crosses goes on nearly where the other stopped; a fan's start moves both as well, but not so
    gain = np.where(crossed < _NEARLY * straight, straight - crossed, np.minimum(straight - crossed, 0.0))
    gain = np.nan_to_num(gain, nan=-1e9)
    best = int(np.argmax(gain))
    return int(times[best + 1]), float(gain[best])


def _best(candidates: list[tuple[float, list[Finding]]]) -> list[Finding]:
    """Return the surest swaps; one that overlaps a surer one of the same channel is only its echo."""
    out: list[Finding] = []
    for _, pair in sorted(candidates, key=lambda item: -item[0]):
        names = {item.channel for item in pair}
        echo = any(
            known.channel in names and known.from_s < pair[0].to_s + STEP_S and pair[0].from_s < known.to_s
            for known in out
        )
        if not echo:
            out += pair
    return out
