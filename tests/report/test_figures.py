"""The year's picture: drawn in each form, the same bytes each time, its parts right."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.sums import answers
from noonwall.errors import OutputError
from noonwall.report import ink
from noonwall.report.figures import (
    by_hour,
    draw_shop,
    form_of,
    middle_hours,
    running_text,
    scale_of_warmth,
    year_picture,
)
from noonwall.report.reader import Reader
from noonwall.report.tables import worth_as_shown

if TYPE_CHECKING:
    from noonwall.engine.year import Year
    from noonwall.units import System


def picture(year: Year, system: System = "metric", form: str = "png") -> bytes:
    project = demo()
    return year_picture(answers(year, project), year, project, Reader(system), form)


def test_png_is_a_whole_page_and_the_same_each_time() -> None:
    year = invented_year()
    drawn = picture(year)
    assert drawn.startswith(b"\x89PNG")
    width, height = (int.from_bytes(drawn[at : at + 4], "big") for at in (16, 20))
    assert (width, height) == (1654, 2338)
    assert drawn == picture(year)


@pytest.mark.parametrize(("form", "begin"), [("svg", b"<?xml"), ("pdf", b"%PDF")])
def test_other_forms(form: str, begin: bytes) -> None:
    assert picture(invented_year(), "us", form).startswith(begin)


def test_a_dark_year_and_a_short_one_can_be_drawn() -> None:
    year = invented_year(wall=0.0)
    nothing = np.zeros(len(year.table.time))
    assert picture(with_table(year, sun_on_wall_w=nothing, delivered_w=nothing, useful_w=nothing)).startswith(
        b"\x89PNG"
    )
    assert picture(invented_year(900, start="2001-12-15", days=40)).startswith(b"\x89PNG")


def test_a_name_is_a_name_whatever_stands_in_it() -> None:
    year, project = invented_year(), demo(name="Ann's $5 shop $\\frac{1$ \x1b[31m \n _^{} %")
    drawn = year_picture(answers(year, project), year, project, Reader(), "svg")
    assert drawn.startswith(b"<?xml")


def test_by_hour_is_the_mean_of_each_hour_and_leaves_a_broken_day_open() -> None:
    values = np.repeat(np.arange(30.0), 4) + np.tile([0.0, 1.0, 2.0, 3.0], 30)
    carpet = by_hour(values, 900)
    assert carpet.shape == (24, 2)
    assert carpet[5, 0] == pytest.approx(6.5)
    assert carpet[5, 1] == pytest.approx(30.5)
    assert np.isnan(carpet[6:, 1]).all()


def test_middle_hours_hold_four_fifths_of_the_heat() -> None:
    heat = np.tile(np.where(np.isin(np.arange(24), range(10, 20)), 1.0, 0.0), 3)
    assert middle_hours(heat, 3600) == (10, 19)
    assert middle_hours(np.zeros(48), 3600) is None


def test_fuel_and_money_stand_on_the_picture() -> None:
    year, project = invented_year(), demo()
    found = answers(year, project)
    assert found.fuel is not None
    said = running_text(found, project)
    assert found.fuel.money is not None
    worth = worth_as_shown(found.fuel.amount, found.fuel.money)
    assert f"{found.fuel.amount:,.0f} gallons of propane not burned, about {worth:,.0f} USD" in said
    assert f"{found.whole.fan_kwh:,.0f} kWh of electricity for the fans" in said
    worse = answers(with_table(year, backup_w=year.table.backup_without_w + 100.0), project)
    assert "gallons of propane more burned" in running_text(worse, project)
    bare = demo(shop=project.shop.model_copy(update={"heater": None}))
    assert "No heater in this project" in running_text(answers(year, bare), bare)


def test_the_scale_of_warmth_ends_where_the_year_ends() -> None:
    assert scale_of_warmth(np.array([[10.0, 20.0], [15.0, 40.0]]), (10.0, 26.0)) == [10.0, 26.0, 40.0]
    assert scale_of_warmth(np.array([[-5.0, 20.0]]), (10.0, 26.0)) == [-5.0, 10.0, 20.0]
    assert scale_of_warmth(np.full((2, 2), 10.0), (10.0, 26.0)) == [10.0, 11.0]


def test_a_limit_beyond_the_axis_is_not_named_beside_it() -> None:
    year, project = invented_year(), demo()
    warm = with_table(year, room_c=year.table.room_c + 40.0, room_without_c=year.table.room_without_c + 40.0)
    with ink.drawing():
        for drawn, words in ((year, ["warm enough", "too hot"]), (warm, [])):
            axes = ink.blank().add_subplot()
            draw_shop(axes, answers(drawn, project), drawn, Reader())
            assert [text.get_text() for text in axes.texts] == words


@pytest.mark.parametrize("path", ["year", "year.gif", "year.png.txt"])
def test_an_unknown_form_is_refused(path: str) -> None:
    with pytest.raises(OutputError, match=r"\.png, \.svg or \.pdf"):
        form_of(path)
