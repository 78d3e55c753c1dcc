"""Whatever a file holds, it is read or refused with one line; never anything else."""

from __future__ import annotations

import gzip
import random
import tracemalloc
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from noonwall.errors import NoonwallError
from noonwall.logs import lines
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

GOOD = "Time (UTC);Outdoor (C);Shop (C);Fan\n" + "\n".join(
    f"2025-01-{d:02d} {h:02d}:00;{h}.5;1{h % 10}.25;{h % 2}" for d in range(1, 4) for h in range(24)
)
SCRAPS = [
    b"\x00" * 50, b'"', b"\xff\xfe", b"\xef\xbb\xbf", b";" * 40, b"\r", b"\n\n\n", b"1e999", b"-", b"\x1a",
    b"9" * 400, b"2025-13-45 99:99", b"NaN", b"=cmd", b"\xc3\x28", "ﾟ۳".encode(), b",", b"\t", b"2025", b"#",
]  # fmt: skip


def survives(folder: Path, data: bytes) -> str:
    """Read a file if it can be read, and return the refusal if not."""
    file = folder / "x.csv"
    file.write_bytes(data)
    store_file = folder / "readings.db"
    try:
        guess = guess_file(file, utc_offset_h=2.0, today=20_500)
        guess.text()
        guess.as_map()
        with Store(store_file) as store:
            import_file(store, guess)
    except NoonwallError as error:
        assert "\n" not in str(error)
        assert len(str(error)) < 900
        return str(error)
    finally:
        for left in folder.glob("readings.db*"):
            left.unlink()
    return ""


@pytest.mark.parametrize("seed", range(120))
def test_a_good_file_harmed_at_random(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    data = bytearray(GOOD.encode())
    for _ in range(chance.choice([1, 3, 10, 60])):
        at = chance.randrange(len(data) + 1)
        kind = chance.randrange(4)
        if kind == 0:
            data[at:at] = chance.choice(SCRAPS)
        elif kind == 1:
            del data[at : at + chance.choice([1, 5, 80])]
        elif kind == 2 and data:
            data[at % len(data)] = chance.randrange(256)
        else:
            data[at:at] = bytes(data[at : at + 60])
    survives(tmp_path, bytes(data))


@settings(
    max_examples=120,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    st.binary(max_size=300) | st.text(alphabet="0123456789:;,./- \n\tTZapmñ\"'", max_size=400).map(str.encode)
)
def test_any_bytes_at_all(tmp_path: Path, data: bytes) -> None:
    survives(tmp_path, data)


HARD = {
    "empty": (b"", "is empty"),
    "zeros only": (b"\x00" * 5000, "is empty"),
    "a spreadsheet": (b"PK\x03\x04" + b"\x01" * 100, "spreadsheet"),
    "noise": (bytes(range(256)) * 40, "no text"),
    "a line without end": (b"1;2;3," * 200_000, "longer than"),
    "billions of columns": (b"2025-01-01 00:00" + b",1" * 5000 + b"\n", "5,001 columns; at most"),
    "a gzip cut short": (gzip.compress(GOOD.encode())[:-40], "gzip file is damaged or ends early"),
    "a gzip of zeros without end": (gzip.compress(b"\x00" * 30_000_000), "is empty"),
    "far past": (GOOD.replace("2025", "1876").encode(), "when no such logger ran"),
    "far future": (GOOD.replace("2025", "2188").encode(), "its dates run to 2188-01-03, after today"),
    "later than today": (GOOD.replace("2025", "2044").encode(), "its dates run to 2044-01-03, after today"),
    "prose": (b"Dear reader,\nthis is a letter,\nnot a table.\n" * 20, "no column with a date and a time"),
    "heading only": (b"Time,Outdoor,Shop\n", "holds a heading and no readings under it"),
    "numbers without a time": (
        b"a,b\n" + b"1,2\n" * 50,
        "where there is none, export the readings again from the logger's program, with date and time",
    ),
    "one column": (b"2025-01-01\n" * 30, ""),
}


@pytest.mark.parametrize("name", HARD)
def test_hard_files_get_a_line_that_says_what_is_wrong(name: str, tmp_path: Path) -> None:
    data, said = HARD[name]
    told = survives(tmp_path, data)
    assert told
    assert said in told
    assert "x.csv" in told


@pytest.mark.parametrize(
    ("name", "limit", "said"),
    [
        ("SWELL_FROM_BYTES", 2 << 20, "unpacks to more than 400 times its own size"),
        ("MOST_UNPACKED_BYTES", 5_000_000, "unpacks to more than 0.0 GB; split it"),
    ],
)
def test_a_small_file_that_unpacks_without_end_is_refused_early(
    name: str, limit: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lines, name, limit)
    path = tmp_path / "x.csv.gz"
    path.write_bytes(gzip.compress(b"Time,Shop C\n" + b"2025-01-01 00:00,5.0\n" * 1_000_000))
    assert path.stat().st_size < 100_000
    for look in (guess_file, lambda p: lines.content_hash(p, lines.text_form(p))):
        tracemalloc.start()
        with pytest.raises(NoonwallError, match=said) as told:
            look(path)
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert "\n" not in str(told.value)
        assert most < 60e6  # the whole is 21 MB of text, many times that as rows


def test_a_file_that_is_not_there_or_a_folder(tmp_path: Path) -> None:
    with pytest.raises(NoonwallError, match="no such file"):
        guess_file(tmp_path / "none.csv")
    with pytest.raises(NoonwallError, match="is a directory"):
        guess_file(tmp_path)
