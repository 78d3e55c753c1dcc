"""``./scripts/bench``: print every ratio with what was wanted; leave with 1 when one is missed."""

from __future__ import annotations

import sys
import time
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING

import benchmarks

if TYPE_CHECKING:
    from benchmarks.ratio import Ratio

FIRST = ("year", "stepper", "start", "memory")


def parts() -> list[str]:
    """Return the benchmarks' names: the calculation first, then whatever else stands in the folder."""
    there = [module.name for module in iter_modules(benchmarks.__path__)]
    return [name for name in FIRST if name in there] + [name for name in there if name not in FIRST]


def main() -> int:
    wanted = sys.argv[1:]
    began = time.perf_counter()
    missed = 0
    print(f"{'what':<56}{'ours':>12}{'peer':>12}{'ratio':>9}   wanted")
    for name in parts():
        if name in {"__main__", "ratio"} or (wanted and name not in wanted):
            continue
        measure = getattr(import_module(f"benchmarks.{name}"), "ratios", None)
        ratios: list[Ratio] = measure() if measure else []
        for ratio in ratios:
            print(ratio.line(), flush=True)
            missed += not ratio.met
    print(f"in {time.perf_counter() - began:.0f} s; {missed or 'none'} missed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
