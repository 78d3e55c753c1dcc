"""Why fans never start: the switch that never closes, and how near it came."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.idle_fans import idle_fans


def test_fans_that_ran_need_no_reason() -> None:
    assert idle_fans(invented_year(), demo()) is None


def test_the_switch_that_never_closes_is_told_with_its_hottest_moment() -> None:
    year = invented_year()
    n = len(year.table.time)
    gap = np.full(n, 20.0)
    gap[4000] = 42.5
    found = idle_fans(with_table(year, fan_share=np.zeros(n), gap_top_c=gap), demo())
    assert found is not None
    (never,) = found.switches
    assert (never.switch, never.spot, never.above_room) == ("gap switch", "gap top", False)
    assert (never.close, never.hottest) == (43.0, 42.5)
    assert never.time == year.table.time[4000]


def test_a_difference_is_counted_from_the_room() -> None:
    year = invented_year()
    n = len(year.table.time)
    switch = demo().switches[0].model_copy(update={"kind": "difference", "close": 8.0, "open": 4.0})
    cool = with_table(year, fan_share=np.zeros(n), gap_top_c=year.table.room_c + 6.0)
    found = idle_fans(cool, demo(switches=(switch,)))
    assert found is not None
    assert found.switches[0].above_room
    assert found.switches[0].hottest == pytest.approx(6.0)


def test_a_switch_that_does_close_is_no_reason() -> None:
    year = invented_year()
    n = len(year.table.time)
    found = idle_fans(with_table(year, fan_share=np.zeros(n), gap_top_c=np.full(n, 90.0)), demo())
    assert found is not None
    assert found.switches == ()
