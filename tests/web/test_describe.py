"""The pages on which a builder describes things: lists, choices, figures beside them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from nicegui import ui

from fakes.boxes import PAGES, box, enter, press
from fakes.pages import answered
from fakes.worker import IdleWorker, NearWorker
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


@pytest.fixture(autouse=True)
def idle(bench: Bench) -> None:
    """Let nothing be calculated."""
    bench.quick, bench.long = IdleWorker(), IdleWorker()


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


def test_a_second_switch_of_the_same_kind_gets_a_name_of_its_own() -> None:
    assert free_name("room limit", ["gap switch"]) == "room limit"
    assert free_name("room limit", ["room limit"]) == "room limit 2"
    assert free_name("room limit", ["room limit", "room limit 2"]) == "room limit 3"
