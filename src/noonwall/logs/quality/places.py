"""Sensors that are not where they are said to be: in the sun, in the draught, indoors, out of the air."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import STEP_S, Panel, runs
from noonwall.logs.records import Finding

if TYPE_CHECKING:
    from noonwall.logs.records import Floats

_HALF_HOUR = 1800 // STEP_S
_SUNBEAM_K = 3.0  # a thermometer in the shade does not rise by this in half an hour, again and again
_FEWEST_DAYS = 4


def sun_on_thermometer(panel: Panel) -> list[Finding]:
    """Return outdoor thermometers that leap up and down again at the same place of the sun, day after day."""
    if panel.sun_deg is None or panel.azimuth_deg is None:
        return []
    found = []
    for name in panel.of("outdoor"):
        values = panel.columns[name]
        rise = np.full(len(values), np.nan)
        rise[_HALF_HOUR:] = values[_HALF_HOUR:] - values[:-_HALF_HOUR]
        moves = np.abs(rise[np.isfinite(rise)])
        if len(moves) < 300 or panel.interval_s(name) > 1200.0:
            continue
        limit = max(_SUNBEAM_K, 6.0 * float(np.median(moves)))
        up = _leaps(panel, rise > limit)
        down = _leaps(panel, rise < -limit)
        found += _beams(panel, name, values, up, down)
    return found


def _leaps(panel: Panel, hit: np.ndarray) -> np.ndarray:
    """Return the places at which a leap begins, by day only."""
    starts = np.array([first for first, _ in runs(hit)], dtype=np.int64)
    return starts if panel.sun_deg is None or len(starts) == 0 else starts[panel.sun_deg[starts] > 1.0]


def _beams(panel: Panel, name: str, values: Floats, up: np.ndarray, down: np.ndarray) -> list[Finding]:
    """Return the finding when leaps up are followed by leaps down on enough days and at like hours."""
    pairs = []
    for start in up.tolist():
        later = down[(down > start) & (down <= start + 8 * 3600 // STEP_S)]
        if len(later) and panel.day[later[0]] == panel.day[start]:
            pairs.append((start, int(later[0])))
    if len(pairs) < _FEWEST_DAYS:
        return []
    begin_h = np.array([panel.hour[a - _HALF_HOUR] for a, _ in pairs])
    middle = float(np.median(begin_h))
    like = [pair for pair, hour in zip(pairs, begin_h, strict=True) if abs(hour - middle) < 1.25]
    days = {int(panel.day[a]) for a, _ in like}
    if len(days) < _FEWEST_DAYS or len(like) < 0.5 * len(pairs):
        return []
    excess = []
    for a, b in like:
        inside = values[a : b - _HALF_HOUR + 1]
        inside = inside[np.isfinite(inside)]
        if len(inside):
            excess.append(
                float(np.median(inside)) - 0.5 * (values[a - _HALF_HOUR] + values[min(b, len(values) - 1)])
            )
    over = float(np.nanmedian(excess)) if excess else 0.0
    if over < 2.0:
        return []
    low = float(np.quantile([panel.hour[a - _HALF_HOUR] for a, _ in like], 0.1))
    high = float(np.quantile([panel.hour[b] for _, b in like], 0.9))
    begin, end = panel.begin_of(min(days)), panel.begin_of(max(days)) + 86_400
    midnight = panel.begin_of(min(days)) % 86_400
    window = [round(midnight + 3600.0 * hour) % 86_400 for hour in (low, high)]
    said = (
        f"the sun falls on it about {low:.1f} to {high:.1f} h by the sun's clock, reading {over:.1f} K too warm on "
        f"{len(days)} days; those hours are left out"
    )
    evidence = {
        "days": float(len(days)),
        "excess_k": round(over, 2),
        "from_h": round(low, 2),
        "to_h": round(high, 2),
    }
    return [Finding("sun on sensor", name, begin, end, evidence, said, "set aside", {"daily_utc_s": window})]


def wrong_places(panel: Panel) -> list[Finding]:
    """Return sensors that do not behave as their role must."""
    return [*_indoors(panel), *_cold_gap(panel), *_in_the_draught(panel), *_out_of_the_air(panel)]


def _whole(panel: Panel, name: str) -> tuple[int, int]:
    times = panel.raw[name].time_s
    return int(times[0]), int(times[-1])


def _indoors(panel: Panel) -> list[Finding]:
    """Outdoor thermometers that follow the shop's air step by step."""
    found = []
    for outdoor in panel.of("outdoor"):
        for shop in panel.of("shop"):
            x, y = panel.columns[outdoor], panel.columns[shop]
            both = np.isfinite(x) & np.isfinite(y)
            if np.count_nonzero(both) < 1000:
                continue
            apart = float(np.median(np.abs(x[both] - y[both])))
            ratio = np.nanmedian(panel.daily_range(x)) / max(0.2, np.nanmedian(panel.daily_range(y)))
            smooth_x, smooth_y = _hourly_moves(x), _hourly_moves(y)
            known = np.isfinite(smooth_x) & np.isfinite(smooth_y)
            like = float(np.corrcoef(smooth_x[known], smooth_y[known])[0, 1]) if known.sum() > 100 else 0.0
            if apart < 3.0 and like > 0.6 and 0.5 < ratio < 1.5:
                said = f"follows {shop} within {apart:.1f} K: it hangs indoors, or in the shop's exhaust; left out"
                evidence = {"apart_k": round(apart, 2), "correlation": round(like, 3)}
                found.append(Finding("place", outdoor, *_whole(panel, outdoor), evidence, said, "set aside"))
                break
    return found


def _hourly_moves(values: Floats) -> Floats:
    hour = 3600 // STEP_S
    return values[hour:] - values[:-hour]


def _cold_gap(panel: Panel) -> list[Finding]:
    """Sensors of the gap that stay cool while others show it warm."""
    found = []
    hot_names = panel.of("gap top", "absorber", "gap bottom")
    ranges = {name: panel.daily_range(panel.columns[name]) for name in hot_names}
    for name in panel.of("gap top", "absorber"):
        others = [ranges[other] for other in hot_names if other != name]
        if not others:
            continue
        hottest = np.fmax.reduce(np.array(others))
        with np.errstate(invalid="ignore"):
            sunny = (hottest > 22.0) & np.isfinite(ranges[name])
            cool = sunny & (ranges[name] < 0.35 * hottest)
        if sunny.sum() >= 5 and cool.sum() > 0.8 * sunny.sum():
            own, other = float(np.median(ranges[name][sunny])), float(np.median(hottest[sunny]))
            said = (
                f"swings by {own:.1f} K on {int(sunny.sum())} sunny days, other sensors of the wall by {other:.1f} K: "
                "it is not where the gap is warm; left out"
            )
            evidence = {
                "days": float(sunny.sum()),
                "swing_k": round(own, 1),
                "others_swing_k": round(other, 1),
            }
            found.append(Finding("place", name, *_whole(panel, name), evidence, said, "set aside"))
    return found


def _starts(panel: Panel) -> np.ndarray:
    fans = panel.of("fan")
    if not fans:
        return np.empty(0, np.int64)
    on = panel.columns[fans[0]] > 0.5
    off = panel.columns[fans[0]] < 0.5
    quiet = np.zeros(len(on), bool)
    for k in (1, 2, 3):
        quiet[k:] |= on[:-k] if k == 1 else ~off[:-k]
    found = np.flatnonzero(on & ~np.roll(on, 1) & ~quiet)
    return found[found >= 2]


def _jumps(values: Floats, starts: np.ndarray) -> Floats:
    """Return how far values go within half an hour of each start, beyond what they did before it.

    The step before a start may hold part of it (a mean over ten minutes), so the one before that is the base.
    """
    good = starts[(starts >= 5) & (starts + 2 < len(values))]
    before, after = values[good - 2], values[good + 1]
    out = after - before - 1.5 * (before - values[good - 4])
    known: Floats = out[np.isfinite(out)]
    return known


def _in_the_draught(panel: Panel) -> list[Finding]:
    """Shop thermometers that leap when the fan starts: they hang in the stream from the vents."""
    found = []
    starts = _starts(panel)
    for name in panel.of("shop", "air in"):
        jumps = _jumps(panel.columns[name], starts)
        if len(jumps) < 5:
            continue
        middle, steady = float(np.median(jumps)), float(np.mean(jumps > 1.5))
        if middle > 3.0 and steady > 0.7:
            begin, end = _whole(panel, name)
            said = (
                f"leaps by {middle:.1f} K within half an hour of {len(jumps)} fan starts: it hangs in the stream of "
                "the vents and reads warmer than the room while the fan runs"
            )
            evidence = {"starts": float(len(jumps)), "leap_k": round(middle, 2)}
            found.append(Finding("place", name, begin, end, evidence, said))
    return found


def _out_of_the_air(panel: Panel) -> list[Finding]:
    """Sensors of the leaving air that do not answer the fan though the gap is hot."""
    found: list[Finding] = []
    starts = _starts(panel)
    tops, shops = panel.of("gap top"), panel.of("shop", "air in")
    if not tops or not shops or len(starts) == 0:
        return found
    hot = panel.columns[tops[0]][starts - 2] - panel.columns[shops[0]][starts - 2] > 12.0
    for name in panel.of("air out"):
        cool = np.abs(panel.columns[name][starts - 2] - panel.columns[shops[0]][starts - 2]) < 8.0
        jumps = _jumps(panel.columns[name], starts[hot & cool])
        if len(jumps) >= 5 and float(np.median(jumps)) < 1.0:
            said = (
                f"moves by {np.median(jumps):.1f} K at {len(jumps)} fan starts with the gap hot: it is not in the "
                "leaving air, or no air leaves; heat reckoned from it is wrong"
            )
            evidence = {"starts": float(len(jumps)), "answer_k": round(float(np.median(jumps)), 2)}
            found.append(Finding("place", name, *_whole(panel, name), evidence, said))
    return found
