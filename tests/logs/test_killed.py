from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks")
def test_fifty_importers_killed_at_random_moments_leave_a_whole_store_each_time(tmp_path: Path) -> None:
    command = [sys.executable, str(HERE / "killed.py"), str(tmp_path), "50"]
    told = subprocess.run(
        command,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(HERE.parent)},
    )
    assert told.returncode == 0, told.stderr
    found = json.loads(told.stdout)
    assert found["wrong"] == []
    assert found["killed"] == 50
