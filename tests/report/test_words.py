"""Sentences are chosen by the numbers: change the numbers and the sentences change."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.sums import Answers, answers
from noonwall.report.reader import Reader
from noonwall.report.words import sentences


@pytest.fixture(scope="module")
def found() -> Answers:
    return answers(invented_year(), demo())


def told(found: Answers, system: str = "metric", **whole: float) -> tuple[str, str, str]:
    return sentences(replace(found, whole=replace(found.whole, **whole)), 20.0, Reader(system))  # type: ignore[arg-type]


def test_first_sentence_gives_sun_heat_share_and_best_month(found: Answers) -> None:
    first = told(found, sun_on_wall_kwh=8000.0, delivered_kwh=4000.0)[0]
    assert "8,000 kWh of sun" in first
    assert "4,000 kWh" in first
    assert "50 %" in first
    assert "March" in first


def test_no_sun_and_no_heat_are_said_plainly(found: Answers) -> None:
    assert told(found, sun_on_wall_kwh=0.0)[0] == "No sun reached the glazing, so the wall gave nothing."
    assert "none of it came into the shop" in told(found, delivered_kwh=0.0)[0]


def test_second_sentence_parts_use_from_surplus(found: Answers) -> None:
    assert "nearly all (98 %)" in told(found, delivered_kwh=1000.0, useful_kwh=980.0)[1]
    second = told(found, delivered_kwh=1000.0, useful_kwh=600.0)[1]
    assert "600 kWh of that (60 %)" in second
    assert "above 20 °C" in second


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        (0.2, "ardly any heat"),
        (40.0, "4.0 % of what the wall gave."),
        (200.0, "usual cure"),
        (1200.0, "more than the wall gave"),
    ],
)
def test_night_loss_is_weighed_against_what_the_wall_gave(found: Answers, lost: float, words: str) -> None:
    assert words in told(found, delivered_kwh=1000.0, useful_kwh=600.0, night_loss_kwh=lost)[1]


def test_third_sentence_follows_the_shop(found: Answers) -> None:
    assert "never too hot" in told(found, too_hot_hours=0.0)[2]
    assert "12 hours of the year" in told(found, too_hot_hours=12.0)[2]
    assert "6.0 °C with the wall and 5.0 °C without it" in told(found)[2]


def test_a_wall_that_changes_nothing_is_said_to_change_nothing() -> None:
    year = invented_year()
    same = with_table(year, room_c=year.table.room_without_c)
    assert "with the wall and without it" in told(answers(same, demo()))[2]


def test_units_of_the_reader(found: Answers) -> None:
    for sentence in told(found, "us"):
        assert "°C" not in sentence
        assert "kWh" not in sentence


def test_no_sentence_gives_a_verdict_of_safety(found: Answers) -> None:
    for lost in (0.0, 40.0, 200.0, 2000.0):
        assert "safe" not in " ".join(told(found, night_loss_kwh=lost)).lower()
