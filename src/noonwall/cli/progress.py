"""Telling on stderr what takes time: a running line on a terminal, short plain lines elsewhere."""

from __future__ import annotations

import sys
import threading
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PREPARING = "preparing the calculator, once, about a minute"
TICK_S = 1.0


@contextmanager
def told(what: str) -> Iterator[None]:
    """Say ``what`` while the block runs, with the seconds on a terminal, and the time it took at its end."""
    began, terminal = time.monotonic(), sys.stderr.isatty()
    done = threading.Event()
    if terminal:
        ticker = threading.Thread(target=_tick, args=(what, began, done), daemon=True)
        ticker.start()
    else:
        _say(f"{what} ...\n")
    ended = "stopped"
    try:
        yield
        ended = "done"
    finally:
        done.set()
        seconds = f"{time.monotonic() - began:.0f} s"
        if terminal:
            ticker.join()
            _say(f"\r{what} ... {ended} in {seconds}\n")
        elif ended == "done":
            _say(f"{what}: done in {seconds}\n")


@contextmanager
def calculator() -> Iterator[None]:
    """Tell of the one long wait, the compilation; a prepared calculator is quick and needs no words.

    The mark of a prepared calculator lies beside its compiled files, in the folder named by their sources.
    """
    from noonwall import compiled

    mark = _mark(compiled.CACHE) if compiled.JIT else None
    if mark is None or mark.exists():
        yield
        return
    with told(PREPARING):
        yield
    try:
        mark.touch()
    except OSError:
        return


def _mark(folder: Path) -> Path:
    version = sys.version_info
    return folder / f"prepared-{version.major}.{version.minor}"


def _tick(what: str, began: float, done: threading.Event) -> None:
    while not done.wait(TICK_S):
        _say(f"\r{what} ... {time.monotonic() - began:.0f} s")


def _say(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
