"""Readings that are not there, and readings that are there twice."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.records import Finding
from noonwall.logs.series import patience

if TYPE_CHECKING:
    from noonwall.logs.records import Readings
    from noonwall.logs.store import Store

_SHORTEST_S = 1800
_LONG_AWAY_S = 2 * 86_400
_MOST = 40  # holes told one by one, the longest


def gaps(raw: dict[str, Readings], last_s: int) -> list[Finding]:
    """Return where readings are missing; holes of several channels at once are one finding.

    raw      by channel's name;  last_s   last reading of any channel [s since 1970 UTC]
    """
    holes: dict[tuple[int, int], list[tuple[str, int, int]]] = {}
    for name, item in raw.items():
        for begin, end in _holes(item, last_s):
            key = (round(begin / 900), round(end / 900))
            holes.setdefault(key, []).append((name, begin, end))
    found = [_finding(group) for group in holes.values()]
    found.sort(key=lambda item: item.from_s - item.to_s)
    return found[:_MOST]


def _holes(item: Readings, last_s: int) -> list[tuple[int, int]]:
    times = item.time_s.astype(np.float64)
    if len(times) < 3 or item.channel.measure == "text":
        return []
    away = np.diff(times)
    switch = item.channel.kind == "state"
    typical, limit = patience(away, _LONG_AWAY_S if switch else 3 * 3600.0)
    wide = np.flatnonzero((away > limit[:-1]) & (away > _SHORTEST_S) & (away > 3.0 * typical[:-1]))
    out = [(int(times[i]), int(times[i + 1])) for i in wide]
    # a switch that reports changes only may be quiet for days; it has ended only if others went on much longer
    quiet = 7 * _LONG_AWAY_S if switch else _LONG_AWAY_S
    if last_s - times[-1] > quiet:
        out.append((int(times[-1]), last_s))
    return out


def _finding(group: list[tuple[str, int, int]]) -> Finding:
    begin, end = min(item[1] for item in group), max(item[2] for item in group)
    names = [item[0] for item in group]
    hours = (end - begin) / 3600.0
    who = ", ".join(names) if len(names) <= 3 else f"{len(names)} channels"
    length = f"{hours / 24.0:.1f} days" if hours >= 48.0 else f"{hours:.1f} h"
    said = f"no readings for {length}; sums and means of that time rest on what else was measured"
    return Finding("gap", who, begin, end, {"hours": round(hours, 2), "channels": float(len(names))}, said)


def repeats(store: Store) -> list[Finding]:
    """Return channels with stamps that come twice, in one file or in two, when the values differ."""
    found = []
    for channel in store.channels():
        conflicts = store.conflicts(channel, most=10_000)
        if conflicts:
            apart = max(abs(item.kept - item.other) for item in conflicts)
            said = (
                f"two imports hold different values for {len(conflicts):,} stamps, up to {apart:.3g} apart; "
                "the first import's are used, the other's are kept"
            )
            times = [item.time_s for item in conflicts]
            evidence = {"stamps": float(len(conflicts)), "largest_difference": round(apart, 4)}
            found.append(Finding("conflict", channel.name, min(times), max(times), evidence, said))
        count, first, last = store.repeated(channel)
        if count:
            said = f"{count:,} stamps come twice in their file; the first of each is used"
            found.append(Finding("repeat", channel.name, first, last, {"stamps": float(count)}, said))
    return found
