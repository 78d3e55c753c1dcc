"""What a window shows that is not in the file: values that were refused and still stand in their boxes."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    from nicegui import Client


class Waiting(NamedTuple):
    """One refused value: what its box is called, and what puts the file's own value back into it."""

    label: str
    take_back: Callable[[], None]


class Unsaved:
    """What one window shows that is not in the file."""

    def __init__(self) -> None:
        self.waiting: dict[object, Waiting] = {}  # by box
        self.unread = False  # whether the file on the disk does not read, so that nothing is written
        self.show: Callable[[], None] = lambda: None  # the header's own

    def refused(self, box: object, label: str, take_back: Callable[[], None]) -> None:
        """Remember that a box shows what the file does not hold."""
        self.waiting[box] = Waiting(label, take_back)
        self._told()

    def settled(self, box: object) -> None:
        """Forget a box that shows the file's value again, or that is gone."""
        if self.waiting.pop(box, None) is not None:
            self._told()

    def file_unread(self, *, unread: bool) -> None:
        """Remember whether the file on the disk reads."""
        if unread != self.unread:
            self.unread = unread
            self._told()

    def take_back(self) -> str:
        """Put the file's values back into all boxes; returns what these are called."""
        told = self._labels()
        for one in list(self.waiting.values()):
            one.take_back()
        return told

    @property
    def told(self) -> str:
        """Return what is not saved in a few words, empty for nothing."""
        return "the file does not read" if self.unread else self._labels()

    def _labels(self) -> str:
        labels = [one.label for one in self.waiting.values()]
        more = f" and {len(labels) - 1} more" if len(labels) > 1 else ""
        return f"{labels[0]}{more}" if labels else ""

    def _told(self) -> None:
        with suppress(RuntimeError):  # a window that is being closed has no header any more
            self.show()


def unsaved_in(client: Client) -> Unsaved:
    """Return what a window shows that is not in the file; it is kept on the window itself and goes with it."""
    found: Unsaved = vars(client).setdefault("unsaved", Unsaved())
    return found
