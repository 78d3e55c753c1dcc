"""Readings as they may be used: raw ones, less what is set aside, with what is mended mended."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.records import Conversion, Readings

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.logs.records import Channel, Finding, Whole
    from noonwall.logs.store import Store

_MOST_SHIFT_S = 2 * 86_400


def usable(store: Store, channel: Channel, start_s: int, end_s: int) -> Readings:
    """Return a channel's readings after the verdicts on the last check's findings.

    start_s, end_s   from (included) to (not included) [s since 1970 UTC], after mending of clocks
    """
    findings = findings_on(store, channel)
    if not findings:
        return store.read(channel, start_s, end_s)
    low, high = start_s - _MOST_SHIFT_S, end_s + _MOST_SHIFT_S

    def other(name: str) -> Readings | None:
        known = [item for item in store.channels() if item.name == name]
        return store.read(known[0], low, high) if known else None

    out = judged(store.read(channel, low, high), findings, other)
    keep = (out.time_s >= start_s) & (out.time_s < end_s)
    return replace(out, time_s=out.time_s[keep], value=out.value[keep])


def findings_on(store: Store, channel: Channel) -> tuple[Finding, ...]:
    """Return the findings that bear on a channel: its own, and gaps of others whose whole time is left out."""
    return tuple(
        item
        for item in store.findings()
        if item.channel == channel.name or (item.kind == "gap" and item.set_aside)
    )


def judged(raw: Readings, findings: Sequence[Finding], other: Callable[[str], Readings | None]) -> Readings:
    """Return one channel's readings after the verdicts on its findings.

    raw        as they are in the store;  findings   of this channel
    other      gives another channel's raw readings by its name, None when there is none
    """
    mended = [finding for finding in findings if finding.verdict == "mended" and finding.mend]
    for finding in mended:
        if finding.mend and "swap" in finding.mend and (twin := other(finding.mend["swap"])) is not None:
            raw = _exchanged(raw, twin, finding)
    times, values = raw.time_s.copy(), raw.value.copy()
    keep = np.ones(len(times), bool)
    for finding in findings:
        inside = (raw.time_s >= finding.from_s) & (raw.time_s <= finding.to_s)
        mend = finding.mend or {}
        if finding.verdict == "set aside":
            keep &= ~(inside & _hours_meant(raw.time_s, finding))
        elif finding.verdict == "mended" and "shift_s" in mend:
            ends = [finding.from_s, finding.to_s]
            times[inside] += np.rint(np.interp(raw.time_s[inside], ends, mend["shift_s"])).astype(np.int64)
        elif finding.verdict == "mended" and "scale" in mend:
            values[inside] = Conversion("", mend["zero"], mend["scale"]).si(values[inside])
    stamps, first = np.unique(times[keep], return_index=True)
    return replace(raw, time_s=stamps, value=values[keep][first])


def _hours_meant(times: Whole, finding: Finding) -> np.ndarray:
    """Return which stamps lie in the hours of the day a finding is about; all when it names none."""
    if not finding.mend or "daily_utc_s" not in finding.mend:
        return np.ones(len(times), bool)
    low, high = finding.mend["daily_utc_s"]
    second = times % 86_400
    after, before = np.asarray(second >= low), np.asarray(second <= high)
    return np.asarray(after & before if low <= high else after | before)


def _exchanged(raw: Readings, twin: Readings, finding: Finding) -> Readings:
    """Return readings in which one stretch comes from the other channel."""
    before, after = raw.time_s < finding.from_s, raw.time_s > finding.to_s
    inside = (twin.time_s >= finding.from_s) & (twin.time_s <= finding.to_s)
    return replace(
        raw,
        time_s=np.concatenate([raw.time_s[before], twin.time_s[inside], raw.time_s[after]]),
        value=np.concatenate([raw.value[before], twin.value[inside], raw.value[after]]),
    )
