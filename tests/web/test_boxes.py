"""One box and what is typed into it: written, refused, overtaken, in the reader's units, told as saved or not."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from nicegui import ui

from fakes.boxes import PAGES, box, enter, leave, press
from fakes.worker import IdleWorker
from noonwall.model.file import load

if TYPE_CHECKING:
    from pathlib import Path

    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


@pytest.fixture(autouse=True)
def idle(bench: Bench) -> None:
    """Let nothing be calculated."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


async def test_what_is_typed_is_in_the_file(user: User, bench: Bench, shed: Path) -> None:
    await user.open("/wall")
    gap = enter(user, "wall.gap", "4 in")
    assert gap.error is None
    assert load(shed).wall.gap_m == pytest.approx(0.1016)
    assert 'gap = "4 in"' in bench.desk.text
    bench.desk.undo()
    assert load(shed).wall.gap_m == pytest.approx(0.09)
    assert gap.value == "90 mm"


@pytest.mark.parametrize(("units", "written"), [("metric", "120 mm"), ("us", "120 in")])
async def test_a_number_alone_gets_the_unit_beside_the_box(
    units: str, written: str, user: User, bench: Bench
) -> None:
    bench.desk.set("units", units, bench.desk.value("units"))
    bench.desk.set("wall.gap", None, "90 mm")
    bench.desk.set("wall.height", "4 m", "2.4 m")
    await user.open("/wall")
    gap = enter(user, "wall.gap", "120")
    if units == "metric":
        assert (bench.desk.value("wall.gap"), gap.value) == (written, written)
    else:
        assert "outside" in gap.error
        enter(user, "wall.gap", "5")
        assert bench.desk.value("wall.gap") == "5 in"


async def test_nonsense_stays_in_its_box_with_one_line_below(user: User, bench: Bench, shed: Path) -> None:
    await user.open("/wall")
    before = (shed / "noonwall.toml").read_bytes()
    gap = enter(user, "wall.gap", "as deep as a hand")
    assert gap.value == "as deep as a hand"
    assert "\n" not in gap.error
    assert "reads like" in gap.error
    assert not gap.error.startswith("noonwall.toml")
    assert (shed / "noonwall.toml").read_bytes() == before
    assert bench.desk.next_undo is None
    assert enter(user, "wall.gap", "90 mm").error is None


async def test_the_reason_of_a_refusal_elsewhere_names_its_place(user: User) -> None:
    await user.open("/air")
    assert enter(user, "wall.vents.top.count", "2").error.startswith(
        "fan 1, how many alike: 3 fans in the top row"
    )


async def test_an_emptied_box_is_left_open_and_says_what_is_assumed(user: User, bench: Bench) -> None:
    await user.open("/wall")
    gap = enter(user, "wall.gap", "")
    assert bench.desk.value("wall.gap") is None
    assert gap.props["placeholder"] == "assumed: 90 mm"
    assert "nw-open" in gap.classes
    width = enter(user, "wall.width", "")
    assert "missing" in width.error
    assert bench.desk.value("wall.width") == "9.2 m"


async def test_two_values_that_only_fit_together(user: User, bench: Bench) -> None:
    await user.open("/air")
    close = enter(user, "switch[1].close", "30 C")
    assert "below" in close.error
    assert bench.desk.value("switch[1].close") == "43 C"
    opens = enter(user, "switch[1].open", "25")
    assert (close.error, opens.error) == (None, None)
    assert (bench.desk.value("switch[1].close"), bench.desk.value("switch[1].open")) == ("30 C", "25 C")
    bench.desk.undo()
    assert (bench.desk.value("switch[1].close"), bench.desk.value("switch[1].open")) == ("43 C", "32 C")


async def test_a_change_elsewhere_fills_boxes_that_nobody_touched(
    user: User, bench: Bench, shed: Path
) -> None:
    await user.open("/wall")
    text = (shed / "noonwall.toml").read_text(encoding="utf-8")
    (shed / "noonwall.toml").write_text(text.replace('gap = "90 mm"', 'gap = "75 mm"'), encoding="utf-8")
    bench.desk.refresh()
    assert box(user, "wall.gap").value == "75 mm"


async def test_what_another_window_overtook_waits_to_be_entered_again(user: User, bench: Bench) -> None:
    await user.open("/wall")
    height = box(user, "wall.height")
    user.find(marker="wall.height").clear().type("8 ft")
    bench.desk.set("wall.height", "9 ft", "2.4 m")
    user.find(marker="wall.height").trigger("keydown.enter")
    assert "in another window" in height.error
    leave(user, "wall.height")
    assert enter(user, "wall.gap", "4 in").error is None
    leave(user, "wall.height")
    assert (bench.desk.value("wall.gap"), bench.desk.value("wall.height")) == ("4 in", "9 ft")
    assert (height.value, "in another window" in height.error) == ("8 ft", True)
    user.find(marker="wall.height").clear().type("8 ft")
    leave(user, "wall.height")
    assert (bench.desk.value("wall.height"), height.error) == ("8 ft", None)


async def test_a_refused_value_that_was_overtaken_is_not_tried_with_others(user: User, bench: Bench) -> None:
    await user.open("/air")
    close = enter(user, "switch[1].close", "30 C")
    assert "below" in close.error
    bench.desk.set("switch[1].close", "44 C", "43 C")
    user.find(marker="switch[1].close").trigger("keydown.enter")
    assert "in another window" in close.error
    enter(user, "switch[1].open", "25 C")
    assert (bench.desk.value("switch[1].close"), bench.desk.value("switch[1].open")) == ("44 C", "25 C")


async def test_a_fraction_in_one_sign_leaves_the_plain_unit_beside_the_box(user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/wall")
    assert enter(user, "wall.gap", "3\u00bd in").error is None
    assert enter(user, "wall.gap", "3.5").error is None
    assert bench.desk.value("wall.gap") == "3.5 in"
    assert enter(user, "wall.gap", "3\u00bd").error is None
    assert bench.desk.value("wall.gap") == "3\u00bd in"
    assert bench.desk.project.wall.gap_m == pytest.approx(3.5 * 0.0254)


async def test_two_windows_do_not_overwrite_each_other(user: User, bench: Bench) -> None:
    await user.open("/wall")
    user.find(marker="wall.gap").clear().type("80 mm")
    bench.desk.set("wall.gap", "100 mm", "90 mm")
    gap = box(user, "wall.gap")
    assert gap.value == "80 mm"
    assert "100 mm" in gap.error
    user.find(marker="wall.gap").trigger("keydown.enter")
    assert bench.desk.value("wall.gap") == "100 mm"
    assert "Type again" in gap.error
    user.find(marker="wall.gap").trigger("keydown.enter")
    assert bench.desk.value("wall.gap") == "80 mm"


async def test_boxes_show_the_readers_units_and_the_files_own_writing_to_who_is_in_them(
    user: User, bench: Bench, shed: Path
) -> None:
    await user.open("/wall")
    gap = box(user, "wall.gap")
    assert gap.value == "90 mm"
    bench.desk.set("units", "us", bench.desk.value("units"))
    assert gap.value == "3.54 in"
    assert inside(user, "wall.gap") == ("", "file: 90 mm; a number alone: in")
    before = (shed / "noonwall.toml").read_bytes()
    leave(user, "wall.gap")
    user.find(marker="wall.gap").trigger("keydown.enter")
    assert (shed / "noonwall.toml").read_bytes() == before
    assert enter(user, "wall.gap", "3 5/8 in").value == "3 5/8 in"
    assert bench.desk.value("wall.gap") == "3 5/8 in"
    assert inside(user, "wall.gap") == ("", "a number alone: in")
    bench.desk.set("units", "metric", "us")
    assert (gap.value, bench.desk.value("wall.gap")) == ("92.1 mm", "3 5/8 in")


@pytest.mark.parametrize("page", PAGES)
async def test_leaving_every_box_in_other_units_changes_nothing(page: str, user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    before = bench.desk.text
    await user.open(page)
    with user:
        keys = [e._markers[0] for e in user.find(ui.input).elements if e._markers]
    for key in keys:
        leave(user, key)
    assert bench.desk.text == before


async def test_an_older_value_in_other_units_is_still_an_older_one(user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/wall")
    user.find(marker="wall.gap").clear().type("4 in")
    bench.desk.set("wall.gap", "100 mm", "90 mm")
    gap = box(user, "wall.gap")
    assert gap.error == "was changed to 3.94 in elsewhere; what you typed is not in use"
    leave(user, "wall.gap")
    assert (bench.desk.value("wall.gap"), "in another window" in gap.error) == ("100 mm", True)


def inside(user: User, key: str) -> tuple[str, str]:
    """Return what stands beside a box, and what is told below it while somebody is in it."""
    with user:
        place = next(e for e in user.find(ui.element).elements if e.props.get("id") == f"box-{key}")
        told = {name: e for e in place.descendants() for name in e.classes if isinstance(e, ui.label)}
    return told["nw-unit"].text, told["nw-entered"].text


async def test_a_unit_is_told_once(user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    bench.desk.set("switch[1].close", "110 degF", bench.desk.value("switch[1].close"))
    await user.open("/air")
    assert (box(user, "switch[1].close").value, inside(user, "switch[1].close")[0]) == ("110 degF", "")
    assert inside(user, "switch[1].height") == ("ft", "")
    assert inside(user, "fan[1].hottest_air") == ("", "a number alone: \u00b0F")


async def test_a_page_says_once_that_its_boxes_are_in_other_units_than_the_file(
    user: User, bench: Bench
) -> None:
    await user.open("/wall")
    await user.should_not_see("The file is written in")
    bench.desk.set("units", "us", bench.desk.value("units"))
    for page in ("/wall", "/air", "/shop", "/place"):
        await user.open(page)
        await user.should_see("The file is written in metric units; the boxes show it in US ones")


async def test_a_curve_is_typed_in_the_readers_units(user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    bench.desk.set("fan[1].curve", [[0.1, 0], [0, 80]], None)
    await user.open("/air")
    assert box(user, "fan[1].curve").value == "212 cfm, 0 inwg; 0 cfm, 0.321 inwg"
    assert enter(user, "fan[1].curve", "212 cfm, 0 inwg; 150, 0.1; 0 cfm, 0.321 inwg").error is None
    assert bench.desk.value("fan[1].curve") == [[0.1, 0], ["150 cfm", "0.1 inwg"], [0, 80]]


async def test_a_value_that_does_not_read_is_answered_with_the_readers_units_first(
    user: User, bench: Bench
) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/wall")
    assert 'reads like "3 1/2 in"' in str(enter(user, "wall.gap", "9 flurbs").error)


def saved(user: User) -> str:
    with user:
        (state,) = [e for e in user.find(ui.html).elements if "nw-saved-now" in e.classes]
    return re.sub(r"<[^>]+>", "", state.content)


async def test_the_header_tells_what_is_not_saved(user: User, bench: Bench) -> None:
    await user.open("/wall")
    assert saved(user).startswith("Saved as opened")
    height = enter(user, "wall.height", "100")
    assert saved(user) == "Not saved: Glazed height"
    enter(user, "wall.gap", "deep")
    assert saved(user) == "Not saved: Glazed height and 1 more"
    press(user, "Undo")
    assert (height.value, height.error) == ("2.4 m", None)
    assert saved(user).startswith("Saved as opened")
    assert bench.desk.next_undo is None


async def test_undo_takes_back_what_is_refused_before_what_is_saved(user: User, bench: Bench) -> None:
    await user.open("/wall")
    enter(user, "wall.gap", "100 mm")
    height = enter(user, "wall.height", "100")
    press(user, "Undo")
    assert (height.value, bench.desk.value("wall.gap")) == ("2.4 m", "100 mm")
    press(user, "Undo")
    assert bench.desk.value("wall.gap") == "90 mm"


async def test_a_refused_value_goes_with_its_box(user: User) -> None:
    await user.open("/air")
    press(user, "Add fans")
    enter(user, "fan[2].count", "100")
    assert saved(user) == "Not saved: How many alike"
    press(user, "Remove fan 2")
    assert saved(user).startswith("All changes saved")


async def test_nothing_is_told_as_saved_while_the_file_does_not_read(user: User, shed: Path) -> None:
    file = shed / "noonwall.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text("[[[", encoding="utf-8")
    await user.open("/wall")
    assert saved(user) == "Not saved: the file does not read"
    file.write_text(text, encoding="utf-8")
    await user.open("/wall")
    assert saved(user).startswith("Saved as opened")


async def test_days_and_hours_are_shown_and_typed_as_americans_say_them(user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/air")
    shut = box(user, "wall.vents.closed")
    assert shut.props["hint"].startswith("such as May 15 to Sep 15")
    assert enter(user, "wall.vents.closed", "may 1 to Sep 30").value == "May 1 to Sep 30"
    assert bench.desk.value("wall.vents.closed") == [["05-01", "09-30"]]
    assert "in the file" not in shut.props["hint"]
    assert enter(user, "wall.vents.shut_hours", "9 pm to 6:30 am").error is None
    assert bench.desk.value("wall.vents.shut_hours") == [["21:00", "06:30"]]
    bench.desk.set("units", "metric", "us")
    assert shut.value == "05-01 to 09-30"
    assert shut.props["hint"].startswith("such as 05-15 to 09-15")
