"""The calculating process: it outlives a stop that comes too late, and a window that fails."""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING

import pytest

from noonwall.web.worker import Job, StoppedError, Worker

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

PATIENCE_S = 60.0


def begin_and_wait(folder: Path, tell: Callable[[int, int], None]) -> str:
    """Tell once, then hear nothing till a file is there."""
    tell(0, 1)
    until = time.monotonic() + PATIENCE_S
    while not (folder / "go").exists() and time.monotonic() < until:
        time.sleep(0.01)
    return "done"


def wait_then_tell(folder: Path, tell: Callable[[int, int], None]) -> str:
    """Wait till a file is there, and tell only then."""
    until = time.monotonic() + PATIENCE_S
    while not (folder / "go").exists() and time.monotonic() < until:
        time.sleep(0.01)
    tell(1, 1)
    return "ahead"


def at_once(what: str, tell: Callable[[int, int], None]) -> str:
    """Return what was given."""
    tell(1, 1)
    return what


@pytest.fixture
def worker() -> Iterator[Worker]:
    made = Worker()
    yield made
    made.close()


async def test_a_stop_that_comes_too_late_leaves_the_process_alive(worker: Worker, tmp_path: Path) -> None:
    stop, begun = asyncio.Event(), asyncio.Event()
    first = asyncio.create_task(
        worker.call(begin_and_wait, tmp_path, tell=lambda _done, _of: begun.set(), stop=stop)
    )
    await asyncio.wait_for(begun.wait(), PATIENCE_S)
    stop.set()
    await asyncio.sleep(0.2)  # the word is on its way by now; the calculation does not listen
    (tmp_path / "go").touch()
    assert await first == "done"
    process = worker._process
    assert await worker.call(at_once, "second") == "second"
    assert worker._process is process


async def test_a_window_that_fails_ends_no_calculation(
    worker: Worker, caplog: pytest.LogCaptureFixture
) -> None:
    def fails(_done: int, _of: int) -> None:
        raise RuntimeError("the window is gone")

    assert await worker.call(at_once, "first", tell=fails) == "first"
    assert "could not show" in caplog.text


async def test_a_job_whose_asker_is_gone_is_left_to_no_one(worker: Worker, tmp_path: Path) -> None:
    begun = asyncio.Event()
    first = asyncio.create_task(worker.call(begin_and_wait, tmp_path, tell=lambda _done, _of: begun.set()))
    await asyncio.wait_for(begun.wait(), PATIENCE_S)
    first.cancel()
    with pytest.raises(asyncio.CancelledError):
        await first
    assert await asyncio.wait_for(worker.call(at_once, "second"), PATIENCE_S) == "second"


async def test_what_is_stopped_before_its_turn_never_begins(worker: Worker) -> None:
    stop = asyncio.Event()
    stop.set()
    with pytest.raises(StoppedError):
        await worker.call(at_once, "never", stop=stop)
    assert worker._process is None


async def test_a_job_that_comes_while_another_runs_ahead_is_not_lost(worker: Worker, tmp_path: Path) -> None:
    worker.start()
    worker._open_pipe.send(Job(0, (wait_then_tell, tmp_path)))  # as ``ahead`` sends the first year
    second = asyncio.create_task(worker.call(at_once, "second"))
    await asyncio.sleep(0.1)
    (tmp_path / "go").touch()
    assert await asyncio.wait_for(second, PATIENCE_S) == "second"
    assert await worker.call(at_once, "third") == "third"


async def test_a_job_that_waits_behind_one_ahead_can_be_stopped(worker: Worker, tmp_path: Path) -> None:
    await worker.call(at_once, "first")  # the process is there
    worker._open_pipe.send(Job(0, (wait_then_tell, tmp_path)))
    process, stop = worker._process, asyncio.Event()
    second = asyncio.create_task(worker.call(at_once, "second", stop=stop))
    await asyncio.sleep(0.1)
    stop.set()
    await asyncio.sleep(0.1)
    (tmp_path / "go").touch()
    with pytest.raises(StoppedError):
        await asyncio.wait_for(second, PATIENCE_S)
    assert worker._process is process
