"""Fahrenheit read as Celsius, or Celsius taken for Fahrenheit.

Two witnesses: a leap from one reading to the next that obeys 1.8 C + 32 to the degree, which no air does by
itself; and nights on which a thermometer stands far from all others and among them in the other scale.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.quality.panel import TEMPERATURES, Panel, bridged, runs
from noonwall.logs.records import Conversion, Finding
from noonwall.logs.series import patience

if TYPE_CHECKING:
    from noonwall.logs.records import Floats, Readings

DAY_S = 86_400

# the way back to the truth from what was stored
_AS_C = Conversion("F", 32.0, 5.0 / 9.0)  # Fahrenheit kept as if it were Celsius
_AS_F = Conversion("C", -160.0 / 9.0, 1.8)  # Celsius turned into Celsius once more, as if it were Fahrenheit
_SAID = {"F": "Fahrenheit kept as Celsius", "C": "Celsius kept as if it were Fahrenheit"}
_LEAP_K, _LAW_K = 9.0, 2.5  # smallest leap that is looked at, and how well it must obey the law
_SHORTEST_S = 12 * 3600
_FEW = 3  # so few thermometers are no company for each other: one lawful leap must do
_AROUND_DAYS = 5  # on either side of a stretch, to tell how a thermometer usually stands to the others
_CLEAR_K = 5.0  # a night this far off all others is strange
_LEAVES_K = 8.0  # by how much more than usual it must leave the channel it goes with
_TWIN_K = 2.5  # how well a mended sensor must follow another of its role
_WARM_SHOP_C = 36.0  # no shop's night is so warm
_WARM_TWIN_C = 25.0  # of two that differ by the law, one with nights above this is in Fahrenheit


def mixed_scales(panel: Panel) -> list[Finding]:
    """Return stretches in which a thermometer only makes sense in the other scale."""
    names = [n for n in panel.of(*TEMPERATURES) if panel.channels[n].measure == "temperature"]
    dark = panel.dark()
    if dark is None:
        dark = (panel.hour < 6.0) | (panel.hour > 22.0)
    nights = {name: panel.daily(panel.columns[name], dark) for name in names}
    edges = {name: _lawful_leaps(panel.raw[name]) for name in names}
    kept = {name: _less_crossed(panel, name, edges) for name in names}
    found = []
    for name in names:
        raw = panel.raw[name]
        twins = [other for other in names if panel.channels[other].role == panel.channels[name].role]
        stretches = _between(raw, kept[name]) or _by_nights(panel, name, nights, twins)
        if not stretches and len(names) <= _FEW:
            stretches = _from_one_leap(raw, kept[name])
        stretches = [one for one in stretches if not _worse_mended(panel, name, nights, *one)]
        found += [_finding(panel, name, begin, end, way) for begin, end, way in stretches]
    return found


def _worse_mended(
    panel: Panel, name: str, nights: dict[str, Floats], begin_s: int, end_s: int, way: Conversion
) -> bool:
    """Return whether the nights of a stretch follow those around it as they are, and would not when mended.

    A gap whose air turns about leaps as well, now and then by just what the law asks for.
    """
    others = [values for other, values in nights.items() if other != name]
    if not others:
        return False
    company = np.mean(others, axis=0)
    own = nights[name]
    day = np.array([panel.begin_of(i) for i in range(panel.days)])
    inside = (day + DAY_S > begin_s) & (day < end_s)
    near = (day > begin_s - _AROUND_DAYS * DAY_S) & (day < end_s + _AROUND_DAYS * DAY_S)
    known = np.isfinite(own + company)
    within, around = known & inside, known & near & ~inside
    if not within.any() or np.count_nonzero(around) < 2:
        return False
    usual = float(np.median((own - company)[around]))
    stored = abs(float(np.median((own - company)[within])) - usual)
    mended = abs(float(np.median((way.si(own) - company)[within])) - usual)
    return stored < mended


def _lawful_leaps(raw: Readings) -> list[tuple[int, bool]]:
    """Return the leaps that obey the law: place of the first reading after it, and whether it rises."""
    times, values = raw.time_s, raw.value
    if len(times) < 50:
        return []
    away = np.diff(times)
    near = away <= 6.0 * patience(away.astype(np.float64), 3600.0)[0][:-1]
    a, b = values[:-1], values[1:]
    moved = np.abs(b - a)
    leap = near & (moved > max(_LEAP_K, 2.0 * float(np.quantile(moved, 0.998))))
    up = leap & (np.abs(b - (1.8 * a + 32.0)) < _LAW_K)
    down = leap & (np.abs(b - (a - 32.0) / 1.8) < _LAW_K)
    edges = [(int(i) + 1, bool(up[i])) for i in np.flatnonzero(up | down)]
    return [edge for edge in edges if _lasts(raw, *edge)]


def _less_crossed(
    panel: Panel, name: str, edges: dict[str, list[tuple[int, bool]]]
) -> list[tuple[int, bool]]:
    """Return a channel's leaps, less those at which another leaps the other way: the two are exchanged."""
    times = panel.raw[name].time_s
    others = [
        (int(panel.raw[other].time_s[place]), rises)
        for other, leaps in edges.items()
        if other != name
        for place, rises in leaps
    ]
    return [
        (place, rises)
        for place, rises in edges[name]
        if not any(abs(int(times[place]) - moment) < 3600 and rises != way for moment, way in others)
    ]


def _between(raw: Readings, edges: list[tuple[int, bool]]) -> list[tuple[int, int, Conversion]]:
    """Return stretches between a leap and the next one back."""
    out = []
    i = 0
    while i < len(edges) - 1:
        (place, rises), (after, back) = edges[i], edges[i + 1]
        if rises != back:
            way = _AS_C if rises else _AS_F
            out.append((int(raw.time_s[place]), int(raw.time_s[after - 1]), way))
            i += 1
        i += 1
    return out


def _from_one_leap(raw: Readings, edges: list[tuple[int, bool]]) -> list[tuple[int, int, Conversion]]:
    """Return the stretch from a lone leap to the nearer end of the record: the odd part is the shorter."""
    if len(edges) != 1:
        return []
    (place, rises), times = edges[0], raw.time_s
    if times[place] - times[0] < times[-1] - times[place]:
        return [(int(times[0]), int(times[place - 1]), _AS_F if rises else _AS_C)]
    return [(int(times[place]), int(times[-1]), _AS_C if rises else _AS_F)]


def _lasts(raw: Readings, place: int, rises: bool) -> bool:
    """Return whether half a day before and half a day after a leap obey the law too; a spike's do not."""
    moment = raw.time_s[place]
    low, high = np.searchsorted(raw.time_s, (moment - _SHORTEST_S, moment + _SHORTEST_S))
    if place - low < 6 or high - place < 6:
        return False
    before, after = float(np.median(raw.value[low:place])), float(np.median(raw.value[place:high]))
    lawful = 1.8 * before + 32.0 if rises else (before - 32.0) / 1.8
    return abs(after - lawful) < abs(after - before)


def _by_nights(
    panel: Panel, name: str, nights: dict[str, Floats], twins: list[str]
) -> list[tuple[int, int, Conversion]]:
    """Return the whole record when all nights are strange, or the stretches in which it leaves its companion."""
    known = np.isfinite(nights[name])
    raw = panel.raw[name]
    for way in (_AS_C, _AS_F):
        whole = _strange(panel, name, nights, way)
        if whole.sum() > 0.8 * known.sum() and whole.sum() >= 3:
            return [(int(raw.time_s[0]), int(raw.time_s[-1]), way)]
    wrong = _leaves_companion(name, nights)
    others = [_leaves_companion(twin, nights) for twin in twins if twin != name]
    out = []
    for first, last in runs(bridged(wrong, known, 0)):
        rival = any(np.count_nonzero(other[first : last + 1]) for other in others)
        if np.count_nonzero(wrong[first : last + 1]) >= 3 and not rival:
            out.append((*_ends(panel, name, first, last), _AS_C))
    return out


def _leaves_companion(name: str, nights: dict[str, Floats]) -> np.ndarray:
    """Return the days on which a channel leaves the one it usually goes with, and would not in Fahrenheit."""
    own = nights[name]
    best, apart = None, np.inf
    for other, night in nights.items():
        both = own - night
        scatter = (
            float(np.nanmedian(np.abs(both - np.nanmedian(both)))) if np.isfinite(both).sum() > 9 else np.inf
        )
        if other != name and scatter < apart:
            best, apart = night, scatter
    if best is None or apart > 3.0:
        return np.zeros(len(own), bool)
    usual = float(np.nanmedian(own - best))
    with np.errstate(invalid="ignore"):
        strange = own - best - usual > _LEAVES_K
        return np.asarray(strange & (np.abs(_AS_C.si(own) - best - usual) < max(2.5, 2.0 * apart)))


def _strange(panel: Panel, name: str, nights: dict[str, Floats], way: Conversion) -> np.ndarray:
    """Return the days on which a reading is strange and would be right the other way, shape (days,)."""
    role, own = panel.channels[name].role, nights[name]
    mended = way.si(own)
    twins = [other for other in nights if other != name and panel.channels[other].role == role]
    with np.errstate(invalid="ignore"):
        if twins:
            apart = np.abs(np.array([nights[other] for other in twins]) - own)
            close = [_follows(panel, name, other, way) for other in twins]
            alike = np.asarray(np.all((apart > 10.0) & np.array(close), axis=0))
            if way is _AS_C:
                return np.asarray(alike & (own > _WARM_TWIN_C))
            cool = np.all(np.array([nights[other] for other in twins]) < _WARM_TWIN_C, axis=0)
            return np.asarray(alike & cool)
        if role == "shop":
            plausible = (own > _WARM_SHOP_C) & (mended < 30.0)
            return plausible if way is _AS_C else np.zeros(len(own), bool)
        others = np.array([night for other, night in nights.items() if other != name])
        if len(others) == 0:
            return np.zeros(len(own), bool)
        low, high = np.fmin.reduce(others), np.fmax.reduce(others)
        if way is _AS_C:
            return np.asarray((own > high + _CLEAR_K) & (mended > low - _CLEAR_K) & (mended < high + 3.0))
        outdoor_known = any(panel.channels[other].role == "outdoor" for other in nights if other != name)
        below = (own < low - _CLEAR_K) & (mended > low - 3.0) & (mended < high + 3.0)
        return below if role != "outdoor" and outdoor_known else np.zeros(len(own), bool)


def _follows(panel: Panel, name: str, other: str, way: Conversion) -> np.ndarray:
    """Return the days on which a sensor, mended, follows another of its role, shape (days,)."""
    apart = np.abs(way.si(panel.columns[name]) - panel.columns[other])
    with np.errstate(invalid="ignore"):
        return np.asarray(panel.daily(apart, np.ones(len(apart), bool), 36) < _TWIN_K)


def _ends(panel: Panel, name: str, first: int, last: int) -> tuple[int, int]:
    """Return first and last stamp of a stretch of days, moved to the leaps at its ends."""
    raw = panel.raw[name]
    begin, end = int(raw.time_s[0]), int(raw.time_s[-1])
    if first > 0 and (leap := _best_leap(raw, panel.begin_of(first), rises=True)) is not None:
        begin = int(raw.time_s[leap])
    if last < panel.days - 1 and (leap := _best_leap(raw, panel.begin_of(last + 1), rises=False)) is not None:
        end = int(raw.time_s[leap - 1])
    return begin, end


def _best_leap(raw: Readings, moment_s: int, *, rises: bool) -> int | None:
    """Return the place after the leap near a moment that obeys the law best; None when too little is there."""
    low, high = np.searchsorted(raw.time_s, (moment_s - 100_000, moment_s + 100_000))
    if high - low < 3:
        return None
    before, after = raw.value[low : high - 1], raw.value[low + 1 : high]
    lawful = 1.8 * before + 32.0 if rises else (before - 32.0) / 1.8
    # how much better the law explains the next reading than staying the same does
    gain = np.abs(after - before) - 2.0 * np.abs(after - lawful)
    return int(low + 1 + np.argmax(gain))


def _finding(panel: Panel, name: str, begin: int, end: int, way: Conversion) -> Finding:
    raw = panel.raw[name]
    part = raw.value[(raw.time_s >= begin) & (raw.time_s <= end)]
    middle = float(np.median(part))
    mended = float(way.si(np.array([middle]))[0])
    said = f"{_SAID[way.unit]}: its median of {middle:.1f} C is {mended:.1f} C in the other scale; used turned back"
    evidence = {
        "days": round((end - begin) / 86_400.0, 1),
        "median_as_stored_c": round(middle, 2),
        "median_mended_c": round(mended, 2),
    }
    mend = {"zero": way.zero, "scale": way.scale}
    return Finding("scale", name, begin, end, evidence, said, "mended", mend)
