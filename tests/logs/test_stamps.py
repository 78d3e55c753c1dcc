from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from noonwall.logs.stamps import (
    BAD,
    NO_ZONE,
    StampReader,
    StampRule,
    parse_day,
    parse_time,
    parse_zone,
    shown,
    split_stamp,
)

MOMENT = dt.datetime(2025, 2, 3, 13, 5, tzinfo=dt.UTC)
CLOCK = int(MOMENT.timestamp())
FORMS = [
    ("2025-02-03 13:05", "ymd", NO_ZONE),
    ("2025-02-03T13:05:00", "ymd", NO_ZONE),
    ("2025-02-03T13:05:00Z", "ymd", 0),
    ("2025-02-03T13:05:00.250+02:00", "ymd", 7200),
    ("2025-02-03 13:05:00-0700", "mdy", -25_200),
    ("2025/02/03 1:05:00 PM", "ymd", NO_ZONE),
    ("03.02.2025 13:05", "dmy", NO_ZONE),
    ("3.2.2025 13.05.00", "dmy", NO_ZONE),
    ("3.2.25, 13:05", "dmy", NO_ZONE),
    ("02/03/25 01:05:00 p.m.", "mdy", NO_ZONE),
    ("2/3/2025 1:05pm", "mdy", NO_ZONE),
    ("25/02/03 13:05", "ymd", NO_ZONE),
    ("20250203130500", "ymd", NO_ZONE),
    ("20250203 1305", "ymd", NO_ZONE),
    ("20250203T130500Z", "ymd", 0),
    ("Feb 3, 2025 1:05 PM", "dmy", NO_ZONE),
    ("3-Feb-25 13:05", "ymd", NO_ZONE),
    ("3. Februar 2025 13:05", "dmy", NO_ZONE),
    ("Mon, 03 Feb 2025 13:05:00 GMT", "ymd", 0),
    ("2025-02-03 13:05 MST", "ymd", -25_200),
]


@pytest.mark.parametrize(("text", "order", "offset"), FORMS, ids=[form[0] for form in FORMS])
def test_dates_and_times_as_loggers_write_them(text: str, order: str, offset: int) -> None:
    reader = StampReader(StampRule("stamp", (0,), order))  # type: ignore[arg-type]
    clock, zone = reader.read([[text, text]])
    assert [shown(int(second)) for second in clock] == ["2025-02-03 13:05"] * 2
    assert zone.tolist() == [offset, offset]


NUMBERS = [
    ("epoch s", "1738587900"),
    ("epoch s", "1738587900.3"),
    ("epoch ms", "1738587900000"),
    ("epoch us", "1738587900000000"),
    ("serial day", "45691.5451388889"),
]


@pytest.mark.parametrize(("form", "text"), NUMBERS)
def test_counts_of_seconds_and_days(form: str, text: str) -> None:
    clock, _ = StampReader(StampRule(form, (0,))).read([[text, "soon"]])  # type: ignore[arg-type]
    assert clock.tolist() == [CLOCK, BAD]


def test_noon_and_midnight_on_a_twelve_hour_clock() -> None:
    read = [parse_time(text) for text in ("12:00 AM", "12:30 AM", "12:00 PM", "12:30 pm", "11:59 PM")]
    assert [pair[0] if pair else None for pair in read] == [0, 1800, 43_200, 45_000, 86_340]
    assert parse_time("24:00") == (86_400, NO_ZONE)


@pytest.mark.parametrize(
    "text", ["13:05 PM", "25:00", "12:60", "24:01", "", "noon", "1:05 XQZ", "0:00 AM", "12", "+14:00"]
)
def test_times_that_are_none(text: str) -> None:
    assert parse_time(text) is None


@pytest.mark.parametrize(
    "text",
    ["31/31/2025", "2025-02-30", "2025-13-01", "3/2", "1234", "0-0-0", "", "Foo 3, 2025", "2025-02-03-04"],
)
def test_days_that_are_none(text: str) -> None:
    assert parse_day(text, "dmy") is None


def test_offsets_and_their_names() -> None:
    read = [parse_zone(text) for text in ("Z", "UTC", "UTC-7", "+5:30", "GMT+02:00", "MDT", "+99", "here")]
    assert read == [0, 0, -25_200, 19_800, 7200, -21_600, None, None]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(
    st.datetimes(dt.datetime(1996, 1, 1), dt.datetime(2090, 1, 1)),  # noqa: DTZ001 - a clock's own face
    st.sampled_from(
        [
            ("%Y-%m-%d %H:%M:%S", "ymd"),
            ("%d/%m/%Y %I:%M:%S %p", "dmy"),
            ("%m/%d/%Y %H:%M:%S", "mdy"),
            ("%d.%m.%Y, %H:%M:%S", "dmy"),
            ("%Y%m%d%H%M%S", "ymd"),
            ("%b %d, %Y %I:%M:%S %p", "ymd"),
        ]
    ),
)
def test_every_moment_reads_back(moment: dt.datetime, form: tuple[str, str]) -> None:
    moment = moment.replace(microsecond=0)
    text = moment.strftime(form[0])
    clock, _ = StampReader(StampRule("stamp", (0,), form[1])).read([[text]])  # type: ignore[arg-type]
    assert clock[0] == int(moment.replace(tzinfo=dt.UTC).timestamp())


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(max_size=40) | st.from_regex(r"[\d:/.\-APMTZ ]{1,30}", fullmatch=True))
def test_any_text_at_all_is_read_or_refused_but_never_breaks(text: str) -> None:
    day, time = split_stamp(text)
    for order in ("ymd", "dmy", "mdy"):
        assert parse_day(day, order) is None or isinstance(parse_day(day, order), int)  # type: ignore[arg-type]
    parse_time(time)
    clock, offset = StampReader(StampRule("stamp", (0,), "dmy")).read([[text, "1.1.2025 10:00"]])
    assert clock.shape == offset.shape == (2,)
    assert clock[1] == 1_735_725_600


def test_cells_of_year_month_day_and_clock() -> None:
    reader = StampReader(StampRule("parts", (0, 1, 2, 3, 4)))
    clock, _ = reader.read([["2025", "2025.0"], ["2", "2"], ["3", "3"], ["13", "24"], ["5", "0"]])
    assert clock.tolist() == [CLOCK, CLOCK - 5 * 60 + 11 * 3600]
    assert np.all(StampReader(StampRule("parts", (0, 1, 2, 3))).read([["x"], ["2"], ["3"], ["4"]])[0] == BAD)
