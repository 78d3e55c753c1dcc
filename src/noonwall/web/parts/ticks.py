"""Ticks that every window of the workbench shares: what is taken out of sight in one is out of sight in all."""

from __future__ import annotations

from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from nicegui import ui

from noonwall.web.asked import tell_all

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.web.bench import Bench


class Ticks:
    """What is not shown, by name; all else is, what comes anew too."""

    def __init__(self) -> None:
        self.hidden: set[str] = set()
        self._calls: list[Callable[[], None]] = []

    def set(self, name: str, shown: bool) -> None:
        """Show something or not, in every window."""
        if shown is (name in self.hidden):
            (self.hidden.discard if shown else self.hidden.add)(name)
            self.tell()

    def tell(self) -> None:
        """Have every window look again."""
        tell_all(self._calls)

    def follow(self, place: ui.element, show: Callable[[], None]) -> None:
        """Call ``show`` now and after each tick, as long as a place is on its page."""
        client = ui.context.client

        def again() -> None:
            if place.is_deleted:
                end()
                return
            with client:
                show()

        def end() -> None:
            if again in self._calls:
                self._calls.remove(again)

        self._calls.append(again)
        client.on_delete(end)
        show()


_KEPT: WeakKeyDictionary[Bench, dict[str, Ticks]] = WeakKeyDictionary()


def ticks_of(bench: Bench, about: str) -> Ticks:
    """Return the ticks of a bench about one thing, such as the ways of a table."""
    return _KEPT.setdefault(bench, {}).setdefault(about, Ticks())
