"""Hands on a page of the workbench without a browser: typing into boxes, leaving them, pressing buttons."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nicegui import ui

if TYPE_CHECKING:
    from nicegui.testing.user import User

PAGES = ("/place", "/shop", "/wall", "/air")  # on which a builder describes things


def box(user: User, key: str) -> Any:
    (found,) = user.find(marker=key).elements
    return found


def enter(user: User, key: str, text: str) -> Any:
    """Type into a box and press Enter; returns the box."""
    user.find(marker=key).clear().type(text).trigger("keydown.enter")
    return box(user, key)


def leave(user: User, key: str) -> None:
    """Take the focus out of a box."""
    place = next(e for e in user.find(ui.element).elements if e.props.get("id") == f"box-{key}")
    with user:
        for listener in list(place._event_listeners.values()):
            if listener.type == "focusout":
                place._handle_event({"listener_id": listener.id, "args": [{}]})


def press(user: User, word: str) -> None:
    """Press the button that is labelled so."""
    with user:
        found = [b for b in user.find(ui.button).elements if word in (b.text, b.props.get("aria-label"))]
        assert len(found) == 1, (word, found)
    (button,) = found
    with user:
        for listener in list(button._event_listeners.values()):
            if listener.type.startswith("click"):
                button._handle_event({"listener_id": listener.id, "args": [{}]})
