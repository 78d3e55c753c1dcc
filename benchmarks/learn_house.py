"""A measured house: the engine's taught shop beside a plain two-node model, both on hours that did not teach either.

Run it as ``python benchmarks/learn_house.py``. Readings, description and baseline: tests/logs/house.py. Every third
day judges, in three turns, for each of the two files; then both models foretell the later file as taught by the
earlier one alone. How vague the engine's beliefs are is chosen inside the days that teach.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

from logs import house


def line(what: str, held: house.Held) -> str:
    """Return one comparison as a line."""
    models = (held.engine, held.nodes)
    told = "   ".join(
        f"{error.rmse_k:5.2f} K  {100.0 * error.cv_rmse:5.2f} %  {100.0 * error.nmbe:+5.2f} %"
        for error in models
    )
    return f"{what:32s} {held.hours:4d}  {held.vaguer:3.0f}   {told}"


def main() -> None:
    houses = [house.read(file) for file in house.FILES]
    print(f"{'':32s} hours vaguer   engine: RMSE, CV(RMSE), NMBE     two nodes: RMSE, CV(RMSE), NMBE")
    began = time.perf_counter()
    for file, one in zip(house.FILES, houses, strict=True):
        for turn in range(3):
            print(line(f"{file[:-4]}, third {turn + 1}", house.compared(one, turn)), flush=True)
    print(line("2023 as taught by 2019", house.foretold(*houses)))
    print(f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
