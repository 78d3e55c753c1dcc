"""The nights' sums: against an invented year whose nights are known."""

from __future__ import annotations

import numpy as np
from pytest import approx

from fakes.years import invented_year, with_table
from noonwall.assess.night import night_loss
from noonwall.report.night_page import middle_hours


def test_months_hours_and_cells_add_up_to_the_whole() -> None:
    year = invented_year(3600)
    found = night_loss(year)
    whole = year.whole().night_loss_kwh
    assert found.whole.lost_kwh == approx(whole)
    assert sum(m.lost_kwh for m in found.months) == approx(whole)
    assert sum(found.by_hour_kwh) == approx(whole)
    assert np.sum(found.month_hour_kwh) == approx(whole)
    assert [m.month for m in found.months] == list(range(1, 13))


def test_a_night_runs_from_noon_to_noon() -> None:
    # One kilowatt from 22:00 on 3 March to 04:00 on 4 March: one night of 6 kWh.
    year = invented_year(3600)
    time = year.table.time
    lost = np.where(
        (time >= np.datetime64("2001-03-03T22")) & (time < np.datetime64("2001-03-04T04")), 1000.0, 0.0
    )
    year = with_table(year, reversed_w=lost, flow_kg_s=np.where(lost > 0.0, -0.05, 0.02))
    found = night_loss(year)
    assert len(found.worst) == 1
    night = found.worst[0]
    assert night.evening == np.datetime64("2001-03-03")
    assert night.lost_kwh == approx(6.0)
    assert night.flow_kg_s == approx(0.05)
    assert night.sky_below_air_k == approx(12.0)
    assert found.whole.backwards_share == approx(1.0)
    assert found.whole.hours == approx(6.0)
    assert found.by_hour_kwh[23] == approx(1.0)
    assert middle_hours(found.by_hour_kwh) == (22, 4)


def test_heat_carried_out_while_air_still_rises_is_not_called_backwards() -> None:
    year = invented_year(3600)
    lost = np.zeros(len(year.table.time))
    lost[100:104] = 500.0
    flow = np.full(len(lost), 0.1)
    flow[100] = -0.1
    found = night_loss(with_table(year, reversed_w=lost, flow_kg_s=flow))
    assert found.whole.backwards_share == approx(0.25)


def test_a_wall_that_loses_nothing_has_no_nights() -> None:
    year = invented_year(3600)
    found = night_loss(with_table(year, reversed_w=np.zeros(len(year.table.time))))
    assert found.worst == ()
    assert found.whole.lost_kwh == 0.0
    assert found.whole.backwards_share is None
    assert middle_hours(found.by_hour_kwh) is None
