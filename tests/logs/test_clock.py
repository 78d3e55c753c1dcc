from __future__ import annotations

import datetime as dt
import zoneinfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.logs.clock import Clock, never_shown, proposal, put_back, standard_throughout, zone_of
from noonwall.logs.errors import ReadingsError
from noonwall.logs.stamps import shown


def face(utc_s: np.ndarray, name: str) -> np.ndarray:
    """Return what a clock of a zone shows, by the standard library."""
    zone = zoneinfo.ZoneInfo(name)
    moments = [dt.datetime.fromtimestamp(int(second), zone) for second in utc_s]
    return np.array([int(m.replace(tzinfo=dt.UTC).timestamp()) for m in moments], np.int64)


ZONES = ["America/Denver", "Europe/Helsinki", "Australia/Sydney", "America/St_Johns", "Europe/London"]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.sampled_from(ZONES),
    st.integers(1_000_000_000, 1_900_000_000),
    st.sampled_from([60, 600, 900, 3600]),
    st.booleans(),
    st.integers(1, 40),
)
def test_a_clock_with_daylight_saving_is_followed_through_both_changes(
    name: str, start: int, step: int, backwards: bool, batches: int
) -> None:
    zone = zone_of(name)
    changes = zone.changes_s[(zone.changes_s > start) & (zone.changes_s < start + 366 * 86_400)]
    assert len(changes) == 2
    low = changes - changes % step - 3 * 3600
    utc = np.concatenate([np.arange(first, first + 6 * 3600, step, dtype=np.int64) for first in low])
    utc = utc[::-1] if backwards else utc
    clock = Clock(zone, descending=backwards)
    out = [clock.utc(part) for part in np.array_split(face(utc, name), batches)]
    assert np.array_equal(np.concatenate([part[0] for part in out]), utc)
    assert all(len(part[1]) == 0 for part in out)
    assert clock.one_pass == []


def test_the_hour_that_never_was_is_told_in_one_line() -> None:
    zone = zone_of("Europe/Helsinki")
    moment = int(dt.datetime(2025, 3, 30, 3, 30, tzinfo=dt.UTC).timestamp())
    _, missing = Clock(zone).utc(np.array([moment - 3600, moment, moment + 3600], np.int64))
    assert missing.tolist() == [1]
    assert "2025-03-30 03:30 does not exist in Europe/Helsinki" in never_shown(zone, moment)


def test_a_twofold_hour_that_comes_once_is_noted() -> None:
    zone = zone_of("America/Denver")
    first = int(dt.datetime(2024, 11, 3, 0, 30, tzinfo=dt.UTC).timestamp())
    clock = Clock(zone)
    utc, _ = clock.utc(first + 600 * np.arange(12, dtype=np.int64))
    assert [shown(moment) for moment in clock.one_pass] == ["2024-11-03 01:50"]
    assert utc[0] == first + 6 * 3600
    assert utc[-1] == first + 11 * 600 + 7 * 3600


def test_fixed_offsets_need_no_table_of_changes() -> None:
    for text, offset in (("UTC", 0), ("UTC-7", -25_200), ("+05:30", 19_800), ("EST", -18_000)):
        zone = zone_of(text)
        assert not zone.saves_daylight
        assert Clock(zone).utc(np.array([0], np.int64))[0].tolist() == [-offset]


@pytest.mark.parametrize(
    "text", ["Mars/Olympus", "../../etc/passwd", "", "America", "UTC+99", "\x00", "a" * 300]
)
def test_zones_there_are_none_of_get_one_line(text: str) -> None:
    with pytest.raises(ReadingsError, match="unknown zone") as told:
        zone_of(text)
    assert "\n" not in str(told.value)


def test_a_clock_that_is_put_back_gives_its_zone_away() -> None:
    def jump(*day: int) -> tuple[int, int]:
        before = int(dt.datetime(*day, 1, 59, tzinfo=dt.UTC).timestamp())  # type: ignore[arg-type]
        return before, before + 60 - 3600

    jumps = [jump(2023, 11, 5), jump(2024, 11, 3), (1_700_000_000, 1_690_000_000)]
    turned = put_back(jumps, 60)
    assert [shown(moment) for moment in turned] == ["2023-11-05 01:59", "2024-11-03 01:59"]
    assert proposal(-7.0, turned) == "America/Denver"
    assert proposal(2.0, turned) is None
    assert proposal(None, []) is not None


@pytest.mark.parametrize(
    ("first", "last", "same"),
    [
        ("2026-01-10T00:00", "2026-01-18T23:45", True),
        ("2025-11-02T03:00", "2026-03-08T01:45", True),
        ("2026-03-01T00:00", "2026-03-09T00:00", False),  # put on on the 8th
        ("2026-07-01T00:00", "2026-07-09T00:00", False),
    ],
)
def test_a_clock_shows_standard_time_where_it_is_not_put_on(first: str, last: str, same: bool) -> None:
    moments = [int(np.datetime64(text, "s").astype(np.int64)) for text in (first, last)]
    assert standard_throughout("America/New_York", moments[0], moments[1]) is same
