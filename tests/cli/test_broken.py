"""Broken projects and weather files at the command line: one line, exit code 2, nothing written."""

from __future__ import annotations

import contextlib
import io
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from noonwall.cli.main import run
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fakes.commands import Typed

TEXT = demo_text()
LINES = TEXT.splitlines()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    yield tmp_path_factory.mktemp("broken")


def checked(folder: Path, content: bytes) -> tuple[int, str]:
    (folder / "noonwall.toml").write_bytes(content)
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = run(["check", str(folder)])
    return code, err.getvalue()


def assert_told(code: int, err: str) -> None:
    assert code in {0, 2}, err
    assert len(err.splitlines()) == (1 if code else 0), err
    assert "Traceback" not in err
    assert len(err) < 1000, err


values = st.one_of(
    st.integers(-(10**12), 10**12).map(str),
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.sampled_from(
        [
            '""',
            '"461 N"',
            '"-3 m"',
            '"9 parsec"',
            "true",
            "[]",
            "{}",
            "[[1, 2], [3]]",
            '"12-31"',
            "nan",
            "inf",
            '"1e400 m"',
            '"1/0 m"',
            "1979-05-27",
            "[1e999]",
            '"\\u0000"',
            "{ a = { b = 1 } }",
        ]
    ),
    st.text(max_size=30).map(
        lambda text: '"' + text.replace("\\", "").replace('"', "").replace("\n", " ") + '"'
    ),
)


@settings(
    max_examples=150,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(line=st.integers(0, len(LINES) - 1), value=values)
def test_any_value_in_any_place(folder: Path, line: int, value: str) -> None:
    key, equals, _ = LINES[line].partition("=")
    changed = [*LINES[:line], f"{key}= {value}" if equals else value, *LINES[line + 1 :]]
    assert_told(*checked(folder, "\n".join(changed).encode("utf-8", "replace")))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(place=st.integers(0, len(TEXT.encode()) - 1), cut=st.integers(0, 400), put=st.binary(max_size=8))
def test_any_damage_to_the_file(folder: Path, place: int, cut: int, put: bytes) -> None:
    raw = TEXT.encode()
    assert_told(*checked(folder, raw[:place] + put + raw[place + cut :]))


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("latitude", '"461 N"', "site.latitude"),
        ("gap", '"90 kg"', "wall.gap"),
        ("width", '"-9.2 m"', "width"),
        ("height", '"100 km"', "height"),
        ("open", '"50 C"', "open"),
        ("glasing", "1", "glasing"),
        ("flow", '"0.1 m"', "flow"),
    ],
)
def test_a_wrong_value_is_told_with_line_and_key(
    project: Path, typed: Typed, key: str, value: str, words: str
) -> None:
    file = project / "noonwall.toml"
    lines = file.read_text().splitlines()
    at = next((i for i, line in enumerate(lines) if line.startswith(f"{key} =")), lines.index("[wall]") + 1)
    keep = [] if lines[at].startswith(f"{key} =") else [lines[at]]
    file.write_text("\n".join([*lines[:at], f"{key} = {value}", *keep, *lines[at + 1 :]]))
    told = typed("year", project)
    assert told.code == 2
    assert f"noonwall.toml:{at + 1}:" in told.complaint
    assert words in told.complaint


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (None, "w.epw"),
        (b"", "empty"),
        (b"\x00\x01\x02" * 500, "w.epw"),
        ("LOCATION,Houlton".encode("utf-16"), "UTF-16"),
        (b"LOCATION,Houlton\n", "w.epw"),
        (b"hello\nworld\n" * 5000, "w.epw"),
        (b"{}", "w.epw"),
        (b'{"outputs": {}}', "w.epw"),
        (b"a,b,c\n" + b"1,2,3\n" * 8760, "w.epw"),
    ],
)
def test_a_broken_weather_file_is_told_before_anything_is_calculated(
    project: Path, typed: Typed, quick: list[int], content: bytes | None, words: str
) -> None:
    with (project / "noonwall.toml").open("a") as file:
        file.write('\n[weather]\nfile = "w.epw"\n')
    if content is not None:
        (project / "w.epw").write_bytes(content)
    for command in ("year", "climate"):
        told = typed(command, project)
        assert told.code == 2
        assert words in told.complaint
        assert told.out == ""
    assert quick == []


def test_a_folder_for_a_weather_file(project: Path, typed: Typed) -> None:
    with (project / "noonwall.toml").open("a") as file:
        file.write('\n[weather]\nfile = "."\n')
    assert "folder" in typed("year", project).complaint
