"""What readings of some kinds tell, what they do not, and why hours have no heat."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from noonwall.logs.period import unbroken
from noonwall.logs.seen import Seen
from noonwall.logs.store import Store
from noonwall.logs.tellable import tells, why_untold

if TYPE_CHECKING:
    from pathlib import Path

SIX = np.full(6, 20.0)
GONE = np.where(np.arange(6) < 3, 20.0, np.nan)
LATER = np.arange(6) >= 3
SEEN = Seen(SIX, None, None, SIX, None, None, GONE / 20.0, None, None, None, "the fans' power", "")


@pytest.mark.parametrize(
    ("roles", "told", "left"),
    [
        (["shop", "outdoor", "gap top"], "heat brought in; shade", "when the fans ran (needs their power"),
        (["shop", "outdoor"], "how warm the shop was; the weather outside.", "heat brought in (needs air at the top"),
        (["air in", "air out", "flow"], "heat brought in; when the fans ran.", "how warm the shop was (needs"),
    ],
)  # fmt: skip
def test_a_file_says_what_it_can_tell(roles: list[str], told: str, left: str) -> None:
    first, _, rest = tells(roles).partition(" Not from this file alone: ")
    assert first.startswith("From this file can be told: ") and told in f"{first}"
    assert left in rest


def test_remarks_alone_tell_nothing() -> None:
    assert tells(["remark", "other", "skip"]) == ""


def test_hours_without_heat_say_which_sensor_is_missing() -> None:
    said = why_untold(SEEN, LATER)
    assert "when the fans ran, which was logged at other times" in said and "over alone" in said
    assert why_untold(replace(SEEN, gap_top_c=GONE), LATER).count(";") == 1
    flow = replace(SEEN, flow_m3_s=GONE, fan_share=None)
    assert why_untold(flow, LATER) == "not measured: the air flow, which was measured at other times"
    assert "at the same hours" in why_untold(replace(SEEN, fan_share=None), LATER)
    assert "in the shop" in why_untold(replace(SEEN, shop_c=None, fan_share=None), LATER)


def test_a_break_of_more_than_a_week_parts_what_was_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    day = 86_400
    with Store(tmp_path) as store:
        assert unbroken(store, -5.0) == []
        parts = [(0, 10 * day), (5 * day, 12 * day), (18 * day, 20 * day), (28 * day, 30 * day)]
        monkeypatch.setattr(Store, "stretches", lambda _self: parts)
        assert unbroken(store, 0.0) == [("1970-01-01", "1970-01-21"), ("1970-01-29", "1970-01-31")]
