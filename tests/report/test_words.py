"""Sentences are chosen by the numbers: change the numbers and the sentences change."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.sums import Answers, answers
from noonwall.report.reader import Reader
from noonwall.report.words import fan_words, saving_words, sentences, warm_words

if TYPE_CHECKING:
    from noonwall.model.project import Project


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


def heated_to(setpoint_c: float) -> Project:
    shop = demo().shop
    assert shop.heater is not None
    heater = shop.heater.model_copy(update={"setpoint_c": setpoint_c})
    return demo(shop=shop.model_copy(update={"heater": heater}))


def test_fans_that_never_start_are_told_with_the_hottest_moment_against_the_closing_point() -> None:
    year = invented_year()
    idle = with_table(
        year, fan_share=np.zeros(len(year.table.time)), gap_top_c=np.minimum(year.table.gap_top_c, 38.0)
    )
    hot = demo(switches=(demo().switches[0].model_copy(update={"close": 110.0, "open": 90.0}),))
    assert fan_words(answers(year, demo()), Reader()) == ""
    said = fan_words(answers(idle, demo()), Reader())
    assert "reaches 38 °C at most (" in said
    assert '"gap switch" starts the fans at 43 °C.' in said
    said = fan_words(answers(idle, hot), Reader("us"))
    assert "starts the fans at 230 °F" in said
    assert 'write "110 F"' in said


def test_fans_held_off_by_hand_or_by_something_else_are_told_too() -> None:
    year = invented_year()
    idle = with_table(year, fan_share=np.zeros(len(year.table.time)), gap_top_c=year.table.gap_top_c + 60.0)
    off = demo(circuit=demo().circuit.model_copy(update={"fans": "off"}))
    assert "switched off in this project" in fan_words(answers(idle, off), Reader())
    assert "noonwall circuit" in fan_words(answers(idle, demo()), Reader())
    assert fan_words(answers(idle, demo(fans=())), Reader()) == ""


def test_a_heater_that_holds_warm_enough_is_told_by_its_rest(found: Answers) -> None:
    year, project = invented_year(), heated_to(10.0)
    n, rests = len(year.table.time), np.zeros(len(year.table.time))
    rests[:100] = 3000.0
    held = with_table(year, room_c=np.full(n, 10.0), room_without_c=np.full(n, 10.0), backup_w=rests)
    said = warm_words(answers(held, project), Reader())
    assert said.startswith("The heater holds 10 °C, fit to work in, all year; it rests for 8,660 h")
    sagging = with_table(held, room_c=np.where(np.arange(n) < 8, 9.8, 10.0))
    said = warm_words(answers(sagging, project), Reader("us"))
    assert "but for 8 h with the wall and 0 h without, in which it is too small" in said
    assert "(lowest 49.6 °F and 50.0 °F)" in said
    assert "or warmer, fit to work in" in warm_words(found, Reader())


def test_fuel_spared_below_heat_of_use_is_told_as_an_account(found: Answers) -> None:
    said = saving_words(found, Reader())
    assert found.fuel is not None
    assert found.fuel.heat_kwh < found.whole.useful_kwh
    assert f"{found.whole.night_loss_kwh:,.0f} kWh went back out in the cold hours" in said
    assert "while the heater would have rested anyway" in said
    alike = replace(found, fuel=replace(found.fuel, heat_kwh=found.whole.useful_kwh))
    assert saving_words(alike, Reader()) == ""
    assert saving_words(replace(found, fuel=None), Reader()) == ""


@given(
    useful=st.floats(1.0, 1e5),
    spared=st.floats(-0.5, 1.0),
    night=st.floats(0.0, 1.0),
    units=st.sampled_from(("metric", "us")),
)
def test_law_the_account_of_the_heat_of_use_adds_up_as_it_is_shown(
    found: Answers, useful: float, spared: float, night: float, units: str
) -> None:
    assert found.fuel is not None
    reader = Reader("us" if units == "us" else "metric")
    told = replace(
        found,
        whole=replace(found.whole, useful_kwh=useful, night_loss_kwh=night * useful),
        fuel=replace(found.fuel, heat_kwh=spared * useful),
    )
    account = saving_words(told, reader).partition(".")[0]
    amounts = [int(a.replace(",", "")) for a in re.findall(rf"([\d,]+) {reader.heat_unit}", account)]
    assert not amounts or (amounts[0] == sum(amounts[1:]) and min(amounts) > 0)
    if amounts:
        assert f"{amounts[0]:,} {reader.heat_unit}" == reader.heat_text(useful)
        assert f"{amounts[1]:,} {reader.heat_unit}" == reader.heat_text(spared * useful)


def test_a_shop_that_the_heater_holds_is_told_by_the_heater() -> None:
    year = invented_year()
    same = with_table(year, room_c=year.table.room_without_c)
    assert "the heater giving" in sentences(answers(same, demo()), 20.0, Reader())[2]
