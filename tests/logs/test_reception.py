"""What a page asks of the readings: a file looked over, corrected, taken in, judged, taken back, drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from fakes.projects import plain_text
from logs.stores import put
from noonwall.logs import reception
from noonwall.logs.drawn import drawn
from noonwall.logs.errors import ReadingsError
from noonwall.logs.mark import mark_of
from noonwall.logs.quality.check import check_and_keep
from noonwall.logs.records import Channel, Conversion, Finding
from noonwall.logs.store import Store
from noonwall.logs.usable import usable
from noonwall.model.file import from_text
from noonwall.report.channels import channel_course
from noonwall.report.reader import Reader

if TYPE_CHECKING:
    from pathlib import Path

PROJECT = from_text(plain_text())
DAY_S = 86_400
STEP_S = 600


class StoppedError(Exception):
    """Somebody pressed stop."""


def handed_in(folder: Path, text: str, name: str = "bench 2025.csv") -> Path:
    place = folder / "in"
    place.mkdir(exist_ok=True)
    path = place / name
    path.write_text(text, encoding="utf-8")
    return path


def probes(unit: str = "") -> str:
    """A bench and a gap thermometer over four days; without a unit the second may be either."""
    head = f"Time (UTC),Bench{unit},Top of gap{unit}"
    rows = [
        f"2025-03-{1 + i // 24:02d} {i % 24:02d}:00,{58 + (i % 24) / 4:.1f},{60 + 7 * ((i % 24) / 12):.1f}"
        for i in range(4 * 24)
    ]
    return "\n".join([head, *rows]) + "\n"


def test_a_question_holds_the_file_up_until_it_is_answered(tmp_path: Path) -> None:
    path = handed_in(tmp_path, probes())
    guess = reception.look_over(tmp_path, path, [], PROJECT)
    assert not guess["ready"]
    asked = next(q for q in guess["questions"] if q["must"])
    assert sorted(asked["answers"]) == ["unit=C", "unit=F"]
    with pytest.raises(ReadingsError, match=r"^bench 2025\.csv: "):
        reception.take_in(tmp_path, path, [], PROJECT)
    assert reception.look_over(tmp_path, path, ["unit=F"], PROJECT)["ready"]
    assert not (tmp_path / "readings.db").exists() or not reception.listing(tmp_path, PROJECT.site)["imports"]


def test_what_was_no_number_and_what_was_passed_over_is_told(tmp_path: Path) -> None:
    lines = probes(" (F)").splitlines()
    lines[5] = ",".join([*lines[5].split(",")[:2], "ERR"])
    lines[9] = ",".join([*lines[9].split(",")[:2], "9999"])
    text = "\n".join(["### battery low", lines[0], *lines[1:40], "### battery low", *lines[40:]])
    path = handed_in(tmp_path, text)
    guess = reception.look_over(tmp_path, path, [], PROJECT)
    assert any('1 line above the readings is passed over ("### battery low")' in n for n in guess["notes"])
    first_look = guess["no_readings"]
    assert first_look == [
        'Top of gap (F): 1 cell says "ERR" and counts as empty',
        "Top of gap (F): 1 figure that loggers write for a missing sensor counts as empty",
    ]
    told = "\n".join(reception.take_in(tmp_path, path, [], PROJECT)["told"])
    assert all(line in told for line in first_look)
    assert 'Top of gap (F): 1 cell says "ERR" and counts as empty' in told
    assert "1 figure that loggers write for a missing sensor counts as empty" in told
    assert '1 row did not read and was left out (line 42: "### battery low"' in told


def test_looking_over_leaves_nothing_behind(tmp_path: Path) -> None:
    path = handed_in(tmp_path, probes(" (F)"))
    before = sorted(p.name for p in tmp_path.iterdir())
    guess = reception.look_over(tmp_path, path, [], PROJECT)
    assert guess["ready"] and guess["rows"] == 96 and guess["already"] is None
    assert [c["role"] for c in guess["columns"]] == ["shop", "gap top"]
    assert guess["columns"][0]["cells"][0] == "58.0"
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_a_corrected_file_is_taken_in_once_and_taken_back(tmp_path: Path) -> None:
    path = handed_in(tmp_path, probes(" (F)"))
    shares: list[float] = []
    words = ["Bench (F)=shop; unit=F; name=bench; height=1.4 m"]
    found = reception.take_in(tmp_path, path, words, PROJECT, lambda done, of: shares.append(done / of))
    assert not found["already"] and found["told"][0].startswith("bench 2025.csv: import 1")
    assert shares == sorted(shares) and shares[-1] == 1.0
    listed = reception.listing(tmp_path, PROJECT.site)
    first = listed["channels"][0]
    assert (first["name"], first["role"], first["height_m"]) == ("bench", "shop", 1.4)
    assert reception.take_in(tmp_path, path, words, PROJECT)["already"]
    assert reception.look_over(tmp_path, path, words, PROJECT)["already"] == 1
    content = listed["imports"][0]["content"]
    with pytest.raises(
        ReadingsError, match="taken back already; nothing else"
    ):  # another file under that number
        reception.take_back(tmp_path, 1, "0" * 64, PROJECT.site)
    assert reception.take_back(tmp_path, 1, content, PROJECT.site)["imports"] == []
    with pytest.raises(ReadingsError, match="taken back already; nothing else"):  # a second press
        reception.take_back(tmp_path, 1, content, PROJECT.site)


def test_a_stopped_import_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    path = handed_in(tmp_path, probes(" (F)"))

    def stop(done: int, of: int) -> None:
        if done >= reception.LOOKED and of:
            raise StoppedError

    with pytest.raises(StoppedError):
        reception.take_in(tmp_path, path, [], PROJECT, stop)
    assert reception.listing(tmp_path, PROJECT.site)["imports"] == []


def test_words_must_be_key_and_value(tmp_path: Path) -> None:
    path = handed_in(tmp_path, probes())
    with pytest.raises(ReadingsError, match="KEY=VALUE"):
        reception.look_over(tmp_path, path, ["/etc/passwd"], PROJECT)


def test_errors_name_the_file_not_its_place(tmp_path: Path) -> None:
    path = handed_in(tmp_path, "nothing here\n", "odd.csv")
    with pytest.raises(ReadingsError) as found:
        reception.look_over(tmp_path, path, [], PROJECT)
    assert str(tmp_path) not in str(found.value) and "odd.csv" in str(found.value)


def test_an_empty_folder_has_nothing_and_keeps_nothing(tmp_path: Path) -> None:
    assert reception.listing(tmp_path, PROJECT.site)["imports"] == []
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def week(tmp_path: Path) -> Path:
    """A folder with a week of one thermometer, ten minutes apart, a day of it missing, an hour of it doubtful."""
    times = np.arange(0, 7 * DAY_S, STEP_S, dtype=np.int64)
    times = times[(times < 3 * DAY_S) | (times >= 4 * DAY_S)]
    values = 10.0 + np.sin(times / 7000.0)
    values[100] = 44.0
    with Store(tmp_path) as store:
        with store.importing("week.csv", "x", {}, 0) as intake:
            number = intake.channel(Channel("bench", "shop", "temperature"), "bench", Conversion("C"))
            intake.add(number, times, values)
        low, high = int(times[98]), int(times[103])
        store.keep_findings([Finding("leap", "bench", low, high, {"by_k": 34.0}, "left out", "set aside")])
    return tmp_path


def test_what_was_set_aside_is_drawn_apart(week: Path) -> None:
    with Store(week) as store:
        found = drawn(store, store.channel("bench"), 0, 7 * DAY_S)
    assert found.aside_time_s.tolist() == [98 * STEP_S + i * STEP_S for i in range(6)]
    assert 44.0 in found.aside_value.tolist()
    assert not np.isin(found.aside_time_s, found.time_s).any()
    assert np.nanmax(found.value) < 12.0


def test_a_line_breaks_where_nothing_was_measured(week: Path) -> None:
    with Store(week) as store:
        found = drawn(store, store.channel("bench"), 0, 7 * DAY_S)
    holes = found.time_s[np.isnan(found.value)]
    assert any(3 * DAY_S - STEP_S < hole < 4 * DAY_S for hole in holes.tolist())
    assert (np.diff(found.time_s) > 0).all()


def test_thinned_readings_keep_the_extremes_and_zoom_shows_all(week: Path) -> None:
    with Store(week) as store:
        channel = store.channel("bench")
        coarse, fine = drawn(store, channel, 0, 7 * DAY_S, 50), drawn(store, channel, 0, DAY_S // 2, 2000)
        raw = store.read(channel, 0, 7 * DAY_S)
    good = raw.value[raw.value < 40.0]
    assert np.isfinite(coarse.value).sum() <= 50
    assert np.nanmax(coarse.value) == good.max() and np.nanmin(coarse.value) == good.min()
    assert np.isfinite(fine.value).sum() == DAY_S // 2 // STEP_S


def test_a_course_is_in_the_readers_units_on_the_sites_clock(week: Path) -> None:
    site = PROJECT.site
    found = channel_course(week, ["bench"], None, None, site, Reader("us"))
    row = found["channels"][0]
    assert row["unit"] == "°F" and row["has_aside"]
    assert found["from"] == round(site.clock_h * 3600) * 1000
    time, value = row["points"][0]
    assert time == found["from"] and value == pytest.approx(50.0)
    assert all(v is None or 48.0 < v < 54.0 for _, v in row["points"])


def test_a_finding_is_judged_and_the_word_stays(week: Path) -> None:
    ids = reception.listing(week, PROJECT.site)["findings"][0]["ids"]
    listed = reception.judge(week, ids, "used", PROJECT.site)
    assert listed["findings"][0]["verdict"] == "used"
    with Store(week) as store:
        assert 44.0 in drawn(store, store.channel("bench"), 0, 7 * DAY_S).value.tolist()


def test_the_mark_moves_with_imports_and_words_only(week: Path, tmp_path: Path) -> None:
    (tmp_path / "none").mkdir()
    assert mark_of(tmp_path / "none") == ()
    before = mark_of(week)
    with Store(week) as store:
        store.read(store.channel("bench"))
    assert mark_of(week) == before != ()
    ids = reception.listing(week, PROJECT.site)["findings"][0]["ids"]
    reception.judge(week, ids, "used", PROJECT.site)
    judged = mark_of(week)
    assert judged != before
    content = reception.listing(week, PROJECT.site)["imports"][0]["content"]
    reception.take_back(week, 1, content, PROJECT.site)
    assert mark_of(week) not in (before, judged)


def test_the_time_of_a_gap_is_left_out_of_every_channel(tmp_path: Path) -> None:
    bench, yard = (
        Channel(name, role, "temperature") for name, role in (("bench", "shop"), ("yard", "outdoor"))
    )
    hours = [(3600 * i, 5.0) for i in range(72)]
    with Store(tmp_path) as store:
        put(store, "a", {bench: hours[:24] + hours[48:], yard: hours})
        check_and_keep(store)
        (gap,) = store.findings()
        assert (gap.kind, gap.channel) == ("gap", "bench")
        yard = store.channel("yard")
        assert len(usable(store, yard, 0, 72 * 3600)) == 72
        store.judge(gap.id, "set aside")
        left = usable(store, yard, 0, 72 * 3600)
        assert not np.any((left.time_s > gap.from_s) & (left.time_s < gap.to_s))
        assert len(left) == 72 - 26  # both ends of the gap belong to it
        seen = drawn(store, yard, 0, 72 * 3600)
        assert seen.has_aside and len(seen.aside_time_s) == 26
    (told,) = reception.listing(tmp_path, PROJECT.site)["findings"]
    assert not told["nothing_then"] and told["verdict"] == "set aside"
