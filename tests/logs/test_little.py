"""Few days of readings: what they cannot tell is not told, real faults still are."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.faults import SITE, stored
from logs.invented import invent
from logs.stores import SHOP, put
from noonwall.logs.quality.check import check
from noonwall.logs.quality.little import days_read, too_little
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

    from logs.invented import Log

DAY_S = 86_400


def cut(log: Log, first_day: int, days: float) -> Log:
    """Return some days of a log."""
    chosen = (log.time_s >= log.time_s[0] + first_day * DAY_S) & (
        log.time_s < log.time_s[0] + (first_day + days) * DAY_S
    )
    log.columns = {name: values[chosen] for name, values in log.columns.items()}
    log.time_s = log.time_s[chosen]
    return log


@pytest.mark.parametrize("days", [1, 2, 4, 6])
@pytest.mark.parametrize("first_day", [20, 170, 290])
def test_a_few_whole_days_give_no_findings(first_day: int, days: int, tmp_path: Path) -> None:
    with stored(cut(invent(811, 12, 600, first_day), 3, days), tmp_path) as store:
        assert days_read(store) == pytest.approx(days, abs=0.02)
        assert check(store, SITE) == ()


def test_a_summers_few_days_do_not_exchange_the_gap_and_the_yard(tmp_path: Path) -> None:
    log = cut(invent(811, 12, 600, 170), 3, 3)
    names = log.columns
    hour = log.time_s % DAY_S / 3600.0
    names["outdoor"] = 15.0 + 9.0 * np.sin(
        (hour - 15.0) / 24.0 * 2.0 * np.pi
    )  # a clear dry spell, the wall covered
    names["gap top"] = 17.0 + 2.0 * np.sin((hour - 17.0) / 24.0 * 2.0 * np.pi)
    with stored(log, tmp_path) as store:
        assert not [item for item in check(store, SITE) if item.kind in ("swap", "place")]


def test_real_faults_of_two_days_are_found(tmp_path: Path) -> None:
    log = cut(invent(811, 12, 600, 40), 3, 2)
    columns = log.columns
    columns["gap bottom"][100:160] = columns["gap bottom"][100]  # ten hours
    columns["shop low"][200] += 30.0
    columns["outdoor"][50:60] = 140.0
    with stored(log, tmp_path) as store:
        found = {(item.kind, item.channel) for item in check(store, SITE)}
    assert found == {("stuck", "gap bottom"), ("spike", "shop low"), ("out of range", "outdoor")}


def test_what_so_few_days_cannot_tell_is_said_once(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        assert too_little(store) == ""
        put(store, "a", {SHOP: [(hour * 3600, 8.0) for hour in range(49)]})
        assert too_little(store) == (
            "Only 2 days of readings: too little to judge whether clocks are right, whether sensors hang in their "
            "places and whether two were exchanged all the time; what stands still, leaps or cannot be is looked for"
        )
        put(store, "b", {SHOP: [((90 * 24 + hour) * 3600, 8.0) for hour in range(97)]})  # three months later
        assert days_read(store) == 6.0
        assert "too little to judge whether two were exchanged all the time;" in too_little(store)
        put(store, "c", {SHOP: [(hour * 3600, 8.0) for hour in range(48, 24 * 4)]})
        assert too_little(store) == ""
