"""Waiting for what pages calculate."""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.web.asked import Answer
    from noonwall.web.bench import Result

PATIENCE_S = 120.0


async def answered(result: Result) -> Answer:
    """Return the answer to the project as it stands, once it is there and every window was told."""
    end = time.monotonic() + PATIENCE_S
    while result.running or result.answer is None or result.old:
        assert result.refused is None, result.refused
        assert time.monotonic() < end, f"no answer to {result.question} in {PATIENCE_S:g} s"
        await asyncio.sleep(0.02)
    await asyncio.sleep(0.05)
    return result.answer


async def until(true: Callable[[], bool], patience_s: float = 20.0) -> None:
    """Wait until something is so."""
    end = time.monotonic() + patience_s
    while not true():
        assert time.monotonic() < end, "waited in vain"
        await asyncio.sleep(0.02)
