"""Faults put into invented readings on purpose, and the table of what the checks make of them.

Run as ``python tests/logs/faults.py [first seed, seeds]`` (with tests on the path) to print the table. The
checks were tuned on seeds 0 to 9; the table in the documents is of seeds 100 to 119, not looked at before.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from logs.invented import ELEVATION_M, LATITUDE_DEG, LONGITUDE_DEG, NAMES, ROLES, Log, invent
from noonwall.logs.quality.check import check
from noonwall.logs.records import Channel, Conversion, Finding
from noonwall.logs.store import Store
from noonwall.model.site import Site

if TYPE_CHECKING:
    from collections.abc import Callable

SITE = Site(latitude_deg=LATITUDE_DEG, longitude_deg=LONGITUDE_DEG, elevation_m=ELEVATION_M)
DAY_S = 86_400


@dataclass(frozen=True)
class Fault:
    """One fault: what it is called by the checks, on which channels, from when to when."""

    kind: str
    channels: tuple[str, ...]
    from_s: int
    to_s: int


def nothing(_log: Log, _random: np.random.Generator) -> list[Fault]:
    return []


def _stretch(log: Log, random: np.random.Generator, low: float, high: float) -> tuple[slice, int, int]:
    days = (log.time_s[-1] - log.time_s[0]) / DAY_S
    length = random.uniform(low, high)
    rows = log.rows(random.uniform(5.0, days - length - 5.0), length)
    return rows, int(log.time_s[rows.start]), int(log.time_s[rows.stop - 1])


def hole(log: Log, random: np.random.Generator) -> list[Fault]:
    rows, begin, end = _stretch(log, random, 0.3, 3.0)
    name = str(random.choice(["outdoor", "shop low", "gap top"]))
    log.columns[name][rows] = np.nan
    return [Fault("gap", (name,), begin, end)]


def frozen(log: Log, random: np.random.Generator) -> list[Fault]:
    rows, begin, end = _stretch(log, random, 1.0, 4.0)
    name = str(random.choice(["outdoor", "shop low", "gap top", "air out", "humidity"]))
    log.columns[name][rows] = log.columns[name][rows.start]
    return [Fault("stuck", (name,), begin, end)]


def leaping(log: Log, random: np.random.Generator) -> list[Fault]:
    name = str(random.choice(["outdoor", "shop low", "air in"]))
    out = []
    for place in random.integers(500, len(log.time_s) - 500, 5):
        log.columns[name][place] += float(random.choice([-1, 1])) * random.uniform(9.0, 40.0)
        moment = int(log.time_s[place])
        out.append(Fault("spike", (name,), moment, moment))
    return out


def fahrenheit(log: Log, random: np.random.Generator) -> list[Fault]:
    rows, begin, end = _stretch(log, random, 4.0, 15.0)
    name = str(random.choice(["outdoor", "shop low", "gap top", "gap bottom", "air out"]))
    log.columns[name][rows] = np.round(log.columns[name][rows] * 1.8 + 32.0, 1)
    return [Fault("scale", (name,), begin, end)]


def exchanged(log: Log, random: np.random.Generator) -> list[Fault]:
    rows, begin, end = _stretch(log, random, 6.0, 20.0)
    pairs = [
        ("gap bottom", "gap top"),
        ("outdoor", "shop low"),
        ("air in", "air out"),
        ("outdoor", "gap top"),
    ]
    a, b = pairs[int(random.integers(len(pairs)))]
    x = log.columns[a][rows].copy()
    log.columns[a][rows] = log.columns[b][rows]
    log.columns[b][rows] = x
    return [Fault("swap", (a, b), begin, end)]


def exchanged_all_along(log: Log, random: np.random.Generator) -> list[Fault]:
    pairs = [("gap bottom", "gap top"), ("outdoor", "shop low"), ("air in", "air out")]
    a, b = pairs[int(random.integers(len(pairs)))]
    log.columns[a], log.columns[b] = log.columns[b], log.columns[a]
    return [Fault("swap", (a, b), int(log.time_s[0]), int(log.time_s[-1]))]


def hour_off(log: Log, random: np.random.Generator) -> list[Fault]:
    rows, begin, _ = _stretch(log, random, 10.0, 11.0)
    shift = int(random.choice([-7200, -3600, -1800, 1800, 3600]))
    log.time_s = log.time_s.copy()
    log.time_s[rows.start :] += shift
    keep = np.concatenate([[True], log.time_s[1:] > np.maximum.accumulate(log.time_s)[:-1]])
    log.columns = {name: values[keep] for name, values in log.columns.items()}
    log.time_s = log.time_s[keep]
    return [Fault("clock", ("sun", "outdoor", "gap top"), begin + shift, int(log.time_s[-1]))]


def hour_off_without_sun_sensor(log: Log, random: np.random.Generator) -> list[Fault]:
    del log.columns["sun"]
    rows, begin, _ = _stretch(log, random, 20.0, 21.0)
    log.time_s = log.time_s.copy()
    log.time_s[rows.start :] += 7200
    return [Fault("clock", ("outdoor", "gap top"), begin, int(log.time_s[-1]))]


def drifting(log: Log, random: np.random.Generator) -> list[Fault]:
    rate = float(random.choice([-1.0, 1.0])) * random.uniform(20.0, 45.0)
    minutes = rate * (log.time_s - log.time_s[0]) / (30 * DAY_S)
    log.time_s = log.time_s + np.rint(minutes * 60.0).astype(np.int64)
    return [Fault("clock drift", ("sun", "outdoor"), int(log.time_s[0]), int(log.time_s[-1]))]


def sunlit(log: Log, random: np.random.Generator) -> list[Fault]:
    local = (log.time_s - 7 * 3600) % DAY_S / 3600.0
    begin_h = random.uniform(8.5, 13.0)
    inside = (local > begin_h) & (local < begin_h + random.uniform(1.0, 2.5))
    light = np.clip(log.columns["sun"] - 250.0, 0.0, None) / 450.0
    log.columns["outdoor"] = np.round(log.columns["outdoor"] + random.uniform(7.0, 14.0) * light * inside, 1)
    return [Fault("sun on sensor", ("outdoor",), int(log.time_s[0]), int(log.time_s[-1]))]


def indoors(log: Log, random: np.random.Generator) -> list[Fault]:
    log.columns["outdoor"] = np.round(
        log.columns["shop low"] - 1.0 + random.normal(0.0, 0.1, len(log.time_s)), 1
    )
    return [Fault("place", ("outdoor",), int(log.time_s[0]), int(log.time_s[-1]))]


def in_the_stream(log: Log, random: np.random.Generator) -> list[Fault]:
    part = random.uniform(0.2, 0.5)
    fan = log.columns["fan"] > 0.5
    mixed = log.columns["shop high"] + part * (log.columns["air out"] - log.columns["shop high"])
    log.columns["shop high"] = np.round(np.where(fan, mixed, log.columns["shop high"]), 1)
    return [Fault("place", ("shop high",), int(log.time_s[0]), int(log.time_s[-1]))]


def fallen_down(log: Log, random: np.random.Generator) -> list[Fault]:
    shop = log.columns["shop low"]
    log.columns["gap top"] = np.round(
        shop + 0.1 * (log.columns["gap top"] - shop) + random.normal(0, 0.1, len(shop)), 1
    )
    return [Fault("place", ("gap top",), int(log.time_s[0]), int(log.time_s[-1]))]


FAULTS: dict[str, Callable[[Log, np.random.Generator], list[Fault]]] = {
    "no fault": nothing,
    "gap": hole,
    "stuck": frozen,
    "spikes": leaping,
    "Fahrenheit for Celsius": fahrenheit,
    "sensors exchanged for a while": exchanged,
    "sensors exchanged all along": exchanged_all_along,
    "clock leaps": hour_off,
    "clock leaps, no sun sensor": hour_off_without_sun_sensor,
    "clock drifts": drifting,
    "sun on the thermometer": sunlit,
    "outdoor sensor indoors": indoors,
    "shop sensor in the stream": in_the_stream,
    "gap sensor fallen down": fallen_down,
}


def stored(log: Log, folder: Path) -> Store:
    """Return a store that holds a log."""
    store = Store(folder / "readings.db")
    with store.importing("invented", "invented", {}, 0) as intake:
        for name in NAMES:
            if name not in log.columns:
                continue
            role = ROLES.get(name, name)
            measure = {"fan": "state", "sun": "irradiance", "humidity": "share"}.get(name, "temperature")
            channel = Channel(name, role, measure, "state" if name == "fan" else "point")  # type: ignore[arg-type]
            number = intake.channel(channel, name, Conversion(""))
            full = np.isfinite(log.columns[name])
            intake.add(number, log.time_s[full], log.columns[name][full])
    return store


@dataclass
class Outcome:
    """What the checks made of one log: faults found, faults missed, findings of nothing."""

    hits: int = 0
    misses: list[Fault] | None = None
    false: list[Finding] | None = None


def judge(faults: list[Fault], found: tuple[Finding, ...]) -> Outcome:
    """Return the account of one log; a hit is of the kind, on a channel, over half the time meant."""
    out = Outcome(misses=[], false=[])
    for fault in faults:
        hit = any(
            f.kind == fault.kind and f.channel in fault.channels and overlap(f, fault) > 0.5 for f in found
        )
        out.hits += hit
        if not hit:
            out.misses.append(fault)  # type: ignore[union-attr]
    for finding in found:
        mine = any(
            finding.kind == fault.kind
            and (finding.channel in fault.channels or fault.kind.startswith("clock"))
            and overlap(finding, fault) > 0.0
            for fault in faults
        )
        # the hole a leaping clock leaves is there
        echo = finding.kind in ("gap", "repeat") and any(fault.kind == "clock" for fault in faults)
        if not mine and not echo:
            out.false.append(finding)  # type: ignore[union-attr]
    return out


def overlap(finding: Finding, fault: Fault) -> float:
    """Return which share of all time either names both name."""
    both = min(finding.to_s, fault.to_s) - max(finding.from_s, fault.from_s)
    either = max(finding.to_s, fault.to_s) - min(finding.from_s, fault.from_s)
    return 1.0 if either == 0 else max(0.0, both / either)


def run(name: str, seed: int, days: int = 60) -> Outcome:
    """Return what becomes of one seeded fault."""
    log = invent(seed, days)
    faults = FAULTS[name](log, np.random.default_rng(seed + 1000))
    with tempfile.TemporaryDirectory() as folder, stored(log, Path(folder)) as store:
        return judge(faults, check(store, SITE))


def main(first: int, seeds: int) -> None:
    """Print the table of hits and false alarms."""
    tell = sys.stdout.write
    tell(f"{'fault':<30} {'logs':>5} {'seeded':>7} {'found':>6} {'false alarms':>13}\n")
    for name in FAULTS:
        outcomes = {seed: run(name, seed) for seed in range(first, first + seeds)}
        hits = sum(outcome.hits for outcome in outcomes.values())
        misses = [
            f"seed {seed}: {m.kind} {m.channels}" for seed, o in outcomes.items() for m in o.misses or []
        ]
        false = Counter(f"{f.kind} {f.channel}" for o in outcomes.values() for f in o.false or [])
        total = hits + len(misses)
        tell(f"{name:<30} {seeds:>5} {total:>7} {hits:>6} {sum(false.values()):>13}  {dict(false) or ''}\n")
        tell("".join(f"   missed {miss}\n" for miss in misses))


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(*(numbers or [100, 20]))
