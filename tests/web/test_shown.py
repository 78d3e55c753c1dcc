"""What a page shows while something is going on: a calculation to be stopped, a file that an editor broke."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest
from nicegui import ui

from fakes.pages import answered
from fakes.worker import IdleWorker
from noonwall.web import frame
from noonwall.web.asked import Answer, Order
from noonwall.web.bench import Result

if TYPE_CHECKING:
    from nicegui.testing.user import User

    from noonwall.web.bench import Bench


async def test_the_stop_button_stays_the_same_while_it_is_counted(user: User, bench: Bench) -> None:
    bench.quick = IdleWorker()
    await user.open("/")
    result = bench.result("year")

    def stop_button() -> ui.button:
        with user:
            return next(b for b in user.find(ui.button).elements if b.text == "Stop")

    before = stop_button()
    for done in (1, 2, 3):
        result.done, result.of = done, 17
        result.tell()
        await user.should_see(f"Calculating {done} of 17")
    assert stop_button() is before


async def test_seconds_are_counted_beside_those_of_the_last_time(
    user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.quick = IdleWorker()
    bench.preparing = True
    result = bench.result("year")
    result.took_s = 29.4
    monkeypatch.setattr(Result, "for_s", 12.3)
    await user.open("/")
    await user.should_see("12 s, 29 s the last time", retries=30)
    await user.should_see("The calculator is made ready, once on this machine")


async def test_an_answer_out_of_the_drawer_does_not_count_as_the_time_it_takes(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.quick = IdleWorker()
    monkeypatch.setattr(bench.quick, "answer", answer_with_nothing)
    result = bench.result("year")
    for took_s, told in ((5.0, 5.0), (0.2, 5.0), (7.0, 7.0)):
        monkeypatch.setattr(Result, "for_s", took_s)
        result.ask()
        await answered(result)
        assert result.took_s == told


async def answer_with_nothing(order: Order, *_rest: object) -> Answer:
    return Answer(order.question, {}, (), ())


async def test_a_file_that_does_not_read_any_more_is_told_until_it_does(
    user: User, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(frame, "FILE_EVERY_S", 0.05)
    bench.quick = IdleWorker()
    await user.open("/")
    text = bench.desk.text
    bench.desk.file.write_text(text.replace('gap = "90 mm"', 'gap = "90 mm'))
    await user.should_see("The file on the disk does not read")
    assert bench.desk.text == text
    bench.desk.file.write_text(text.replace('gap = "90 mm"', 'gap = "95 mm"'))
    await asyncio.sleep(0.3)
    await user.should_not_see("The file on the disk does not read")
    assert bench.desk.project.wall.gap_m == pytest.approx(0.095)
