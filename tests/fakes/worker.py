"""Stands in for the calculating process: the same functions, in a thread of this one."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING, Any

from noonwall.web.worker import StoppedError, Worker

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.web.worker import Tell


class NearWorker(Worker):
    """Calls what it is given in a thread; a calculation ends at its next word after ``close`` or ``stop``."""

    def __init__(self) -> None:
        super().__init__()
        self._closed = False

    def start(self) -> None:
        """Start nothing."""

    def close(self) -> None:
        """Have whatever is still calculating end."""
        self._closed = True

    async def call(
        self,
        function: Callable[..., Any],
        *arguments: Any,
        tell: Tell | None = None,
        stop: asyncio.Event | None = None,
    ) -> Any:
        """Return what the function returns."""
        loop = asyncio.get_running_loop()
        came: asyncio.Future[Any] = loop.create_future()

        def told(done: int, of: int) -> None:
            if self._closed or (stop is not None and stop.is_set()):
                raise StoppedError
            if tell is not None:
                loop.call_soon_threadsafe(tell, done, of)

        def settle(found: Any, error: Exception | None) -> None:
            if not came.done():
                came.set_exception(error) if error else came.set_result(found)

        def work() -> None:
            found, error = None, None
            try:
                found = function(*arguments, tell=told)
            except Exception as fault:
                error = fault
            if not loop.is_closed():
                loop.call_soon_threadsafe(settle, found, error)

        threading.Thread(target=work, daemon=True).start()
        return await came


class IdleWorker(Worker):
    """Takes every order and never answers, for tests that only want to see a page open."""

    def start(self) -> None:
        """Start nothing."""

    async def call(self, *_what: Any, stop: asyncio.Event | None = None, **_how: Any) -> Any:
        """Wait until it is stopped."""
        await (stop or asyncio.Event()).wait()
        raise StoppedError
