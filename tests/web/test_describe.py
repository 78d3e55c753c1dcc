"""The pages on which a builder describes things: what is typed is in the file, what will not do stays in its box."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from nicegui import ui

from fakes.pages import answered
from fakes.worker import IdleWorker, NearWorker
from noonwall.model.file import load
from noonwall.model.typed import spot
from noonwall.web.pages.air import fan_words
from noonwall.web.pages.shop import by_layers, part_words
from noonwall.web.pages.wall import layer_words
from noonwall.web.parts.described import page_of
from noonwall.web.parts.form import free_name
from noonwall.web.parts.trade import STARTS, TABLES, label_of

if TYPE_CHECKING:
    from pathlib import Path

    from nicegui.testing.user import User

    from noonwall.web.bench import Bench

PAGES = ("/place", "/shop", "/wall", "/air")


@pytest.fixture(autouse=True)
def idle(bench: Bench) -> None:
    """Let nothing be calculated."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


def box(user: User, key: str) -> Any:
    (found,) = user.find(marker=key).elements
    return found


def enter(user: User, key: str, text: str) -> Any:
    """Type into a box and press Enter; returns the box."""
    user.find(marker=key).clear().type(text).trigger("keydown.enter")
    return box(user, key)


def leave(user: User, key: str) -> None:
    """Take the focus out of a box."""
    place = next(e for e in user.find(ui.element).elements if e.props.get("id") == f"box-{key}")
    with user:
        for listener in list(place._event_listeners.values()):
            if listener.type == "focusout":
                place._handle_event({"listener_id": listener.id, "args": [{}]})


def press(user: User, word: str) -> None:
    """Press the button that is labelled so."""
    with user:
        found = [b for b in user.find(ui.button).elements if word in (b.text, b.props.get("aria-label"))]
        assert len(found) == 1, (word, found)
    (button,) = found
    with user:
        for listener in list(button._event_listeners.values()):
            if listener.type.startswith("click"):
                button._handle_event({"listener_id": listener.id, "args": [{}]})


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


async def test_a_choice_is_made_and_left_open_again(user: User, bench: Bench) -> None:
    await user.open("/air")
    choice = box(user, "wall.inlet_from")
    with user:
        choice.value = "outdoors"
    assert bench.desk.project.wall.inlet_from == "outdoors"
    with user:
        choice.value = ""
    assert bench.desk.value("wall.inlet_from") is None
    assert choice.options[""] == "assumed: the shop"


async def test_layers_are_added_moved_and_taken_away(user: User, bench: Bench) -> None:
    await user.open("/wall")
    press(user, "Move down layer 1")
    assert [layer.material for layer in bench.desk.project.wall.backing] == [
        "oriented strand board",
        "mineral wool",
    ]
    assert box(user, "wall.backing[1].material").value == "oriented strand board"


async def test_a_flap_is_hung_and_taken_away(user: User, bench: Bench) -> None:
    await user.open("/air")
    press(user, "Hang a flap")
    assert bench.desk.project.wall.flap is not None
    await user.should_see("Take the flap away")
    enter(user, "wall.flap.leak", "5 %")
    assert bench.desk.project.wall.flap.leak_share == pytest.approx(0.05)
    press(user, "Take the flap away")
    assert bench.desk.project.wall.flap is None
    assert "[wall.flap]" not in bench.desk.text


@pytest.mark.parametrize("kind", STARTS)
async def test_a_switch_becomes_any_other_kind(kind: str, user: User, bench: Bench) -> None:
    await user.open("/air")
    with user:
        (chosen,) = [s for s in user.find(ui.select).elements if kind in s.options]
        chosen.value = kind
    assert bench.desk.project.switches[0].kind == kind
    with user:
        assert len([s for s in user.find(ui.select).elements if kind in s.options and s.value == kind]) == 1


@pytest.mark.parametrize("kind", ["open on rise", "difference"])
async def test_a_new_switch_speaks_the_readers_units(kind: str, user: User, bench: Bench) -> None:
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/air")
    with user:
        (chosen,) = [s for s in user.find(ui.select).elements if kind in s.options]
        chosen.value = kind
    assert bench.desk.project.switches[0].kind == kind
    assert not re.search(
        r"\d [CK]$", " ".join(str(bench.desk.value(f"switch[1].{k}")) for k in ("close", "open"))
    )


async def test_headings_read_in_the_readers_units(user: User, bench: Bench) -> None:
    us = {"name": "east", "kind": "wall", "area": "10 m2"}
    assert part_words(us, "us") == "east: wall, 108 ft\u00b2"
    assert part_words(us, "metric") == "east: wall, 10 m\u00b2"
    board = {"material": "cement board", "thickness": "12 mm"}
    assert layer_words(board, "us") == "cement board, 0.472 in"
    assert layer_words({"material": "plywood", "thickness": "1/2 in"}, "us") == "plywood, 1/2 in"
    assert layer_words({"r": "R-5"}, "us") == "resistance R-5"
    assert fan_words({"count": 2, "flow": "0.10 m3/s"}, "us") == "2 of 212 cfm"
    assert fan_words({"curve": []}, "us") == "1 of a curve"
    bench.desk.set("units", "us", bench.desk.value("units"))
    await user.open("/air")
    press(user, "Add fans")
    assert bench.desk.value("fan[2].flow") == "210 cfm"


async def test_own_skins_in_place_of_a_sheet_and_back(user: User, bench: Bench) -> None:
    await user.open("/wall")
    bench.desk.set("wall.glazing.sheets", 1, None)
    press(user, "Describe skins of your own")
    assert bench.desk.project.wall.glazing.kind == "own"
    press(user, "Add a skin")
    assert len(bench.desk.project.wall.glazing.skins) == 2
    press(user, "Remove skin 1")
    press(user, "Back to a sheet of the catalogue")
    assert bench.desk.project.wall.glazing.skins == ()
    await user.should_see("Describe skins of your own")


async def test_a_part_by_its_layers_and_back(user: User, bench: Bench) -> None:
    await user.open("/shop")
    roof, gable = (lambda: bench.desk.project.shop.parts[8]), (lambda: bench.desk.project.shop.parts[0])
    with user:
        words = [b.text for b in user.find(ui.button).elements]
    assert (words.count("Describe its layers instead"), words.count("Give one resistance instead")) == (8, 1)
    press(user, "Give one resistance instead")
    assert (roof().layers, roof().r_m2k_w) == ((), pytest.approx(13 * 0.17611, rel=1e-3))  # R-1, NIST SP 811
    bench.desk.change(lambda text: by_layers(text, "shop.part[1]"), "layers")
    assert (gable().r_m2k_w, len(gable().layers)) == (None, 1)
    press(user, "Give one resistance instead")
    assert gable().layers == ()


async def test_a_coefficient_in_place_of_a_resistance(user: User, bench: Bench) -> None:
    await user.open("/shop")
    coefficient = enter(user, "shop.part[1].u", "0.4 W/m2K")
    assert "keep one" in coefficient.error
    enter(user, "shop.part[1].r", "")
    assert coefficient.error is None
    assert (bench.desk.value("shop.part[1].u"), bench.desk.value("shop.part[1].r")) == ("0.4 W/m2K", None)


async def test_fans_are_added_copied_and_removed(user: User, bench: Bench) -> None:
    await user.open("/air")
    press(user, "Add fans")
    assert [fan.count for fan in bench.desk.project.fans] == [3, 1]
    before = bench.desk.text
    press(user, "Copy fan 1")  # would be seven in five openings
    assert bench.desk.text == before
    press(user, "Copy fan 2")
    assert len(bench.desk.project.fans) == 3
    for _ in range(3):
        press(user, "Remove fan 1")
    assert bench.desk.project.fans == ()
    await user.should_see("None: the warm air rises by itself.")


async def test_what_looks_odd_stands_near_the_top(user: User) -> None:
    await user.open("/air")
    await user.should_not_see("Looks odd")
    enter(user, "wall.vents.top.height", "10 mm")
    await user.should_see("Looks odd")
    await user.should_see("Vents at the top")
    enter(user, "wall.vents.top.height", "100 mm")
    await user.should_not_see("Looks odd")


async def test_the_section_follows_the_numbers(user: User) -> None:
    await user.open("/wall")

    def section() -> str:
        return next(h.content for h in user.find(ui.html).elements if "nw-section" in h.content)

    with user:
        assert "9 m" not in section()
    enter(user, "wall.gap", "123 mm")
    with user:
        assert "123 mm" in section()


async def test_the_year_beside_the_boxes_tells_what_an_edit_did(user: User, bench: Bench) -> None:
    bench.quick = NearWorker()
    await user.open("/wall")
    await answered(bench.result("year"))
    await user.should_see("A year of this description.")
    await user.should_not_see("kWh, better")
    enter(user, "wall.glazing.dirt", "40 %")
    await answered(bench.result("year"))
    await user.should_see("kWh, worse")


async def test_a_weather_file_in_the_folder_is_chosen_and_left_again(
    user: User, bench: Bench, shed: Path
) -> None:
    (shed / "valley.epw").write_text("LOCATION", encoding="utf-8")
    (shed / "photo.png").write_bytes(b"")
    await user.open("/place")
    with user:
        (chosen,) = [s for s in user.find(ui.select).elements if "valley.epw" in s.options]
        assert "photo.png" not in chosen.options
        chosen.value = "valley.epw"
        assert bench.desk.value("weather.file") == "valley.epw"
        chosen.value = ""
    assert bench.desk.value("weather.file") is None


async def test_a_page_takes_in_what_an_editor_wrote_since(user: User, bench: Bench, shed: Path) -> None:
    text = (shed / "noonwall.toml").read_text(encoding="utf-8")
    (shed / "noonwall.toml").write_text(text.replace('gap = "90 mm"', 'gap = "75 mm"'), encoding="utf-8")
    await user.open("/wall")
    assert box(user, "wall.gap").value == "75 mm"
    (shed / "noonwall.toml").write_text("[[[", encoding="utf-8")
    await user.open("/wall")
    assert box(user, "wall.gap").value == "75 mm"
    assert bench.desk.value("wall.gap") == "75 mm"


async def test_text_of_a_builder_is_shown_as_text(user: User, bench: Bench) -> None:
    await user.open("/shop")
    enter(user, "shop.part[1].name", "<img src=x onerror=alert(1)>")
    assert bench.desk.project.shop.parts[0].name.startswith("<img")
    with user:
        assert not any("<img src=x" in h.content for h in user.find(ui.html).elements)


@pytest.mark.parametrize("page", PAGES)
async def test_every_box_of_every_page_says_what_it_is(page: str, user: User, bench: Bench) -> None:
    await user.open(page)
    with user:
        boxes = [
            e for e in user.find(ui.element).elements if e._markers and isinstance(e, ui.input | ui.select)
        ]
        assert len(boxes) > 5
        for one in boxes:
            assert one.props["aria-label"]
            assert bench.desk.value(one._markers[0]) is None or one.value != ""


LISTS = {"wall.glazing.skin", "wall.absorber.layer", "wall.backing", "fan", "switch", "shop.part"}


def test_every_box_of_the_pages_is_a_key_of_a_project() -> None:
    """Every row of every table names a key, has a label, and a page it stands on."""
    for table, boxes in TABLES.items():
        for row in (*boxes.rows, *boxes.seldom):
            key = f"{table}{'[1]' if table in LISTS else ''}.{row.key}"
            assert spot(key, {}).facts.doc
            assert label_of(key).startswith(row.label)
            assert page_of(key) in PAGES


async def test_boxes_show_the_readers_units_and_beside_them_the_files_own_writing(
    user: User, bench: Bench, shed: Path
) -> None:
    await user.open("/wall")
    gap = box(user, "wall.gap")
    assert gap.value == "90 mm"
    bench.desk.set("units", "us", bench.desk.value("units"))
    assert gap.value == "3.54 in"
    await user.should_see("in the file: 90\u00a0mm")
    before = (shed / "noonwall.toml").read_bytes()
    leave(user, "wall.gap")
    user.find(marker="wall.gap").trigger("keydown.enter")
    assert (shed / "noonwall.toml").read_bytes() == before
    assert enter(user, "wall.gap", "3 5/8 in").value == "3 5/8 in"
    assert bench.desk.value("wall.gap") == "3 5/8 in"
    await user.should_not_see("in the file: 90\u00a0mm")
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


def saved(user: User) -> str:
    with user:
        (state,) = [e for e in user.find(ui.html).elements if "nw-saved" in e.classes]
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


def test_a_second_switch_of_the_same_kind_gets_a_name_of_its_own() -> None:
    assert free_name("room limit", ["gap switch"]) == "room limit"
    assert free_name("room limit", ["room limit"]) == "room limit 2"
    assert free_name("room limit", ["room limit", "room limit 2"]) == "room limit 3"
