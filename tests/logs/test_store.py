from __future__ import annotations

import resource
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logs.stores import CELSIUS, OUTDOOR, SHOP, answers, everything, put
from noonwall.logs import intake as intake_room
from noonwall.logs import schema
from noonwall.logs.errors import ReadingsError
from noonwall.logs.records import Channel, Conversion, Finding
from noonwall.logs.store import Store

Rows = list[tuple[int, float]]
HERE = Path(__file__).parent
IMPORTS = st.lists(
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 4).map(float)), max_size=12), min_size=1, max_size=4
)


def spread(rows: Rows) -> Rows:
    """Return stamps spread so that they fall into several parts."""
    return [(time * schema.WINDOW_S // 3, value) for time, value in rows]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(IMPORTS, st.data())
def test_the_first_import_that_has_a_stamp_decides_and_undo_is_as_if_never_made(
    tmp_path_factory: pytest.TempPathFactory, imports: list[Rows], data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("store")
    with Store(folder) as store, Store(folder / "without.db") as without:
        numbers = [put(store, f"content {i}", {SHOP: spread(rows)}) for i, rows in enumerate(imports)]
        expected: dict[int, float] = {}
        for rows in imports:
            for time, value in spread(rows):
                expected.setdefault(time, value)
        assert answers(store) == {"bench": sorted(expected.items())}
        gone = data.draw(st.sampled_from(numbers))
        store.undo(gone)
        for number, (i, rows) in zip(numbers, enumerate(imports), strict=True):
            if number != gone:
                put(without, f"content {i}", {SHOP: spread(rows)})
        assert answers(store) == answers(without)


def test_undoing_the_last_import_leaves_every_row_as_it_was(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "january", {SHOP: [(0, 1.0), (60, 2.0)], OUTDOOR: [(0, -5.0)]})
        before = everything(store.path)
        late = Channel("late", "gap top", "temperature")
        number = put(store, "february", {SHOP: [(60, 2.5), (120, 3.0)], late: [(0, 9.0)]})
        assert everything(store.path) != before
        assert store.undo(number).file == "february.csv"
        assert everything(store.path) == before
        assert put(store, "march", {SHOP: [(180, 1.0)]}) > number


def test_a_logger_that_hands_out_its_whole_memory_again_costs_only_what_is_new(tmp_path: Path) -> None:
    month = schema.WINDOW_S
    readings = [(t, round(np.sin(t / 9e4) * 9.0, 2)) for t in range(0, 3 * month, 600)]
    with Store(tmp_path) as store:
        put(store, "first", {SHOP: [r for r in readings if r[0] < 2 * month]})
        pieces = len(everything(store.path)["piece"])
        put(store, "second", {SHOP: readings})
        found = everything(store.path)
        assert len(found["piece"]) == pieces + 1
        assert len(found["part"]) == 5
        tally = store.imports()[1].tally
        assert (tally.same, tally.new) == (2 * month // 600, month // 600)
        assert len(store.read(store.channel("bench"))) == len(readings)


def test_another_value_for_a_known_stamp_is_kept_beside_and_told(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        first = put(store, "a", {SHOP: [(0, 20.0), (60, 21.0)]})
        second = put(store, "b", {SHOP: [(60, 25.0), (120, 22.0)]})
        assert answers(store)["bench"] == [(0, 20.0), (60, 21.0), (120, 22.0)]
        assert store.imports()[1].tally.conflicting == 1
        conflict = store.conflicts(store.channel("bench"))[0]
        assert (conflict.time_s, conflict.kept, conflict.other) == (60, 21.0, 25.0)
        assert (conflict.kept_import, conflict.other_import) == (first, second)
        store.undo(first)
        assert answers(store)["bench"] == [(60, 25.0), (120, 22.0)]


def test_the_same_readings_in_fahrenheit_are_the_same_within_the_digits_printed(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "c", {SHOP: [(60 * i, 20.0 + i / 10) for i in range(50)]})
        fahrenheit = [(60 * i, round((20.0 + i / 10) * 1.8 + 32.0, 1)) for i in range(50)]
        put(store, "f", {SHOP: fahrenheit}, Conversion("F", 32.0, 5.0 / 9.0))
        tally = store.imports()[1].tally
        assert (tally.same, tally.conflicting, tally.new) == (50, 0, 0)


def test_stamps_that_come_twice_in_a_file_count_once(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0), (60, 2.0), (0, 3.0)]})
        assert store.imports()[0].tally.repeated == 1
        assert answers(store)["bench"] == [(0, 1.0), (60, 2.0)]


def test_the_same_content_is_refused_a_second_time(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        before = everything(store.path)
        with pytest.raises(ReadingsError, match="read already, as import 1"):
            put(store, "a", {SHOP: [(0, 1.0)]})
        assert everything(store.path) == before


def test_an_import_that_fails_half_way_leaves_the_store_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(intake_room, "HOLD", 100)
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        before = everything(store.path)
        with pytest.raises(ZeroDivisionError), store.importing("b", "b", {}, 0) as intake:
            number = intake.channel(OUTDOOR, "yard", CELSIUS)
            for month in range(4):
                times = schema.WINDOW_S * month + 60 * np.arange(200, dtype=np.int64)
                intake.add(number, times, np.ones(200))
            raise ZeroDivisionError
        assert everything(store.path) == before


def test_a_full_disk_leaves_the_store_as_it_was_and_says_so(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        before = everything(store.path)
        pages = store._link.execute("PRAGMA page_count").fetchone()[0]
        store._link.execute(f"PRAGMA max_page_count = {pages + 2}")
        with pytest.raises(ReadingsError, match="disk is full; nothing was written"):
            noise = np.random.default_rng(1).normal(size=20_000).tolist()
            put(store, "b", {SHOP: [(60 * i, value) for i, value in enumerate(noise)]})
        assert everything(store.path) == before
        assert store._link.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def test_a_disk_that_takes_no_more_in_the_midst_of_an_import(tmp_path: Path) -> None:
    program = (
        "import resource, signal, sys; from pathlib import Path; sys.path.insert(0, sys.argv[2])\n"
        "from logs.stores import SHOP, put; from noonwall.logs.store import Store\n"
        "from noonwall.logs.errors import ReadingsError\n"
        "import numpy as np\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "store = Store(Path(sys.argv[1])); put(store, 'a', {SHOP: [(0, 1.0)]})\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (150_000, resource.RLIM_INFINITY))\n"
        "noise = np.random.default_rng(1).normal(size=60_000).tolist()\n"
        "try: put(store, 'b', {SHOP: [(60 * i, v) for i, v in enumerate(noise)]})\n"
        "except ReadingsError as error: print(error)\n"
    )
    assert resource.RLIMIT_FSIZE is not None
    command = [sys.executable, "-c", program, str(tmp_path), str(HERE.parent)]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "nothing was written" in told.stdout, told.stderr
    with Store(tmp_path) as store:
        assert answers(store) == {"bench": [(0, 1.0)]}
        put(store, "b", {SHOP: [(60, 2.0)]})


def test_single_readings_answer_at_once_and_the_same_after_folding(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        number = put(store, "listener", {SHOP: [(0, 1.0)], OUTDOOR: [(0, -3.0)]})
        put(store, "file", {SHOP: [(60, 9.0), (180, 9.5)]})
        bench, yard = store.channel("bench"), store.channel("yard")
        span = schema.WINDOW_S
        store.append(number, [(bench.id, 60, 2.0), (bench.id, 120, 3.0), (yard.id, 60, -4.0)])
        store.append(number, [(bench.id, 60, 7.0), (bench.id, span + 5, 4.0), (yard.id, 3 * span, 1.0)])
        before = answers(store)
        assert before["bench"] == [(0, 1.0), (60, 2.0), (120, 3.0), (180, 9.5), (span + 5, 4.0)]
        assert store.span() == (0, 3 * span)
        assert store.read(bench, 60, 121).time_s.tolist() == [60, 120]
        assert store.fold() == 6
        assert answers(store) == before
        assert store.fold() == 0
        store.undo(number)
        assert answers(store) == {"bench": [(60, 9.0), (180, 9.5)]}


def test_a_name_keeps_its_meaning(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        with pytest.raises(ReadingsError, match=r'stands for "shop, point, 1.2 m" already.*name=') as told:
            put(store, "b", {Channel("bench", "gap top", "temperature"): [(0, 1.0)]})
        assert "\n" not in str(told.value)
        twice = pytest.raises(ReadingsError, match="two columns of this file carry the name")
        with twice, store.importing("c", "c", {}, 0) as intake:
            intake.channel(SHOP, "one", CELSIUS)
            intake.channel(SHOP, "two", CELSIUS)
        assert len(store.imports()) == 1


def test_remarks_are_kept_by_import_and_told_once(tmp_path: Path) -> None:
    notes = Channel("notes", "remark", "text")
    with Store(tmp_path) as store:
        for content, words in (("a", ["cover on"]), ("b", ["cover on", "swept the chimney"])):
            with store.importing(content, content, {}, 0) as intake:
                number = intake.channel(notes, "notes", Conversion(""))
                for i, text in enumerate(words):
                    intake.remark(number, 86_400 * i, text)
        assert [remark.text for remark in store.remarks()] == ["cover on", "swept the chimney"]
        assert store.imports()[1].tally.new == 1
        store.undo(1)
        assert [remark.text for remark in store.remarks(0, 86_400)] == ["cover on"]


def test_findings_keep_the_builders_word_through_every_new_check(tmp_path: Path) -> None:
    spike = Finding("spike", "bench", 0, 60, {"jump_k": 9.0}, "left out", "set aside")
    swap = Finding("swapped", "bench", 0, 600, {}, "exchanged", "used", {"swap": "yard"})
    with Store(tmp_path) as store:
        store.keep_findings([spike, swap])
        ids = {item.kind: item.id for item in store.findings()}
        store.judge(ids["spike"], "used")
        store.judge(ids["swapped"], "mended")
        store.keep_findings([swap, spike])
        assert {item.kind: item.verdict for item in store.findings()} == {
            "spike": "used",
            "swapped": "mended",
        }
        spike_id = next(item.id for item in store.findings() if item.kind == "spike")
        with pytest.raises(ReadingsError, match="cannot be mended"):
            store.judge(spike_id, "mended")
        with pytest.raises(ReadingsError, match="no finding 99"):
            store.judge(99, "used")


def test_a_word_is_found_again_when_a_findings_borders_move(tmp_path: Path) -> None:
    day = 86_400

    def stuck(begin: int, end: int, channel: str = "bench", kind: str = "stuck") -> Finding:
        return Finding(kind, channel, begin, end, {}, "stands still", "set aside")

    def verdicts(store: Store, *findings: Finding) -> list[str]:
        store.keep_findings(findings)
        return [item.verdict for item in store.findings()]

    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)], OUTDOOR: [(0, 1.0)]})
        store.keep_findings([stuck(0, day)])
        store.judge(store.findings()[0].id, "used")
        assert verdicts(store, stuck(600, day + 1800)) == ["used"]  # both ends moved a little
        assert verdicts(store, stuck(0, 3 * day)) == ["set aside"]  # mostly new: asked again
        assert verdicts(store, stuck(0, day, "yard")) == ["set aside"]  # another channel, there all along
        assert verdicts(store, stuck(0, day, kind="spike")) == ["set aside"]
        store.keep_findings([stuck(600, day + 1800)])
        store.judge(store.findings()[0].id, "set aside")
        assert verdicts(store, stuck(0, day)) == ["set aside"]  # the later word, not the one it replaced
        assert verdicts(store, stuck(0, day, "7 channels", "gap")) == ["set aside"]


def test_two_words_side_by_side_stay_each_with_its_own(tmp_path: Path) -> None:
    first, second = (Finding("spike", "bench", t, t, {}, "leaps", "set aside") for t in (0, 1200))
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        store.keep_findings([first, second])
        store.judge(store.findings()[0].id, "used")
        store.judge(store.findings()[1].id, "set aside")
        store.keep_findings([replace(first, from_s=300, to_s=300), replace(second, from_s=1500, to_s=1500)])
        assert [item.verdict for item in store.findings()] == ["used", "set aside"]


@pytest.mark.parametrize("gap_s", [899, 900, 901])
def test_a_word_is_not_taken_for_the_finding_that_follows(gap_s: int, tmp_path: Path) -> None:
    first = Finding("stuck", "bench", 0, 36_000, {}, "stands still", "set aside")
    second = replace(first, from_s=36_000 + gap_s, to_s=72_000)
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        store.keep_findings([first, second])
        store.judge(store.findings()[0].id, "used")
        assert [item.verdict for item in store.findings()] == ["used", "set aside"]


@pytest.mark.parametrize(("again", "then"), [("used", "used"), ("set aside", "used")])
def test_a_word_on_what_was_split_stays_with_the_other_part(again: str, then: str, tmp_path: Path) -> None:
    day = 86_400
    whole = Finding("stuck", "bench", 0, 10 * day, {}, "stands still", "set aside")
    parts = [replace(whole, to_s=4 * day), replace(whole, from_s=5 * day)]
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        store.keep_findings([whole])
        store.judge(store.findings()[0].id, "used")
        store.keep_findings(parts)
        assert [item.verdict for item in store.findings()] == ["used", "used"]
        store.judge(store.findings()[0].id, again)  # type: ignore[arg-type]
        assert [item.verdict for item in store.findings()] == [again, then]
        store.keep_findings(parts)
        assert [item.verdict for item in store.findings()] == [again, then]


def test_a_word_follows_its_role_when_the_channel_comes_again_under_another_name(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        number = put(store, "a", {SHOP: [(0, 1.0)]})
        found = Finding("stuck", "bench", 0, 7200, {}, "stands still", "set aside")
        store.keep_findings([found])
        store.judge(store.findings()[0].id, "used")
        store.undo(number)
        put(store, "b", {replace(SHOP, name="bench two"): [(0, 1.0)], OUTDOOR: [(0, 1.0)]})
        store.keep_findings([replace(found, channel="bench two"), replace(found, channel="yard")])
        assert {f.channel: f.verdict for f in store.findings()} == {"bench two": "used", "yard": "set aside"}


def test_a_store_of_the_first_form_keeps_its_words(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        store.keep_findings([Finding("stuck", "bench", 0, 60, {}, "stands still", "set aside")])
        store.judge(store.findings()[0].id, "used")
        path = store.path
    with closing(sqlite3.connect(path)) as link:
        link.execute("ALTER TABLE judgement DROP COLUMN role")
        link.execute("DROP TABLE project")
        link.execute("PRAGMA user_version = 1")
    with Store(tmp_path) as store:
        assert [item.verdict for item in store.findings()] == ["used"]
        assert store._link.execute("SELECT role FROM judgement").fetchall() == [("shop",)]
        assert store.projects() == {}


def test_wrong_questions_get_one_line(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        with pytest.raises(ReadingsError, match="there is no import 7; imports are 1"):
            store.undo(7)
        with pytest.raises(ReadingsError, match='no channel "attic"; there are bench'):
            store.channel("attic")


def test_files_that_are_no_store_are_refused_and_left_alone(tmp_path: Path) -> None:
    text, other, newer = tmp_path / "text.db", tmp_path / "other.db", tmp_path / "newer.db"
    text.write_text("not a database at all, by no means, " * 40)
    with closing(sqlite3.connect(other)) as link:
        link.execute("CREATE TABLE mine (a)")
    Store(newer).close()
    with closing(sqlite3.connect(newer)) as link:
        link.execute("PRAGMA user_version = 99")
    for path, said in ((text, "no store"), (other, "some other database"), (newer, "newer noonwall")):
        before = path.read_bytes()
        with pytest.raises(ReadingsError, match=said):
            Store(path)
        assert path.read_bytes()[:4000] == before[:4000]
    with pytest.raises(ReadingsError, match="cannot be opened"):
        Store(tmp_path / "nowhere" / "readings.db")


def test_an_older_store_is_brought_up_to_date_or_left_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(0, 1.0)]})
        before = everything(store.path)

    def failing(link: sqlite3.Connection) -> None:
        link.execute("ALTER TABLE channel ADD COLUMN colour TEXT")
        raise sqlite3.OperationalError("no luck")

    monkeypatch.setattr(schema, "VERSION", 4)
    monkeypatch.setitem(schema.MIGRATIONS, 3, failing)
    with pytest.raises(ReadingsError, match="no luck; nothing was written"):
        Store(tmp_path)
    assert everything(tmp_path / "readings.db") == before

    def step(link: sqlite3.Connection) -> None:
        link.execute("ALTER TABLE channel ADD COLUMN colour TEXT")

    monkeypatch.setitem(schema.MIGRATIONS, 3, step)
    with Store(tmp_path) as store:
        assert answers(store) == {"bench": [(0, 1.0)]}
        assert store._link.execute("PRAGMA user_version").fetchone()[0] == 4


def test_a_store_in_use_by_another_import_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schema, "BUSY_S", 0.05)
    with Store(tmp_path) as store, Store(tmp_path) as second:
        with (
            store.importing("a", "a", {}, 0),
            pytest.raises(ReadingsError, match="another noonwall is writing"),
        ):
            put(second, "b", {SHOP: [(0, 1.0)]})
        put(second, "b", {SHOP: [(0, 1.0)]})
