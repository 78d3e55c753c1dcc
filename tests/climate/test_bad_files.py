"""Bad weather files: one plain line with file, line and reason, and never anything else."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from climate import files
from climate.files import CSV_COLUMNS, SITE, epw_lines, write
from noonwall.climate.read import read_weather
from noonwall.errors import WeatherError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Lines = list[str]


def refused(path: Path, **how: object) -> str:
    with pytest.raises(WeatherError) as problem:
        read_weather(path, **how)  # type: ignore[arg-type]
    text = str(problem.value)
    assert "\n" not in text
    assert text.startswith(path.name)
    return text


def set_field(lines: Lines, line: int, field: int, value: str) -> None:
    fields = lines[line - 1].split(",")
    fields[field] = value
    lines[line - 1] = ",".join(fields)


def change(make: Callable[[Lines], object]) -> Lines:
    lines = list(epw_lines())
    make(lines)
    return lines


def column(lines: Lines, field: int, value: str, first: int = 9, last: int = 8768) -> None:
    for line in range(first, last + 1):
        set_field(lines, line, field, value)


@pytest.mark.parametrize(
    ("make", "where", "reason"),
    [
        (lambda ls: ls.pop(5007), ":5008", "nothing for"),
        (lambda ls: ls.insert(5008, ls[5007]), ":5009", "repeats the moment of line 5008"),
        (lambda ls: ls.__setitem__(slice(8, None), ls[-1:7:-1]), ":10", "goes back in time"),
        (lambda ls: ls.__delitem__(slice(5000, None)), ":5000", "ends too early"),
        (lambda ls: ls.extend(ls[8:32]), ":8769", "goes back in time"),
        (lambda ls: set_field(ls, 700, 6, "warm"), ":700", "air temperature is 'warm'"),
        (lambda ls: set_field(ls, 700, 6, "88"), ":700", "air temperature is 88 degC"),
        (lambda ls: set_field(ls, 700, 13, "2500"), ":700", "global irradiance is 2500"),
        (lambda ls: set_field(ls, 1, 6, "461"), ":1", "latitude is '461'"),
        (lambda ls: set_field(ls, 1, 7, "west"), ":1", "longitude is 'west'"),
        (
            lambda ls: ls.__setitem__(900, "2003,2,7"),
            ":901",
            "3 fields, at least 22 are needed; the line is damaged",
        ),
        (lambda ls: ls.__setitem__(7, "DATA PERIODS,1,4,Data,Sunday,1/1,12/31"), ":8", "only hourly EPW"),
        (lambda ls: ls.__delitem__(7), ":8", "DATA PERIODS"),
        (lambda ls: column(ls, 6, "99.9", 100, 140), ":100", "air temperature is missing for"),
        (lambda ls: column(ls, 6, "12.0"), "", "stands still"),
        (lambda ls: column(ls, 13, "0"), "", "no light in the whole file"),
        (lambda ls: [column(ls, f, "9999") for f in (13, 14)], "", "no column of global irradiance"),
        (lambda ls: column(ls, 6, "99.9"), "", "no column of air temperature"),
        (lambda ls: set_field(ls, 1, 8, "7"), ":", "below the horizon"),
    ],
)
def test_broken_epw_names_line_and_reason(
    tmp_path: Path, make: Callable[[Lines], object], where: str, reason: str
):
    text = refused(write(tmp_path, "broken.epw", change(make)))
    assert text.startswith(f"broken.epw{where}")
    assert reason in text


def test_mixed_up_columns_are_noticed(tmp_path: Path):
    lines = list(epw_lines())
    for line in range(9, 8769):
        fields = lines[line - 1].split(",")
        fields[14], fields[15] = fields[15], fields[14]
        lines[line - 1] = ",".join(fields)
    assert "beam and diffuse add up" in refused(write(tmp_path, "mixed.epw", lines))


def test_a_leap_day_in_picked_months_is_refused(tmp_path: Path):
    lines = list(epw_lines())
    day = [line.replace("1996,2,28,", "1996,2,29,", 1) for line in lines if line.startswith("1996,2,28,")]
    at = lines.index(next(line for line in lines if line.startswith("2003,3,1,")))
    lines[at:at] = day
    assert "29 February in a typical year" in refused(write(tmp_path, "leap.epw", lines))


def test_a_true_leap_year_is_read_and_kept(tmp_path: Path):
    lines = [
        line.replace(line.split(",")[0], "2020", 1) if i > 7 else line for i, line in enumerate(epw_lines())
    ]
    day = [line.replace("2020,2,28,", "2020,2,29,", 1) for line in lines if line.startswith("2020,2,28,")]
    at = lines.index(next(line for line in lines if line.startswith("2020,3,1,")))
    lines[at:at] = day
    weather = read_weather(write(tmp_path, "leap.epw", lines))
    assert weather.steps == 8784
    assert str(weather.start) == "2020-01-01T00:00:00"


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "is empty"),
        (b" \n\n\t\n", "is empty"),
        ("\n".join(epw_lines()).encode("utf-16"), "UTF-16"),
        (b"\x7fELF\x02\x01\x01\x00\x00", "zero byte"),
        (b"GIF89a picture", "not a known form"),
        (b"LOCATION,x\n", "LOCATION has 2 fields"),
        (b"{}", "tmy_hourly"),
        (b'{"outputs": 3}', "tmy_hourly"),
        (b'{"outputs": {"tmy_hourly": [1]}, "inputs": {"location": {}}}', "something else than rows"),
        (b"{oops", "not valid JSON"),
        (b"Latitude (decimal degrees): 45\n", "no line beginning"),
        (b"Source,Location ID,Latitude\nx,1,2\n", "no 'Longitude' in the header"),
        (b"Source,Location ID,Latitude", "within its header"),
        (b"a\nDate (MM/DD/YYYY),Time (HH:MM)\n", "the first line needs"),
    ],
)
def test_files_that_are_no_weather(tmp_path: Path, content: bytes, reason: str):
    path = tmp_path / "odd.epw"
    path.write_bytes(content)
    assert reason in refused(path)


def test_a_folder_is_refused(tmp_path: Path):
    assert "is a folder" in refused(tmp_path)


def test_a_missing_file_is_refused(tmp_path: Path):
    assert "no such file" in refused(tmp_path / "nowhere.epw")


def test_a_file_without_permission_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = write(tmp_path, "locked.epw", ["x"])

    def closed(_: object) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(path), "read_bytes", closed)
    assert "permission" in refused(path)


def test_a_name_with_a_zero_in_it_is_refused(tmp_path: Path):
    assert "no such file" in refused(tmp_path / "a\0b") or "cannot be read" in refused(tmp_path / "a\0b")


def test_short_gaps_are_bridged_and_told(tmp_path: Path):
    lines = list(epw_lines())
    column(lines, 6, "99.9", 100, 104)
    column(lines, 13, "9999", 3000, 3001)
    weather = read_weather(write(tmp_path, "gaps.epw", lines))
    # Five readings at the ends of hours touch six hours; two hours of light are by day or by night.
    assert 6.0 <= weather.hours_repaired <= 8.0
    assert any("bridged" in note for note in weather.notes)


def test_codes_for_missing_do_not_pass_for_weather(tmp_path: Path):
    weather = read_weather(write(tmp_path, "codes.epw", epw_lines()))
    assert weather.albedo is None
    assert weather.snow_depth_m is None
    assert weather.cloud_share is None
    assert weather.sky_infrared_w_m2 is None
    assert any("snow depth is zero all year" in note for note in weather.notes)


FORMS: tuple[tuple[str, Callable[[], tuple[str, ...]], dict[str, object]], ...] = (
    ("f.epw", files.epw_lines, {}),
    ("f.tmy3", files.tmy3_lines, {}),
    ("f.pvgis", files.pvgis_lines, {}),
    ("f.json", lambda: tuple(files.pvgis_json().split("\n")), {}),
    ("f.psm", files.psm_lines, {}),
    ("f.csv", files.csv_lines, {"columns": CSV_COLUMNS, "site": SITE}),
)
JUNK = (
    "",
    "nan",
    "-9999",
    "abc",
    "1e400",
    "inf",
    '"',
    "\t",
    "-",
    "é",
    "24:00",
    "{",
    "null",
    "2019",
    "0x1F",
    "1_0",
)


@settings(
    max_examples=50,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_whatever_is_garbled_only_a_weather_error_comes(tmp_path: Path, data: st.DataObject):
    name, lines_of, how = data.draw(st.sampled_from(FORMS))
    lines = list(lines_of())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, min(len(lines) - 1, 20)) | st.integers(0, len(lines) - 1))
        kind = data.draw(st.sampled_from(("drop", "double", "field", "text", "cut", "end", "swap")))
        if kind == "drop" and len(lines) > 1:
            del lines[at]
        elif kind == "double":
            lines.insert(at, lines[at])
        elif kind == "field":
            fields = lines[at].split(",")
            fields[data.draw(st.integers(0, len(fields) - 1))] = data.draw(st.sampled_from(JUNK))
            lines[at] = ",".join(fields)
        elif kind == "text":
            lines[at] = data.draw(st.text(max_size=40))
        elif kind == "cut":
            lines[at] = lines[at][: data.draw(st.integers(0, len(lines[at])))]
        elif kind == "end":
            del lines[at + 1 :]
        else:
            other = data.draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
    path = tmp_path / name
    path.write_text("\n".join(lines), encoding="utf-8", errors="replace")
    try:
        read_weather(path, **how)  # type: ignore[arg-type]
    except WeatherError as problem:
        assert "\n" not in str(problem)
        assert str(problem).startswith(name)
