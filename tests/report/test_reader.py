"""Numbers as a reader wants them."""

from __future__ import annotations

import numpy as np
import pytest

from noonwall.report.reader import Reader, day_text, grouped, moment_text, percent


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
    assert day_text(np.datetime64("2001-02-28")) == "28 February"
    assert moment_text(np.datetime64("2001-12-01T07:05:00")) == "1 December 07:05"
