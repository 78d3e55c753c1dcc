"""The picture of a recap: what was found stands under its head, parts of months say so."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

from noonwall.logs.causes import Cause
from noonwall.logs.period import Period
from noonwall.logs.sun_calendar import SunCalendar
from noonwall.report.reader import Reader
from noonwall.report.recap_figures import MOST_CAUSES, _causes, _name


def found(many: int) -> Any:
    return SimpleNamespace(causes=tuple(Cause(f"cause {i}", "dead", -10.0 * (many - i)) for i in range(many)))


def test_causes_stand_under_the_head_with_their_heat() -> None:
    assert _causes(found(0), Reader()) == []
    assert _causes(found(2), Reader()) == ["Found: cause 0 (-20 kWh)", "also: cause 1 (-10 kWh)"]
    assert _causes(found(2), Reader("us"))[0] == "Found: cause 0 (-68 kBtu)"
    lines = _causes(found(9), Reader())
    assert len(lines) == MOST_CAUSES and lines[-1] == "also: 5 smaller ones, told on the page"


def test_a_part_of_a_month_is_named_under_it() -> None:
    def row(name: str, first: str, last: str) -> Any:
        return SimpleNamespace(name=name, first=first, last=last)

    assert _name(row("2025-02", "2025-02-14", "2025-02-28")) == "Feb\nfrom 14th"
    assert _name(row("2025-03", "2025-03-01", "2025-03-31")) == "Mar"
    assert _name(row("2025-02-08", "2025-02-08", "2025-02-08")) == "Feb 8"


def test_shaded_stretches_end_with_the_period_and_leave_out_what_is_free() -> None:
    period = Period(np.datetime64("2025-02-14"), 70, -5.0)
    cells = np.ones((5, 48))
    cells[[0, 1, 4], 30] = 0.5
    calendar = SunCalendar(np.ones(1), None, np.zeros(1, np.int64), cells, ())  # type: ignore[arg-type]
    assert calendar.stretches(period) == ((0, 29), (60, 69))
    calendar.cells[:] = 1.0
    assert calendar.stretches(period) == ()
