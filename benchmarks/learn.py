"""Does learning find the truth? Invented truths with noise, drift, gaps and faults; see tests/logs/truths.py.

Run it as ``python benchmarks/learn.py [cases] [first seed]``. Each case draws every parameter from what is believed
beforehand, lives a year with it, reads loggers every ten minutes and learns. Counted: how often a 90 %
interval holds the truth, how far the next year's delivered heat is off, how long a year takes.

Seeds 1 to 10 were looked at while the method was made, so they are no check of it. ``30 101``, run once with what
they had led to: 255 of 270 intervals hold the truth, next year's heat within 5 % in 29 of 30 (root mean square 1.5 %,
worst 5.2 %; as assumed 11 of 30, 10 %, 22 %), 24 s of processor time a year (longest 43 s), 63 s by the clock
(longest 231 s) on two busy cores. Using slopes again within half a spread halves the runs; on seeds 1 and 2 no value
moved by more than 0.006 of its logarithm, a thirtieth of its spread.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

from logs.truths import FIRS, Truth, heat_kwh, truth
from noonwall.climate.monthly import year_from_figures
from noonwall.logs.learn.story import Learned, learn


def one(seed: int) -> tuple[Truth, Learned, float]:
    """Return a truth, what was learned of it, and the seconds that took."""
    case = truth(seed, FIRS)
    base = year_from_figures(case.project.site, 1)
    began = time.perf_counter()
    learned = learn(case.project, base, case.measured, case.outside)
    return case, learned, time.perf_counter() - began


def held(case: Truth, learned: Learned) -> dict[str, tuple[bool, bool, float]]:
    """Return for each parameter whether it was told, whether its interval holds the truth, and how far off it is."""
    out = {}
    for value in learned.values:
        x = case.x[value.key]
        place = value.factor if value.plus else np.log(value.factor)
        off = (place - x) / value.spread
        out[value.key] = (value.told, abs(off) <= 1.6449, float(off))
    return out


def main() -> None:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    every: list[dict[str, tuple[bool, bool, float]]] = []
    heat, plain, seconds = [], [], []
    for seed in range(first, first + cases):
        case, learned, took = one(seed)
        found = held(case, learned)
        x = {v.key: float(v.factor if v.plus else np.log(v.factor)) for v in learned.values}
        heat.append(heat_kwh(case.project, case.next_weather, x) / case.next_heat_kwh - 1.0)
        plain.append(case.assumed_next_kwh / case.next_heat_kwh - 1.0)
        every.append(found)
        seconds.append(took)
        misses = ", ".join(f"{key} {off:+.1f}" for key, (_, inside, off) in found.items() if not inside)
        print(
            f"{seed:4d}  {took:5.0f} s  heat {heat[-1]:+.1%} (assumed {plain[-1]:+.1%})  missed: {misses}",
            flush=True,
        )
    print(
        "\nparameter            told   interval holds the truth   mean off, root mean square off (in spreads)"
    )
    for key in every[0]:
        rows = [found[key] for found in every if key in found]
        told, inside = sum(r[0] for r in rows), sum(r[1] for r in rows)
        off = np.array([r[2] for r in rows])
        print(
            f"{key:20s} {told:3d}/{len(rows)}   {inside:3d}/{len(rows)}   {off.mean():+.2f}  "
            f"{np.sqrt((off**2).mean()):.2f}"
        )
    total = [r for found in every for r in found.values()]
    print(f"all: {sum(r[1] for r in total) / len(total):.1%} of {len(total)} intervals hold the truth")
    told = [r for r in total if r[0]]
    print(f"told ones alone: {sum(r[1] for r in told) / max(len(told), 1):.1%} of {len(told)}")
    size = np.abs(heat)
    print(
        f"next year's heat within 5 %: {(size <= 0.05).sum()} of {cases}; "
        f"root mean square {np.sqrt((size**2).mean()):.1%}, worst {size.max():.1%}"
    )
    print(f"with assumed values: {(np.abs(plain) <= 0.05).sum()} of {cases}; worst {np.abs(plain).max():.1%}")
    print(f"seconds a year: median {np.median(seconds):.0f}, longest {max(seconds):.0f}")


if __name__ == "__main__":
    main()
