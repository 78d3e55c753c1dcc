"""A table of files as loggers write them, and what must be understood of each."""

from __future__ import annotations

import gzip
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from noonwall.logs.errors import ReadingsError
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.maps import typed
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from noonwall.logs.guess import Guess

# 20 days from 2025-01-01 00:00, hourly: outdoors -9.5 + hour/2, shop 8 + hour/4 on day d plus d/10
HOURS = [(day, hour) for day in range(1, 21) for hour in range(24)]
FIRST_S = 1_735_689_600


def lines(head: str, row: Callable[[int, int, float, float], str]) -> str:
    """Return a file's text: a head, and a row for each hour from day, hour, outdoor and shop in Celsius."""
    body = [row(day, hour, -9.5 + hour / 2, round(8.0 + hour / 4 + day / 10, 2)) for day, hour in HOURS]
    return head + "\n".join(body) + "\n"


def comma(value: float) -> str:
    return f"{value:.2f}".replace(".", ",")


def fahrenheit(value: float) -> str:
    return f"{value * 1.8 + 32.0:.3f}"


@dataclass(frozen=True)
class Case:
    text: str
    maps: tuple[str, ...] = ()
    offset_h: float | None = None
    encoding: str = "utf-8"
    utc_hours: float = 0.0  # hour at which the file's first stamp lies in UTC


CASES = {
    "plain": Case(
        lines(
            "Time (UTC),Outdoor (C),Shop 1.2 m (C)\n",
            lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00,{o},{s}",
        )
    ),
    "semicolons, decimal commas, day first, preamble, latin letters": Case(
        lines(
            "Logger 7;;;\nZeitzone: UTC\ntz: UTC\n\nDatum;Uhrzeit;Außentemperatur °C;Werkstatt °C\n",
            lambda d, h, o, s: f"{d}.1.2025;{h}:00;{comma(o)};{comma(s)}",
        ),
        encoding="cp1252",
    ),
    "month first, twelve hours, title line, quotes, Fahrenheit": Case(
        lines(
            '"Plot Title: shop"\n"#","Date Time, GMT-05:00","Temp, °F (LGR S/N: 1, LBL: outdoor)",'
            '"Temp, °F (LGR S/N: 1, LBL: shop)","Coupler Attached"\n',
            lambda d, h, o, s: (
                f'{d},"01/{d:02d}/25 {h % 12 or 12}:00:00 {"AM" if h < 12 else "PM"}",'
                f"{fahrenheit(o)},{fahrenheit(s)},"
            ),
        ),
        utc_hours=5.0,
    ),
    "tabs, epoch milliseconds": Case(
        lines(
            "epoch_ms\toutdoor_C\tshop_C\n",
            lambda d, h, o, s: f"{(FIRST_S + (d - 1) * 86400 + h * 3600) * 1000}\t{o}\t{s}",
        )
    ),
    "bars, day names of months, offset in each stamp": Case(
        lines(
            "when|outside [°C]|workshop [°C]\n",
            lambda d, h, o, s: f"{d}-Jan-2025 {h:02d}:00:00 +0200|{o}|{s}",
        ),
        utc_hours=-2.0,
    ),
    "blanks": Case(
        lines("date time out_C room_C\n", lambda d, h, o, s: f"2025-01-{d:02d}  {h:02d}:00  {o}  {s}"),
        maps=("zone=UTC", "out_C=outdoor"),
    ),
    "four heading lines, means": Case(
        lines(
            '"TOA5","x","y","z"\n"TIMESTAMP","RECORD","Outdoor_Avg","Shop_Avg"\n"TS","RN","Deg C","Deg C"\n'
            '"","","Avg","Avg"\n',
            lambda d, h, o, s: f'"2025-01-{d:02d} {h:02d}:00:00",{h},{o},{s}',
        ),
        offset_h=0.0,
    ),
    "long, with states and Z": Case(
        lines(
            "entity_id,state,last_changed\n",
            lambda d, h, o, s: (
                f"sensor.outdoor_temperature,{o},2025-01-{d:02d}T{h:02d}:00:00.1Z\n"
                f"sensor.shop_temperature,{s},2025-01-{d:02d}T{h:02d}:00:00.1Z\n"
                f"switch.fan,{'on' if 10 <= h < 14 else 'off'},2025-01-{d:02d}T{h:02d}:00:00.1Z\n"
                f"sensor.attic_temperature,unavailable,2025-01-{d:02d}T{h:02d}:00:00.1Z"
            ),
        ),
        maps=("unit=C",),
    ),
    "long, with a unit column": Case(
        lines(
            "Timestamp;Sensor;Value;Unit\n",
            lambda d, h, o, s: (
                f"2025-01-{d:02d}T{h:02d}:00Z;outdoor;{fahrenheit(o)};°F\n2025-01-{d:02d}T{h:02d}:00Z;shop;{s};°C"
            ),
        )
    ),
    "cells of year, month, day, hour": Case(
        lines("Year,Month,Day,Hour,Outdoor C,Shop C\n", lambda d, h, o, s: f"2025,1,{d},{h},{o},{s}"),
        offset_h=0.0,
    ),
    "spreadsheet's days": Case(
        lines("Date,Outdoor (C),Shop (C)\n", lambda d, h, o, s: f"{45657 + d + h / 24:.8f},{o},{s}"),
        offset_h=0.0,
    ),
    "sixteen bits": Case(
        lines(
            "Time (UTC)\tOutdoor °C\tShop °C\n", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00\t{o}\t{s}"
        ),
        encoding="utf-16",
    ),
    "newest first": Case(
        "Time (UTC),Outdoor (C),Shop (C)\n"
        + "\n".join(
            reversed(lines("", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00,{o},{s}").strip().split("\n"))
        )
    ),
    "no heading, told by hand": Case(
        lines("", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00,{o},{s}"),
        maps=("column 2=outdoor; unit=C", "column 3=shop at 1.2 m; unit=C", "zone=UTC"),
    ),
    "a strange delimiter": Case(
        lines("Time (UTC)^Outdoor (C)^Shop (C)\n", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00^{o}^{s}")
    ),
    "decimal commas in quotes, old line ends": Case(
        lines(
            "Time (UTC),Outdoor (C),Shop (C)\n",
            lambda d, h, o, s: f'2025-01-{d:02d} {h:02d}:00,"{comma(o)}","{comma(s)}"',
        ).replace("\n", "\r")
    ),
    "units behind the numbers": Case(
        lines("Time (UTC);Outdoor;Shop\n", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00;{o} °C;{s} °C"),
        maps=("unit=C",),
    ),
    "a heading without the time's name": Case(
        lines("Outdoor_C,Shop_C\n", lambda d, h, o, s: f"2025-01-{d:02d} {h:02d}:00,{o},{s}"), offset_h=0.0
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_every_way_of_writing_the_same_readings_gives_the_same_readings(name: str, tmp_path: Path) -> None:
    case = CASES[name]
    file = tmp_path / "readings.csv"
    file.write_bytes(case.text.encode(case.encoding))
    guess = guess_file(file, said=typed(case.maps), utc_offset_h=case.offset_h)
    assert guess.ready, guess.text()
    with Store(tmp_path) as store:
        found = import_file(store, guess)
        assert found.tally.bad_rows == 0
        for role, first, slope in (("outdoor", -9.5, 0.5), ("shop", 8.1, 0.25)):
            (channel,) = store.channels(role)
            readings = store.read(channel)
            begin = int(FIRST_S + case.utc_hours * 3600)
            assert readings.time_s.tolist() == [begin + 3600 * i for i in range(480)], role
            assert readings.value[:24] == pytest.approx([first + slope * i for i in range(24)], abs=0.006)
        assert "\n  time " in guess.text()


def test_packed_and_bare_are_the_same_file(tmp_path: Path) -> None:
    bare, packed = tmp_path / "a.csv", tmp_path / "a.csv.gz"
    bare.write_text(CASES["plain"].text)
    packed.write_bytes(gzip.compress(CASES["plain"].text.encode()))
    with Store(tmp_path) as store:
        assert not import_file(store, guess_file(bare)).already
        assert import_file(store, guess_file(packed)).already
        assert len(store.imports()) == 1


def look(tmp_path: Path, text: str, *maps: str, offset_h: float | None = 0.0, name: str = "x.csv") -> Guess:
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    return guess_file(file, said=typed(maps), utc_offset_h=offset_h)


@pytest.mark.parametrize(
    ("heading", "spec"),
    [
        ("Outdoor temp (F)", "outdoor; unit=F; name=Outdoor temp"),
        ("Shop 8 ft °C", "shop; unit=C; name=Shop 8 ft; height=2.438 m"),
        ("gap_bottom_C", "gap bottom; unit=C; name=gap bottom"),
        ("Wall top temp F", "gap top; unit=F; name=Wall top temp"),
        ("Absorber [°C]", "absorber; unit=C; name=Absorber"),
        ("Lower vent (C)", "air in; unit=C; name=Lower vent"),
        ("Upper vent (C)", "air out; unit=C; name=Upper vent"),
        ("Fan W", "fan power; unit=W; name=Fan"),
        ("GHI (W/m²)", "sun; unit=W/m2; name=GHI; plane=horizontal"),
        ("Irradiance on wall kW/m2", "sun; unit=kW/m2; name=Irradiance on wall; plane=wall"),
        ("RH outdoor (%)", "humidity; unit=%; name=RH outdoor; place=outdoor"),
        ("Heater run time (min)", "backup run time; unit=min; name=Heater run time; kind=counter"),
        ("Propane used gal", "fuel; unit=gal; name=Propane used; kind=counter"),
        ("Boiler kWh", "backup energy; unit=kWh; name=Boiler; kind=counter"),
        ("PV energy (kWh)", "pv energy; unit=kWh; name=PV energy; kind=counter"),
        ("Inverter W", "pv power; unit=W; name=Inverter"),
        ("Wind (mph)", "wind; unit=mph; name=Wind"),
        ("Barometer inHg", "pressure; unit=inHg; name=Barometer"),
        ("Air flow (cfm)", "flow; unit=cfm; name=Air flow"),
        ("Battery V", "skip"),
        ("Outdoor max (C)", "skip"),
        ("Set point C", "other; unit=C; name=Set point"),
    ],
)
def test_headings_give_role_unit_height_and_plane(heading: str, spec: str, tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-01 {h:02d}:{m:02d},{h}.{m}" for h in range(20) for m in (10, 40))
    guess = look(tmp_path, f"Time (UTC),{heading}\n{rows}\n")
    assert guess.columns[0].spec().text() == spec


def test_switches_in_words_become_zero_and_one(tmp_path: Path) -> None:
    rows = "\n".join(
        f"2025-01-01 {h:02d}:00,{'ON' if h > 9 else 'OFF'},{'closed' if h > 3 else 'open'}" for h in range(20)
    )
    guess = look(tmp_path, f"Time (UTC),Fan,Cover\n{rows}\n")
    with Store(tmp_path) as store:
        import_file(store, guess)
        assert store.read(store.channel("Fan")).value.tolist() == [0.0] * 10 + [1.0] * 10
        assert store.channel("Cover").role == "cover"


def test_remarks_by_hand_are_kept_as_words(tmp_path: Path) -> None:
    text = 'date,remark\n2025-05-05,cover on\n2025-05-07,"swept chimney, new filter"\n2025-09-20,cover off\n'
    with Store(tmp_path) as store:
        found = import_file(store, look(tmp_path, text))
        assert found.tally.remarks == 3
        assert [r.text for r in store.remarks()] == ["cover on", "swept chimney, new filter", "cover off"]


# what a file does not settle is asked, in one line that says what to type


def must(guess: Guess) -> list[str]:
    return [question.answer for question in guess.questions if question.must]


def test_a_date_that_reads_both_ways_is_asked(tmp_path: Path) -> None:
    text = "Time (UTC),Shop (C)\n" + "\n".join(f"3/2/2025 {h}:00,{h}" for h in range(24))
    guess = look(tmp_path, text)
    assert must(guess) == ["dates=dmy"]
    with Store(tmp_path) as store, pytest.raises(ReadingsError, match=r"day first or month first.*dates=dmy"):
        import_file(store, guess)
    assert look(tmp_path, text, "dates=mdy").ready
    file = tmp_path / "x.csv"
    there = guess_file(file, utc_offset_h=0.0, us=True)
    assert there.questions[0].typed == "--map 'dates=mdy' or --map 'dates=dmy'"


@pytest.mark.parametrize(
    ("dates", "order"),
    [
        ([f"{d}/2/2025" for d in range(1, 29)], "dmy"),
        ([f"2/{d}/2025" for d in range(1, 29)], "mdy"),
        ([f"{d}/3/2025" for d in range(1, 10)], "dmy"),
        ([f"3/{d}/2025" for d in range(9, 0, -1)], "mdy"),
        ([f"{d:02d}.03.2025" for d in (3, 3, 3)], "dmy"),
        ([f"25/03/{d:02d}" for d in range(10, 31)], "ymd"),
    ],
)
def test_the_order_of_a_date_is_taken_from_the_files_own_evidence(
    dates: list[str], order: str, tmp_path: Path
) -> None:
    text = "Time (UTC),Shop (C)\n" + "\n".join(f"{day} {h}:00,{h}" for day in dates for h in (3, 9, 15))
    guess = look(tmp_path, text)
    assert guess.ready, guess.text()
    assert guess.time.stamp.order == order


def test_a_unit_is_asked_unless_one_of_the_two_cannot_be(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-01 {h:02d}:00,{h},{60 + h}" for h in range(24))
    guess = look(tmp_path, f"Time (UTC),Outdoor,Shop\n{rows}\n")
    assert must(guess) == ["unit=F"]
    assert "--map 'unit=F' or --map 'unit=C'" in guess.text()
    assert "[a guess]" in guess.text()
    assert [item.unit for item in guess.columns] == ["F", "F"]
    assert "no shop shows such figures" in guess.columns[1].reason
    assert look(tmp_path, f"Time (UTC),Outdoor,Shop\n{rows}\n", "unit=F").ready


def test_many_columns_are_asked_at_once_with_both_answers_the_likelier_first(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-{d:02d} 05:00,{d / 2},{d / 3}" for d in range(1, 29))
    file = tmp_path / "log.csv"
    file.write_text(f"Time (UTC),Outside??,Gap top\n{rows}\n", encoding="utf-8")
    for us, first, second in ((True, "F", "C"), (False, "C", "F")):
        guess = guess_file(file, us=us)
        (question,) = [item for item in guess.questions if item.must]
        assert question.text.startswith("columns Outside??, Gap top: degrees Celsius or Fahrenheit?")
        assert f"answer with --map 'unit={first}' or --map 'unit={second}'" in guess.text()
        assert [item.unit for item in guess.columns] == [first, first]
        assert [item.name for item in guess.columns] == ["Outside", "Gap top"]


def test_a_file_that_does_not_say_its_zone_is_asked_when_the_site_is_not_known(tmp_path: Path) -> None:
    text = "Time,Shop (C)\n" + "\n".join(f"2025-01-01 {h:02d}:00,{h}" for h in range(24))
    assert must(look(tmp_path, text, offset_h=None)) == ["zone=UTC-7"]
    guess = look(tmp_path, text, offset_h=-3.5)
    assert (guess.ready, guess.time.zone) == (True, "UTC-3:30")


def test_a_clock_put_back_in_autumn_gives_its_zone_away(tmp_path: Path) -> None:
    night = [f"2024-11-{d:02d} {h:02d}:{m:02d}" for d in (2, 3) for h in range(24) for m in (0, 20, 40)]
    again = [stamp for stamp in night if stamp.startswith("2024-11-03 01")]
    place = night.index(again[-1]) + 1
    stamps = night[:place] + again + night[place:]
    guess = look(
        tmp_path, "Time,Shop (C)\n" + "\n".join(f"{s},{i % 20}" for i, s in enumerate(stamps)), offset_h=-7.0
    )
    assert guess.time.zone == "America/Denver"
    with Store(tmp_path) as store:
        import_file(store, guess)
        times = store.read(store.channel("Shop")).time_s
        assert set((times[1:] - times[:-1]).tolist()) == {1200}


@pytest.mark.parametrize("step_min", [10, 20, 60])
def test_a_clock_put_on_in_spring_gives_its_zone_away(step_min: int, tmp_path: Path) -> None:
    stamps = [
        f"2024-03-{d:02d} {h:02d}:{m:02d}"
        for d in range(8, 13)
        for h in range(24)
        for m in range(0, 60, step_min)
    ]
    rows = [f"{s},{i % 20}" for i, s in enumerate(stamps) if not s.startswith("2024-03-10 02")]
    guess = look(tmp_path, "\n".join(["Time,Shop (C)", *rows]), offset_h=-7.0)
    assert guess.time.zone == "America/Denver"
    (question,) = guess.questions
    assert question.text == (
        "its clock leaves an hour out at 2024-03-10 02:00, as when it is put on in spring in America/Denver: is that "
        "its zone?"
    )
    with Store(tmp_path) as store:
        import_file(store, guess)
        times = store.read(store.channel("Shop")).time_s
        assert set((times[1:] - times[:-1]).tolist()) == {60 * step_min}


def test_an_hour_that_is_missing_elsewhere_gives_no_zone_away(tmp_path: Path) -> None:
    stamps = [
        f"2024-03-{d:02d} {h:02d}:{m:02d}" for d in range(8, 13) for h in range(24) for m in (0, 20, 40)
    ]
    for gone in ("2024-03-10 03", "2024-03-09 02"):
        rows = [f"{s},{i % 20}" for i, s in enumerate(stamps) if not s.startswith(gone)]
        assert look(tmp_path, "\n".join(["Time,Shop (C)", *rows]), offset_h=-7.0).time.zone == "UTC-7"


def test_rows_in_no_order_are_put_in_order_and_that_is_told(tmp_path: Path) -> None:
    stamps = [f"2025-06-{d:02d} {h:02d}:{m:02d}" for d in range(1, 6) for h in range(24) for m in (0, 20, 40)]
    rows = [f"{stamp},{i % 20}.5" for i, stamp in enumerate(stamps)]
    muddled = [rows[(i * 101) % len(rows)] for i in range(len(rows))]
    assert sorted(muddled) == sorted(rows)
    guess = look(tmp_path, "\n".join(["Time (UTC),Shop (C)", *muddled]))
    assert "its rows are not in the order of time; they are put in order as they are read" in guess.notes
    assert guess.step_s == 1200
    with Store(tmp_path) as store:
        import_file(store, guess)
        read = store.read(store.channel("Shop"))
    assert read.value.tolist() == [i % 20 + 0.5 for i in range(len(rows))]
    assert set((read.time_s[1:] - read.time_s[:-1]).tolist()) == {1200}
    upside_down = look(tmp_path, "\n".join(["Time (UTC),Shop (C)", *rows[::-1]]))
    assert upside_down.descending and not any("order of time" in note for note in upside_down.notes)


def test_an_hour_that_comes_twice_but_is_there_once_is_told_once(tmp_path: Path) -> None:
    stamps = [f"2024-11-03 {h:02d}:{m:02d}" for h in range(24) for m in (0, 20, 40)]
    rows = [f"{stamp},{i % 20}.5" for i, stamp in enumerate(stamps)]
    muddled = [rows[(i * 25) % len(rows)] for i in range(len(rows))]
    guess = look(tmp_path, "\n".join(["Time,Shop (C)", *muddled]), "zone=America/Denver")
    with Store(tmp_path) as store:
        notes = import_file(store, guess).tally.notes
    assert len([note for note in notes if "comes twice" in note]) == 1


def test_a_zone_in_a_line_above_or_in_the_heading_is_used(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-01 {h:02d}:00,{h}" for h in range(24))
    assert look(tmp_path, f"Time zone: America/Denver\nTime,Shop (C)\n{rows}").time.zone == "America/Denver"
    assert look(tmp_path, f"Time (MST),Shop (C)\n{rows}").time.zone == "MST"


def test_a_plain_name_of_a_file_helps_a_heading_that_says_nothing(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-01 {h:02d}:00,{h}" for h in range(24))
    guess = look(tmp_path, f"Time (UTC),Temperature (C)\n{rows}", name="gap_top_2025.csv")
    assert (guess.columns[0].role, guess.columns[0].reason) == ("gap top", "the file's name says so")


def test_twelve_hours_without_am_and_pm_are_refused_with_a_remedy(tmp_path: Path) -> None:
    rows = "\n".join(f"2025-01-{d:02d} {h % 12 or 12}:30,{h}" for d in range(1, 5) for h in range(24))
    with pytest.raises(ReadingsError, match=r"x.csv:\d+: its clock shows twelve hours without am or pm"):
        look(tmp_path, f"Time (UTC),Shop (C)\n{rows}")


def test_cells_that_hold_no_reading_are_told_before_the_file_is_read(tmp_path: Path) -> None:
    words = ("ERR", "OVR", "---", "NaN", "N/A", "ERR")
    rows = [f"2025-03-{1 + i // 24:02d} {i % 24:02d}:00,{5 + i % 7}.5,on" for i in range(96)]
    for i, word in enumerate(words):
        rows[5 * i] = rows[5 * i].replace(rows[5 * i].split(",")[1], word)
    rows[50], rows[60] = rows[50].replace("5,on", "5,oops"), "2025-03-03 12:00,-127.0,off"
    path = tmp_path / "bench.csv"
    path.write_text("\n".join(["Time (UTC),Shop (C),Fan", *rows]), encoding="utf-8")
    guess = guess_file(path)
    assert guess.no_readings == (
        'Shop (C): 2 cells say "ERR" and count as empty',
        'Shop (C): 1 cell says "OVR" and counts as empty',
        'Shop (C): 1 cell says "---" and counts as empty',
        'Shop (C): 2 more cells say "NaN", "N/A" and count as empty',
        "Shop (C): 1 figure that loggers write for a missing sensor counts as empty",
        'Fan: 1 cell is no number and counts as empty (line 52 "oops")',
    )
    assert '  no reading: Shop (C): 2 cells say "ERR" and count as empty' in guess.text()
    skipped = guess_file(path, said=typed(("Shop (C)=skip",)))
    assert [line[:4] for line in skipped.no_readings] == ["Fan:"]


def test_a_channels_cells_in_a_long_file_are_told_by_its_name(tmp_path: Path) -> None:
    rows = [f"2025-03-01 {i:02d}:{m},{name},{'ERR' if i == 7 else 5.5 + i}"
            for i in range(24) for m, name in (("00", "Shop"), ("01", "Outdoor"))]  # fmt: skip
    path = tmp_path / "long.csv"
    path.write_text("\n".join(["Time (UTC),sensor,value", *rows]), encoding="utf-8")
    guess = guess_file(path, said=typed(("unit=C",)))
    assert guess.layout == "long"
    assert guess.no_readings == tuple(
        f'{name}: 1 cell says "ERR" and counts as empty' for name in ("Outdoor", "Shop")
    )
