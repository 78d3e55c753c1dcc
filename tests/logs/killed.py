"""Starts importers and kills them at random moments; run by a test in a process of its own, for it forks.

Prints one JSON object: how many were killed half way, how many had done, what was wrong with the store after.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import sys
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from logs.stores import everything
from noonwall.logs import intake
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from noonwall.logs.guess import Guess


def write(path: Path, first_day: int) -> None:
    """Write a week of made-up readings."""
    rows = [
        f"2025-01-{first_day + i // 1440:02d} {i // 60 % 24:02d}:{i % 60:02d},{i % 97 / 10},{i % 89 / 7:.2f}"
        for i in range(7 * 1440)
    ]
    path.write_text("Time (UTC),Outdoor (C),Shop (C)\n" + "\n".join(rows) + "\n")


def start(folder: Path, guess: Guess) -> int:
    """Start an importer in a process of its own and return its number."""
    child = os.fork()
    if child == 0:
        try:
            with Store(folder) as store:
                import_file(store, guess, now_s=0)
        finally:
            os._exit(0)
    return child


def main(folder: Path, rounds: int) -> None:
    """Kill ``rounds`` importers before they are done and look at the store each time."""
    intake.HOLD = 2000  # so that it writes all along
    random.seed(11)
    before_file, file = folder / "before.csv", folder / "file.csv"
    write(before_file, 1)
    write(file, 5)  # three days of it are known already
    with Store(folder) as store:
        import_file(store, guess_file(before_file), now_s=0)
    guess = guess_file(file)
    path = folder / "readings.db"
    before = everything(path)
    begin = time.perf_counter()
    os.waitpid(start(folder, guess), 0)
    whole_s = time.perf_counter() - begin
    after = everything(path)
    with Store(folder) as store:
        store.undo(2)
    found = {"killed": 0, "done": 0, "wrong": []}
    assert everything(path) == before
    for turn in range(3 * rounds):
        if found["killed"] == rounds:
            break
        child = start(folder, guess)
        time.sleep(random.uniform(0.0, 1.05 * whole_s))
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        found["killed"] += os.WIFSIGNALED(status)
        with closing(sqlite3.connect(path)) as link:
            if link.execute("PRAGMA integrity_check").fetchone()[0] != "ok":
                found["wrong"].append(f"{turn}: not whole")
        now = everything(path)
        if now != before:
            found["done"] += 1
            if same_but_numbers(now) != same_but_numbers(after):
                found["wrong"].append(f"{turn}: half an import")
            with Store(folder) as store:
                store.undo(store.imports()[-1].id)
                if everything(path) != before:
                    found["wrong"].append(f"{turn}: undo left something")
    json.dump(found, sys.stdout)


def same_but_numbers(found: dict[str, list[tuple[object, ...]]]) -> tuple[list[object], ...]:
    """Return what a store holds, less the numbers imports are given."""
    return (
        sorted((row[2], row[5]) for row in found["import"]),
        found["channel"],
        sorted((row[0], row[1], row[3], row[5:]) for row in found["part"]),
        sorted(row[1:] for row in found["piece"]),
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
