"""What a window shows that is not in the file goes with the window."""

from __future__ import annotations

import gc
import weakref
from typing import Any

from noonwall.web.unsaved import unsaved_in


class Window:
    """Stands for the page library's own."""


def test_a_closed_window_is_let_go() -> None:
    window: Any = Window()
    window.box = lambda window=window: window
    unsaved_in(window).refused("box", "pitch", window.box)  # the box knows the window it stands in
    assert unsaved_in(window).told == "pitch"
    gone = weakref.ref(window)
    del window
    gc.collect()
    assert gone() is None


def test_each_window_has_its_own() -> None:
    one: Any = Window()
    other: Any = Window()
    unsaved_in(one).refused("box", "pitch", lambda: None)
    assert unsaved_in(one) is unsaved_in(one)
    assert unsaved_in(other).told == ""
