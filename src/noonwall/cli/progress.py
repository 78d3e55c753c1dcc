"""Telling on stderr what takes time: a running line on a terminal, short plain lines elsewhere."""

from __future__ import annotations

import sys
import threading
import time
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PREPARING = "preparing the calculator, once, about a minute"
PATIENCE_S = 1.0  # what is over sooner needs no words
TICK_S = 1.0


@contextmanager
def told(what: str) -> Iterator[None]:
    """Say ``what`` while the block runs, if it lasts: with running seconds on a terminal, its time after."""
    began, done = time.monotonic(), threading.Event()
    teller = threading.Thread(target=_tell, args=(what, began, done), daemon=True)
    teller.start()
    ended = "stopped"
    try:
        yield
        ended = "done"
    finally:
        done.set()
        teller.join()
        seconds = time.monotonic() - began
        if seconds >= PATIENCE_S and (sys.stderr.isatty() or ended == "done"):
            start = f"\r{what} ... {ended}" if sys.stderr.isatty() else f"{what}: {ended}"
            _say(f"{start} in {seconds:.0f} s\n")


@contextmanager
def calculator(part: str = "year") -> Iterator[None]:
    """Tell of the one long wait, the compilation; a prepared calculator is quick and needs no words.

    part  what is going to be calculated: each part has kernels of its own

    The mark of a prepared calculator lies beside its compiled files, in the folder named by their sources.
    """
    from noonwall import compiled

    mark = _mark(compiled.CACHE, part) if compiled.JIT else None
    if mark is None or mark.exists():
        yield
        return
    with told(PREPARING):
        yield
    try:
        mark.touch()
    except OSError:
        return


def is_prepared(part: str = "year") -> bool:
    """Whether the calculator was compiled before, by its mark; the compiler is not imported for that."""
    from noonwall import kernelcache

    return not kernelcache.JIT or _mark(kernelcache.cache_folder(), part).exists()


def note_prepared(part: str = "year") -> None:
    """Leave the mark of a prepared calculator."""
    from noonwall import kernelcache

    if kernelcache.JIT:
        with suppress(OSError):
            _mark(kernelcache.cache_folder(), part).touch()


def _mark(folder: Path, part: str) -> Path:
    version = sys.version_info
    return folder / f"prepared-{part}-{version.major}.{version.minor}"


def _tell(what: str, began: float, done: threading.Event) -> None:
    """Speak up after a while, then tick on a terminal."""
    if done.wait(PATIENCE_S):
        return
    terminal = sys.stderr.isatty()
    _say(f"{what} ..." + ("" if terminal else "\n"))
    while terminal and not done.wait(TICK_S):
        _say(f"\r{what} ... {time.monotonic() - began:.0f} s")


def _say(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
