from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logs.stores import answers, everything
from noonwall.logs import maps
from noonwall.logs.errors import ImportCancelledError, ReadingsError
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.maps import typed
from noonwall.logs.series import series
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.guess import Guess
    from noonwall.logs.records import Import

HEAD = "Time (UTC),Outdoor (C),Shop (C)\n"


def week(first: int = 1, days: int = 7, *, unit: str = "C", step_min: int = 30, digits: int = 2) -> str:
    """Return a file of readings that are the same whenever their days overlap."""
    turn = (lambda v: v * 1.8 + 32.0) if unit == "F" else (lambda v: v)
    rows = []
    for minute in range((first - 1) * 1440, (first - 1 + days) * 1440, step_min):
        day, rest = divmod(minute, 1440)
        outdoor = turn(-5.0 + 4.0 * np.sin(rest / 229.0) + day)
        shop = turn(12.0 + 3.0 * np.sin(rest / 229.0 - 1.0))
        rows.append(
            f"2025-01-{day + 1:02d} {rest // 60:02d}:{rest % 60:02d},{outdoor:.{digits}f},{shop:.{digits}f}"
        )
    return HEAD.replace("(C)", f"({unit})") + "\n".join(rows) + "\n"


def look(tmp_path: Path, text: str, *words: str, name: str = "x.csv", **more: object) -> Guess:
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    return guess_file(file, said=typed(words), **more)  # type: ignore[arg-type]


def read(store: Store, tmp_path: Path, text: str, *words: str, name: str = "x.csv") -> Import:
    return import_file(store, look(tmp_path, text, *words, name=name), now_s=0)


@settings(max_examples=12, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 5)), min_size=1, max_size=4), st.data())
def test_an_import_is_idempotent_and_undo_takes_back_just_that_import(
    tmp_path_factory: pytest.TempPathFactory, parts: list[tuple[int, int]], data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("logs")
    with Store(folder) as store, Store(folder / "without.db") as without:
        ids: dict[tuple[int, int], int] = {}
        for part in parts:
            ids.setdefault(part, read(store, folder, week(*part)).id)
        before = everything(store.path)
        again = read(store, folder, week(*parts[0]))
        assert again.already
        assert everything(store.path) == before
        gone = data.draw(st.sampled_from(sorted(ids)))
        store.undo(ids[gone])
        for part in ids:
            if part != gone:
                read(without, folder, week(*part))
        assert answers(store) == answers(without)


def test_readings_in_fahrenheit_and_celsius_give_the_same_hours(tmp_path: Path) -> None:
    hours = []
    for unit in ("C", "F"):
        with Store(tmp_path / f"{unit}.db") as store:
            read(store, tmp_path, week(unit=unit, digits=3))
            found = series(store, "shop", 1_735_689_600, 1_735_689_600 + 6 * 86_400)
            assert found is not None
            hours.append(found.value)
    assert hours[0] == pytest.approx(hours[1], abs=6e-4)


def test_what_does_not_read_is_left_out_counted_and_told(tmp_path: Path) -> None:
    text = week().split("\n")
    text[10] = "2025-01-01 04:30,1.0,2.0,3.0"  # a cell too many
    text[20] = "2025-01-01 09:3x,1.0,2.0"  # no time
    text[30] = "1970-01-01 00:10,1.0,2.0"  # a clock without a battery
    text[40] = text[0]  # the heading again
    text[50] = "2025-01-02 00:30,-127.0,ERR"  # no sensor
    text[51] = "2025-01-02 01:00,oops,"  # no number, an empty cell
    text[60] += "\x00\x00"  # power lost while writing
    text[-2] = text[-2][:14]  # the logger was pulled out
    with Store(tmp_path) as store:
        tally = read(store, tmp_path, "\n".join(text)).tally
        assert tally.bad_rows == 4
        assert tally.rows == 7 * 48 - 4 - 1
        said = " ".join(tally.notes)
        assert "4 rows did not read and were left out (line 11: 4 cells, the heading has 3" in said
        assert 'line 21: "2025-01-01 09:3x" does not read as a date and a time' in said
        assert "1970-01-01 00:10, when no such logger ran" in said
        assert "the heading comes again once" in said
        assert "2 NUL bytes" in said
        assert "Outdoor (C): 1 figure that loggers write for a missing sensor counts" in said
        assert 'Shop (C): 1 cell says "ERR" and counts as empty' in said
        assert 'Outdoor (C): 1 cell is no number and counts as empty (line 52 "oops")' in said
        values = store.read(store.channel("Outdoor")).value
        assert values.min() > -20.0
        assert tally.empty == 4


def test_a_file_that_is_mostly_ruin_is_refused_with_its_first_bad_line(tmp_path: Path) -> None:
    text = week(days=3).split("\n")
    text[40:120:2] = ["2025-01-01 99:99,1,2"] * 40
    with pytest.raises(ReadingsError, match=r"x.csv:41: .* 40 of 144 rows do not read, too many to go on"):
        look(tmp_path, "\n".join(text))


def test_the_hour_that_never_was_stops_the_import_and_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    night = "\n".join(f"2025-03-30 {h:02d}:30,{h},{h}" for h in range(8))
    guess = look(tmp_path, f"Time,Outdoor (C),Shop (C)\n{night}\n", "zone=Europe/Helsinki")
    with Store(tmp_path) as store:
        before = everything(store.path)
        with pytest.raises(
            ReadingsError, match=r"x.csv:5: time 2025-03-30 03:30 does not exist in Europe/Hels"
        ):
            import_file(store, guess)
        assert everything(store.path) == before


def test_an_import_can_be_stopped_and_tells_how_far_it_is(tmp_path: Path) -> None:
    text = week(days=30, step_min=1)
    told: list[tuple[float, str]] = []
    guess = look(tmp_path, text, progress=lambda share, word: told.append((share, word)))
    with Store(tmp_path) as store:
        before = everything(store.path)
        asked = iter([False, True])
        with pytest.raises(ImportCancelledError, match="stopped; the store is as it was"):
            import_file(store, guess, cancel=lambda: next(asked))
        assert everything(store.path) == before
        import_file(store, guess, progress=lambda share, word: told.append((share, word)))
    shares = [share for share, word in told if word == "reading"]
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)


def test_a_file_read_already_in_another_way_must_be_undone_first(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        read(store, tmp_path, week())
        with pytest.raises(ReadingsError, match="read already as import 1, its columns understood otherwise"):
            read(store, tmp_path, week(), "Outdoor (C)=gap top; unit=C")
        store.undo(1)
        read(store, tmp_path, week(), "Outdoor (C)=gap top; unit=C")
        assert store.channels("gap top")


def test_corrections_are_kept_and_used_for_the_next_file_of_the_kind(tmp_path: Path) -> None:
    text = "Time,T1,T2,T3\n" + "\n".join(f"3/2/2025 {h}:00,{h},{h},{h}" for h in range(24))
    words = (
        "dates=dmy",
        "zone=UTC+2",
        "T1=shop at 8 ft; unit=F; name=bench",
        "T2=outdoor; unit=C",
        "T3=skip",
    )
    first = look(tmp_path, text, *words)
    assert first.ready
    maps.keep(tmp_path, first.table.names, first.as_map())
    path = tmp_path / maps.FILE
    path.write_text("# my own remark\n" + path.read_text())
    second = look(tmp_path, text, folder=tmp_path)
    assert second.ready, second.text()
    assert [c.spec() for c in second.columns] == [c.spec() for c in first.columns]
    assert (second.time.zone, second.time.stamp.order) == ("UTC+2", "dmy")
    third = look(tmp_path, text, "T3=absorber; unit=C", folder=tmp_path)
    maps.keep(tmp_path, third.table.names, third.as_map())
    assert look(tmp_path, text, folder=tmp_path).columns[2].role == "absorber"
    assert path.read_text().startswith("# my own remark")
    assert path.read_text().count("[[file]]") == 1
    given = look(tmp_path, text.replace("3/2", "4/2"), str(path))
    assert given.columns[0].spec().height_m == pytest.approx(2.4384)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("T1=shopp",), 'unknown role "shopp"; nearest is "shop"'),
        (("T1=shop; unit=parsec",), 'unknown unit "parsec"'),
        (("T1=shop; unti=F",), 'nearest is "unit"'),
        (("T1=shop at high",), "does not read as a quantity"),
        (("T1=shop; kind=odd",), "is none of point, mean, state, amount, counter"),
        (("T1=fan; unit=C",), "fan is not measured in C"),
        (("T4=shop",), 'no column "T4"; nearest is "T'),
        (("dates=middle",), "is none of ymd, dmy, mdy"),
        (("delimiter=;;",), "is no delimiter"),
        (("zone=Atlantis",), "unknown zone"),
        (("unit=W",), "no unit of temperature"),
        (("time=clock",), "no column with a date and a time"),
        (("layout=long",), "layout=long needs"),
        (("T1=skip", "T2=skip"), "every column is to be skipped"),
        (("nowhere.toml",), "no such file"),
    ],
)
def test_corrections_that_do_not_read_get_one_line(words: tuple[str, ...], said: str, tmp_path: Path) -> None:
    text = "Time (UTC),T1,T2\n" + "\n".join(f"2025-02-03 {h}:00,{h},{h}" for h in range(24))
    with Store(tmp_path) as store, pytest.raises(ReadingsError) as told:
        read(store, tmp_path, text, "unit=C", *words) if words != ("unit=W",) else read(
            store, tmp_path, text, *words
        )
    assert said in str(told.value).lower() or said in str(told.value)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize(
    ("toml", "said"),
    [
        ("a = [", "does not read as TOML"),
        ("file = 3", "each kind of file is a table"),
        ('colour = "red"', "colour: is none of"),
        ("[columns]\nT1 = 5", "is a text like"),
        ('columns = "x"', "columns: is a table"),
        ("[[file]]\n[[file]]", "holds 2 maps"),
    ],
)
def test_a_map_file_that_does_not_read_gets_one_line(toml: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "my.toml").write_text(toml)
    with pytest.raises(ReadingsError, match=said):
        typed([str(tmp_path / "my.toml")])


def test_kinds_of_amounts_and_means_are_stamped_as_loggers_do(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-02-03 {h:02d}:00,{(h * 7) % 5},{h * 2},{h}" for h in range(24))
    guess = look(tmp_path, f"Time (UTC),Wood kg,Meter kWh,Shop mean C\n{rows}\n")
    kinds = {c.column: (c.kind, c.stamp) for c in guess.columns}
    assert kinds["Wood kg"] == ("amount", "end")
    assert kinds["Shop mean C"] == ("mean", "end")


def test_a_long_file_keeps_each_channels_own_clock_through_the_autumn_change(tmp_path: Path) -> None:
    rows = []
    for name in ("outdoor", "shop"):
        rows += [f"2024-11-03T{h:02d}:00,{name},{i}" for i, h in enumerate([0, 1, 1, 2, 3, 4])]
    text = "when,sensor,value\n" + "\n".join(rows)
    with Store(tmp_path) as store:
        read(store, tmp_path, text, "zone=America/Denver", "unit=C")
        for name in ("outdoor", "shop"):
            assert np.diff(store.read(store.channel(name)).time_s).tolist() == [3600] * 5


def test_a_long_files_map_serves_the_next_one_with_fewer_or_more_channels(tmp_path: Path) -> None:
    def text(*names: str) -> str:
        return "when,sensor,value\n" + "\n".join(
            f"2025-02-03T{h:02d}:00Z,{name},{h}" for h in range(20) for name in names
        )

    first = look(tmp_path, text("a", "b"), "a=shop; unit=F", "b=outdoor; unit=F")
    maps.keep(tmp_path, first.table.names, first.as_map())
    second = look(tmp_path, text("b", "c"), folder=tmp_path)
    assert {c.column: c.role for c in second.columns} == {"b": "outdoor", "c": "other"}
    maps.keep(tmp_path, second.table.names, second.as_map())
    third = look(tmp_path, text("a", "b", "c"), folder=tmp_path)
    assert third.columns[0].spec().text() == "shop; unit=F; name=a"
    with pytest.raises(ReadingsError, match='no column "d"'):
        look(tmp_path, text("a", "b"), "d=shop", folder=tmp_path)


def test_a_map_of_ones_own_is_a_file_of_the_same_words(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text(
        'zone = "UTC-7"\nunit = "F"\n\n[columns]\n"T1" = "shop at 8 ft; name=bench"\n"T2" = "skip"\n'
    )
    text = "Time,T1,T2\n" + "\n".join(f"2025-02-03 {h}:00,{h + 50},{h}" for h in range(24))
    guess = look(tmp_path, text, str(mine), "T2=outdoor")
    assert [c.spec().text() for c in guess.columns] == [
        "shop; unit=F; name=bench; height=2.4384 m",
        "outdoor; unit=F; name=outdoor T2",
    ]
