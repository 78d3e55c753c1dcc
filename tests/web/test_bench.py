"""The workbench: what is calculated is always what stands there now, and drawers are not kept for ever."""

from __future__ import annotations

import asyncio
import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from fakes import studies
from fakes.pages import answered
from fakes.worker import IdleWorker
from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.beside import marks_of
from noonwall.model.disk import read_text
from noonwall.model.edit import add_item, set_value, set_values
from noonwall.report.document import as_json
from noonwall.web import bench as benches
from noonwall.web import questions
from noonwall.web.asked import Answer, Order
from noonwall.web.desk import FileBesideError, value_at

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


class SlowWorker(IdleWorker):
    """Answers each order with itself, a moment later, whether it was stopped or not."""

    async def answer(self, order: Order, *_rest: object) -> Answer:  # type: ignore[override]
        await asyncio.sleep(0.1)
        return Answer(order.question, {"of": order.text}, (), ())


@pytest.fixture
def slow(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> Bench:
    bench.quick, bench.long = SlowWorker(), SlowWorker()
    monkeypatch.setattr(benches, "CALM_S", 0.01)
    return bench


def deeper(text: str) -> str:
    return set_value(text, "wall.gap", "123 mm")


async def test_an_undo_while_the_edit_is_calculated_ends_with_the_answer_to_what_stands_there(
    slow: Bench,
) -> None:
    year = slow.result("year")
    year.watch(lambda: None)
    first = await answered(year)
    slow.desk.change(deeper, "deeper")
    await asyncio.sleep(0.06)  # the new year is being calculated
    assert year.running
    slow.desk.undo()
    assert (await answered(year)).document == first.document == {"of": slow.desk.text}


async def test_other_units_are_no_change_of_what_the_figures_are_beside(slow: Bench) -> None:
    year = slow.result("year")
    year.watch(lambda: None)
    await answered(year)
    slow.desk.change(lambda text: set_value(text, "units", "us"), "units: us")
    assert not year.old
    await asyncio.sleep(0.05)
    await answered(year)
    assert year.before is None
    slow.desk.change(lambda text: set_value(deeper(text), "units", "metric"), "deeper, and units")
    assert year.old
    await asyncio.sleep(0.05)
    await answered(year)
    assert year.before is not None


async def test_a_page_that_opens_while_an_old_state_is_calculated_gets_the_new_one(slow: Bench) -> None:
    night = slow.result("night")
    end = night.watch(lambda: None)
    await asyncio.sleep(0.02)
    end()
    slow.desk.change(deeper, "deeper")
    assert night.running
    night.watch(lambda: None)
    assert (await answered(night)).document == {"of": slow.desk.text}


def test_drawers_that_nobody_shows_are_thrown_away(bench: Bench) -> None:
    for number in range(3 * benches.MOST_DRAWERS):
        bench.result("recap", (("first", str(number)),))
    assert len(bench._results) <= benches.MOST_DRAWERS
    assert bench.known("recap", (("first", str(3 * benches.MOST_DRAWERS - 1)),)) is not None


def silent(_done: int, _of: int) -> None:
    """Tell nobody."""


def test_findings_of_the_circuit_are_told_in_the_units_of_whoever_asks(bench: Bench) -> None:
    folder = str(bench.desk.folder)
    text = set_values(bench.desk.text, {"circuit.cable": "20 m", "circuit.wire": "2.5 mm2"})
    metric, us = (
        questions.answer(Order("circuit", text, folder, system), silent) for system in ("metric", "us")
    )
    assert "over 20" in as_json(metric.document)
    assert "over 65.6 ft" in as_json(us.document)


def test_a_tick_makes_no_new_study_of_the_hottest_hours(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    text, folder = bench.desk.text, str(bench.desk.folder)
    plain = Order("hot", text, folder, "metric")
    study = replace(questions.QUESTIONS["hot"], study=lambda _m, _tell: studies.hot_of_plain())
    monkeypatch.setitem(questions.QUESTIONS._made, "hot", study)
    before = questions.answer(plain, silent)
    monkeypatch.setitem(questions.QUESTIONS._made, "hot", replace(study, study=lambda _m, _t: pytest.fail()))
    ticked = set_value(text, "hot.accepted", ["fans dead", "vents blocked"])
    gone = set_value(ticked, "hot.accepted", None)
    for one in (ticked, gone, set_value(gone, "hot.accepted", ["fans dead"])):
        assert Order("hot", one, folder, "us").about == plain.about
    after = questions.answer(Order("hot", ticked, folder, "metric"), silent)
    told = {case["case"]: case["accepted"] for case in after.document["cases"]}
    assert {case for case, yes in told.items() if yes} == {"fans dead", "vents blocked"}
    assert len(after.document["exceeded"]) < len(before.document["exceeded"])
    again = questions.answer(Order("hot", gone, folder, "metric"), silent)
    assert again.document == before.document
    other = set_value(text, "wall.gap", "95 mm")
    assert Order("hot", other, folder, "metric").about != plain.about


def test_a_tick_among_other_tables_is_no_change_of_the_year() -> None:
    ticks = '[hot]\naccepted = ["fans dead"]\n\n'
    broken = '[hot]\naccepted = [\n  "fans dead",\n]\n\n'
    dated = '[hot]\naccepted = ["fans dead"]\naccepted_for = [["fans dead", "2026-03-01", "frame (softwood)"]]\n\n'
    texts = [f"[site]\na = 1\n\n{hot}[wall]\nb = 2\n" for hot in ("", ticks, broken, dated, "[hot]\n\n")]
    texts += [f"{texts[0]}\n{hot}" for hot in (ticks, broken, dated, "[hot]\n")]
    about = {Order("year", text, ".", "metric").about for text in texts}
    assert len(about) == 1


def replaced(file: Path, text: str) -> None:
    """Write a file anew, as a copy from elsewhere does: whole, with a time of its own."""
    aside = file.with_suffix(".new")
    aside.write_text(text)
    os.utime(aside, ns=(0, 10**9))
    aside.replace(file)


async def test_a_skyline_replaced_under_its_name_is_taken_in_and_asked_about(slow: Bench) -> None:
    hills = slow.desk.folder / "hills.csv"
    hills.write_text("0, 0\n90, 5\n180, 11\n270, 5\n")
    slow.desk.change(lambda text: set_value(text, "site.horizon_file", "hills.csv"), "hills")
    year = slow.result("year")
    year.watch(lambda: None)
    await answered(year)
    before, text, undo = slow.desk.project.site.horizon, slow.desk.text, slow.desk.next_undo
    slow.desk.refresh()
    assert year.current
    replaced(hills, "0, 0\n90, 5\n180, 31\n270, 5\n")  # as long as before
    slow.desk.refresh()
    assert slow.desk.project.site.horizon != before
    assert (slow.desk.text, slow.desk.next_undo) == (text, undo)
    assert year.running or not year.current
    await answered(year)
    assert year.current
    replaced(hills, "no skyline")
    for _ in range(2):  # said until it is mended
        with pytest.raises(ProjectError, match=r"hills\.csv"):
            slow.desk.refresh()


HILLS, WOODS = "0, 0\n90, 5\n180, 11\n270, 5\n", "0, 3\n90, 3\n180, 4\n270, 3\n"


def with_hills(bench: Bench) -> Path:
    """Have the project name a skyline, changed once after that."""
    hills = bench.desk.folder / "hills.csv"
    hills.write_text(HILLS)
    bench.desk.change(lambda text: set_value(text, "site.horizon_file", "hills.csv"), "hills")
    bench.desk.change(deeper, "deeper")
    return hills


def broken(hills: Path, how: str) -> None:
    """Have a skyline's file gone, or of words."""
    if how == "gone":
        hills.unlink()
    else:
        replaced(hills, "no skyline")


def told(bench: Bench) -> None:
    """Expect the fault to be told, however often somebody looks."""
    for _ in range(2):
        with pytest.raises(FileBesideError, match=r"site\.horizon_file: .*hills\.csv"):
            bench.desk.refresh()


@pytest.mark.parametrize("how", ["gone", "words"])
def test_a_skyline_that_does_not_read_locks_nothing_and_stays_told(bench: Bench, how: str) -> None:
    desk = bench.desk
    hills, before = with_hills(bench), desk.project.site.horizon
    broken(hills, how)
    told(bench)
    desk.set("wall.gap", "7 cm", desk.value("wall.gap"))
    assert desk.text == read_text(desk.file) and desk.value("wall.gap") == "7 cm"
    assert desk.project.wall.gap_m == pytest.approx(0.07) and desk.project.site.horizon == before
    told(bench)
    assert desk.undo() == "wall.gap: 123 mm to 7 cm" and desk.redo() and desk.undo()
    told(bench)
    with pytest.raises(ProjectError, match=r"hills\.csv"):
        questions.answer(Order("year", desk.text, str(desk.folder), "metric", files=desk.files), silent)
    replaced(hills, "0, 0\n90, 5\n180, 31\n270, 5\n")
    desk.refresh()
    assert desk.project.site.horizon not in (before, ())


@pytest.mark.parametrize("how", ["gone", "words"])
def test_a_skyline_that_does_not_read_can_be_cleared_replaced_or_undone(bench: Bench, how: str) -> None:
    desk = bench.desk
    hills = with_hills(bench)
    broken(hills, how)
    desk.set("site.horizon_file", None, "hills.csv")
    desk.refresh()
    assert desk.project.site.horizon == () and "hills.csv" not in read_text(desk.file)
    with pytest.raises(ProjectError, match=r"hills\.csv"):  # an edit that names it is still refused
        desk.undo()
    assert desk.value("site.horizon_file") is None
    (desk.folder / "woods.csv").write_text(WOODS)
    desk.set("site.horizon_file", "woods.csv", None)
    broken(desk.folder / "woods.csv", how)
    hills.write_text(HILLS)
    desk.set("site.horizon_file", "hills.csv", "woods.csv")
    desk.refresh()
    assert desk.project.site.horizon == ((0.0, 0.0), (90.0, 5.0), (180.0, 11.0), (270.0, 5.0))
    broken(hills, how)
    (desk.folder / "woods.csv").write_text(WOODS)
    assert desk.undo() == "site.horizon_file: woods.csv to hills.csv"
    desk.refresh()
    assert desk.project.site.horizon == ((0.0, 3.0), (90.0, 3.0), (180.0, 4.0), (270.0, 3.0))


def test_what_an_editor_wrote_beside_a_broken_skyline_is_not_lost(bench: Bench) -> None:
    desk = bench.desk
    broken(with_hills(bench), "gone")
    desk.file.write_text(set_value(desk.text, "site.snow_albedo", 0.5))
    desk.set("wall.gap", "7 cm", desk.value("wall.gap"))
    assert [value_at(read_text(desk.file), key) for key in ("site.snow_albedo", "wall.gap")] == [0.5, "7 cm"]
    told(bench)
    desk.file.write_text(set_value(desk.text, "site.horizon_file", "never.csv"))
    with pytest.raises(FileBesideError, match=r"never\.csv"):
        desk.refresh()
    desk.set("site.horizon_file", None, "never.csv")
    desk.refresh()
    assert desk.project.site.horizon == ()


def test_a_weather_file_that_is_gone_locks_nothing(bench: Bench) -> None:
    desk, file = bench.desk, bench.desk.folder / "year.csv"
    file.write_text("hours")
    desk.set("weather.file", "year.csv", None)
    file.unlink()
    desk.set("wall.gap", "7 cm", desk.value("wall.gap"))
    with pytest.raises(NoonwallError, match=r"year\.csv"):  # the answers tell it
        questions.answer(Order("year", desk.text, str(desk.folder), "metric", files=desk.files), silent)
    desk.set("weather.file", None, "year.csv")
    assert "year.csv" not in read_text(desk.file) and desk.undo()


def test_a_weather_file_that_leads_out_locks_nothing(bench: Bench) -> None:
    desk = bench.desk
    desk.file.write_text(set_value(desk.text, "weather.file", "../away.csv"))
    with pytest.raises(FileBesideError, match="leads out of the project's folder"):
        desk.refresh()
    desk.set("wall.gap", "7 cm", desk.value("wall.gap"))
    assert desk.project.weather.file is None
    with pytest.raises(FileBesideError, match="leads out of the project's folder"):
        desk.refresh()
    desk.set("weather.file", None, "../away.csv")
    desk.refresh()


def test_a_weather_file_replaced_under_its_name_is_read_anew(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, folder = bench.desk.folder / "year.csv", str(bench.desk.folder)
    text = set_value(bench.desk.text, "weather.file", "year.csv")
    monkeypatch.setattr(
        "noonwall.climate.load.load_weather", lambda project, _folder: Path(project.weather.file).read_text()
    )
    file.write_text("warm")
    assert [questions._weather(text, folder)[1] for _ in range(2)] == ["warm", "warm"]
    replaced(file, "cold")
    assert questions._weather(text, folder)[1] == "cold"


def test_marks_are_of_every_file_the_text_names(bench: Bench) -> None:
    folder = bench.desk.folder
    text = set_value(bench.desk.text, "weather.file", "year.csv")
    text = add_item(text, "variant", {"name": "hills", "change": ["site.horizon_file = other.csv", "flap"]})
    text = add_item(text, "variant", {"name": "spy", "change": ["weather.file=../away.csv"]})
    (folder / "year.csv").write_text("1234")
    marks = {name: size for name, _, size in marks_of(text, folder)}
    assert marks == {"year.csv": 4, "other.csv": -1, "../away.csv": -1}


def test_variants_keep_the_skyline_of_its_file(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    folder: Path = bench.desk.folder
    (folder / "hills.csv").write_text("0, 0\n90, 5\n180, 11\n270, 5\n")
    text = set_value(read_text(bench.desk.file), "site.horizon_file", "hills.csv")
    seen = []

    def looked_at(project: object, ways: list[object], *_rest: object) -> object:
        seen.extend([project, *ways])
        raise ProjectError("seen")

    monkeypatch.setattr("noonwall.studies.compare.compare_study", looked_at)
    questions.QUESTIONS._made.pop("compare", None)
    with pytest.raises(ProjectError, match="seen"):
        questions.answer(Order("compare", text, str(folder), "metric"), silent)
    questions.QUESTIONS._made.pop("compare", None)
    project, *ways = seen
    assert project.site.horizon and ways
    assert all(way.project.site == project.site for way in ways)


def test_a_variant_leads_no_reading_out_of_the_folder(bench: Bench) -> None:
    text = add_item(bench.desk.text, "variant", {"name": "spy", "change": ["weather.file=../other.csv"]})
    with pytest.raises(ProjectError, match="leads out"):
        questions.answer(Order("compare", text, str(bench.desk.folder), "metric"), silent)


def test_a_window_that_fails_keeps_no_other_from_being_told(
    bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    told = []

    def fails() -> None:
        raise RuntimeError("this window is gone")

    bench.desk.listen(fails)
    bench.desk.listen(lambda: told.append(bench.desk.text))
    bench.desk.change(deeper, "deeper")
    assert told == [read_text(bench.desk.file)]
    assert "could not show" in caplog.text


async def test_what_nobody_waited_for_is_not_told_as_stopped_by_the_builder(slow: Bench) -> None:
    ways, night = slow.result("compare"), slow.result("night")
    end = ways.watch(lambda: None)
    first = await answered(ways)
    slow.desk.change(deeper, "deeper")
    await asyncio.sleep(0.03)
    end()  # the phone sleeps while another window asks something else, and undoes the change
    night.watch(lambda: None)
    assert not ways.running
    slow.desk.undo()
    ways.watch(lambda: None)
    assert (ways.stopped, ways.running, ways.answer) == (False, False, first)


async def test_what_the_builder_stopped_is_told_until_what_is_shown_is_right_again(slow: Bench) -> None:
    year = slow.result("year")
    year.watch(lambda: None)
    await answered(year)
    slow.desk.change(deeper, "deeper")
    await asyncio.sleep(0.03)
    year.stop()
    assert year.stopped
    slow.desk.undo()
    assert not year.stopped
