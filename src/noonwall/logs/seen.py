"""What was seen of wall and shop over a period, laid on the engine's own steps."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import DAY_S, STEP_S
from noonwall.logs.series import step_means, stretches
from noonwall.logs.usable import usable

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.logs.period import Period
    from noonwall.logs.records import Channel, Floats, Readings
    from noonwall.logs.store import Store

LEAST_SHARE = 0.3  # of a step that must have been measured
MARGIN_S = 6 * DAY_S
FAN_RUNS_SHARE = 0.2  # of the fans' highest power above which they run
J_PER_KWH = 3.6e6
ONE_AT_A_TIME = ("shop", "outdoor", "gap bottom", "gap top", "air in", "air out")
_COVER_ON = re.compile(r"\bcover\b.*\b(on|hung|up|hang|closed)\b|\b(hung|put)\b.*\bcover\b", re.I)
_COVER_OFF = re.compile(r"\bcover\b.*\b(off|down|removed|taken|open)\b|\b(took|taken)\b.*\bcover\b", re.I)
_AT_INLET = re.compile(r"\b(inlet|intake|return|bottom|low(er)?|in)\b", re.I)
_AT_OUTLET = re.compile(r"\b(outlet|discharge|supply|top|upper|out)\b", re.I)


@dataclass(frozen=True)
class Seen:
    """Means over equal steps of a period, shape (n,), NaN where nothing was measured; None: no such channel.

    ``heater_kwh`` is heat or electricity of the backup in the step; ``cover`` is 1 while it hung.
    """

    shop_c: Floats | None
    outdoor_c: Floats | None
    gap_bottom_c: Floats | None
    gap_top_c: Floats | None
    air_in_c: Floats | None
    air_out_c: Floats | None
    fan_share: Floats | None
    flow_m3_s: Floats | None
    heater_kwh: Floats | None
    cover: Floats | None
    fan_from: str  # where the fan's state comes from, for a reader
    cover_from: str
    flow_at: str = ""  # where the flow is measured, "inlet" or "outlet"; empty: not told
    notes: tuple[str, ...] = ()

    @property
    def outlet_c(self) -> Floats | None:
        """Air that leaves the wall: its own thermometer, else the one at the gap's top."""
        return self.air_out_c if self.air_out_c is not None else self.gap_top_c

    @property
    def inlet_c(self) -> Floats | None:
        """Air that enters the wall: its own thermometer, else the shop's."""
        return self.air_in_c if self.air_in_c is not None else self.shop_c


def seen(
    store: Store, period: Period, heater_w: float | None, *, raw: bool = False, step_s: int = STEP_S
) -> Seen:
    """Return what was seen over a period.

    heater_w  power of the backup heater, to turn its running time into heat; None: unknown
    raw       take the readings as they came, nothing set aside and nothing mended
    step_s    a divisor of the day [s]
    """

    def of(role: str) -> Floats | None:
        return _mean(store, store.channels(role), period, step_s, raw=raw)

    fan, fan_from = _fan(of)
    cover, cover_from = of("cover"), "the cover's channel"
    if cover is None:
        cover, cover_from = _cover_by_remarks(store, period, step_s), "remarks by hand"
    return Seen(
        shop_c=of("shop"),
        outdoor_c=of("outdoor"),
        gap_bottom_c=of("gap bottom"),
        gap_top_c=of("gap top"),
        air_in_c=of("air in"),
        air_out_c=of("air out"),
        fan_share=fan,
        flow_m3_s=of("flow"),
        heater_kwh=_heater(of, heater_w, step_s),
        cover=cover,
        fan_from=fan_from,
        cover_from=cover_from if cover is not None else "",
        flow_at=_flow_at(store.channels("flow")),
        notes=tuple(
            note for role in ONE_AT_A_TIME if role != "outdoor" and (note := chosen_words(store, role))
        ),
    )


def longest_first(store: Store, channels: tuple[Channel, ...]) -> list[Channel]:
    """Return channels by the time over which they were read, the longest first."""

    def lived(item: Channel) -> int:
        span = store.span(item)
        return 0 if span is None else span[0] - span[1]

    return sorted(channels, key=lived)


def chosen_words(store: Store, role: str) -> str:
    """Return which of several channels of a role stands; empty when there is one at most."""
    names = [item.name for item in longest_first(store, store.channels(role))]
    if len(names) < 2:
        return ""
    return f"{role}: of {', '.join(names)} the first that has readings in an hour is used, never their mean"


def _flow_at(channels: tuple[Channel, ...]) -> str:
    """Return where the flow is measured, by the channel's place or name; empty when nothing tells."""
    words = " ".join(f"{item.place or ''} {item.name}" for item in channels)
    if _AT_INLET.search(words):
        return "inlet"
    return "outlet" if _AT_OUTLET.search(words) else ""


def _mean(
    store: Store, channels: tuple[Channel, ...], period: Period, step_s: int, *, raw: bool
) -> Floats | None:
    """Return the mean of some channels (of amounts and counters: the total) step by step.

    Thermometers of one role are not mixed: in each step the longest-lived one that has readings there stands.
    """
    if not channels:
        return None
    alone = channels[0].role in ONE_AT_A_TIME
    steps = period.days * DAY_S // step_s
    total, weight = np.zeros(steps), np.zeros(steps)
    for item in longest_first(store, channels) if alone else channels:
        begin, end, value = stretches(_read(store, item, period, raw=raw))
        counted = item.kind in ("amount", "counter")
        mean, share = step_means(begin, end, value, period.start_s, step_s, steps, total=counted)
        good = (share >= LEAST_SHARE) & ~(alone & (weight > 0.0))
        total += np.where(good, mean, 0.0)
        weight += good
    if not weight.any():
        return None
    return np.asarray(np.where(weight > 0.0, total / np.maximum(weight, 1.0), np.nan))


def _read(store: Store, item: Channel, period: Period, *, raw: bool) -> Readings:
    low, high = period.start_s - MARGIN_S, period.end_s + MARGIN_S
    return store.read(item, low, high) if raw else usable(store, item, low, high)


def _fan(of: Callable[[str], Floats | None]) -> tuple[Floats | None, str]:
    """Return the share of each step in which the fans ran, and what tells it."""
    state = of("fan")
    if state is not None:
        return np.clip(state, 0.0, 1.0), "the fans' state"
    power = of("fan power")
    if power is None:
        return None, ""
    full = float(np.nanpercentile(power, 99.9)) if np.isfinite(power).any() else 0.0
    if full <= 0.5:
        return np.where(np.isfinite(power), 0.0, np.nan), "the fans' power"
    return np.clip(np.where(power < 0.05 * full, 0.0, power / full), 0.0, 1.0), "the fans' power"


def _heater(of: Callable[[str], Floats | None], heater_w: float | None, step_s: int) -> Floats | None:
    """Return the backup's energy in each step [kWh]."""
    energy = of("backup energy")
    if energy is not None:
        return energy
    power = of("backup power")
    if power is not None:
        return power * step_s / J_PER_KWH
    if heater_w is None:
        return None
    running = of("backup run time")
    if running is not None:
        return running * heater_w / J_PER_KWH
    state = of("backup")
    return None if state is None else state * heater_w * step_s / J_PER_KWH


def _cover_by_remarks(store: Store, period: Period, step_s: int) -> Floats | None:
    """Return 1 from a remark that the cover was hung until one that it came off; None without such remarks."""
    changes: list[tuple[int, float]] = []
    for remark in store.remarks():
        if _COVER_OFF.search(remark.text):
            changes.append((remark.time_s, 0.0))
        elif _COVER_ON.search(remark.text):
            changes.append((remark.time_s, 1.0))
    if not changes:
        return None
    moments = period.start_s + step_s * np.arange(period.days * DAY_S // step_s)
    out = np.full(len(moments), 1.0 - changes[0][1])
    for time_s, hung in sorted(changes):
        out[moments >= time_s] = hung
    return out
