"""The year's first figures: heat, fuel, money, electricity."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes.projects import plain
from fakes.years import invented_year
from noonwall.assess.sums import answers
from noonwall.report.brought import brought
from noonwall.report.reader import Reader


@pytest.mark.parametrize("reader", [Reader("metric"), Reader("us")])
def test_heat_fuel_and_fans_in_the_readers_units(reader: Reader) -> None:
    found = answers(invented_year(3600), plain())
    rows = {row["name"]: row for row in brought(found, plain(), reader)}
    assert rows["Heat into the shop"]["value"] == reader.heat_text(found.whole.delivered_kwh)
    assert rows["Of use"]["value"] == reader.heat_text(found.whole.useful_kwh)
    assert rows["Fans"]["value"].endswith(" kWh")


def test_no_heater_saves_no_fuel() -> None:
    found = replace(answers(invented_year(3600), plain()), fuel=None)
    fuel = brought(found, plain(), Reader())[2]
    assert (fuel["value"], fuel["note"]) == ("-", "there is no heater in this project")
