"""One quick pass over a whole file: how many rows, from when to when, where the clock jumped."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.errors import ImportCancelledError, ReadingsError
from noonwall.logs.nothing import OddCells
from noonwall.logs.reader import NO_NAME, Account, blocks
from noonwall.logs.stamps import DAY_S, NO_ZONE, Order, parse_day, shown, split_stamp

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from noonwall.logs.reader import Block
    from noonwall.logs.records import Whole
    from noonwall.logs.stamps import StampRule
    from noonwall.logs.table import Row, Table

    Progress = Callable[[float, str], None]
    Cancel = Callable[[], bool]

MOST_CHANNELS = 500
_MOST_JUMPS = 2000
_HOUR_S = 3600
_MUDDLED = 0.2  # of the steps from row to row that go back, in a file whose rows are in no order
_ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")


@dataclass
class Survey:
    """What the pass found; clock seconds are on the clock's own face."""

    rows: int = 0
    first_s: int = 0
    last_s: int = 0
    step_s: int = 60
    descending: bool = False
    muddled: bool = False  # rows in no order of time
    zoned_share: float = 0.0  # rows whose stamp carries an offset
    jumps_back: list[tuple[int, int]] = field(default_factory=list)  # stamp before and after
    jumps_on: list[tuple[int, int]] = field(default_factory=list)  # by an hour or two and a step
    channels: Counter[str] = field(default_factory=Counter)  # of a long file
    account: Account = field(default_factory=Account)
    odd: OddCells = field(default_factory=OddCells)


def survey(
    path: Path,
    table: Table,
    rule: StampRule,
    places: tuple[int, int] | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Survey:
    """Pass over a file once.

    places   of a long file: the cells that name the channel, and those that hold the value
    raises   ReadingsError when its rows do not read, ImportCancelledError when asked to stop
    """
    found = Survey()
    clocks: list[Whole] = []  # all stamps, kept where rows turn out to be in no order
    steps: Counter[int] = Counter()
    back: list[tuple[int, int]] = []
    on: list[tuple[int, int]] = []
    rises = falls = zoned = 0
    last: int | None = None
    for block in blocks(path, table, rule, found.account):
        if cancel and cancel():
            raise ImportCancelledError(f"{path}: stopped; nothing was kept")
        clock = block.clock_s
        low, high = int(clock.min()), int(clock.max())
        found.first_s = low if found.rows == 0 else min(found.first_s, low)
        found.last_s = high if found.rows == 0 else max(found.last_s, high)
        found.rows += len(clock)
        zoned += int(np.count_nonzero(block.offset_s != NO_ZONE))
        joined = clock if last is None else np.insert(clock, 0, last)
        moved = np.diff(joined)
        rises, falls = rises + int((moved > 0).sum()), falls + int((moved < 0).sum())
        clocks.append(clock)
        sizes, counts = np.unique(np.abs(moved[moved != 0]), return_counts=True)
        for size, count in zip(sizes[:200].tolist(), counts[:200].tolist(), strict=True):
            steps[size] += count
        if len(back) < _MOST_JUMPS:
            fallen = np.flatnonzero(moved < 0)[:_MOST_JUMPS].tolist()
            back += [(int(joined[i]), int(joined[i + 1])) for i in fallen]
        if len(on) < _MOST_JUMPS:
            ahead = np.flatnonzero((moved > _HOUR_S) & (moved <= 3 * _HOUR_S))[:_MOST_JUMPS].tolist()
            on += [(int(joined[i]), int(joined[i + 1])) for i in ahead]
        last = int(clock[-1])
        if places is None:
            _count_wide(found.odd, block, table, rule)
        else:
            found.channels.update(row[places[0]].strip().strip('"') for row in block.rows)
            _refuse_many(path, found.channels)
            _count_long(found.odd, block, places)
        if progress:
            progress(block.share_read, "looking over the file")
    found.account.refuse_ruin(path)
    found.descending = falls > 2 * rises and falls > 1
    found.muddled = not found.descending and falls > max(3, _MUDDLED * (rises + falls))
    found.jumps_back = [] if found.descending else back
    found.jumps_on = [] if found.descending else on
    found.zoned_share = zoned / max(1, found.rows)
    found.step_s = _step_in_order(clocks) if found.muddled and places is None else _usual(steps)
    _refuse_half_days(path, table, found)
    return found


def _count_wide(odd: OddCells, block: Block, table: Table, rule: StampRule) -> None:
    for place, name in enumerate(table.names):
        if place not in rule.columns:
            odd.take(name, block.lines, [row[place] for row in block.rows])


def _count_long(odd: OddCells, block: Block, places: tuple[int, int]) -> None:
    rows: dict[str, list[int]] = {}
    for i, row in enumerate(block.rows):
        rows.setdefault(row[places[0]].strip().strip('"'), []).append(i)
    for name, chosen in rows.items():
        cells = [block.rows[i][places[1]] for i in chosen]
        odd.take(name or NO_NAME, block.lines[np.array(chosen)], cells)


def _refuse_half_days(path: Path, table: Table, found: Survey) -> None:
    """Refuse a clock that shows 1 to 12 twice a day: which half of the day is meant is not written."""
    half = [b for b, a in found.jumps_back if abs(a - b - found.step_s + 43_200) <= 1800]
    days = max(1, (found.last_s - found.first_s) // 86_400)
    if len(half) >= max(2, days // 2) and all(b % 86_400 < 46_800 for b in half):
        raise ReadingsError(
            f"{path}:{table.data_line}: its clock shows twelve hours without am or pm; export the file "
            "again with a 24-hour clock or with am and pm"
        )


def _refuse_many(path: Path, channels: Counter[str]) -> None:
    if len(channels) > MOST_CHANNELS:
        raise ReadingsError(
            f"{path}: more than {MOST_CHANNELS} channels by name; if they are none, --map layout=wide"
        )


def _usual(steps: Counter[int]) -> int:
    """Return the median step [s]."""
    total, seen = sum(steps.values()), 0
    for size in sorted(steps):
        seen += steps[size]
        if 2 * seen >= total:
            return size
    return 60


def _step_in_order(clocks: list[Whole]) -> int:
    """Return the usual step of stamps once they are put in order [s]."""
    away = np.diff(np.unique(np.concatenate(clocks)))
    return int(np.median(away)) if len(away) else 60


def date_orders(rows: list[Row], rule: StampRule, today: int | None = None) -> tuple[list[Order], str]:
    """Return the orders of day, month and year a sample allows, the likeliest first, and why.

    rows    sample of the file's rows in their order;  today   days since 1970: no reading is from later
    """
    if rule.form not in ("stamp", "day and time"):
        return ["ymd"], "no order to settle"
    cells = [row.cells[rule.columns[0]].strip().strip('"').strip() for row in rows]
    counts = Counter(split_stamp(c)[0] if rule.form == "stamp" else c for c in cells if c)
    texts = list(counts)
    read = {order: [parse_day(text, order) for text in texts] for order in _ORDERS}
    known = {order: [day for day in days if day is not None] for order, days in read.items()}
    fits = {
        order: sum(counts[t] for t, day in zip(texts, days, strict=True) if day is not None)
        for order, days in read.items()
    }
    good = {order: days for order, days in known.items() if days and fits[order] > 0.99 * max(fits.values())}
    if not good:
        return [], "no order of day, month and year fits its dates"
    if today is not None:
        last = min(max(days) for days in good.values())
        good = {order: days for order, days in good.items() if max(days) <= today + 1}
        if not good:
            return [], f"its dates run to {shown(last * DAY_S)[:10]}, after today"
    if all(days == next(iter(good.values())) for days in good.values()):
        return [next(iter(good))], "its dates read one way only"
    if len(good) == 1:
        return list(good), f"only {next(iter(good))} fits all its dates"
    best = sorted(good, key=lambda order: _restless(good[order]))
    calm, next_calm = _restless(good[best[0]]), _restless(good[best[1]])
    if len(texts) > 1 and calm < 0.3 * next_calm:
        return [best[0]], f"as {best[0]} its days follow each other, as {best[1]} they jump"
    if "dmy" in good and all("." in text for text in texts):
        return ["dmy"], "dates with points are written day first"
    return best, "its dates read both ways"


def _restless(days: list[int]) -> float:
    """Return how far apart neighbouring dates lie, going back counted twice [days]."""
    moved = np.diff(np.array(days))
    if len(moved) == 0:
        return 0.0
    down, up = np.abs(moved[moved < 0]).sum(), moved[moved > 0].sum()
    return float(max(down, up) + 2 * min(down, up)) / len(moved)
