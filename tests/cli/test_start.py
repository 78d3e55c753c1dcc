"""Help is there in a blink: nothing heavy is imported before it is used."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = {"numba", "numpy", "pandas", "pvlib", "scipy", "matplotlib", "pydantic", "tomlkit", "llvmlite"}

SCRIPT = """
import sys
from noonwall.cli.main import run
code = run({arguments})
print("LOADED", *sorted({{name.partition(".")[0] for name in sys.modules}}))
sys.exit(code)
"""


def loaded_by(arguments: list[str]) -> tuple[set[str], str]:
    told = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(arguments=arguments)], capture_output=True, text=True, check=True
    )
    text, _, names = told.stdout.partition("LOADED")
    return set(names.split()), text


@pytest.mark.parametrize("arguments", [["--help"], [], ["--version"], ["year", "--help"], ["demo", "--help"]])
def test_help_imports_nothing_heavy(arguments: list[str]) -> None:
    names, text = loaded_by(arguments)
    assert text.strip()
    assert not names & HEAVY


def test_the_library_itself_imports_nothing_heavy() -> None:
    told = subprocess.run(
        [sys.executable, "-c", "import sys, noonwall; noonwall.load; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not {name.partition(".")[0] for name in told.stdout.split()} & HEAVY


def test_help_lists_every_command_with_its_line() -> None:
    _, text = loaded_by(["--help"])
    for command in ("demo", "new", "check", "climate", "year"):
        line = next(row for row in text.splitlines() if row.strip().startswith(command + " "))
        assert len(line.split()) > 3
