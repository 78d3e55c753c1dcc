"""The wheel, installed without development packages, does the main job on its own."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CLEAN = os.environ.get("NOONWALL_CLEAN")

WITH_PYDANTIC = {"annotated-types", "pydantic-core"}  # parts of it, by its own declaration

needs_clean = pytest.mark.skipif(
    CLEAN is None, reason="no clean environment named by NOONWALL_CLEAN; ./scripts/test makes one"
)


def clean(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a program of the clean environment, away from the repository."""
    assert CLEAN is not None
    command = [str(Path(CLEAN) / "bin" / words[0]), *words[1:]]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


@needs_clean
def test_the_clean_environment_holds_the_wheel_and_no_development_package(tmp_path: Path) -> None:
    code = (
        "import importlib.util as u, noonwall; print(noonwall.__file__); "
        "print([n for n in ('pytest', 'hypothesis', 'mypy', 'CoolProp', 'ht', 'fluids') if u.find_spec(n)])"
    )
    told = clean("python", "-c", code, folder=tmp_path)
    assert told.returncode == 0, told.stderr
    place, found = told.stdout.splitlines()
    assert "site-packages" in place
    assert str(ROOT / "src") not in place
    assert found == "[]"


@needs_clean
def test_help_demo_and_a_project_of_ones_own(tmp_path: Path) -> None:
    assert "Commands:" in clean("noonwall", "--help", folder=tmp_path).stdout
    told = clean("noonwall", "demo", "--json", "--png", "demo.png", folder=tmp_path)
    assert told.returncode == 0, told.stderr
    assert json.loads(told.stdout)["schema"] == "noonwall.year/1"
    assert (tmp_path / "demo.png").read_bytes().startswith(b"\x89PNG")
    assert clean("noonwall", "new", "shop", folder=tmp_path).returncode == 0
    assert clean("noonwall", "check", "shop", folder=tmp_path).returncode == 0
    assert clean("noonwall", "year", "shop", folder=tmp_path).returncode == 0


def test_every_package_that_is_imported_is_declared() -> None:
    declared = {
        re.split(r"[\s<>=!~;\[]", need, maxsplit=1)[0].lower().replace("_", "-")
        for need in tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    } | WITH_PYDANTIC
    owners = packages_distributions()
    for file in (ROOT / "src").rglob("*.py"):
        for name in imported(ast.parse(file.read_text())) - set(sys.stdlib_module_names) - {"noonwall"}:
            dists = {dist.lower().replace("_", "-") for dist in owners.get(name, [name])}
            assert dists & declared, (
                f"{file.relative_to(ROOT)} imports {name}: pyproject.toml does not declare it"
            )


def imported(tree: ast.Module) -> set[str]:
    """Return the top names of all absolute imports of a file, those inside functions too."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found
