"""The year in six figures, beside the year before the last change."""

from __future__ import annotations

import copy

from fakes.years import invented_year
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text, new_text
from noonwall.report.document import year_document
from noonwall.report.key_figures import change_rule, key_figures
from noonwall.report.reader import Reader
from noonwall.report.second_look import odd, odd_place, of_weight


def test_without_a_year_before_there_is_no_change() -> None:
    figures = key_figures(year_document(invented_year()), None, Reader("metric"))
    assert [figure.name for figure in figures] == [
        "into the shop", "of use", "carried back out", "heater gives less", "too hot",
        "wall's usual peak",
    ]  # fmt: skip
    assert all(figure.change == "" and figure.better is None for figure in figures)


def test_a_change_has_a_sign_and_says_whether_it_is_for_the_better() -> None:
    now = year_document(invented_year())
    before = copy.deepcopy(now)
    before["year"]["delivered_kwh"] -= 120.0
    before["year"]["night_loss_kwh"] -= 90.0
    before["year"]["too_hot_hours"] += 12.0
    before["peaks"]["absorber_c"]["value"] -= 12.0
    into, use, out, _, hot, wall = key_figures(now, before, Reader("metric"))
    assert (into.change, into.better) == ("+120 kWh", True)
    assert (use.change, use.better) == ("as before", None)
    assert (out.change, out.better) == ("+90 kWh", False)
    assert (hot.change, hot.better) == ("\N{MINUS SIGN}12 h", True)
    assert (wall.change, wall.better) == ("+12 K", False)
    # 3412.142 Btu a kWh (NIST SP 811)
    assert key_figures(now, before, Reader("us"))[0].change == "+409 kBtu"


def test_what_the_model_hardly_tells_apart_keeps_its_size_and_says_so() -> None:
    now = year_document(invented_year())
    now["year"] |= {"delivered_kwh": 5000.0, "night_loss_kwh": 100.0, "too_hot_hours": 10.0,
                    "backup_kwh": 8000.0, "backup_without_wall_kwh": 9000.0}  # fmt: skip
    before = copy.deepcopy(now)
    before["year"] |= {
        "delivered_kwh": 5040.0,
        "night_loss_kwh": 101.5,
        "too_hot_hours": 11.5,
        "backup_kwh": 8045.0,
    }
    told = {
        "metric": ("\N{MINUS SIGN}40 kWh", "\N{MINUS SIGN}2 kWh", "+45 kWh", "\N{MINUS SIGN}2 h"),
        "us": ("\N{MINUS SIGN}136 kBtu", "\N{MINUS SIGN}5 kBtu", "+154 kBtu", "\N{MINUS SIGN}2 h"),
    }
    for system, changes in told.items():
        figures = key_figures(now, before, Reader(system))
        moved = [figure.change for figure in figures if figure.change != "as before"]
        assert moved == [f"{change}, about as before" for change in changes]
        assert (figures[1].change, figures[5].change) == ("as before", "as before")
        assert all(figure.better is None for figure in figures)
    before["year"]["delivered_kwh"], before["year"]["backup_kwh"] = 5060.0, 8090.0
    into, *_, saved, _, _ = key_figures(now, before, Reader("metric"))
    assert (into.change, into.better) == ("\N{MINUS SIGN}60 kWh", False)
    assert (saved.change, saved.better) == ("+90 kWh", True)


def test_one_rule_tells_better_from_about_as_before_and_is_told() -> None:
    now = year_document(invented_year())
    now["year"] |= {"delivered_kwh": 3000.0, "night_loss_kwh": 1300.0, "too_hot_hours": 835.0,
                    "backup_kwh": 9000.0, "backup_without_wall_kwh": 9700.0}  # fmt: skip
    before = copy.deepcopy(now)
    before["year"] |= {"night_loss_kwh": 1260.0, "backup_kwh": 9036.0, "too_hot_hours": 827.0}
    before["peaks"]["absorber_c"]["value"] += 1.1
    # 40 kWh and 36 kWh are both above a hundredth of 3000 kWh, whatever each is a part of; 8 h are below 9 h
    _, _, out, saved, hot, wall = key_figures(now, before, Reader("metric"))
    assert (out.better, saved.better, hot.better, wall.better) == (False, True, None, None)
    assert out.told.endswith("a change of less than 30 kWh is told as about as before")
    assert "from 30 kWh on (1 % of the heat into the shop), 9 h, 2 K" in change_rule(now, before, Reader())
    for warmer in (2.0, -2.0):  # 3.6 F: the same size is told the same, up and down
        before["peaks"]["absorber_c"]["value"] = now["peaks"]["absorber_c"]["value"] + warmer
        assert key_figures(now, before, Reader("us"))[5].better is (warmer > 0.0)


def test_what_is_saved_is_told_in_fuel_and_money_too() -> None:
    now = year_document(invented_year())
    now["year"]["backup_without_wall_kwh"], now["year"]["backup_kwh"] = 3000.0, 1000.0
    text = (
        new_text(system="us")
        .replace("# price = 2.60 ", "price = 2.60 ")
        .replace("# price_unit", "price_unit")
    )
    # by hand: 2000 kWh at 80 % is 2500 kWh, and a gallon of propane about 26.8 kWh (91,500 Btu)
    assert key_figures(now, None, Reader("us"), from_text(text))[3].also == "93 gallons, about 242 USD"
    assert key_figures(now, None, Reader("us"), from_text(new_text()))[3].also == "93 gallons"


def test_a_change_of_nothing_is_as_before() -> None:
    now = year_document(invented_year())
    before = copy.deepcopy(now)
    before["year"]["delivered_kwh"] -= 0.01
    before["peaks"]["absorber_c"]["value"] -= 0.2
    assert [figure.change for figure in key_figures(now, before, Reader("us"))][:3] == ["as before"] * 3
    assert key_figures(now, before, Reader("metric"))[5].change == "as before"
    before["peaks"]["absorber_c"]["value"] -= 0.7
    assert key_figures(now, before, Reader("metric"))[5].change == "+1 K, about as before"


def test_saved_is_what_the_heater_gives_less_than_without_the_wall() -> None:
    now = year_document(invented_year())
    now["year"]["backup_without_wall_kwh"], now["year"]["backup_kwh"] = 1000.0, 800.0
    assert key_figures(now, None, Reader("metric"))[3].value == "200 kWh"
    now["year"]["backup_kwh"] = None
    assert key_figures(now, None, Reader("metric"))[3].value == "-"


def test_the_second_look_finds_what_the_command_finds() -> None:
    text = demo_text().replace('gap = "90 mm"', 'gap = "90 mm"\nheight_of_nothing = 1').replace(
        "\nheight_of_nothing = 1", "")  # fmt: skip
    assert odd(text, "metric") == ()
    assert odd_place(text, ".", "metric") == ()
    west = text.replace('"67.8 W"', '"67.8 E"')
    assert [problem.key for problem in odd_place(west, ".", "metric")] == ["site.longitude"]
    narrow = text.replace('height = "100 mm"', 'height = "10 mm"')
    assert {problem.key for problem in odd(narrow, "metric")} >= {"wall.vents.bottom", "wall.vents.top"}


def test_assumptions_of_weight_come_in_order() -> None:
    keys = [item.key for item in of_weight(demo_text(), "metric")]
    assert keys[:2] == ["shop.slab.edge_loss", "weather.file"]
