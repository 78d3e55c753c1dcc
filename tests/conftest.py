"""What every test stands on."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest
from hypothesis.internal.conjecture import providers

# Examples also come from the numbers in whatever modules happen to be loaded, so a test would meet other ones
# in other company. Only the fixed pool is drawn from, and the same test meets the same examples everywhere.
providers._get_local_constants = lambda: providers._local_constants

# Read when the page library is imported, whoever does it first: nothing is written into the folder one stands in.
os.environ.setdefault(
    "NICEGUI_STORAGE_PATH", str(Path(tempfile.gettempdir()) / f"noonwall-pages-{os.getpid()}")
)

BROWSER = Path(__file__).parent / "browser"


def _named(config: pytest.Config) -> list[bool]:
    """Return for each path of the command line whether it lies among the browser's tests."""
    paths = [Path(str(arg).split("::", maxsplit=1)[0]).absolute() for arg in config.args]
    return [path.is_relative_to(BROWSER) for path in paths]


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave the browser's tests to a process of their own: ``pytest tests/browser``."""
    named = _named(config)
    if any(named) and not all(named):
        raise pytest.UsageError("tests/browser runs in a process of its own: name it alone")
    return True if collection_path == BROWSER and not any(named) else None
