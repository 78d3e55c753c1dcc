"""The page of variants: ways are added, changed, set side by side, and one is made the project."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from nicegui import ui

from fakes.worker import IdleWorker
from noonwall.model.edit import add_item
from noonwall.web.asked import Answer
from noonwall.web.parts.side_by_side import table_of

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


@pytest.fixture(autouse=True)
def idle(bench: Bench) -> None:
    """Let nothing be calculated: two test files of their own look at the figures."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


def button(user: User, told: str) -> ui.button:
    """Return the button with a label for those who do not see it."""
    with user:
        return next(b for b in user.find(ui.button).elements if b.props.get("aria-label") == told)


def press(user: User, told: str) -> None:
    with user:
        for listener in list(button(user, told)._event_listeners.values()):
            if listener.type == "click":
                from nicegui import events

                events.handle_event(
                    listener.handler,
                    events.GenericEventArguments(sender=button(user, told), client=user.client, args={}),
                )


def names(bench: Bench) -> list[str]:
    return [way.name for way in bench.desk.project.variants]


def field(user: User, label: str) -> Any:
    with user:
        return next(e for e in user.find(ui.input).elements if e.props.get("label") == label)


async def test_a_change_is_added_and_shown(user: User, bench: Bench) -> None:
    await user.open("/variants")
    before = names(bench)
    field(user, "What is different").value = "wall.gap=120 mm + overhang=none"
    field(user, "Its name, if you like").value = "wide <b>gap</b>"
    user.find("Add").click()
    await user.should_see("wall.gap=120 mm + overhang=none")
    assert names(bench) == [*before, "wide <b>gap</b>"]
    assert bench.desk.next_undo is not None and "variant added" in bench.desk.next_undo
    assert field(user, "What is different").value == ""


async def test_what_does_not_fit_is_refused_in_one_line(user: User, bench: Bench) -> None:
    await user.open("/variants")
    text = bench.desk.text
    field(user, "What is different").value = "flop"
    user.find("Add").click()
    await user.should_see("No remedy is called")
    assert bench.desk.text == text
    await user.should_see("pick it under 'Or one value of the project'")
    field(user, "What is different").value = "flap"
    await user.should_not_see("No remedy is called")
    field(user, "What is different").value = "flop"
    assert field(user, "What is different").value == "flop"


async def test_a_variant_is_copied_taken_away_and_brought_back(user: User, bench: Bench) -> None:
    await user.open("/variants")
    first, *rest = names(bench)
    press(user, f"Take {rest[-1]} away")
    press(user, f"Copy {first}")
    await user.should_see(f"{first} 2")
    press(user, f"Take {first} away")
    await user.should_see("undo brings it back")
    assert names(bench) == [*rest[:-1], f"{first} 2"]
    bench.desk.undo()
    assert names(bench) == [first, *rest[:-1], f"{first} 2"]


async def test_one_is_made_the_project_and_undone(user: User, bench: Bench) -> None:
    await user.open("/variants")
    text, before = bench.desk.text, names(bench)
    assert bench.desk.project.wall.flap is None
    press(user, "Make flap the project")
    await user.should_see("is now part of the project")
    assert bench.desk.project.wall.flap is not None
    assert names(bench) == [name for name in before if name != "flap"]
    bench.desk.undo()
    assert bench.desk.text == text


async def test_a_name_and_changes_are_edited(user: User, bench: Bench) -> None:
    await user.open("/variants")
    press(user, "Change flap")
    await user.should_see("What is different, one a line")
    field(user, "Name").value = "a tight flap"
    with user:
        written = next(iter(user.find(ui.textarea).elements))
    written.value = "flap=1 %\nroom limit"
    user.find("Keep").click()
    await user.should_see("a tight flap")
    way = next(way for way in bench.desk.project.variants if way.name == "a tight flap")
    assert way.change == ("flap=1 %", "room limit")


async def test_a_refused_edit_is_told_at_its_box_and_keeps_what_was_typed(user: User, bench: Bench) -> None:
    await user.open("/variants")
    text, first = bench.desk.text, names(bench)[0]
    press(user, f"Change {first}")
    await user.should_see("What is different, one a line")
    with user:
        written = next(iter(user.find(ui.textarea).elements))
    written.value = "flop"
    user.find("Keep").click()
    await user.should_see("No remedy is called")
    assert "No remedy is called" in (written.error or "")
    assert (written.value, field(user, "Name").error) == ("flop", None)
    written.value = "flap"
    assert written.error is None
    field(user, "Name").value = names(bench)[1]
    user.find("Keep").click()
    await user.should_see("is called")
    assert "already" in (field(user, "Name").error or "")
    assert (written.error, bench.desk.text) == (None, text)
    field(user, "Name").value = "another"
    user.find("Keep").click()
    await user.should_see("another")
    assert names(bench)[0] == "another"


async def test_a_variant_that_does_not_fit_says_why(user: User, bench: Bench) -> None:
    odd = {"name": "odd", "change": ["fan[9].count=2"]}
    first = names(bench)[0]
    bench.desk.change(lambda text: add_item(_without(text, first), "variant", odd), "odd")
    await user.open("/variants")
    await user.should_see("Left out:")


def _without(text: str, name: str) -> str:
    from noonwall.studies.variants import without

    return without(text, name)


FOUND: dict[str, Any] = {
    "names": ["as described", "flap <i>", "cover"],
    "changes": [[], ["flap"], ["cover"]],
    "findings": [],
    "rows": [
        {"title": "of use, kWh", "opens": "Heat", "more_is_better": True, "cells": [
            {"text": "100", "verdict": "base", "apart": ""},
            {"text": "120", "verdict": "better", "apart": "+20"},
            {"text": "90", "verdict": "worse", "apart": "-10"},
        ]},
        {"title": "too hot, h", "opens": "", "more_is_better": False, "cells": [
            {"text": "18", "verdict": "base", "apart": ""},
            {"text": "18", "verdict": "same", "apart": ""},
            {"text": "2", "verdict": "better", "apart": "-16"},
        ]},
    ],
}  # fmt: skip


def test_differences_are_told_by_word_and_sign() -> None:
    page = table_of(FOUND, [0, 1, 2])
    assert "&#9650; +20 better" in page and "&#9660; -10 worse" in page and "= same" in page
    assert "<i>" not in page and "flap &lt;i&gt;" in page


def test_only_what_is_ticked_is_shown() -> None:
    page = table_of(FOUND, [0, 2])
    assert "+20" not in page and "-16" in page
    assert page.count('scope="col"') == 3


@pytest.mark.parametrize("name", ["a\\x 'b' \"c\"", "back\\", 'onfocus="x"', "fir & fern"])
async def test_any_name_is_told_as_it_is_typed(name: str, user: User, bench: Bench) -> None:
    bench.desk.change(lambda text: add_item(text, "variant", {"name": name, "change": ["flap"]}), name)
    await user.open("/variants")
    assert button(user, f"Make {name} the project").props["outline"]
    assert button(user, "Undo").props["title"] == name


async def test_ticks_are_shared_by_windows_and_kept(user: User, bench: Bench) -> None:
    from noonwall.web.parts.side_by_side import side_by_side
    from noonwall.web.parts.ticks import ticks_of

    @ui.page("/ticks")
    def page() -> None:
        side_by_side(bench, FOUND)
        side_by_side(bench, FOUND)  # as a second window shows it

    await user.open("/ticks")
    with user:
        one, other = [box for box in user.find(ui.checkbox).elements if box.text == "cover"]
    one.set_value(False)
    assert other.value is False
    with user:
        tables = [html.content for html in user.find(ui.html).elements if "nw-side" in html.content]
    assert len(tables) == 2 and not any("-16 better" in table for table in tables)
    ticks_of(bench, "ways").set("cover", True)
    assert one.value is other.value is True


async def test_a_value_of_the_project_is_picked_and_typed_anew(user: User, bench: Bench) -> None:
    await user.open("/variants")
    with user:
        values = next(e for e in user.find(ui.select).elements if "one value" in str(e.props.get("label")))
    assert values.options["wall.gap"] == "Depth of the air gap (wall): 90 mm"
    with user:
        values.value = "wall.gap"
    assert field(user, "What is different").value == "wall.gap=90 mm"
    await user.should_see("Depth of the air gap (wall) is 90 mm now")
    field(user, "What it becomes").value = "120 mm"
    assert field(user, "What is different").value == "wall.gap=120 mm"
    user.find("Add").click()
    assert bench.desk.project.variants[-1].change == ("wall.gap=120 mm",)
    await user.should_see("Added below: wall.gap=120 mm.")


async def test_a_cover_is_picked_with_the_dates_that_were_found(user: User, bench: Bench) -> None:
    await user.open("/variants")
    with user:
        picked = next(e for e in user.find(ui.select).elements if "usual remedy" in str(e.props.get("label")))
        picked.value = "cover"
    assert field(user, "What is different").value == "cover"
    await user.should_see("Its dates are the usual warm season, 1 May to 15 September")
    found = {"season_found": True, "season": [["06-04", "09-30"]]}
    kept = bench.result("comfort")
    kept.answer, kept._order = Answer("comfort", found, (), ()), kept.order
    with user:
        field(user, "What is different").value = ""
        picked.value = None
        picked.value = "cover"
    assert field(user, "What is different").value == "cover=06-04..09-30"
    await user.should_see("On the dates that the page Too warm found")


async def test_nothing_picked_is_not_added(user: User, bench: Bench) -> None:
    await user.open("/variants")
    before = names(bench)
    user.find("Add").click()
    await user.should_see("Pick a remedy or a value first.")
    assert names(bench) == before


async def test_a_way_that_changes_nothing_is_not_offered(user: User, bench: Bench) -> None:
    bench.desk.change(
        lambda text: add_item(text, "variant", {"name": "same", "change": ["wall.gap=90 mm"]}), "same"
    )
    await user.open("/variants")
    await user.should_see("nothing changes")
    labels = [str(b.props.get("aria-label")) for b in user.find(ui.button).elements]
    assert "Make same the project" not in labels
    assert "Take same away" in labels
