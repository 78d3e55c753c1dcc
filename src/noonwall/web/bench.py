"""The workbench behind all windows: the desk, the calculating processes, and the last answer to each question."""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING

from noonwall.errors import NoonwallError
from noonwall.logs.mark import mark_of
from noonwall.report.reader import Reader
from noonwall.web.asked import Answer, Option, Order, tell_all
from noonwall.web.worker import FaultError, StoppedError, Worker

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.units import System
    from noonwall.web.desk import Desk

CALM_S = 0.35  # a change is calculated when no other has come for this long
TELLS_S = 1.0  # how long the last answer took is told from here on
QUICK = ("year",)
READS = ("recap", "learn")  # questions about the readings
BY_HAND = ("learn",)  # takes minutes: asked only when somebody presses the button
MOST_DRAWERS = 48  # what is shown stays, however many there are
LEARNED = (
    "year",
    "night",
    "comfort",
    "hot",
    "limit",
    "compare",
    "recap",
)  # may be calculated with what was learned
Options = tuple[tuple[str, Option], ...]


class Result:
    """The last answer to one question, and what is being done about a newer one."""

    def __init__(self, bench: Bench, question: str, options: Options, text: str | None = None) -> None:
        self.bench, self.question, self.options = bench, question, options
        self.text = text  # of a project that it is asked about in place of the one on the desk
        self.answer: Answer | None = None
        self.before: Answer | None = None  # the answer to the project before its last change
        self.refused: str | None = None  # why there is no newer answer, in one line
        self.running = False
        self.done, self.of = 0, 0
        self.took_s = 0.0  # what the last answer took, 0 before there is one
        self._began = 0.0
        self._stopped = False  # by the builder; it is not started again by itself until something changes
        self._order: Order | None = None
        self._asked: Order | None = None  # what is being calculated, None before it begins
        self._watchers: list[Callable[[], None]] = []
        self._stop = asyncio.Event()
        self._task: asyncio.Task[None] | None = None

    @property
    def order(self) -> Order:
        """Return what would be asked now."""
        bench, desk = self.bench, self.bench.desk
        return Order(
            self.question, desk.text if self.text is None else self.text, str(desk.folder),
            bench.reader.system, self.options,
            bench.stamp if self.question in READS else 0.0, bench.learned if self.question in LEARNED else 0.0,
            desk.files,
        )  # fmt: skip

    @property
    def for_s(self) -> float:
        """Return how long it has been calculated, or waited for its turn, up to now."""
        return time.monotonic() - self._began

    @property
    def by_hand(self) -> bool:
        """Whether it is calculated only when somebody asks for it."""
        return self.question in BY_HAND

    @property
    def old(self) -> bool:
        """Whether the shown answer is of an earlier state of the project."""
        return self._order is not None and self._order.about != self.order.about

    @property
    def current(self) -> bool:
        """Whether what is shown, or being calculated, is what would be asked now."""
        return (self._asked if self.running else self._order) == self.order

    @property
    def stopped(self) -> bool:
        """Whether the builder stopped what would now be asked."""
        return self._stopped and not self.current

    @property
    def shown(self) -> Order | None:
        """Return the order that the shown answer answers."""
        return self._order

    def watch(self, call: Callable[[], None]) -> Callable[[], None]:
        """Have ``call`` called whenever something about the answer changes; starts the calculation if needed."""
        self._watchers.append(call)
        if not self.current and not self.by_hand:
            self.ask(0.0)

        def end() -> None:
            if call in self._watchers:
                self._watchers.remove(call)

        return end

    @property
    def watched(self) -> bool:
        """Whether any window shows it."""
        return bool(self._watchers)

    def ask(self, after_s: float = 0.0) -> None:
        """Ask for an answer to the project as it stands; what is being calculated of an older state is stopped.

        What nobody looks at any more makes room too.
        """
        self.bench.make_room(self)
        self._stop.set()
        self._stop = asyncio.Event()
        self._stopped, self.running, self.done, self.of, self._asked = False, True, 0, 0, None
        self._began = time.monotonic()
        self._task = asyncio.get_running_loop().create_task(self._ask(after_s, self._stop))
        self.tell()

    def stop(self) -> None:
        """Stop the calculation, as the builder wishes; the last answer stays."""
        self._stopped = True
        self.leave()

    def leave(self) -> None:
        """Stop the calculation because nobody waits for it; whoever looks again starts it again."""
        self._stop.set()
        self.running = False
        self.tell()

    async def _ask(self, after_s: float, stop: asyncio.Event) -> None:
        await asyncio.sleep(after_s)
        if stop.is_set():
            return

        def count(done: int, of: int) -> None:
            if not stop.is_set():
                self.done, self.of = done, of
                self.tell()

        order = self._asked = self.order
        try:
            answer = await self.bench.worker(self.question).answer(order, count, stop)
        except StoppedError:
            return
        except (NoonwallError, FaultError) as error:
            if not stop.is_set():
                self.refused, self.running = str(error), False
                self.tell()
            return
        if not stop.is_set():
            if self._order is not None and self._order.about != order.about:
                self.before = self.answer
            self.answer, self._order, self.refused, self.running = answer, order, None, False
            self.took_s = self.for_s if self.for_s >= TELLS_S else self.took_s  # not of one out of the drawer
            self.tell()

    def tell(self) -> None:
        """Tell every window that shows it."""
        tell_all(self._watchers)


class Bench:
    """One desk with its calculating processes; every window of the server shows this one bench."""

    def __init__(self, desk: Desk, units: System = "metric") -> None:
        """Make a bench over a desk; ``units`` are those of a project that names none."""
        self.desk, self.units = desk, units
        self.quick, self.long = Worker(), Worker()
        self.stamp = 0.0  # moves with every change of the readings
        self.learned = 0.0  # moves with every change of the learned values in use; 0 while none are
        self.preparing = False  # the calculator is being compiled, as the first time on a machine
        self._moves = 0.0
        self._mark = mark_of(desk.folder)
        self._results: dict[tuple[str, Options], Result] = {}
        desk.listen(self._changed)

    @property
    def reader(self) -> Reader:
        """Return the units that the project's pages are shown in."""
        return Reader(self.desk.project.units or self.units)

    def worker(self, question: str) -> Worker:
        """Return the process that answers a question: the year has one to itself."""
        return self.quick if question in QUICK else self.long

    def result(self, question: str, options: Options = ()) -> Result:
        """Return the drawer of a question's last answer."""
        asked = (question, options)
        if asked not in self._results:
            self._throw_away()
        return self._results.setdefault(asked, Result(self, question, options))

    def known(self, question: str, options: Options = ()) -> Result | None:
        """Return the drawer of a question that was asked before, else None."""
        return self._results.get((question, options))

    def _throw_away(self) -> None:
        """Make place for one more drawer: the oldest that no window shows go first."""
        idle = [asked for asked, held in self._results.items() if not (held.watched or held.running)]
        for asked in idle[: max(0, len(self._results) - MOST_DRAWERS + 1)]:
            del self._results[asked]

    def make_room(self, wanted: Result) -> None:
        """Stop what the same process calculates for windows that have gone."""
        for other in self._results.values():
            same = self.worker(other.question) is self.worker(wanted.question)
            if same and other is not wanted and other.running and not other.watched:
                other.leave()

    def begin(self) -> None:
        """Calculate what is looked at first, before anybody asks."""
        self.result("year").ask()

    def clear_way(self) -> None:
        """Stop what is calculated for windows that have gone, so that readings need not wait for it."""
        for other in self._results.values():
            if self.worker(other.question) is self.long and other.running and not other.watched:
                other.leave()

    def readings_changed(self) -> None:
        """Mark everything that was said about the readings as old."""
        self.stamp += 1.0
        self._mark = mark_of(self.desk.folder)
        self._changed()

    def notice_readings(self) -> None:
        """Take in what a command did to the readings since; called when a page that shows them opens."""
        if mark_of(self.desk.folder) != self._mark:
            self.readings_changed()

    def use_learned(self, yes: bool) -> None:
        """Calculate with the learned values that lie beside the project as they are now, or without them."""
        self._moves += 1.0
        self.learned = self._moves if yes else 0.0
        self._changed()

    def close(self) -> None:
        """End the calculating processes."""
        self.quick.close()
        self.long.close()

    def _changed(self) -> None:
        for result in self._results.values():
            if result.watched and not result.current and not result.by_hand:
                result.ask(CALM_S)
            else:
                result.tell()


__all__ = ["Bench", "Options", "Result"]
