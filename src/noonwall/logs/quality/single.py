"""What one channel gives away by itself: a value that stays, one that leaps, one that cannot be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import runs
from noonwall.logs.records import Finding
from noonwall.logs.roles import ROLES
from noonwall.logs.series import patience

if TYPE_CHECKING:
    from noonwall.logs.quality.panel import Panel
    from noonwall.logs.records import Floats, Readings

_HOUR = 3600.0
# Common practice, no source: smallest leap that is called one, by measure, in its SI unit
_LEAP = {"temperature": 5.0, "irradiance": 400.0, "share": 0.15, "pressure": 1500.0, "speed": 15.0}
_FEWEST = 12  # equal readings, fewer are no evidence
_SHORTEST_STUCK_S = 3 * _HOUR
_MOST = 60


def stuck(item: Readings, panel: Panel) -> list[Finding]:
    """Return stretches in which a sensor shows one value far longer than it ever does, while others move."""
    measure, n = item.channel.measure, len(item)
    if n < 200 or measure not in ("temperature", "irradiance", "share", "pressure", "speed"):
        return []
    times, values = item.time_s.astype(np.float64), item.value
    new = np.concatenate([[True], (values[1:] != values[:-1]) | (np.diff(times) > 6 * _HOUR)])
    first = np.flatnonzero(new)
    last = np.append(first[1:], n) - 1
    length = times[last] - times[first]
    dull = _dull(measure, values[first])
    usual = float(np.quantile(length[~dull], 0.995)) if (~dull).any() else 0.0
    limit = max(_SHORTEST_STUCK_S, 5.0 * usual) * (4.0 if measure in ("speed", "share") else 1.0)
    found = []
    for i in np.flatnonzero(~dull & (length > limit) & (last - first >= _FEWEST)).tolist():
        begin, end = int(times[first[i]]), int(times[last[i]])
        moved = _others_moved(panel, item.channel.name, begin, end)
        if moved is not None and moved < 2.0:
            continue
        hours = (end - begin) / _HOUR
        evidence = {
            "hours": round(hours, 2),
            "value": float(values[first[i]]),
            "others_moved_k": moved or 0.0,
        }
        said = f"shows {values[first[i]]:g} for {hours:.1f} h while others moved by {moved or 0.0:.1f} K; left out"
        found.append(Finding("stuck", item.channel.name, begin, end, evidence, said, "set aside"))
    return found[:_MOST]


def _dull(measure: str, values: Floats) -> np.ndarray:
    """Return where staying the same is no fault: no sun, saturated air, no wind."""
    if measure == "irradiance":
        return values < 5.0
    if measure == "share":
        return (values >= 0.99) | (values <= 0.01)
    return values == 0.0 if measure == "speed" else np.zeros(len(values), bool)


def _others_moved(panel: Panel, name: str, begin: int, end: int) -> float | None:
    """Return by how much the liveliest other thermometer moved [K], None when there is no other."""
    low, high = np.searchsorted(panel.time_s, (begin, end))
    best = None
    for other, values in panel.columns.items():
        if other == name or panel.channels[other].measure != "temperature":
            continue
        part = values[low : high + 1]
        part = part[np.isfinite(part)]
        if len(part) > 3:
            best = max(best or 0.0, round(float(part.max() - part.min()), 2))
    return best


def spikes(item: Readings) -> list[Finding]:
    """Return single readings (up to three) that leap away and come back."""
    measure, n = item.channel.measure, len(item)
    if measure not in _LEAP or item.channel.kind != "point" or n < 50:
        return []
    times, values = item.time_s, item.value
    typical, _ = patience(np.diff(times).astype(np.float64), 3 * _HOUR)
    away = np.abs(values[1:-1] - 0.5 * (values[:-2] + values[2:]))
    limit = max(_LEAP[measure], 6.0 * float(np.quantile(away, min(0.997, 1.0 - 12.0 / n))))
    hit = np.zeros(n, bool)
    for width in (1, 2, 3):
        before, after = values[: n - width - 1], values[width + 1 :]
        near = times[width + 1 :] - times[: n - width - 1] <= 3 * (width + 1) * typical[: n - width - 1]
        bridge_gap = np.abs(after - before)
        inside = [values[1 + k : n - width + k] for k in range(width)]
        over = np.minimum.reduce([part - np.maximum(before, after) for part in inside])
        under = np.minimum.reduce([np.minimum(before, after) - part for part in inside])
        leap = near & (np.maximum(over, under) > np.maximum(limit, 2.0 * bridge_gap))
        for k in range(width):
            hit[np.flatnonzero(leap) + 1 + k] = True
    return _leaps(item, hit)


def _leaps(item: Readings, hit: np.ndarray) -> list[Finding]:
    found = []
    places = np.flatnonzero(hit)
    groups = np.split(places, np.flatnonzero(np.diff(item.time_s[places]) > 1800) + 1) if len(places) else []
    for group in groups:
        begin, end = int(item.time_s[group[0]]), int(item.time_s[group[-1]])
        far = float(
            item.value[group][np.argmax(np.abs(item.value[group] - item.value[max(0, group[0] - 1)]))]
        )
        usual = float(item.value[max(0, group[0] - 1)])
        many = "one reading" if len(group) == 1 else f"{len(group)} readings"
        said = f"leaps from {usual:.1f} to {far:.1f} and back within {many}; left out"
        evidence = {"readings": float(len(group)), "from_value": usual, "to_value": far}
        found.append(Finding("spike", item.channel.name, begin, end, evidence, said, "set aside"))
    found.sort(key=lambda f: -abs(f.evidence["to_value"] - f.evidence["from_value"]))
    return found[:_MOST]


def out_of_range(item: Readings) -> list[Finding]:
    """Return stretches of values that a sensor in its role cannot honestly show."""
    facts = ROLES[item.channel.role]
    if (facts.low is None and facts.high is None) or len(item) == 0:
        return []
    low = -np.inf if facts.low is None else facts.low
    high = np.inf if facts.high is None else facts.high
    bad = (item.value < low) | (item.value > high)
    found = []
    for first, last in _joined(runs(bad), item, 3600)[:_MOST]:
        part = item.value[first : last + 1]
        worst = float(part[np.argmax(np.maximum(low - part, part - high))])
        count = int(np.count_nonzero(bad[first : last + 1]))
        said = f"{count:,} values no {item.channel.role} can show, up to {worst:g}; left out"
        evidence = {"readings": float(count), "worst": worst}
        begin, end = int(item.time_s[first]), int(item.time_s[last])
        found.append(Finding("out of range", item.channel.name, begin, end, evidence, said, "set aside"))
    return found


def _joined(found: list[tuple[int, int]], item: Readings, near_s: int) -> list[tuple[int, int]]:
    out: list[tuple[int, int]] = []
    for first, last in found:
        if out and item.time_s[first] - item.time_s[out[-1][1]] <= near_s:
            out[-1] = (out[-1][0], last)
        else:
            out.append((first, last))
    return out
