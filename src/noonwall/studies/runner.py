"""Several runs at once: as many as there are processors, in the order they were asked for."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Sequence

T = TypeVar("T")
Tell = Callable[[int, int], None]


def silent(done: int, of: int) -> None:
    """Tell nobody."""
    del done, of


def together(jobs: Sequence[Callable[[], T]], tell: Tell = silent) -> list[T]:
    """Run functions side by side and return what they returned, in their order.

    jobs  functions without arguments; the compiled loop lets other threads run, so threads are enough
    tell  called with (how many are done, of how many) after each
    """
    pool = ThreadPoolExecutor(max_workers=processors())
    waiting: dict[Future[T], int] = {pool.submit(job): place for place, job in enumerate(jobs)}
    results: dict[int, T] = {}
    try:
        for done, future in enumerate(as_completed(waiting), start=1):
            results[waiting[future]] = future.result()
            tell(done, len(jobs))
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
    return [results[place] for place in range(len(jobs))]


def processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
