"""The names of a chart's lines stand in full above it, on a phone too, and each is a switch for hand and keyboard."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

import pytest
from nicegui import ui

from fakes.pages import answered
from noonwall.web.pages.year import DASHES, SHOWN
from noonwall.web.parts.chart import bars, line
from noonwall.web.parts.keys import patterned, swatch

if TYPE_CHECKING:
    from nicegui.testing import User

    from noonwall.web.bench import Bench


def keys_of(user: User, name: str) -> ui.element:
    (key,) = [
        button for button in user.find(kind=ui.element).elements
        if button.tag == "button" and "nw-key" in button.classes
        and any(f"<span>{name}</span>" in str(child.props.get("innerHTML")) for child in button)
    ]  # fmt: skip
    return key


def test_bars_beside_each_other_differ_in_pattern_and_keep_their_own() -> None:
    own = {"symbol": "pin"}
    told = patterned([bars("a", [1.0], "#111"), bars("b", [1.0], "#222"), line("c", [1.0], "#333"),
                      {**bars("d", [1.0], "#444"), "itemStyle": {"decal": own}}])  # fmt: skip
    decals = [one["itemStyle"].get("decal") for one in told]
    assert decals[0] != decals[1]
    assert decals[2] is None
    assert decals[3] == own


@pytest.mark.parametrize(
    ("series", "drawn"),
    [
        (line("a", [], "#123456", "dashed"), 'stroke-dasharray="8 4"'),
        (line("a", [], "#123456", [10, 3, 2, 3]), 'stroke-dasharray="10 3 2 3"'),
        (patterned([bars("a", [], "#000"), bars("b", [], "#123456")])[1], "M0 12 12 0"),
        ({"type": "scatter", "symbol": "triangle", "itemStyle": {"color": "#123456"}}, "M15 1 22 13H8z"),
        ({"type": "scatter", "itemStyle": {"color": "#123456"}}, "M10 2 20 12"),
    ],
)
def test_the_sign_beside_a_name_is_that_of_the_chart(series: dict[str, Any], drawn: str) -> None:
    assert drawn in swatch(series)
    assert "#123456" in swatch(series)


def test_the_temperatures_shown_at_first_have_dashes_of_their_own() -> None:
    from noonwall.report.course import TEMPERATURES

    names = [word for _, word in TEMPERATURES]
    shown = [str(DASHES[names.index(word)]) for word in SHOWN]
    assert len(set(shown)) == len(SHOWN)


async def test_four_temperatures_are_shown_at_first_and_a_press_shows_another(
    user: User, bench: Bench
) -> None:
    await user.open("/")
    await answered(bench.result("year"))
    await user.should_see("Temperatures", retries=200)
    floor, absorber = keys_of(user, "floor"), keys_of(user, "absorber")
    assert (floor.props["aria-pressed"], absorber.props["aria-pressed"]) == ("false", "true")
    chart = next(c for c in user.find(kind=ui.echart).elements
                 if any(s["name"] == "floor" for s in c.options["series"]))  # fmt: skip
    assert chart.options["legend"]["selected"]["floor"] is False
    assert "absorber" not in chart.options["legend"]["selected"]
    for listener in floor._event_listeners.values():
        floor._handle_event({"id": floor.id, "listener_id": listener.id, "args": {}})
    await asyncio.sleep(0.05)
    assert floor.props["aria-pressed"] == "true"
    assert chart.options["legend"]["selected"]["floor"] is True
