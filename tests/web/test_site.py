"""The site page without a browser: what hands do to the project, the list, the boxes, the saw."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from nicegui import ElementFilter, events, ui
from nicegui.events import handle_event

from fakes.pages import answered
from fakes.worker import IdleWorker, NearWorker
from noonwall.engine.simulate import simulate
from noonwall.model.edit import remove_item, set_value
from noonwall.model.rearrange import place_of, things
from noonwall.studies.sunlight import sunlight
from noonwall.studies.trees import Remedies, rank_cuts
from noonwall.web.desk import ChangedElsewhereError
from noonwall.web.parts.site_view import SiteView
from noonwall.web.questions import QUESTIONS

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable

    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


@pytest.fixture
def bench(bench: Bench) -> Bench:
    """Return the workbench over the demo, on which long calculations wait for ever."""
    bench.long = IdleWorker()
    bench.desk.change(
        lambda text: set_value(text, "site.utc_offset", -5), "its clock: no weather is read for it"
    )
    return bench


@pytest.fixture(autouse=True)
async def told(user: User) -> AsyncIterator[None]:
    """Let the window be told the last changes: a server that ends with news to tell takes two seconds more."""
    del user
    yield
    await asyncio.sleep(0.15)


def study(monkeypatch: pytest.MonkeyPatch, question: str, how: Any) -> None:
    """Have a question studied another way."""
    monkeypatch.setitem(QUESTIONS._made, question, replace(QUESTIONS[question], study=how))


def alone(bench: Bench) -> None:
    """Leave two firs of all that stands around: less to calculate."""
    for number in range(len(bench.desk.project.obstacles), 2, -1):
        bench.desk.change(lambda text, n=number: remove_item(text, f"obstacle[{n}]"), "felled")  # type: ignore[misc]


def press(element: Any) -> None:
    """Click an element that is one of many alike, or in a menu that is not open."""
    for listener in element._event_listeners.values():
        if listener.type == "click":
            handle_event(listener.handler, events.ClickEventArguments(sender=element, client=element.client))


async def opened(user: User) -> None:
    await user.open("/site")
    await user.should_see("What stands around", retries=300)


def hand(user: User, what: str, told: dict[str, Any]) -> None:
    user.find(SiteView).trigger(what, told)


def spot(bench: Bench, name: str) -> Any:
    return place_of(bench.desk.project, things(bench.desk.project)[name].thing)


def fresh(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note what is told to the view instead of calling its script."""
    told: list[str] = []
    monkeypatch.setattr(SiteView, "light", lambda _self, data: told.append(data["note"]))
    del bench
    return told


async def test_the_page_tells_the_moment_and_lists_what_stands_there(user: User) -> None:
    await opened(user)
    await user.should_see("5 February, 12:00: sun 28° high")
    await user.should_see("% of the direct sun reaches the glazing.")
    await user.should_see("hours of direct sun")
    await user.should_see("The sky before the wall")


async def test_a_drag_shows_its_light_and_saves_nothing(
    user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = fresh(bench, monkeypatch)
    await opened(user)
    before = bench.desk.text
    hand(user, "move", {"name": "fir 1", "east": 30.0, "north": -40.0})
    hand(user, "move", {"name": "fir 1", "east": 0.0, "north": -6.0})
    assert "fir 1: 30 m east, 40 m south" in told[-2]
    assert "fir 1: 0 m east, 6 m south" in told[-1]
    assert told[-2].split(" - ")[0] != told[-1].split(" - ")[0]
    assert bench.desk.text == before


async def test_a_drop_is_saved_and_undone(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "drop", {"name": "fir 1", "east": 6.0, "north": -20.04})
    assert spot(bench, "fir 1") == (6.0, -20.0)
    assert "fir 1 moved to 6 m east, 20 m south" in str(bench.desk.next_undo)
    await user.should_see("tree 15 m tall, 6 m east, 20 m south")
    await user.should_see("Undo is at the top.")
    bench.desk.undo()
    assert spot(bench, "fir 1") == (-3.6, -15.2)
    await user.should_not_see("Undo is at the top.")


async def test_a_sighted_tree_that_is_moved_says_so(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "drop", {"name": "big maple", "east": 15.0, "north": -15.0})
    assert "in place of bearing and distance" in str(bench.desk.next_undo)


async def test_a_drop_inside_the_shop_is_refused_in_one_line(user: User, bench: Bench) -> None:
    await opened(user)
    before = bench.desk.text
    hand(user, "drop", {"name": "fir 1", "east": 0.0, "north": 2.0})
    await user.should_see("stands inside the shop")
    assert bench.desk.text == before


async def test_a_thing_gone_meanwhile_is_told(user: User) -> None:
    await opened(user)
    hand(user, "drop", {"name": "felled long ago", "east": 0.0, "north": -9.0})
    await user.should_see('there is no "felled long ago" any more')


async def test_a_pulled_grip_makes_a_tree_taller(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "size", {"name": "fir 1", "size": "height", "metres": 18.0})
    hand(user, "sized", {"name": "fir 1", "size": "height", "metres": 18.0})
    assert bench.desk.value("obstacle[1].height") == "18 m"


async def test_a_picked_thing_shows_its_boxes_and_goes_when_told(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "pick", {"name": "big maple"})
    await user.should_see("Bearing from there")
    await user.should_see("Angle up to its top")
    user.find("Give its place in lengths instead").click()
    await user.should_see("Measure its place anew")
    assert bench.desk.value("obstacle[10].from") is None
    user.find("Take away").click()
    await user.should_see("Pick a thing")
    assert "big maple" not in things(bench.desk.project)


@pytest.mark.parametrize("what", ["conifer", "row", "building", "awning", "modules", "slope"])
async def test_new_things_stand_there_and_are_picked(user: User, bench: Bench, what: str) -> None:
    await opened(user)
    before = set(things(bench.desk.project))
    with user:
        press(next(iter(ElementFilter(marker=f"add-{what}"))))
    (new,) = set(things(bench.desk.project)) - before
    await user.should_see(f"{new} stands before the wall")
    assert f"{new} added" in str(bench.desk.next_undo)


async def test_a_renamed_thing_stays_picked(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "pick", {"name": "fir 1"})
    bench.desk.set("obstacle[1].name", "old fir", "fir 1")
    await user.should_see("old fir")
    await user.should_see("Measure its place anew")


async def test_the_date_the_hour_and_the_years_move_the_words(user: User) -> None:
    await opened(user)
    with user:
        sliders = {s.props["aria-label"]: s for s in user.find(ui.slider).elements}
    sliders["Date"].set_value(354)
    await user.should_see("21 December, 12:00: sun ")
    sliders["Time of day"].set_value(180)
    await user.should_see("the sun is below the horizon")
    with user:
        grown = next(t for t in user.find(ui.toggle).elements if t.value == 0)
    grown.set_value(10)
    await user.should_see("The sun of a whole year, trees 10 years on")


async def test_something_is_measured_in(user: User, bench: Bench) -> None:
    await opened(user)
    user.find("Measure in").click()
    await user.should_see("Measure in from a standing point")
    for label, typed in (
        ("Bearing from there", "200"),
        ("Level distance", "52 ft"),
        ("Angle up to its top", "30 deg"),
    ):
        _type(user, label, typed)
    user.find("Put it there").click()
    item = things(bench.desk.project)["tree 1"].thing
    assert (item.seen_from, item.bearing_deg, item.top_angle_deg) == ("stake", 200.0, 30.0)
    assert bench.desk.value("obstacle[12].distance") == "52 ft"


async def test_a_reading_that_makes_no_sense_is_refused(user: User, bench: Bench) -> None:
    await opened(user)
    before = bench.desk.text
    user.find("Measure in").click()
    await user.should_see("Measure in from a standing point")
    _type(user, "Bearing from there", "uphill")
    user.find("Put it there").click()
    assert bench.desk.text == before
    await user.should_see("bearing")


async def test_without_a_standing_point_measuring_in_goes_on_by_itself(user: User, bench: Bench) -> None:
    alone(bench)
    while bench.desk.project.standing_points:
        bench.desk.change(lambda text: remove_item(text, "standing_point[1]"), "no stake")
    await opened(user)
    user.find("Measure in").click()
    await user.should_see("Step 1 of 2: a place to stand and measure from")
    await user.should_see("its needle points beside true north")
    user.find("Add it, then measure").click()
    assert [point.name for point in bench.desk.project.standing_points] == ["stake 1"]
    await user.should_see("stake 1 stands on the site.")
    await user.should_see("Step 2 of 2: measure in from a standing point")


def _type(user: User, label: str, typed: str) -> None:
    with user:
        box = next(b for b in user.find(ui.input).elements if b.props.get("label") == label)
    box.set_value(typed)


async def test_the_years_sun_is_drawn(user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.long = NearWorker()
    study(monkeypatch, "sun", lambda m, _tell: sunlight(m.project, m.weather, step_s=3600, takes_step_s=3600))
    alone(bench)
    await opened(user)
    answer = await answered(bench.result("sun"))
    await user.should_see("Sun calendar")
    await user.should_see("What each keeps off, by month")
    await user.should_see("of the glazing or more is in the sun from")
    assert answer.document["schema"] == "noonwall.sun/1"


async def test_a_saw_cut_is_tried_and_undone(
    user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted = Remedies(most=1)
    study(monkeypatch, "cuts", lambda m, _tell: rank_cuts(m.project, m.weather, wanted, step_s=3600))
    alone(bench)
    await opened(user)
    bench.long = NearWorker()
    user.find("Work out the order of cuts").click()
    answer = await answered(bench.result("cuts"))
    first = answer.more["steps"][0]["names"]
    await user.should_see("In this order")
    with user:
        saw = next(
            b
            for b in user.find(ui.button).elements
            if str(b.props.get("aria-label")).startswith("Try this cut")
        )
    before = bench.desk.text
    with user:
        press(saw)
    assert set(first).isdisjoint(things(bench.desk.project))
    await user.should_see("taken out, on trial.")
    await user.should_see("hours before,")
    await user.should_see("Calculating the year with the cut, 1 of 2")
    study(monkeypatch, "year", lambda m, _tell: simulate(m.project, m.weather, 3600))
    bench.quick = NearWorker()
    bench.result("year").ask()
    await user.should_see("The whole year, January to December. The order of cuts counts", retries=300)
    await user.should_see("with the cut</th>")
    user.find("Undo this cut").click()
    assert bench.desk.text == before
    await user.should_see("no longer on trial")


async def test_an_awning_is_tried_and_undone_in_one_step(
    user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    from noonwall.studies.awning import awning_curve

    study(monkeypatch, "awning", lambda m, _tell: awning_curve(m.project, m.weather, points=2, step_s=3600))
    alone(bench)
    await opened(user)
    bench.long = NearWorker()
    user.find("Work out the trade-off").click()
    answer = await answered(bench.result("awning"))
    assert [offer["design"] is None for offer in answer.more["offers"]][-1]
    await user.should_see("Try it without modules")
    before = bench.desk.text
    for word in ("Try the modules so", "Try it without modules"):
        with user:
            press(next(b for b in user.find(ui.button).elements
                       if str(b.props.get("aria-label")).startswith(word)))  # fmt: skip
        assert bench.desk.text != before
        await user.should_see("on trial.")
        bench.desk.undo()
        assert bench.desk.text == before
    assert bench.desk.project.pv


def edited(bench: Bench, edit: Callable[[str], str]) -> None:
    """Change the project's file as an outside editor does."""
    bench.desk.file.write_text(edit(bench.desk.file.read_text()))


async def test_a_list_changed_outside_moves_no_other_thing(user: User, bench: Bench) -> None:
    await opened(user)
    other = spot(bench, "fir 3")
    edited(
        bench, lambda text: remove_item(text, "obstacle[1]")
    )  # every later thing now has another place in the list
    hand(user, "drop", {"name": "fir 2", "east": 6.0, "north": -20.0})
    assert spot(bench, "fir 2") == (6.0, -20.0) and spot(bench, "fir 3") == other
    edited(bench, lambda text: remove_item(text, "obstacle[1]"))
    hand(user, "drop", {"name": "fir 2", "east": 7.0, "north": -20.0})
    await user.should_see('there is no "fir 2" any more')
    assert spot(bench, "fir 3") == other


async def test_what_is_picked_stays_or_is_let_go(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "pick", {"name": "fir 2"})
    edited(bench, lambda text: remove_item(text, "obstacle[1]"))
    bench.desk.refresh()
    await user.should_see("<h2>fir 2</h2>")
    bench.desk.change(lambda text: set_value(text, "obstacle[1].name", "the nearest"), "renamed")
    await user.should_see("<h2>the nearest</h2>")
    edited(bench, lambda text: remove_item(text, "obstacle[1]"))
    bench.desk.refresh()
    await user.should_see("Pick a thing")


async def test_taking_away_takes_what_was_picked(user: User, bench: Bench) -> None:
    await opened(user)
    hand(user, "pick", {"name": "fir 2"})
    before = set(things(bench.desk.project))
    edited(bench, lambda text: remove_item(text, "obstacle[1]"))
    user.find("Take away").click()
    assert before - set(things(bench.desk.project)) == {"fir 1", "fir 2"}


def test_a_box_whose_list_was_changed_outside_writes_nothing(bench: Bench) -> None:
    for place in (1, 2):
        bench.desk.change(lambda text, n=place: set_value(text, f"obstacle[{n}].height", "11 m"), "alike")  # type: ignore[misc]
    edited(bench, lambda text: remove_item(text, "obstacle[1]"))
    before = bench.desk.file.read_text()
    with pytest.raises(ChangedElsewhereError, match="another program changed that list"):
        bench.desk.set("obstacle[1].height", "12 m", "11 m")
    assert bench.desk.file.read_text() == before
