"""What every test stands on."""

from __future__ import annotations

import gc
import os
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis.internal.conjecture import providers

from fakes import kept

# Examples also come from the numbers in whatever modules happen to be loaded, so a test would meet other ones
# in other company. Only the fixed pool is drawn from, and the same test meets the same examples everywhere.
providers._get_local_constants = lambda: providers._local_constants

# Set before numpy is imported, by this process and those it starts: the matrices are small and every processor has
# tests of its own to do, so threads of the matrix library would only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Read when the page library is imported, whoever does it first: nothing is written into the folder one stands in.
os.environ.setdefault(
    "NICEGUI_STORAGE_PATH", str(Path(tempfile.gettempdir()) / f"noonwall-pages-{os.getpid()}")
)

TESTS = Path(__file__).parent
BROWSER = TESTS / "browser"
LONGEST = (
    "house/test_clean_install.py",
    "engine/test_reference.py",
    "house/test_docs.py",
    "report/test_studies.py",
    "studies/test_trees.py",
    "web/test_site.py",
    "logs/test_recap.py",
    "web/test_describe.py",
    "logs/test_mishaps.py",
    "logs/test_learn.py",
    "cli/test_learn.py",
    "web/test_readings_page.py",
    "web/test_variants.py",
    "web/test_pages.py",
    "web/test_boxes.py",
    "web/test_lookback.py",
    "engine/test_year.py",
    "studies/test_hot.py",
    "web/test_door.py",
    "web/test_remedies.py",
    "cli/test_sun.py",
)


def pytest_configure(config: pytest.Config) -> None:
    """Make the folder that all processes of a run share; the one that made it takes it away."""
    if kept.FOLDER not in os.environ:
        folder = kept.open_folder()
        config.add_cleanup(lambda: kept.close_folder(folder))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the files that take longest first, so that no processor waits for one of them at the end."""
    places = {name: place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(item.path.relative_to(TESTS).as_posix(), len(LONGEST)))


def pytest_collection_finish() -> None:
    """Spare the collector of garbage what stays until the end: modules, compiled code, thousands of tests."""
    gc.freeze()


MANY = 20  # so many modules more, and they too are spared
loaded = [0]


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup() -> None:
    """Spare the collector also the modules that tests load on their way; nothing of a test lives between two."""
    if len(sys.modules) >= loaded[0] + MANY:
        loaded[0] = len(sys.modules)
        gc.collect()
        gc.freeze()


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
