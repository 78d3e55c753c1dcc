"""Whatever goes wrong, the command line says it in one line and leaves with the code that fits."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import noonwall
from noonwall.errors import SolveError
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from fakes.commands import Typed


def failing(error: BaseException) -> Callable[..., None]:
    def simulate(*_: object, **__: object) -> None:
        raise error

    return simulate


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (SolveError("the flow\nof step 12 did not close"), 2, "the flow of step 12 did not close"),
        (KeyboardInterrupt(), 130, "stopped"),
        (
            ZeroDivisionError("division by zero"),
            3,
            "fault of noonwall itself: ZeroDivisionError: division by zero",
        ),
        (MemoryError(), 3, "fault of noonwall itself: MemoryError"),
        (OSError(errno.ENOSPC, "No space left on device"), 2, "no space left on device"),
        (PermissionError(errno.EACCES, "Permission denied", "a.epw"), 2, "a.epw: permission denied"),
    ],
)
def test_each_failure_has_its_line_and_its_code(
    typed: Typed, monkeypatch: pytest.MonkeyPatch, error: BaseException, code: int, words: str
) -> None:
    monkeypatch.setattr(noonwall, "simulate", failing(error))
    monkeypatch.setattr("noonwall.compiled.JIT", False)
    told = typed("demo")
    assert told.code == code
    assert words in told.complaint
    assert told.out == ""


def test_debugging_shows_where(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(noonwall, "simulate", failing(ZeroDivisionError()))
    monkeypatch.setenv("NOONWALL_DEBUG", "1")
    told = typed("demo")
    assert "Traceback" in told.err
    assert told.err.splitlines()[-1].startswith("noonwall: this is a fault of noonwall itself")


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["yaer"], "no such command 'yaer', did you mean 'year'"),
        (["xyzzy"], "no such command 'xyzzy'"),
        (["--nope"], "no such option"),
        (["demo", "--units", "roman"], "roman"),
        (["demo", "spare"], "unexpected extra argument"),
    ],
)
def test_a_slip_of_the_keyboard_is_one_line(typed: Typed, words: list[str], complaint: str) -> None:
    told = typed(*words)
    assert told.code == 2
    assert complaint in told.complaint
    assert "--help" in told.complaint


def test_a_reader_that_goes_away_is_no_fault(tmp_path: Path) -> None:
    code = f"""
import sys; sys.path.insert(0, {str(Path(__file__).parents[1])!r})
import noonwall
from fakes.years import invented_year
noonwall.simulate = lambda *a, **k: invented_year(3600)
from noonwall.cli.main import main
sys.argv = ["noonwall", "demo", "--json"]
main()
"""
    script = tmp_path / "pipe.py"
    script.write_text(code)
    pipe = f"{sys.executable} {script} | head -c 10; exit ${{PIPESTATUS[0]}}"
    told = subprocess.run(["bash", "-c", pipe], capture_output=True, text=True, check=False)
    assert "Traceback" not in told.stderr
    assert "fault" not in told.stderr
    assert told.returncode in {0, 141}


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_a_terminal_without_a_degree_sign_is_served(tmp_path: Path, encoding: str) -> None:
    (tmp_path / "noonwall.toml").write_text(demo_text().replace("Boat-repair", "Båt-修理"))
    told = subprocess.run(
        [sys.executable, "-m", "noonwall", "check", str(tmp_path)],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": encoding},
    )
    assert told.returncode == 0, told.stderr
    assert b"shop.comfort.too_hot" in told.stdout
