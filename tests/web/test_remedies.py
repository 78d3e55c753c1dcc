"""Pages that offer what was calculated: a button puts it into the project as one step, ticks say what is lived with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from nicegui import ui

from fakes import studies
from fakes.projects import plain
from fakes.worker import IdleWorker
from noonwall.model.edit import set_value
from noonwall.report.blocks import page_of
from noonwall.report.comfort_cover import cover_offer
from noonwall.report.comfort_document import comfort_document
from noonwall.report.comfort_page import comfort_page
from noonwall.report.hot_document import hot_document
from noonwall.report.hot_page import hot_page
from noonwall.report.hot_steps import hot_steps
from noonwall.report.reader import Reader
from noonwall.studies.remedies import limit_points
from noonwall.web.asked import Answer

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.report.blocks import Page
    from noonwall.web.bench import Bench

US = Reader("us")


@pytest.fixture(autouse=True)
def idle(bench: Bench) -> None:
    """Let nothing be calculated: answers of the plain demo are laid out instead."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


def lay_out(bench: Bench, question: str, document: dict[str, Any], page: Page, more: dict[str, Any]) -> None:
    result = bench.result(question)
    result.answer = Answer(question, document, page.blocks, (), False, more)


async def test_a_wall_above_its_limit_is_given_a_metal_frame_and_undo_takes_it_back(
    user: User, bench: Bench
) -> None:
    study, weather = studies.hot_of_plain(), studies.plain_weather()
    page = hot_page(study, plain(), weather, US)
    lay_out(bench, "hot", hot_document(study, weather), page, hot_steps(study, plain(), US))
    await user.open("/hot")
    await user.should_see("Above a published limit: what to do")
    with user:
        first = min((b for b in user.find("Put it into the project").elements), key=lambda b: b.id)
    before = bench.desk.text
    _press(user, first)
    assert bench.desk.project.wall.frame.material == "steel sheet"
    await user.should_see("Undo takes it back")
    assert bench.desk.undo() == "frame and studs of sheet metal"
    assert bench.desk.text == before


async def test_ticks_are_kept_under_hot_accepted(user: User, bench: Bench) -> None:
    study, weather = studies.hot_of_plain(), studies.plain_weather()
    page = hot_page(study, plain(), weather, US)
    lay_out(bench, "hot", hot_document(study, weather), page, hot_steps(study, plain(), US))
    await user.open("/hot")
    with user:
        tick = next(e for e in user.find(ui.checkbox).elements if e.text.startswith("fans dead: "))
        tick.value = True
    user.find("Keep the ticks").click()
    assert bench.desk.project.hot.accepted == ("fans dead",)
    bench.desk.undo()
    assert bench.desk.project.hot.accepted == ()


async def test_ticks_leave_what_another_window_accepted_meanwhile(user: User, bench: Bench) -> None:
    study, weather = studies.hot_of_plain(), studies.plain_weather()
    page, steps = hot_page(study, plain(), weather, US), hot_steps(study, plain(), US)
    here, *others = (case["case"] for case in steps["cases"] if case["case"] != "as described")
    assert others
    lay_out(bench, "hot", hot_document(study, weather), page, steps)
    await user.open("/hot")
    with user:
        tick = next(e for e in user.find(ui.checkbox).elements if e.text.startswith(f"{here}: "))
    bench.desk.change(lambda text: set_value(text, "hot.accepted", others), "in another window")
    tick.value = True
    user.find("Keep the ticks").click()
    assert bench.desk.project.hot.accepted == (*others, here)
    user.find("Keep the ticks").click()
    bench.desk.change(lambda text: set_value(text, "hot.accepted", [here]), "in another window")
    tick.value = False
    user.find("Keep the ticks").click()
    assert bench.desk.project.hot.accepted == ()


async def test_normal_working_is_accepted_only_after_a_question(user: User, bench: Bench) -> None:
    study, weather = studies.hot_of_plain(), studies.plain_weather()
    usual = "as described"
    steps = hot_steps(study, plain(), US)
    told = next(case["told"] for case in steps["cases"] if case["case"] == usual)
    lay_out(bench, "hot", hot_document(study, weather), hot_page(study, plain(), weather, US), steps)
    await user.open("/hot")
    with user:
        tick = next(e for e in user.find(ui.checkbox).elements if e.text.startswith(usual))
        tick.value = True
        other = next(e for e in user.find(ui.checkbox).elements if e.text.startswith("fans dead: "))
        other.value = True
    user.find("Keep the ticks").click()
    await user.should_see("This is normal working, not a failure")
    await user.should_see(
        f"With everything working as described: {told}.".replace(" °", "\N{NO-BREAK SPACE}°")
    )
    assert bench.desk.project.hot.accepted == ()
    user.find("Leave the warning").click()
    assert bench.desk.project.hot.accepted == ("fans dead",)  # what else was ticked is kept
    assert not tick.value
    with user:
        tick.value = True
    user.find("Keep the ticks").click()
    user.find("I know it, accept it").click()
    assert bench.desk.project.hot.accepted == ("fans dead", usual)
    pieces = next(case["pieces"] for case in steps["cases"] if case["case"] == usual)
    assert [row[2] for row in bench.desk.project.hot.accepted_for if row[0] == usual] == pieces


async def test_the_covers_dates_are_taken_over_by_a_button(user: User, bench: Bench) -> None:
    study, weather = studies.comfort_of_plain(), studies.plain_weather()
    page = comfort_page(study, plain(), weather, US)
    offer: Any = cover_offer(study, plain(), US)
    lay_out(bench, "comfort", comfort_document(study, weather), page, {"cover": offer})
    await user.open("/warm")
    await user.should_see("When to hang the cover")
    user.find(offer["word"]).click()
    assert bench.desk.project.wall.cover.hung == study.season


def _press(user: User, button: ui.element) -> None:
    from nicegui import events

    with user:
        for listener in list(button._event_listeners.values()):
            if listener.type == "click":
                told = events.GenericEventArguments(sender=button, client=user.client, args={})
                events.handle_event(listener.handler, told)


async def test_the_page_of_fans_says_what_a_room_limit_does_to_the_wall(user: User, bench: Bench) -> None:
    said = "keeps the shop cooler but the wall hotter"
    await user.open("/air")
    await user.should_not_see(said)
    user.find("Add a switch").click()
    await user.should_see(said)
    added = bench.desk.project.switches[-1]
    assert (added.close, added.open) == limit_points(bench.desk.project)
    lay_out(bench, "limit", {"with_limit_c": 131.2, "without_limit_c": 120.0}, page_of(), {})
    bench.result("limit").tell()
    await user.should_see("the absorber reaches 131 °C with it, 120 °C without it")
    bench.desk.undo()
    await user.should_not_see(said)


async def test_air_above_what_usual_fans_bear_is_marked_and_told(user: User, bench: Bench) -> None:
    study, weather = studies.hot_of_plain(), studies.plain_weather()
    page = hot_page(study, plain(), weather, US)
    lay_out(bench, "hot", hot_document(study, weather), page, hot_steps(study, plain(), US))
    await user.open("/hot")
    await user.should_see("Above a figure that is no published limit")
    await user.should_see("read the plate of your fan")
    await user.should_see(" †</td>")
