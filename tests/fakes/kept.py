"""What takes long and is the same for every test: calculated once a run, by whichever process asks first."""

from __future__ import annotations

import fcntl
import hashlib
import os
import pickle
import tempfile
from functools import cache
from pathlib import Path
from shutil import rmtree
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")
FOLDER = "NOONWALL_TESTS_KEPT"


def open_folder() -> str:
    """Make the run's own folder and tell it to the processes that will be started; return its path."""
    os.environ[FOLDER] = tempfile.mkdtemp(prefix="noonwall-kept-")
    return os.environ[FOLDER]


def close_folder(folder: str) -> None:
    """Take the run's folder away."""
    rmtree(folder, ignore_errors=True)
    os.environ.pop(FOLDER, None)


def kept(make: Callable[[], T]) -> Callable[[], T]:
    """Have a function without arguments calculate once a run; the others of the run wait for it and read."""
    return cache(lambda: kept_as(f"{make.__module__}.{make.__qualname__}", make))


def kept_as(name: str, make: Callable[[], T]) -> T:
    """Return what was made under this name in this run, or make it; each process gets a copy of its own."""
    file = Path(os.environ[FOLDER]) / hashlib.sha256(name.encode()).hexdigest()[:32]
    with file.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not file.exists():
            found = make()
            made = file.with_suffix(".new")
            made.write_bytes(pickle.dumps(found, pickle.HIGHEST_PROTOCOL))
            made.replace(file)
            return found
    found_before: T = pickle.loads(file.read_bytes())
    return found_before
