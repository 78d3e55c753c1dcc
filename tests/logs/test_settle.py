"""Learned values written as plain keys: the engine then assumes what was learned."""

from __future__ import annotations

import pytest

from fakes.projects import plain_text
from noonwall.engine.simulate import build_case, surroundings
from noonwall.logs.learn.errors import LearningError
from noonwall.logs.learn.keep import _any_day
from noonwall.logs.learn.parameters import parameters_of
from noonwall.logs.learn.settle import PLAIN, settled
from noonwall.model.edit import set_values
from noonwall.model.file import from_text

TEXT = set_values(
    plain_text(), {"wall.flap.row": "bottom", "shop.heater.setpoint": "8 C", "shop.heater.power": "9 kW"}
)


def assumed(text: str) -> dict[str, float]:
    project = from_text(text)
    case = build_case(project, surroundings(project, _any_day(project), 3600))
    return {item.key: item.assumed(case) for item in parameters_of(case)}


BEFORE = assumed(TEXT)


@pytest.mark.parametrize("key", PLAIN)
def test_the_engine_assumes_what_was_learned(key: str) -> None:
    wanted = BEFORE[key] + 1.5 if key == "set_point" else BEFORE[key] * 0.8
    after = assumed(settled(TEXT, key, BEFORE[key], wanted))
    assert after[key] == pytest.approx(wanted, rel=2e-3, abs=0.06 if key == "set_point" else 0.0)
    assert {k: v for k, v in after.items() if k != key} == pytest.approx(
        {k: v for k, v in BEFORE.items() if k != key}
    )


def test_a_blower_door_figure_makes_room_for_the_learned_leak() -> None:
    text = set_values(TEXT, {"shop.air.air_changes_at_50_pa": 9.0})
    before = assumed(text)["air_leakage"]
    assert assumed(settled(text, "air_leakage", before, 500.0))["air_leakage"] == pytest.approx(
        500.0, rel=1e-3
    )


def test_what_has_no_plain_key_is_told() -> None:
    with pytest.raises(LearningError, match="no plain key"):
        settled(TEXT, "shop_loss", 100.0, 120.0)


def test_fans_are_not_corrected_twice() -> None:
    once = settled(TEXT, "fan_flow", BEFORE["fan_flow"], 0.8 * BEFORE["fan_flow"])
    with pytest.raises(LearningError, match="learn again"):
        settled(once, "fan_flow", BEFORE["fan_flow"], 0.8 * BEFORE["fan_flow"])
