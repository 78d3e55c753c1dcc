"""The page of the year: every figure is there, every line fits, units are the reader's."""

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
from noonwall.assess.sums import answers
from noonwall.report.blocks import filled
from noonwall.report.reader import Reader
from noonwall.report.tables import alone_page, facing, few, worth_as_shown, year_page
from noonwall.units import MONTHS

if TYPE_CHECKING:
    from noonwall.engine.year import Year
    from noonwall.model.project import Project
    from noonwall.units import System


@pytest.fixture(scope="module")
def year() -> Year:
    return invented_year()


def page(year: Year, project: Project | None = None, system: System = "metric") -> str:
    project = project or demo()
    return str(year_page(answers(year, project), year, project, Reader(system)))


@pytest.mark.parametrize("system", ["metric", "us"])
def test_lines_fit_a_hundred_columns(year: Year, system: System) -> None:
    assert max(len(line) for line in page(year, system=system).splitlines()) <= 100


def test_both_tables_have_every_month_and_a_total(year: Year) -> None:
    text = page(year)
    for month in MONTHS:
        assert len(re.findall(rf"^{month} ", text, re.M)) == 2
    assert len(re.findall(r"^all  ", text, re.M)) == 2


def test_the_figures_are_those_of_the_year(year: Year) -> None:
    january = next(line for line in page(year).splitlines() if line.startswith("January "))
    month = year.months()[0]
    assert [f"{month.sun_on_wall_kwh:,.0f}", f"{month.delivered_kwh:,.0f}"] == [
        january.split()[1],
        january.split()[4],
    ]


def test_the_invented_is_marked(year: Year) -> None:
    assert "(an invented example)" in page(year).splitlines()[0]
    assert "(an invented example)" not in page(year, demo(invented=False))


def test_us_readers_meet_no_metric_unit(year: Year) -> None:
    text = page(year, system="us")
    assert not re.search(r"°C|\d (kW|mm|m)\b", text)
    for electricity in re.findall(r"(.{0,40})\bkWh\b", text):
        assert re.search(r"electricity|^\s*(kBtu.*)?\bh\s*$", electricity), electricity


def test_a_project_without_heater_has_no_heater_columns(year: Year) -> None:
    project = demo()
    bare = demo(shop=project.shop.model_copy(update={"heater": None}))
    assert "heater with" not in " ".join(page(year, bare).split())
    assert "there is no heater in this project" in page(year, bare)


def test_a_name_stays_on_its_line_and_leaves_the_terminal_alone(year: Year) -> None:
    text = page(year, demo(name="two\nlines \x1b[2J and\ta bell\a"))
    assert text.splitlines()[0] == "two lines [2J and a bell (an invented example)"


def test_a_stretch_without_january_leaves_the_winter_lines_out() -> None:
    summer = invented_year(start="2001-06-01", days=30)
    assert "THE SHOP IN JANUARY" not in page(summer)


def test_weather_is_told_with_its_distance_and_its_repairs(year: Year) -> None:
    repaired = replace(year, weather_hours_repaired=12.0, weather_notes=("Three days in June were filled.",))
    assert "Houlton (made from its monthly figures), 12 km from the site" in page(year)
    assert "7 miles from the" in page(year, system="us")
    assert "12 h of it repaired" in page(repaired)
    assert "Three days in June were filled." in page(repaired)


def test_the_shop_alone_has_its_own_page(year: Year) -> None:
    project = demo()
    text = str(alone_page(answers(year, project), year, project, Reader()))
    assert "without the wall" in text.splitlines()[0]
    assert "sun on" not in text


def line_of(text: str, begin: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(begin))


def test_the_builders_own_hours_head_the_winter_lines(year: Year) -> None:
    shop = demo().shop
    hours = (8.0, 10.0, 12.0, 15.5, 18.0, 24.0)
    asked = demo(shop=shop.model_copy(update={"comfort": shop.comfort.model_copy(update={"hours": hours})}))
    head = "THE SHOP IN JANUARY"
    assert line_of(page(year), head).split()[-6:] == ["8", "h", "12", "h", "18", "h"]
    assert line_of(page(year, asked), head).endswith("8 h   10 h   12 h  15:30   18 h   24 h")
    text = page(year, asked, "us")
    assert (
        line_of(text, head).split()[-9:]
        == ["am", "10", "am", "noon", "3:30", "pm", "6", "pm", "12", "am"][-9:]
    )
    assert max(len(line) for line in text.splitlines()) <= 100


def test_heat_of_the_heater_is_told_for_each_winter_day(year: Year) -> None:
    told = answers(year, demo()).winter_days[0]
    wanted = (
        f"gives {told.heater_kwh:.0f} kWh that day, {told.heater_without_wall_kwh:.0f} kWh without the wall"
    )
    assert wanted in page(year)


def test_the_column_of_direct_sun_is_left_out_when_nothing_shades(year: Year) -> None:
    assert "direct sun" in page(year)
    assert "direct sun" not in page(with_table(year, beam_on_wall_w=year.table.beam_on_wall_open_w))


def test_no_minus_before_nought_in_the_columns(year: Year) -> None:
    cold = with_table(year, room_c=np.full(len(year.table.time), -17.8))
    assert not re.search(r" -0\b(?!\.)", page(cold, system="us"))


def test_fuel_burned_more_carries_no_minus(year: Year) -> None:
    worse = with_table(year, backup_w=year.table.backup_without_w + 100.0)
    line = line_of(page(worse), "Fuel not burned")
    assert re.search(r"none: \d+ gallons more burned, about \d+ USD", line)


@given(st.floats(0.05, 5000.0), st.floats(0.1, 50.0))
def test_law_money_beside_an_amount_is_the_price_times_the_amount_shown(amount: float, price: float) -> None:
    worth = worth_as_shown(amount, price * amount)
    assert worth == pytest.approx(price * float(few(amount).replace(",", "")))
    assert worth_as_shown(-amount, -price * amount) == worth


def test_two_amounts_that_differ_are_not_worth_the_same() -> None:
    assert [f"{worth_as_shown(a, 2.6 * a):.0f}" for a in (70.4, 70.6)] == ["182", "185"]


def test_sentence_and_table_round_too_hot_hours_alike() -> None:
    # two quarters past thirty hours: rounding half to even would tell 30 in the sentence and 31 in the table
    quick = invented_year(900)
    hot = np.where(np.arange(len(quick.table.time)) < 122, 30.0, 15.0)
    text = page(with_table(quick, room_c=hot, room_without_c=hot))
    assert "for 31 hours of the year (31 without the wall)" in " ".join(text.split())
    assert "  31      31  " in [line for line in text.splitlines() if line.startswith("all ")][1]


@pytest.mark.parametrize(
    ("azimuth", "words"),
    [
        (180.0, "south"),
        (172.0, "8° east of south"),
        (195.5, "15.5° west of south"),
        (90.0, "east"),
        (0.0, "north"),
        (10.0, "10° east of north"),
        (350.0, "10° west of north"),
        (271.0, "89° west of north"),
    ],
)
def test_facing(azimuth: float, words: str) -> None:
    assert facing(azimuth) == words


def test_a_number_is_never_parted_from_its_unit() -> None:
    for length in range(60, 90):
        text = filled("x" * length + " then 12 kWh and 80 % at 20 °C")
        assert not re.search(r"\d$", text, re.M)


def test_nothing_is_called_safe(year: Year) -> None:
    assert "safe" not in page(year).lower()
