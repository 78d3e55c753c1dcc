"""Readings as they may be used: raw ones, less what is set aside, with what is mended mended."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.records import Conversion, Finding, Readings

if TYPE_CHECKING:
    from noonwall.logs.records import Channel
    from noonwall.logs.store import Store

_MOST_SHIFT_S = 2 * 86_400


def usable(store: Store, channel: Channel, start_s: int, end_s: int) -> Readings:
    """Return a channel's readings after the verdicts on the last check's findings.

    start_s, end_s   from (included) to (not included) [s since 1970 UTC], after mending of clocks
    """
    findings = store.findings(channel)
    if not findings:
        return store.read(channel, start_s, end_s)
    raw = store.read(channel, start_s - _MOST_SHIFT_S, end_s + _MOST_SHIFT_S)
    for finding in findings:
        if finding.verdict == "mended" and finding.mend and "swap" in finding.mend:
            raw = _swapped(store, raw, finding, finding.mend["swap"])
    times, values = raw.time_s.copy(), raw.value.copy()
    keep = np.ones(len(times), bool)
    for finding in findings:
        inside = (raw.time_s >= finding.from_s) & (raw.time_s <= finding.to_s)
        if finding.verdict == "set aside":
            keep &= ~inside
        elif finding.verdict == "mended" and finding.mend:
            if "shift_s" in finding.mend:
                ends = [finding.from_s, finding.to_s]
                shift = np.interp(raw.time_s[inside], ends, finding.mend["shift_s"])
                times[inside] += np.rint(shift).astype(np.int64)
            if "scale" in finding.mend:
                rule = Conversion("", finding.mend["zero"], finding.mend["scale"])
                values[inside] = rule.si(values[inside])
    keep &= (times >= start_s) & (times < end_s)
    stamps, first = np.unique(times[keep], return_index=True)
    return Readings(channel, stamps, values[keep][first])


def _swapped(store: Store, raw: Readings, finding: Finding, name: str) -> Readings:
    """Return readings in which one stretch comes from the other channel."""
    known = [item for item in store.channels() if item.name == name]
    if not known or len(raw) == 0:
        return raw
    low = max(finding.from_s, int(raw.time_s[0]))
    high = min(finding.to_s, int(raw.time_s[-1]))
    other = store.read(known[0], low, high + 1)
    before, after = raw.time_s < finding.from_s, raw.time_s > finding.to_s
    return replace(
        raw,
        time_s=np.concatenate([raw.time_s[before], other.time_s, raw.time_s[after]]),
        value=np.concatenate([raw.value[before], other.value, raw.value[after]]),
    )
