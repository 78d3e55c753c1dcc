"""The calculating process beside the pages: takes orders one by one, tells how far it is, can be stopped."""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import multiprocessing
import signal
import threading
import time
from collections import deque
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError
from noonwall.web.asked import tell_all

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from multiprocessing.connection import Connection

    from noonwall.web.asked import Answer, Order

    Tell = Callable[[int, int], None]

PATIENCE_S = 4.0  # a stopped calculation that has not ended by then loses its process
POLL_S = 0.02


class StoppedError(Exception):
    """A calculation was stopped, by the builder or by a newer one."""


class FaultError(Exception):
    """A calculation failed through a fault of noonwall's own; the message is one line."""


@dataclass(frozen=True)
class Job:
    """One piece of work for the process."""

    number: int
    rest: tuple[Any, ...]  # a function of a module, and its arguments; it gets ``tell`` too


@contextlib.contextmanager
def _deaf_to_ctrl_c() -> Iterator[None]:
    """Start a process that leaves Ctrl-C to this one, also while it is still loading."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _work(pipe: Connection) -> None:
    """Run in the process: answer jobs until the pipe is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    warm()
    waiting: deque[Job] = deque()
    while True:
        try:
            job = waiting.popleft() if waiting else pipe.recv()
        except (EOFError, OSError):
            return
        if not isinstance(job, Job):  # a stop that came when its calculation had just ended
            continue
        with contextlib.suppress(OSError):
            pipe.send(_done(job, pipe, waiting))


def warm() -> None:
    """Load what the first answer needs, so that it does not wait for it."""
    import noonwall.climate.load
    import noonwall.engine.simulate  # noqa: F401 - loaded, to be used by the first answer
    from noonwall.web import questions

    _ = questions.QUESTIONS["year"]


def _done(job: Job, pipe: Connection, waiting: deque[Job]) -> tuple[int, str, Any]:
    """Return (number, how it ended, what came out); jobs that come meanwhile are put to those that wait."""

    def tell(done: int, of: int) -> None:
        while pipe.poll():
            came = pipe.recv()
            if isinstance(came, Job):
                waiting.append(came)
            elif came[1] == job.number:
                raise StoppedError
            else:
                _let_go(came[1], pipe, waiting)
        pipe.send((job.number, "told", (done, of)))

    try:
        function, *arguments = job.rest
        return job.number, "done", function(*arguments, tell=tell)
    except StoppedError:
        return job.number, "stopped", None
    except NoonwallError as error:
        return job.number, "refused", error
    except Exception as error:
        return job.number, "fault", f"{type(error).__name__}: {' '.join(str(error).split())[:200]}"


def _let_go(number: int, pipe: Connection, waiting: deque[Job]) -> None:
    """Answer a stop of a job that still waits."""
    for job in [job for job in waiting if job.number == number]:
        waiting.remove(job)
        pipe.send((number, "stopped", None))


class Worker:
    """One calculating process; jobs wait for each other. Started at the first job, or by ``start``."""

    def __init__(self) -> None:
        self._process: Any = None
        self._pipe: Connection | None = None
        self._turn = asyncio.Lock()
        self._numbers = itertools.count(1)

    @property
    def _open_pipe(self) -> Connection:
        if self._pipe is None:
            raise FaultError("the calculating process is not there")
        return self._pipe

    def start(self) -> None:
        """Start the process if it is not running."""
        if self._process is None or not self._process.is_alive():
            ours, theirs = multiprocessing.get_context("spawn").Pipe()
            self._process = multiprocessing.get_context("spawn").Process(
                target=_work, args=(theirs,), daemon=True, name="noonwall-calculator"
            )
            with _deaf_to_ctrl_c():
                self._process.start()
            theirs.close()
            self._pipe = ours

    def ahead(self, order: Order) -> None:
        """Have an order worked out before it is asked: its answer is then found in the process's drawer."""
        from noonwall.web import questions

        self.start()
        self._open_pipe.send(Job(0, (questions.answer, order)))

    def close(self) -> None:
        """End the process."""
        if self._process is not None:
            self._process.terminate()
            self._process.join(2.0)
            self._process = None

    async def answer(self, order: Order, tell: Tell, stop: asyncio.Event) -> Answer:
        """Return the answer to an order.

        tell    called with (done, of) as it goes on
        stop    set it to end the calculation
        raises  StoppedError, NoonwallError, FaultError
        """
        from noonwall.web import questions

        found: Answer = await self.call(questions.answer, order, tell=tell, stop=stop)
        return found

    async def picture(self, order: Order, name: str, form: str, *, night: bool = False) -> bytes:
        """Return one picture of an answer; ``night``: for a dark page."""
        from noonwall.web import questions

        found: bytes = await self.call(questions.picture, order, name, form, night)
        return found

    async def call(
        self,
        function: Callable[..., Any],
        *arguments: Any,
        tell: Tell | None = None,
        stop: asyncio.Event | None = None,
    ) -> Any:
        """Return what a function of a module returns, called in the process with its arguments and ``tell``.

        raises  StoppedError, NoonwallError, FaultError
        """
        tell, stop = tell or _silent, stop or asyncio.Event()
        async with self._turn:
            if stop.is_set():
                raise StoppedError
            self.start()
            job, pipe = Job(next(self._numbers), (function, *arguments)), self._open_pipe
            try:
                pipe.send(job)
                how, what = await self._wait(job.number, pipe, tell, stop)
            except (EOFError, OSError):
                self.close()
                raise FaultError(
                    "the calculating process ended; it is started anew with the next change"
                ) from None
            except BaseException:  # nobody waits for it any more, and the next job must not meet it
                self.close()
                raise
        return _out(how, what)

    async def _wait(self, number: int, pipe: Connection, tell: Tell, stop: asyncio.Event) -> tuple[str, Any]:
        """Return how a job ended and what came out."""
        asked_at: float | None = None
        while True:
            while pipe.poll():
                came, how, what = pipe.recv()
                if came != number:
                    continue
                if how == "told":
                    tell_all([partial(tell, *what)])
                    continue
                return how, what
            if stop.is_set() and asked_at is None:
                pipe.send(("stop", number))
                asked_at = time.monotonic()
            if asked_at is not None and time.monotonic() - asked_at > PATIENCE_S:
                self.close()
                return "stopped", None
            if self._process is None or not self._process.is_alive():
                raise EOFError
            await asyncio.sleep(POLL_S)


def _out(how: str, what: Any) -> Any:
    if how == "done":
        return what
    if how == "refused":
        raise what
    if how == "fault":
        raise FaultError(what)
    raise StoppedError


def _silent(_done: int, _of: int) -> None:
    """Tell nobody."""
