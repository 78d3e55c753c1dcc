"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from noonwall.errors import OutputError
from noonwall.report.files import check_writable, write_whole


def test_writes_and_replaces(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    write_whole(target, "one\n")
    write_whole(target, b"two\n")
    assert target.read_text() == "two\n"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.csv"]


def test_a_link_is_followed_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_text("old")
    (tmp_path / "link.csv").symlink_to("real.csv")
    write_whole(tmp_path / "link.csv", "new")
    assert (tmp_path / "link.csv").is_symlink()
    assert (tmp_path / "real.csv").read_text() == "new"


def test_a_device_is_written_to_not_replaced() -> None:
    write_whole("/dev/null", "gone")
    assert Path("/dev/null").is_char_device()


def test_a_folder_and_a_missing_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="is a folder"):
        check_writable(tmp_path)
    with pytest.raises(OutputError, match="does not exist"):
        check_writable(tmp_path / "no" / "a.csv")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_closed_folder_is_refused(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="not open for writing"):
        check_writable(tmp_path / "a.csv")
    tmp_path.chmod(0o700)


def test_a_failure_half_way_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "a.csv"
    target.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match=r"a\.csv: cannot be written: no space left on device"):
        write_whole(target, "new")
    assert target.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.csv"]
