"""The page of readings: a file handed in, its questions answered, read in, judged, drawn, taken back."""

from __future__ import annotations

import asyncio
import html
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from nicegui import Client, events, ui

from fakes.pages import until
from logs.stores import SHOP, put
from noonwall.logs import reception
from noonwall.logs.store import Store
from noonwall.report.reader import Reader
from noonwall.web.parts.channels_chart import course_option, zoomed
from noonwall.web.parts.column_row import ColumnRow
from noonwall.web.parts.understood import on_page
from noonwall.web.tray import MOST_FILES, RefusedError, Tray, plain_name

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from nicegui.testing.user import User

    from noonwall.web.bench import Bench

HEADERS = {"x-noonwall": "readings", "origin": "http://localhost"}


def probes(unit: str = "") -> str:
    head = f"Time (UTC),Bench{unit},Top of gap{unit}"
    rows = [
        f"2025-03-{1 + i // 24:02d} {i % 24:02d}:00,{58 + (i % 24) / 4:.1f},{60 + 7 * ((i % 24) / 12):.1f}"
        for i in range(4 * 24)
    ]
    return "\n".join([head, *rows]) + "\n"


def tell(user: User, **said: Any) -> None:
    """Say what the browser's script says of a file on its way."""
    with user:
        layout = user.client.layout
        for listener in layout._event_listeners.values():
            if listener.type == "nwFile":
                args = events.GenericEventArguments(sender=layout, client=user.client, args=said)
                events.handle_event(listener.handler, args)


async def hand_in(user: User, text: str, name: str) -> None:
    tell(user, mark="1", name=name, size=len(text), state="begun")
    came = await user.http_client.post(f"/readings/file?name={name}", content=text.encode(), headers=HEADERS)
    assert came.status_code == 200, came.text
    tell(user, mark="1", state="here", token=came.json()["token"])


def sees(user: User, text: str) -> Callable[[], bool]:
    def look() -> bool:
        with user:
            try:
                return bool(user.find(text).elements)
            except AssertionError:
                return False

    return look


async def test_a_file_is_asked_about_answered_read_in_and_taken_back(user: User, bench: Bench) -> None:
    await user.open("/readings")
    await user.should_see("Nothing was read yet")
    await hand_in(user, probes(), "bench.csv")
    await until(sees(user, "Please answer"))
    with user:
        question = next(r for r in user.find(ui.radio).elements if "unit=F" in r.options)
        question.value = "unit=F"
    await until(lambda: not sees(user, "Please answer")())
    user.find("Read it in").click()
    await until(sees(user, "Put this note away"))
    listed = reception.listing(bench.desk.folder, bench.desk.project.site)
    assert [item["file"] for item in listed["imports"]] == ["bench.csv"]
    assert bench.stamp > 0.0
    assert not (bench.desk.folder / ".handed-in").exists()
    await until(sees(user, "What was read in"))
    await user.should_see("Only 4 days of readings: too little to judge whether sensors hang in their places")
    user.find("Take it back").click()
    await user.should_see("Take import 1 back?")
    await user.should_see("bench.csv")
    await user.should_see("96 rows from 28 February 2025 to 4 March 2025")
    user.find("Keep it").click()
    await asyncio.sleep(0.1)
    assert len(reception.listing(bench.desk.folder, bench.desk.project.site)["imports"]) == 1
    user.find("Take it back").click()
    await user.should_see(marker="take-back")
    user.find(marker="take-back").click()
    await until(sees(user, "Nothing was read yet"))


async def test_a_channel_kept_apart_gets_a_name_that_can_be_told(user: User, bench: Bench) -> None:
    with Store(bench.desk.folder) as store:
        put(store, "a", {replace(SHOP, kind="mean", stamp="end"): [(0, 1.0)]})
    await user.open("/readings")
    await hand_in(user, probes(" (F)").replace("Bench (F)", "BENCH (F)"), "two.csv")
    await until(sees(user, 'Keep it apart, as "BENCH (2)"'))
    await user.should_see(html.escape('is kept apart from "bench" and called "BENCH (2)"'))
    user.find('Keep it apart, as "BENCH (2)"').click()
    await until(lambda: not sees(user, "is known already")())
    user.find("Read it in").click()
    await until(sees(user, "Put this note away"))
    with Store(bench.desk.folder) as store:
        assert [c.name for c in store.channels("shop")] == ["bench", "BENCH (2)"]


async def test_cells_that_hold_no_reading_stand_in_the_first_look(user: User) -> None:
    await user.open("/readings")
    await hand_in(user, probes(" (F)").replace(",58.0,", ",ERR,"), "bench.csv")
    await until(sees(user, "Not every cell holds a reading"))
    await user.should_see(html.escape('Bench (F): 4 cells say "ERR" and count as empty'))


async def test_a_column_goes_on_with_a_known_channel_at_one_press(user: User, bench: Bench) -> None:
    with Store(bench.desk.folder) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
    await user.open("/readings")
    await hand_in(user, probes(" (F)").replace("Bench (F)", "Shop temp 2 (F)"), "two.csv")
    await until(sees(user, "is known already"))
    await user.should_see("once the questions above are answered")
    await user.should_see("please check")
    user.find("Go on with bench (shop at 1.2 m)").click()
    await until(lambda: not sees(user, "is known already")())
    await until(sees(user, "Read it in"))
    user.find("Read it in").click()
    await until(sees(user, "Put this note away"))
    with Store(bench.desk.folder) as store:
        assert [(c.name, store.count(c)) for c in store.channels("shop")] == [("bench", 97)]


async def test_what_is_not_answered_is_taken_for_granted_in_plain_sight(user: User, bench: Bench) -> None:
    await user.open("/readings")
    text = probes(" (F)").replace("Time (UTC)", "Time").replace("Top of gap (F)", "Wobble")
    text = text.replace(
        "2025-03", "2025-07"
    )  # in March no clock is put on in these days: nothing to be asked
    await hand_in(user, text, "bench.csv")
    await until(sees(user, "this is taken for granted"))
    zone = f"UTC{bench.desk.project.site.clock_h:+.0f}"
    await user.should_see(html.escape(f'the clock\'s zone is {zone}; "Wobble" is kept, but not used'))
    user.find("It is right as it stands").click()
    await until(lambda: not sees(user, html.escape("the clock's zone is"))())


async def test_the_column_of_the_time_is_picked_where_none_is_found(user: User) -> None:
    await user.open("/readings")
    start = 1_740_787_200
    rows = [f"{58 + i % 7 / 2:.1f},{start + (i * 7 % 96) * 3600}" for i in range(96)]  # not in order
    await hand_in(user, "\n".join(["Bench (F),Moment", *rows]), "bench.csv")
    await until(sees(user, "Which column tells the date and the time?"))
    await user.should_see("export the readings again from the logger's own program")
    await user.should_not_see("--map")
    with user:
        picked = next(s for s in user.find(ui.select).elements if s.options == ["Bench (F)", "Moment"])
        picked.value = "Bench (F)"
    user.find("Look again").click()
    await until(sees(user, "does not read as a date and a time"))
    with user:
        picked = next(s for s in user.find(ui.select).elements if s.options == ["Bench (F)", "Moment"])
        picked.value = "Moment"
    user.find("Look again").click()
    await until(sees(user, "96 rows"))


async def test_findings_of_the_lived_demo_are_judged(
    lived_shed: Path, bench_over: Callable[[Path], Bench], opened: Any
) -> None:
    bench = bench_over(lived_shed)
    site = bench.desk.project.site
    before = {tuple(f["ids"]): f["verdict"] for f in reception.listing(lived_shed, site)["findings"]}
    async with opened(bench) as user:
        await user.open("/readings")
        await until(sees(user, "Check again"))
        with user:
            chosen = next(r for r in user.find(ui.radio).elements if "mended" in r.options)
            chosen.value = "set aside"
        await until(lambda: bench.stamp > 0.0)
        after = {tuple(f["ids"]): f["verdict"] for f in reception.listing(lived_shed, site)["findings"]}
        changed = [ids for ids in after if before.get(ids) != after[ids]]
        assert [after[ids] for ids in changed] == ["set aside"]


async def test_what_one_window_changes_the_other_shows_with_its_own_ticks(
    lived_shed: Path, bench_over: Callable[[Path], Bench], opened: Any
) -> None:
    bench = bench_over(lived_shed)
    async with opened(bench) as user:
        for _ in range(2):
            await user.open("/readings")
            await until(sees(user, "Check again"))
        windows = [client for client in Client.instances.values() if client.page.path == "/readings"]
        assert len(windows) == 2

        def parts(window: Client, kind: type[Any]) -> list[Any]:
            return [one for one in window.elements.values() if isinstance(one, kind)]

        def ticked(window: Client) -> list[str]:
            return [str(box.text) for box in parts(window, ui.checkbox) if box.value]

        first = ticked(windows[0])
        box = next(b for b in parts(windows[0], ui.checkbox) if b.value)
        box.value = False
        assert (ticked(windows[0]), ticked(windows[1])) == (first[1:], first)  # each looks at what it likes
        chosen = next(r for r in parts(windows[1], ui.radio) if "mended" in r.options)
        chosen.value = "set aside"
        await until(lambda: bench.stamp > 0.0)
        asides = [r.value for r in parts(windows[1], ui.radio)]
        await until(lambda: [r.value for r in parts(windows[0], ui.radio)] == asides)
        await until(lambda: (ticked(windows[0]), ticked(windows[1])) == (first[1:], first))


async def test_only_the_page_itself_hands_files_in(user: User) -> None:
    await user.open("/readings")
    client = user.http_client
    assert (
        await client.post(
            "/readings/file?name=a.csv", content=b"a,b\n1,2\n", headers={"origin": "http://localhost"}
        )
    ).status_code == 403
    for name, content in (("a.exe", b"MZ"), ("a.csv", b""), ("a.csv", b"\0\0\0\0")):
        came = await client.post(f"/readings/file?name={name}", content=content, headers=HEADERS)
        assert list(came.json()) == ["refused"]
    large = {**HEADERS, "content-length": "900000000"}
    assert (await client.post("/readings/file?name=a.csv", content=b"a", headers=large)).status_code == 413


async def test_a_token_that_is_none_is_told(user: User) -> None:
    await user.open("/readings")
    tell(user, mark="7", name="x.csv", size=1, state="begun")
    tell(user, mark="7", state="here", token="../../noonwall.toml")
    await until(sees(user, "hand it in again"))


async def _body(*blocks: bytes) -> AsyncIterator[bytes]:
    for block in blocks:
        yield block


async def test_the_tray_keeps_to_its_own_folder(tmp_path: Path) -> None:
    tray = Tray(tmp_path)
    token = await tray.take("../../../etc/pass wd;rm.csv", _body(b"a,", b"b\n"))
    path = tray.path(token)
    assert path.parent.parent.parent == tmp_path and path.name == "pass wd_rm.csv"
    assert path.read_bytes() == b"a,b\n"
    tray.drop(token)
    tray.drop(token)
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(RefusedError, match="hand it in again"):
        tray.path(token)


async def test_the_tray_refuses_what_is_too_much(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("noonwall.web.tray.MOST_BYTES", 1000)
    tray = Tray(tmp_path)
    with pytest.raises(RefusedError, match="larger than"):
        await tray.take("a.csv", _body(b"x" * 600, b"x" * 600))
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(RefusedError, match="gzip"):
        await tray.take("a.csv.gz", _body(b"plain"))
    for _ in range(MOST_FILES):
        await tray.take("a.csv", _body(b"a"))
    with pytest.raises(RefusedError, match="wait already"):
        await tray.take("a.csv", _body(b"a"))
    tray.clear()
    assert list(tmp_path.iterdir()) == []


async def _broken(*blocks: bytes) -> AsyncIterator[bytes]:
    for block in blocks:
        yield block
    raise ConnectionResetError("gone")


async def _stalled(block: bytes) -> AsyncIterator[bytes]:
    yield block
    await asyncio.sleep(60.0)


async def test_an_upload_that_is_broken_off_leaves_its_place_free(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("noonwall.web.tray.STALLED_S", 0.02)
    tray = Tray(tmp_path)
    for body, said in ((_broken(b"a,b\n"), "could not be kept"), (_stalled(b"a,b\n"), "broke off")):
        with pytest.raises(RefusedError, match=said):
            await tray.take("a.csv", body)
        assert tray.held == 0 and list(tmp_path.iterdir()) == []
    monkeypatch.undo()
    cut = asyncio.ensure_future(tray.take("a.csv", _stalled(b"a,b\n")))
    await asyncio.sleep(0)
    assert tray.held == 1
    cut.cancel()
    with pytest.raises(asyncio.CancelledError):
        await cut
    assert tray.held == 0 and list(tmp_path.iterdir()) == []


async def test_a_file_no_window_asks_for_is_put_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tray = Tray(tmp_path)
    asked = await tray.take("asked.csv", _body(b"a,b\n"))
    await tray.take("forgotten.csv", _body(b"a,b\n"))
    tray.path(asked)
    monkeypatch.setattr("noonwall.web.tray.UNCLAIMED_S", -1.0)
    await tray.take("third.csv", _body(b"a,b\n"))
    assert tray.held == 2 and tray.path(asked).exists()


async def test_a_file_put_away_on_its_way_is_not_kept(user: User, bench: Bench) -> None:
    await user.open("/readings")
    tell(user, mark="5", name="x.csv", size=4, state="begun")
    tell(user, mark="5", state="refused", why="x.csv: the connection broke")
    await until(sees(user, "Put it away"))
    user.find("Put it away").click()
    came = await user.http_client.post("/readings/file?name=x.csv", content=b"a,b\n", headers=HEADERS)
    tell(user, mark="5", state="here", token=came.json()["token"])
    await until(lambda: not (bench.desk.folder / ".handed-in").exists())


@pytest.mark.parametrize("name", ["", "..", ".csv", "x", "x.exe", "x.csv/", "a/b\\c", "x.csv.exe", "x\0.png"])
def test_names_of_other_kinds_are_refused(name: str) -> None:
    with pytest.raises(RefusedError, match="wanted a file that ends in"):
        plain_name(name)


@pytest.mark.parametrize(
    ("args", "span"),
    [
        ({"start": 25, "end": 50}, (250, 500)),
        ({"batch": [{"start": 0, "end": 10}]}, (0, 100)),
        ({"start": 50, "end": 50}, None),
        ({"batch": []}, None),
        ({"start": "x", "end": None}, None),
        ("odd", None),
    ],
)
def test_a_zoom_is_understood(args: Any, span: tuple[int, int] | None) -> None:
    assert zoomed(args, (0, 1000)) == span


def test_set_aside_readings_are_crosses_in_a_panel_of_their_unit() -> None:
    def channel(name: str, unit: str, *, aside: bool) -> dict[str, Any]:
        return {"name": name, "unit": unit, "points": [[0, 1.0]], "aside": [[0, 2.0]] if aside else [],
                "has_aside": aside, "state": False}  # fmt: skip

    found = {"channels": [channel("a", "°C", aside=True), channel("b", "W", aside=False)], "whole": [0, 10]}
    option, height = course_option(found, (2, 5))
    kinds = [(s["type"], s["name"], s["yAxisIndex"]) for s in option["series"]]
    assert kinds == [("line", "a", 0), ("scatter", "a, set aside", 0), ("line", "b", 1)]
    assert len(option["grid"]) == 2 and height > 400
    assert all((z["startValue"], z["endValue"]) == (2, 5) for z in option["dataZoom"])
    for us, tongue in ((False, "en-GB"), (True, "en-US")):
        axes = course_option(found, (2, 5), us=us)[0]["xAxis"]
        assert all(tongue in axis["axisPointer"]["label"][":formatter"] for axis in axes)
        assert all((":formatter" in axis["axisLabel"]) is us for axis in axes)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("give the zone of such stamps with --map zone=UTC-7", "give the zone of such stamps such as UTC-7"),
        ("say what they are with --map, or nothing can be", "say what they are, or nothing can be"),
        ('another name (--map "a=shop; name=...") or undo', "another name or undo"),
        (
            "say what sets them apart with --map delimiter=;",
            "save it with commas or semicolons between its cells",
        ),
        ("more than 500 by name; if they are none, --map layout=wide", "more than 500 by name"),
    ],
)
def test_a_page_tells_nothing_to_be_typed_in_a_terminal(told: str, said: str) -> None:
    assert on_page(told) == said


COLUMN = {
    "column": "unit", "role": "shop", "unit": "C", "name": "bench", "height_m": 1.2, "plane": None, "sure": "a guess",
    "reason": "as <b>it</b> is", "spec": "shop; unit=C; kind=mean; stamp=begin", "cells": ["1", "<i>"],
}  # fmt: skip


async def test_a_columns_boxes_say_what_the_command_would_be_told(user: User) -> None:
    await user.open("/readings")
    with user:
        row = ColumnRow(COLUMN, reception.choices(), Reader(), lambda _key, _value: asyncio.sleep(0))
        row.name.value, row.unit.value = "bench; unit=K", "F"
        assert row._key() == "column unit"
        assert row.spec() == "shop; unit=F; name=bench unit=K; height=1.2 m; kind=mean; stamp=begin"
