"""What the tests of the store share: small imports, and everything a store holds, for comparing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.records import Channel, Conversion

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.store import Store

TABLES = ("import", "channel", "source", "piece", "part", "fresh", "remark", "finding", "judgement")
SHOP = Channel("bench", "shop", "temperature", height_m=1.2)
OUTDOOR = Channel("yard", "outdoor", "temperature")
CELSIUS = Conversion("C")


def everything(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return every row of every table but the counter that keeps import numbers from coming twice."""
    with closing(sqlite3.connect(path)) as link:
        return {name: sorted(link.execute(f"SELECT * FROM {name}").fetchall(), key=repr) for name in TABLES}


def put(
    store: Store, content: str, rows: dict[Channel, list[tuple[int, float]]], unit: Conversion = CELSIUS
) -> int:
    """Make one import of a few readings and return its number."""
    with store.importing(f"{content}.csv", content, {}, 0) as intake:
        for channel, readings in rows.items():
            number = intake.channel(channel, channel.name, unit)
            times = np.array([time for time, _ in readings], np.int64)
            intake.add(number, times, np.array([value for _, value in readings], np.float64))
    return intake.import_id


def answers(store: Store) -> dict[str, list[tuple[int, float]]]:
    """Return what the store answers of every channel."""
    found = {channel.name: store.read(channel) for channel in store.channels()}
    return {
        name: list(zip(r.time_s.tolist(), r.value.tolist(), strict=True)) for name, r in sorted(found.items())
    }
