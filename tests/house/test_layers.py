"""The arrows between the rooms are checked, not described."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_imports_point_down_the_list_of_rooms() -> None:
    linter = Path(sys.executable).with_name("lint-imports")
    told = subprocess.run([linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout + told.stderr
    assert "0 broken" in told.stdout
