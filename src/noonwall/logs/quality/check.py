"""The story of a check: all channels are looked at, alone and together; nothing of them is altered.

What is mixed up is found first and looked at mended afterwards, so that one fault is told once: first what
is stuck, then sensors seen to change places, then scales, then sensors exchanged unseen, then the rest.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.logs.quality import clock, events, holes, little, places, scales, single, swaps
from noonwall.logs.quality.panel import panel_of
from noonwall.logs.usable import judged

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.logs.quality.panel import Panel
    from noonwall.logs.records import Finding, Readings
    from noonwall.logs.store import Store
    from noonwall.model.site import Site

    Progress = Callable[[float, str], None]


def check(store: Store, site: Site | None = None, progress: Progress | None = None) -> tuple[Finding, ...]:
    """Return everything doubtful about a store's readings, by date; nothing is written.

    What few days cannot tell is not looked for (`little.too_little` says so).

    site      where the shop stands: without it the sun cannot tell of clocks
    progress  called with the share done and a word
    """
    tell = progress or (lambda _share, _word: None)
    raw = {}
    channels = [item for item in store.channels() if item.measure != "text" and item.role != "other"]
    for i, channel in enumerate(channels):
        tell(0.4 * i / max(1, len(channels)), f"reading {channel.name}")
        readings = store.read(channel)
        if len(readings):
            raw[channel.name] = readings
    if not raw:
        return ()
    last = max(int(item.time_s[-1]) for item in raw.values())
    found = [*holes.gaps(raw, last), *holes.repeats(store)]
    tell(0.4, "thermometers against each other")
    panel, days = panel_of(raw, site), little.days_read(store)
    for look in (_stuck, _crossed, _scales, *([_exchanged] if days >= little.EXCHANGED else [])):
        mixed = look(panel)
        if mixed:
            found += mixed
            raw = _mended(raw, mixed)
            panel = panel_of(raw, site)
    for i, item in enumerate(raw.values()):
        tell(0.6 + 0.2 * i / len(raw), f"checking {item.channel.name}")
        leaps = single.spikes(item)
        far = [f for f in single.out_of_range(item) if not any(_within(f, leap) for leap in leaps)]
        found += [*leaps, *far]
    tell(0.8, "clocks against the sun")
    loggers = store.loggers()
    found += clock.clock_faults(panel, loggers) if days >= little.CLOCKS else []
    tell(0.9, "places of sensors")
    if days >= little.PLACES:
        found += events.late_answers(panel, loggers)
        found += [*places.sun_on_thermometer(panel), *places.wrong_places(panel)]
    tell(1.0, "done")
    return tuple(sorted(found, key=lambda item: (item.from_s, item.channel, item.kind)))


def check_and_keep(
    store: Store, site: Site | None = None, progress: Progress | None = None
) -> tuple[Finding, ...]:
    """Check, keep the findings in the store, and return them with the builder's own verdicts."""
    store.keep_findings(check(store, site, progress))
    return store.findings()


def _within(finding: Finding, other: Finding) -> bool:
    """Return whether a finding lies in another's time, an hour more on either side."""
    return other.from_s - 3600 <= finding.from_s and finding.to_s <= other.to_s + 3600


def _mended(raw: dict[str, Readings], findings: list[Finding]) -> dict[str, Readings]:
    """Return readings as they are once what was found is mended."""
    return {
        name: judged(item, [f for f in findings if f.channel == name], raw.get) for name, item in raw.items()
    }


def _stuck(panel: Panel) -> list[Finding]:
    return [finding for item in panel.raw.values() for finding in single.stuck(item, panel)]


def _crossed(panel: Panel) -> list[Finding]:
    return swaps.swapped(panel, crossing=True)


def _scales(panel: Panel) -> list[Finding]:
    return scales.mixed_scales(panel)


def _exchanged(panel: Panel) -> list[Finding]:
    """Return swaps nobody saw happen, less those of a whole record that a sensor fallen from the gap explains."""
    swapped = swaps.swapped(panel, crossing=False)
    places_wrong = places.wrong_places(panel) if swapped else []
    fallen = {f.channel for f in places_wrong if panel.channels[f.channel].role in ("gap top", "absorber")}
    whole_s = 0.95 * float(panel.time_s[-1] - panel.time_s[0])

    def explained(finding: Finding) -> bool:
        pair = {finding.channel, (finding.mend or {}).get("swap", "")}
        return finding.to_s - finding.from_s > whole_s and bool(pair & fallen)

    return [finding for finding in swapped if not explained(finding)]
