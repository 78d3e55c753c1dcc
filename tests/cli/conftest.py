"""The command line run in-process, with an invented year for the calculation where a test wants it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import noonwall
from fakes.commands import Told, Typed
from fakes.years import invented_year
from noonwall.cli.main import run
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def typed(capsys: pytest.CaptureFixture[str]) -> Typed:
    """Return a function that runs a command line and tells what it left."""

    def type_in(*words: str | Path) -> Told:
        code = run([str(word) for word in words])
        told = capsys.readouterr()
        return Told(code, told.out, told.err)

    return type_in


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Put an invented year in place of the calculation; the list tells the steps that were asked for."""
    asked: list[int] = []

    def simulate(project: object, weather: object = None, step_s: int = 300) -> object:
        del project, weather
        asked.append(step_s)
        return invented_year(3600)

    monkeypatch.setattr(noonwall, "simulate", simulate)
    return asked


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Return a folder with the demo project."""
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "noonwall.toml").write_text(demo_text())
    return folder
