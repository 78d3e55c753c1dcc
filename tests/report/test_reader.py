"""Numbers as a reader wants them."""

from __future__ import annotations

import numpy as np
import pytest

from noonwall.report.reader import Reader, cell, grouped, percent


def test_metric_and_us_say_the_same() -> None:
    # Witness: NIST SP 811, appendix B.8: 1 kWh = 3412.142 Btu(IT) by 3.6 MJ / 1055.056 J; 43.3 °C = 110 °F
    assert Reader("metric").heat_text(1000.0) == "1,000 kWh"
    assert Reader("us").heat_text(1000.0) == "3,412 kBtu"
    assert Reader("us").degrees_text(43.333) == "110 °F"
    assert Reader("us").kelvins(10.0) == pytest.approx(18.0)


@pytest.mark.parametrize(
    ("number", "text"),
    [(0.0, "0"), (0.04, "0"), (0.34, "0.3"), (0.5, "0.5"), (1.5, "2"), (-0.01, "0"), (1e6, "1,000,000")],
)
def test_grouped(number: float, text: str) -> None:
    assert grouped(number) == text


def test_no_minus_before_nought() -> None:
    assert Reader().degrees_text(-0.02, 1) == "0.0 °C"
    assert Reader("us").degrees_text(-17.78) == "0 °F"


@pytest.mark.parametrize(
    ("share", "text"), [(0.0, "0 %"), (0.034, "3.4 %"), (0.0996, "10 %"), (0.482, "48 %"), (1.0, "100 %")]
)
def test_percent(share: float, text: str) -> None:
    assert percent(share) == text


def test_days_and_moments_have_no_year() -> None:
    assert Reader().day_text(np.datetime64("2001-02-28")) == "28 February"
    assert Reader().moment_text(np.datetime64("2001-12-01T07:05:00")) == "1 December 07:05"


def test_a_us_reader_has_the_month_first() -> None:
    us = Reader("us")
    assert us.day_text(np.datetime64("2001-02-28T00:00:00")) == "February 28"
    assert us.day_text("02-05", short=True) == "Feb 5"
    assert (us.day_text("2019-02-05", year=True), Reader().day_text("2019-02-05", year=True)) == (
        "February 5, 2019",
        "5 February 2019",
    )
    assert us.clock_text(np.datetime64("2001-12-01T07:05:00")) == "7:05 am"


def test_hours_are_told_as_the_reader_tells_them() -> None:
    told = [[Reader(system).hour_text(h) for h in (0.5, 8, 12, 13.5, 18, 24)] for system in ("metric", "us")]
    assert told[0] == ["0:30", "8 h", "12 h", "13:30", "18 h", "24 h"]
    assert told[1] == ["12:30 am", "8 am", "noon", "1:30 pm", "6 pm", "12 am"]
    assert Reader().span_text(9, 16) == "9 and 16 h"
    assert Reader("us").span_text(20, 7) == "8 pm and 7 am"
    assert Reader("us").moment_text(np.datetime64("2001-12-01T13:05:00")) == "December 1 1:05 pm"
    assert Reader().moment_text(np.datetime64("2001-12-01T13:05:00")) == "1 December 13:05"


@pytest.mark.parametrize(
    ("number", "text"), [(0.0, "0"), (0.04, "0"), (0.4, "<1"), (0.8, "1"), (1234.5, "1,235"), (-0.3, "0")]
)
def test_cells_are_whole_numbers(number: float, text: str) -> None:
    assert cell(number) == text


def test_hours_beside_an_axis_are_those_of_the_readers_clock() -> None:
    assert Reader("us").hour_ticks((0, 6, 12, 18, 24)) == ["12 am", "6 am", "noon", "6 pm", "12 am"]
    assert Reader().hour_ticks((0, 6, 12, 18, 24)) == ["0", "6", "12", "18", "24"]


def test_what_is_marked_out_is_in_feet_and_inches() -> None:
    # Witness: 19.7 in is 0.5 m, 1 ft 7.7 in by the exact inch.
    assert [Reader("us").tape_text(m) for m in (0.5, 0.09, 0.3, 1.83, 0.0127)] == [
        "1 ft 8 in", "3 1/2 in", "1 ft", "6 ft", "1/2 in",
    ]  # fmt: skip
    assert Reader().tape_text(0.5) == "500 mm"
