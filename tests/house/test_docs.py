"""What the documents tell a reader to type is typed here; what they tell of the output is looked up in it."""

from __future__ import annotations

import importlib
import importlib.util
import inspect
import json
import os
import re
import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import noonwall
from fakes.once import years_once
from fakes.projects import demo
from noonwall.cli.main import run
from noonwall.model.templates import demo_text
from noonwall.report.document import year_document

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]
PAGES = sorted(
    [ROOT / name for name in ("README.md", "ARCHITECTURE.md", "CONTRIBUTING.md")]
    + list((ROOT / "docs").rglob("*.md"))
)
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.M | re.S)
LINK = re.compile(r"\[[^\]]*\]\(([^)#\s]+)(?:#[^)]*)?\)")


def blocks(page: Path, *languages: str) -> list[str]:
    return [text for language, text in FENCE.findall(page.read_text()) if language in languages]


def names(pages: list[Path]) -> list[str]:
    return [str(page.relative_to(ROOT)) for page in pages]


WITH_COMMANDS = [page for page in PAGES if blocks(page, "sh")]
WITH_PYTHON = [page for page in PAGES if blocks(page, "python")]


# Studies that take a step, and those steps: what a page says is asked of the very commands, only in a shorter time.
COARSE: dict[str, dict[str, int]] = {
    "night.night_study": {"step_s": 900},
    "sunlight.sunlight": {"step_s": 3600, "takes_step_s": 3600},
    "trees.rank_cuts": {"step_s": 3600},
    "awning.awning_curve": {"step_s": 3600},
}


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Calculate the same year once, however many documents ask for it; coarser steps and fewer dots."""
    years_once(monkeypatch)
    monkeypatch.setattr("noonwall.report.ink.DPI", 60)
    for name, steps in COARSE.items():
        room, _, word = name.partition(".")
        study = getattr(importlib.import_module(f"noonwall.studies.{room}"), word)
        monkeypatch.setattr(f"noonwall.studies.{name}", with_steps(study, steps))


def with_steps(study: Callable[..., Any], steps: dict[str, int]) -> Callable[..., Any]:
    """Return the study with other steps, whatever it is asked for."""

    def coarse(*words: Any, **named: Any) -> Any:
        given = inspect.signature(study).bind(*words, **named)
        given.arguments.update(steps)
        return study(*given.args, **given.kwargs)

    return coarse


@pytest.mark.usefixtures("soon")
@pytest.mark.parametrize("name", names(WITH_COMMANDS))
def test_commands_run_as_they_are_written(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for line in "".join(blocks(ROOT / name, "sh")).splitlines():
        words = shlex.split(line, comments=True)
        if not words:
            continue
        if words[0].startswith("./scripts/"):
            # running a script from within the tests would run the tests: that it is there must do
            assert os.access(ROOT / words[0], os.X_OK), line
            continue
        assert words[0] == "noonwall", f"{name}: the tests cannot run: {line}"
        code = run(words[1:])
        told = capsys.readouterr()
        assert code == 0, f"{line}\n{told.err}"
        assert told.out.strip(), line


@pytest.mark.parametrize("name", names(WITH_PYTHON))
def test_examples_in_python_run(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    space: dict[str, Any] = {}
    for block in blocks(ROOT / name, "python"):
        exec(compile(block, name, "exec"), space)


@pytest.mark.parametrize("name", names(PAGES))
def test_links_lead_somewhere(name: str) -> None:
    page = ROOT / name
    for target in LINK.findall(page.read_text()):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{name}: {target}"


def test_readme_opens_with_the_job_and_then_the_two_commands() -> None:
    text = (ROOT / "README.md").read_text()
    assert blocks(ROOT / "README.md", "sh")[0] == "./scripts/demo\n./scripts/test\n"
    before = text[: text.index("```sh")].split("\n\n")
    assert [part.startswith("# ") for part in before if part.strip()] == [True, False]


def test_the_page_of_commands_is_what_the_commands_say() -> None:
    spec = importlib.util.spec_from_file_location("commands_page", ROOT / "scripts" / "commands_page.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.PAGE.read_text() == module.page(), "run ./scripts/docs"


def tabled(page: str, heading: str) -> list[str]:
    """Return the names in the first column of the table under a heading."""
    after = page[page.index(heading) + len(heading) :]
    section = re.split(r"^#{2,3} ", after, maxsplit=1, flags=re.M)[0]
    return re.findall(r"^\| `([a-z_0-9]+)` \|", section, re.M)


def test_the_page_of_json_names_exactly_what_is_there() -> None:
    page = (ROOT / "docs" / "json.md").read_text()
    document = json.loads(json.dumps(year_document(noonwall.simulate(demo(), step_s=3600))))
    assert tabled(page, "## `noonwall.year/1`") == list(document)
    assert tabled(page, "### `months`, `year`") == list(document["months"][0])
    assert tabled(page, "### `peaks`") == list(document["peaks"]["gap_c"])
    assert all(f"`{name}`" in page for name in document["peaks"])
    for part in ("ledger", "weather", "engine"):
        assert tabled(page, f"### `{part}`") == list(document[part])


def test_the_page_of_json_names_the_other_documents_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = (ROOT / "docs" / "json.md").read_text()
    (tmp_path / "noonwall.toml").write_text(demo_text())
    assert run(["climate", str(tmp_path), "--json"]) == 0
    climate = json.loads(capsys.readouterr().out)
    assert list(climate) == ["schema", "months", "year", "weather"]
    assert tabled(page, "### Months of the climate") == list(climate["months"][0])
    assert tabled(page, "### Weather of the climate") == list(climate["weather"])
    assert run(["check", str(tmp_path), "--json"]) == 0
    check = json.loads(capsys.readouterr().out)
    assert tabled(page, "## `noonwall.check/1`") == list(check)
    assert list(check["assumed"][0]) == ["key", "value", "why", "source"]


def test_nothing_is_called_safe() -> None:
    for page in PAGES:
        for line in page.read_text().splitlines():
            assert not re.search(r"\bsafe\b", line) or 'called "safe"' in line, f"{page}: {line}"
