"""Which store for readings: SQLite rows, SQLite pieces (what noonwall does), DuckDB rows, on the same work.

Run it as ``python benchmarks/readings.py [days] [--import]``; 1095 days of ten channels at one minute are the
15 million values of three years. DuckDB takes part when it is installed (``pip install duckdb``). With
``--import`` a CSV of that size is written and read through the importer too.
"""

from __future__ import annotations

import contextlib
import sqlite3
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.records import Channel, Conversion
from noonwall.logs.series import series, thin
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

with contextlib.suppress(ImportError):
    import duckdb

CHANNELS = 10
START_S = 1_640_995_200  # 2022-01-01 UTC
YEAR_S = 365 * 86_400
SINGLES = 500


def made_up(days: int) -> tuple[np.ndarray, list[np.ndarray]]:
    """Return times and ten channels of two-decimal readings that move like temperatures."""
    random = np.random.default_rng(5)
    times = START_S + 60 * np.arange(days * 1440, dtype=np.int64)
    day = np.sin(2.0 * np.pi * times / 86_400.0)
    channels = [
        np.round(15.0 + (3.0 + i) * day + np.cumsum(random.normal(0.0, 0.02, len(times))) % 9.0
                 + random.normal(0.0, 0.05, len(times)), 2)
        for i in range(CHANNELS)
    ]  # fmt: skip
    return times, channels


def seconds(work: Callable[[], object]) -> float:
    """Return how long a piece of work takes [s]."""
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def size_mb(folder: Path, name: str) -> float:
    """Return what a store takes on disk [MB]."""
    return sum(file.stat().st_size for file in folder.glob(f"{name}*")) / 1e6


def sqlite_rows(folder: Path, times: np.ndarray, channels: list[np.ndarray]) -> Iterator[tuple[str, float]]:
    """Measure SQLite with one row a reading, clustered by channel and time."""
    link = sqlite3.connect(folder / "rows.db", isolation_level=None)
    link.execute("PRAGMA journal_mode = WAL")
    link.execute("PRAGMA synchronous = FULL")
    link.execute(
        "CREATE TABLE reading (channel INTEGER, t INTEGER, v REAL, import_id INTEGER, "
        "PRIMARY KEY (channel, t)) WITHOUT ROWID"
    )

    def fill() -> None:
        link.execute("BEGIN")
        for i, values in enumerate(channels):
            rows = zip([i] * len(times), times.tolist(), values.tolist(), [1] * len(times), strict=True)
            link.executemany("INSERT INTO reading VALUES (?, ?, ?, ?)", rows)
        link.execute("COMMIT")

    def hourly() -> None:
        link.execute(
            "SELECT t / 3600, avg(v) FROM reading WHERE channel = 3 AND t >= ? AND t < ? GROUP BY 1",
            (START_S, START_S + YEAR_S),
        ).fetchall()

    def everything() -> None:
        for i in range(CHANNELS):
            link.execute(
                "SELECT t / 86400, min(v), max(v) FROM reading WHERE channel = ? GROUP BY 1", (i,)
            ).fetchall()

    def singles() -> None:
        for i in range(SINGLES):
            link.execute("INSERT INTO reading VALUES (0, ?, 20.0, 2)", (int(times[-1]) + 60 * (i + 1),))

    yield from measured(fill, hourly, everything, singles)
    link.close()
    yield "size MB", size_mb(folder, "rows.db")


def duckdb_rows(folder: Path, times: np.ndarray, channels: list[np.ndarray]) -> Iterator[tuple[str, float]]:
    """Measure DuckDB with one row a reading, filled from arrays (its fastest way in)."""
    link = duckdb.connect(str(folder / "rows.duckdb"))
    link.execute("CREATE TABLE reading (channel INTEGER, t BIGINT, v DOUBLE, import_id INTEGER)")

    def fill() -> None:
        link.execute("BEGIN")
        for i, values in enumerate(channels):
            block = {"c": np.full(len(times), i), "t": times, "v": values, "n": np.ones(len(times), int)}
            link.register("block", block)
            link.execute("INSERT INTO reading SELECT c, t, v, n FROM block")
        link.execute("COMMIT")

    def hourly() -> None:
        link.execute(
            "SELECT t // 3600, avg(v) FROM reading WHERE channel = 3 AND t >= ? AND t < ? GROUP BY 1",
            [START_S, START_S + YEAR_S],
        ).fetchall()

    def everything() -> None:
        link.execute("SELECT channel, t // 86400, min(v), max(v) FROM reading GROUP BY 1, 2").fetchall()

    def singles() -> None:
        for i in range(SINGLES):
            link.execute("INSERT INTO reading VALUES (0, ?, 20.0, 2)", [int(times[-1]) + 60 * (i + 1)])

    yield from measured(fill, hourly, everything, singles)
    link.close()
    yield "size MB", size_mb(folder, "rows.duckdb")


def pieces(folder: Path, times: np.ndarray, channels: list[np.ndarray]) -> Iterator[tuple[str, float]]:
    """Measure noonwall's own store."""
    store = Store(folder / "pieces.db")
    ids: list[int] = []

    def fill() -> None:
        ids.clear()
        with store.importing("made up", "content", {}, 0) as intake:
            ids.extend(
                intake.channel(Channel(f"c{i}", "other", "temperature"), f"c{i}", Conversion("C"))
                for i in range(CHANNELS)
            )
            for low in range(0, len(times), 50_000):
                for i, values in zip(ids, channels, strict=True):
                    intake.add(i, times[low : low + 50_000], values[low : low + 50_000])

    def hourly() -> None:
        series(store, "other", START_S, START_S + YEAR_S, channels=(store.channel("c3"),))

    def everything() -> None:
        for channel in store.channels():
            found = store.read(channel)
            thin(found.time_s, found.value)

    def singles() -> None:
        for i in range(SINGLES):
            store.append(1, [(ids[0], int(times[-1]) + 60 * (i + 1), 20.0)])

    yield from measured(fill, hourly, everything, singles)
    yield "fold those s", seconds(store.fold)
    yield "undo s", seconds(lambda: store.undo(1))
    yield from measured(fill, hourly, everything, None)
    store.close()
    yield "size MB", size_mb(folder, "pieces.db")


def measured(
    fill: Callable[[], object],
    hourly: Callable[[], object],
    everything: Callable[[], object],
    singles: Callable[[], object] | None,
) -> Iterator[tuple[str, float]]:
    """Time the four kinds of work."""
    yield "write all s", seconds(fill)
    yield "hourly means of a year s", min(seconds(hourly) for _ in range(3))
    yield "plot all channels, all years s", min(seconds(everything) for _ in range(2))
    if singles is not None:
        yield "single readings, each kept for good, ms", seconds(singles) * 1000.0 / SINGLES


def through_importer(
    folder: Path, times: np.ndarray, channels: list[np.ndarray]
) -> Iterator[tuple[str, float]]:
    """Measure the whole way from a CSV: guess and import."""
    import resource

    from noonwall.logs.importer import guess_file, import_file

    file = folder / "three years.csv"
    columns = np.column_stack(channels)
    with file.open("w", encoding="utf-8") as out:
        out.write("Time (UTC)," + ",".join(f"Gap top {i} (C)" for i in range(CHANNELS)) + "\n")
        for low in range(0, len(times), 100_000):
            stamps = np.datetime_as_string(times[low : low + 100_000].astype("datetime64[s]"))
            rows = columns[low : low + 100_000].tolist()
            out.writelines(
                f"{stamp.replace('T', ' ')},{','.join(map(str, row))}\n"
                for stamp, row in zip(stamps.tolist(), rows, strict=True)
            )
    yield "CSV MB", file.stat().st_size / 1e6
    found = []
    yield "guess s", seconds(lambda: found.append(guess_file(file)))
    with Store(folder / "imported.db") as store:
        yield "import s", seconds(lambda: import_file(store, found[0]))
    yield "size MB", size_mb(folder, "imported.db")
    yield "most memory MB", resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def main() -> None:
    """Run every store on the same readings and print what it took."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    times, channels = made_up(numbers[0] if numbers else 1095)
    stores = {"SQLite, rows": sqlite_rows, "SQLite, pieces (noonwall)": pieces}
    if "duckdb" in globals():
        stores["DuckDB, rows"] = duckdb_rows
    if "--import" in sys.argv:
        stores = {"CSV through the importer": through_importer}
    print(f"{len(times) * CHANNELS / 1e6:.1f} million values")
    for name, work in stores.items():
        print(name)
        with tempfile.TemporaryDirectory() as folder:
            for what, figure in work(Path(folder), times, channels):
                print(f"  {what:<42} {figure:10.3f}", flush=True)


if __name__ == "__main__":
    main()
