"""One measured ratio, and how time is taken."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class Ratio:
    """Ours over the peer's, and the bound it has to keep."""

    what: str
    ours: float
    peer: float
    unit: str
    at_most: float | None = None
    at_least: float | None = None  # of peer over ours: how many times faster

    @property
    def ratio(self) -> float:
        """Ours over the peer's, or how many times faster ours is."""
        return self.peer / self.ours if self.at_least is not None else self.ours / self.peer

    @property
    def met(self) -> bool:
        """Whether the bound is kept."""
        if self.at_least is not None:
            return self.ratio >= self.at_least
        return self.at_most is None or self.ratio <= self.at_most

    def line(self) -> str:
        """Return it as a line of the report."""
        if self.at_least is not None:
            bound = f"at least {self.at_least:g} x faster"
        else:
            bound = "" if self.at_most is None else f"at most {self.at_most:g} x"
        ours, peer = (f"{value:.4g} {self.unit}" for value in (self.ours, self.peer))
        return (
            f"{self.what:<56}{ours:>12}{peer:>12}{self.ratio:>9.3g}   {bound}{'' if self.met else '  MISSED'}"
        )


def best_of(times: int, run: Callable[[], object]) -> float:
    """Return the shortest of some runs in seconds: what the machine can do, undisturbed."""
    shortest = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        run()
        shortest = min(shortest, time.perf_counter() - began)
    return shortest
