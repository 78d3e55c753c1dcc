"""What the page of nights offers: only what the project has not, with figures of the same study."""

from __future__ import annotations

from fakes import studies
from fakes.projects import plain
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text
from noonwall.report.night_page import night_page
from noonwall.report.night_steps import STUCK, night_steps
from noonwall.report.reader import Reader
from noonwall.studies.adopt import adopted


def test_both_ways_are_offered_the_better_first() -> None:
    study = studies.night_of_plain()
    steps = night_steps(study, plain(), Reader())
    saved = {choice.name: study.described.lost_kwh - choice.lost_kwh for choice in study.choices}
    order = ["shutters", "flap"] if saved["shut by hand"] > saved["film flap"] else ["flap", "shutters"]
    assert [step["change"] for step in steps] == order
    assert all("keeps" in step["told"] and "kWh" in step["told"] for step in steps)


def test_figures_are_the_readers() -> None:
    told = " ".join(step["told"] for step in night_steps(studies.night_of_plain(), plain(), Reader("us")))
    assert "kBtu" in told
    assert "kWh" not in told
    assert "5 pm" in told


def test_a_change_offered_is_one_that_the_project_takes() -> None:
    for step in night_steps(studies.night_of_plain(), plain(), Reader()):
        changed = from_text(adopted(demo_text(), step["name"], (step["change"],)))
        assert changed.wall.flap is not None or changed.wall.vents.shut_hours


def test_what_is_there_is_not_offered() -> None:
    wall = plain().wall
    vents = wall.vents.model_copy(update={"shut_hours": (("17:00", "08:00"),)})
    shut = plain().model_copy(update={"wall": wall.model_copy(update={"vents": vents})})
    assert [step["change"] for step in night_steps(studies.night_of_plain(), shut, Reader())] == ["flap"]


def test_a_flap_is_not_offered_without_saying_that_it_can_stick() -> None:
    steps = {
        step["change"]: step["told"] for step in night_steps(studies.night_of_plain(), plain(), Reader())
    }
    assert STUCK in steps["flap"]
    assert STUCK not in steps["shutters"]
    page = night_page(studies.night_of_plain(), plain(), studies.plain_weather(), Reader())
    assert STUCK in " ".join(str(page).split())
