"""The page of looking back: the chain, the rows, a claim, and learned values taken into use or written."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from nicegui import Client, ui

from fakes.pages import answered, until
from fakes.worker import NearWorker
from noonwall.logs.errors import ReadingsError
from noonwall.logs.learn.keep import kept_text, put_back, read, write
from noonwall.logs.learn.story import Curve, Learned, Value
from noonwall.model.taught import corrections_of
from noonwall.report.learn_rows import learn_rows
from noonwall.report.reader import Reader
from noonwall.web import questions
from noonwall.web.asked import Answer, Order
from noonwall.web.pages.lookback import rows_table
from noonwall.web.parts.recap_charts import chain_option, rest_option, rows_option, spread_option

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from noonwall.web.bench import Bench

DAYS = (("first", "2025-02-10"), ("last", "2025-02-12"))
HOURS = 48


def value(key: str, assumed: float, learned: float, *, told: bool = True, unit: str = "W/K") -> Value:
    spread = 0.1 * learned
    return Value(key, f"what {key} is", unit, key == "set_point", assumed, learned, learned - spread, learned + spread,
                 learned - assumed if key == "set_point" else learned / assumed, told, False, 0.1, 0.3)  # fmt: skip


def learned_of(values: tuple[Value, ...]) -> Learned:
    rest = np.linspace(0.0, 1.0, HOURS)
    curve = Curve("room_c", 3600, 10.0 + rest, 10.2 + rest, 12.0 + rest, np.arange(HOURS) >= 24)
    return Learned(
        np.datetime64("2025-02-10T00:00:00"), 2.0, 600, values, (), {}, (), (), (), (), (curve,), 0, 7, ()
    )


LEARNED = learned_of((
    value("shop_loss", 130.0, 150.0), value("set_point", 5.0, 6.5, unit="C"),
    value("ground", 45.0, 45.0, told=False),
))  # fmt: skip


class Taught(NearWorker):
    """Answers the question of learning out of hand; everything else as ever."""

    async def answer(self, order: Order, tell: Any, stop: Any) -> Answer:
        if order.question != "learn":
            return await super().answer(order, tell, stop)
        questions._lesson(order.about).append(LEARNED)
        document = {"values": [{"key": v.key, "title": v.title, "assumed": v.assumed, "learned": v.learned}
                               for v in LEARNED.values]}  # fmt: skip
        return Answer("learn", document, (), (), True, learn_rows(LEARNED, Reader(order.system)))


@pytest.fixture
def lived(lived_shed: Path, bench_over: Callable[[Path], Bench]) -> Bench:
    bench = bench_over(lived_shed)
    bench.long = Taught()
    return bench


async def test_some_days_are_looked_back_over_and_a_claim_is_judged(lived: Bench, opened: Any) -> None:
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        answer = await answered(lived.result("recap", DAYS))
        await user.should_see("Where the difference went")
        await user.should_see("10 February 2025 to 12 February 2025")
        await user.should_see("your project promised")
        chain = answer.document["chain"]
        explained = sum(item["kwh"] for item in chain["links"])
        assert chain["expected_kwh"] + explained == pytest.approx(chain["measured_kwh"])
        with user:
            box = next(
                b for b in user.find(ui.input).elements if "Heat over these days" in b.props.get("label", "")
            )
        box.value = "90,000 kWh"
        user.find("Hold it").click()
        await user.should_see("refused", retries=30)
        box.value = "a lot"
        await user.should_not_see("refused")  # it was told of the figure that stood there before
        user.find("Hold it").click()
        await user.should_see("wanted an amount of heat")
        box.value = ""
        await user.should_not_see("wanted an amount of heat")
        box.value = "abc"
        user.find("Hold it").click()
        await user.should_see("wanted an amount of heat")
        box.value = "0.01 million Btu"
        user.find("Hold it").click()
        await user.should_see("3 kWh (0.01 million Btu)", retries=30)
        await user.should_see("possible by the sun, but not by the readings")
        assert lived.known("learn", DAYS) is None or lived.result("learn", DAYS).answer is None
        picture = await user.http_client.get("/picture/recap/recap.png?first=2025-02-10&last=2025-02-12")
        assert picture.status_code == 200 and picture.content.startswith(b"\x89PNG")


async def test_a_project_changed_since_can_be_held_against_as_it_was(lived: Bench, opened: Any) -> None:
    def promised(answer: Answer) -> float:
        return float(answer.document["whole"]["expected_kwh"])

    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        before = promised(await answered(lived.result("recap", DAYS)))
        await user.should_not_see("as it stands now")
        lived.desk.change(lambda text: f"{text}\n[wall.flap]\n", "flap")
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        answer = await answered(lived.result("recap", DAYS))
        await user.should_see("Your project was changed after these readings were read in")
        await user.should_see("your project as it stands would have promised")
        assert answer.document["project_changed"] == ["the flap"] and promised(answer) != before
        await user.open("/lookback?first=2025-02-10&last=2025-02-12&was=1")
        answer = await answered(lived.result("recap", (*DAYS, ("was", True))))
        await user.should_see("your project as it was then promised")
        assert answer.document["as_was"] and promised(answer) == pytest.approx(before)


async def test_without_readings_it_says_what_to_do(bench: Bench, opened: Any) -> None:
    async with opened(bench) as user:
        await user.open("/lookback")
        await user.should_see("hand some in", retries=100)


async def test_values_are_taken_into_use_and_left_again(lived: Bench, opened: Any) -> None:
    lived.long = Taught()
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Take into use", retries=300)
        await user.should_see("the readings cannot tell; left as assumed")
        with user:
            ticks = {b.props["aria-label"]: b for b in user.find(ui.checkbox).elements}
        assert sorted(ticks) == ["use what set_point is", "use what shop_loss is"]
        ticks["use what shop_loss is"].value = True
        await user.should_see("calculated with 1 learned value", retries=50)
        assert [item.key for item in read(lived.desk.folder)] == ["shop_loss"]
        assert lived.learned and lived.result("year").order.learned == lived.learned
        assert not lived.result("learn", DAYS).order.learned
        user.find("Use none").click()
        await user.should_see("none of what was learned", retries=50)
        assert not lived.learned and not lived.result("year").order.learned


async def test_a_tick_in_one_window_is_not_lost_to_a_tick_in_another(lived: Bench, opened: Any) -> None:
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Take into use", retries=300)
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        await user.should_see("Take into use", retries=300)
        windows = [client for client in Client.instances.values() if client.page.path == "/lookback"]
        assert len(windows) == 2

        def ticks(window: Client) -> dict[str, ui.checkbox]:
            boxes = [one for one in window.elements.values() if isinstance(one, ui.checkbox)]
            return {str(one.props["aria-label"]): one for one in boxes}

        def seen() -> list[list[bool]]:
            return [[box.value for _, box in sorted(ticks(window).items())] for window in windows]

        ticks(windows[0])["use what shop_loss is"].value = True
        await until(lambda: seen() == [[False, True], [False, True]])
        ticks(windows[1])["use what set_point is"].value = True
        await until(lambda: seen() == [[True, True], [True, True]])
        assert sorted(item.key for item in read(lived.desk.folder)) == ["set_point", "shop_loss"]
        ticks(windows[0])["use what set_point is"].value = False  # both at once
        ticks(windows[1])["use what shop_loss is"].value = False
        await until(lambda: seen() == [[False, False], [False, False]])
        assert not lived.learned


async def test_all_are_looked_at_again_before_they_are_used_and_undone(
    lived: Bench, opened: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [("heat into the shop", "1,711 kWh", "1,530 kWh", "-181 kWh")]
    monkeypatch.setattr(questions, "heat_with", lambda *_asked, **_how: rows)
    kept = lived.desk.folder / "learned.toml"
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Use all that the readings tell", retries=300)
        user.find("Use all that the readings tell").click()
        await user.should_see("Take these into use?")
        await user.should_see("1,530 kWh", retries=50)
        await user.should_see("135 to 165")  # the spread of the loss
        assert not lived.learned and not kept.exists()
        user.find("Use these 2 values").click()
        await user.should_see("calculated with 2 learned values", retries=50)
        assert sorted(item.key for item in read(lived.desk.folder)) == ["set_point", "shop_loss"]
        user.find("Undo: what was in use before").click()
        await user.should_see("none of what was learned", retries=50)
        assert not lived.learned and not kept.exists()


async def test_what_a_command_learned_meanwhile_is_not_undone(lived: Bench, opened: Any) -> None:
    lived.long = Taught()
    kept = lived.desk.folder / "learned.toml"
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Take into use", retries=300)
        with user:
            ticks = {b.props["aria-label"]: b for b in user.find(ui.checkbox).elements}
        ticks["use what shop_loss is"].value = True
        await user.should_see("calculated with 1 learned value", retries=50)
        write(lived.desk.folder, LEARNED)
        by_command = kept.read_text()
        user.find("Undo: what was in use before").click()
        await user.should_see("was written anew since", retries=50)
        await user.should_not_see("Undo: what was in use before")
        assert kept.read_text() == by_command and lived.learned


async def test_what_cannot_be_calculated_with_is_not_used(
    lived: Bench, opened: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def other(*_asked: Any, **_how: Any) -> None:
        raise ReadingsError("was learned while the project said something else")

    monkeypatch.setattr(questions, "heat_with", other)
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Use all that the readings tell", retries=300)
        user.find("Use all that the readings tell").click()
        await user.should_see("was learned while the project said", retries=100)
        with user:
            (button,) = user.find("Use these 2 values").elements
        assert not button.enabled


def test_what_is_put_back_is_what_was_there(tmp_path: Path) -> None:
    (tmp_path / "noonwall.toml").touch()
    assert kept_text(tmp_path) is None
    write(tmp_path, LEARNED)
    before = kept_text(tmp_path)
    write(tmp_path, learned_of(LEARNED.values[:1]))
    put_back(tmp_path, before)
    assert kept_text(tmp_path) == before and len(read(tmp_path)) == 3
    put_back(tmp_path, None)
    put_back(tmp_path, None)
    assert kept_text(tmp_path) is None


def test_the_year_is_calculated_with_and_without_what_was_learned(
    lived_shed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def simulate(project: Any, _weather: Any, _step_s: int) -> Any:
        heat = 1000.0 * (corrections_of(project)[0].factor if corrections_of(project) else 1.0)
        return SimpleNamespace(
            whole=lambda: SimpleNamespace(delivered_kwh=heat, useful_kwh=500.0, backup_kwh=0.0)
        )

    monkeypatch.setattr("noonwall.simulate", simulate)
    order = Order("learn", (lived_shed / "noonwall.toml").read_text(encoding="utf-8"), str(lived_shed), "us")
    loss = replace(LEARNED.values[0], assumed=130.83667712537098, factor=0.9)
    questions._lesson(order.about)[:] = [learned_of((loss, *LEARNED.values[1:]))]
    rows = questions.heat_with(order, ("shop_loss",), False, lambda _d, _o: None)
    assert rows[0] == ("heat into the shop", "3,412 kBtu", "3,071 kBtu", "-341 kBtu")
    assert [row[3] for row in rows[1:]] == ["0 kBtu", "0 kBtu"]
    assert questions.heat_with(order, (), False, lambda _d, _o: None)[0][3] == "0 kBtu"


async def test_a_value_with_a_plain_key_is_written_and_undone(lived: Bench, opened: Any) -> None:
    async with opened(lived) as user:
        await user.open("/lookback?first=2025-02-10&last=2025-02-12")
        user.find("Learn now").click()
        await user.should_see("Take into use", retries=300)
        before = lived.desk.text
        user.find("Write into the project").click()
        await user.should_see("written into the project", retries=50)
        assert lived.desk.value("shop.heater.setpoint") == "6.5 C"
        lived.desk.undo()
        assert lived.desk.text == before


def test_the_worker_keeps_what_was_chosen_and_studies_go_by_it(lived_shed: Path) -> None:
    text = (lived_shed / "noonwall.toml").read_text(encoding="utf-8")
    order = Order("learn", text, str(lived_shed), "metric")
    loss = replace(LEARNED.values[0], assumed=130.83667712537098, factor=1.2)
    questions._lesson(order.about)[:] = [learned_of((loss, *LEARNED.values[1:]))]
    assert questions.keep_learned(order, ("shop_loss",), lambda _d, _o: None) == 1
    project = questions._taught(questions.described(text, lived_shed), lived_shed)
    assert [item.key for item in project.corrections] == ["shop_loss"]


def test_a_lesson_that_is_gone_is_not_learned_again_unasked(lived_shed: Path) -> None:
    order = Order("learn", "gone with its process", str(lived_shed), "metric")
    with pytest.raises(ReadingsError, match="Learn now"):
        questions.keep_learned(order, ("shop_loss",), lambda _d, _o: None)


MORE: dict[str, Any] = {
    "unit": "kWh", "degree": "°C", "error": 5.0,
    "steps": [
        {"key": "expected", "name": "a typical year", "from": 0.0, "to": 20.0, "kind": "whole", "label": "20"},
        {"key": "shade", "name": "shade <b>", "from": 20.0, "to": -10.0, "kind": "loss", "label": "-30"},
        {"key": "rest", "name": "the rest", "from": -10.0, "to": -4.0, "kind": "gain", "label": "+6"},
        {"key": "measured", "name": "measured", "from": 0.0, "to": -4.0, "kind": "whole", "label": "-4"},
    ],
    "rows": {"months": [
        {"name": "2025-02<i>", "typical": 10.0, "expected": 8.0, "measured": 6.0, "spread": [5.0, 7.0], "known": "90 %",
         "fan_hours": None, "shop": 5.0, "expected_shop": 5.5, "untold": None},
        {"name": "2025-03", "typical": 10.0, "expected": 8.0, "measured": None, "spread": None, "known": "0 %",
         "fan_hours": None, "shop": None, "expected_shop": 5.5, "untold": "not measured: <when> the fans ran"},
    ]},
}  # fmt: skip


def test_each_bar_of_the_chain_covers_its_step() -> None:
    option, height = chain_option(MORE)
    base, above, below, labels = option["series"]
    for i, step in enumerate(MORE["steps"]):
        low, high = sorted((step["from"], step["to"]))
        up, down = above["data"][i]["value"], below["data"][i]["value"]
        start = base["data"][i]
        ends = (
            (start + down, start + up)
            if low < 0.0 < high or not start
            else sorted((start, start + up + down))
        )
        assert tuple(ends) == pytest.approx((low, high))
    assert [row["label"]["formatter"] for row in labels["data"]] == ["20", "-30", "+6", "-4\n± 5"]
    assert labels["data"][-1]["value"][0] == pytest.approx(0.0 + 5.0)  # beyond the bracket's end
    assert option["grid"]["right"] >= 8 * len("± 5")
    assert [d["itemStyle"]["decal"] != {"symbol": "none"} for d in above["data"]] == [
        False,
        True,
        False,
        False,
    ]
    assert height > 200


def test_rows_are_drawn_and_escaped() -> None:
    option = rows_option(MORE, "months")
    assert option["series"][2]["data"] == [6.0, None]
    assert len(option["series"][2]["markLine"]["data"]) == 1
    page = rows_table(MORE, "months")
    assert "6 &plusmn; 1" in page and "<i>" not in page and "<td>-</td>" in page
    assert (
        "2025-03: no heat told; not measured: &lt;when&gt; the fans ran." in page
        and "02: no heat" not in page
    )


def test_a_bracket_below_nought_is_not_cut_off() -> None:
    row = {"typical": 196.0, "expected": 131.0, "measured": 49.0, "spread": [-6.0, 104.0], "name": "Jan"}
    months = {**MORE, "rows": {"months": [row, {**row, "measured": 209.0, "spread": [141.0, 277.0]}]}}
    assert rows_option(months, "months")["yAxis"]["min"] == -50.0
    deep = {**MORE, "rows": {"months": [{**row, "measured": -40.0, "spread": [-55.0, -25.0]}]}}
    assert rows_option(deep, "months")["yAxis"]["min"] == -100.0
    assert "min" not in rows_option(MORE, "months")["yAxis"]


def test_long_names_beside_their_rows_stay_whole() -> None:
    titles = (
        "share of the sky's light that the absorber takes",
        "depth of the shade of belt fir, times what was assumed",
    )
    rows = [{**learn_rows(LEARNED, Reader())["values"][0], "title": title} for title in titles]
    names = spread_option(rows)[0]["yAxis"]["data"]
    assert [name.replace("\n", " ") for name in names] == list(titles)
    assert max(name.count("\n") for name in names) == 2


def test_what_is_left_over_is_the_mean_of_days() -> None:
    curve = learn_rows(LEARNED, Reader("us"))["curves"][0]
    assert curve["days"] == ["Feb 10, 2025", "Feb 11, 2025"]
    assert curve["learned"] == pytest.approx([0.36, 0.36]) and curve["assumed"] == pytest.approx([3.6, 3.6])
    assert curve["judges"] == [False, True]
    assert rest_option(curve, "°F")["series"][2]["data"] == [["Feb 11, 2025", 0]]


def test_spreads_are_told_of_what_readings_tell() -> None:
    rows = learn_rows(LEARNED, Reader())["values"]
    option, _ = spread_option(rows)
    assert len(option["series"][0]["data"]) == 1
    low, middle, high = rows[0]["percent"]
    assert low < middle < high and middle == pytest.approx(115.4)
    assert option["xAxis"]["min"] <= low and option["xAxis"]["max"] >= high
