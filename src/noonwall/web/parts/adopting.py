"""A button that puts a calculated change into the project, as one step that undo takes back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.errors import NoonwallError
from noonwall.studies.adopt import adopted
from noonwall.web.frame import refuse

if TYPE_CHECKING:
    from noonwall.web.bench import Bench


def put_in(bench: Bench, word: str, changes: tuple[str, ...], done: str) -> None:
    """Show the button.

    word     on it;  changes  as ``studies.change`` reads them: "cover=05-01..09-15", "wall.gap=120 mm"
    done     what it changes, for the list of steps and for what is told afterwards
    """

    def press() -> None:
        client = ui.context.client  # the button goes with the old answer; the window stays
        try:
            bench.desk.change(lambda text: adopted(text, done, changes), done)
        except NoonwallError as error:
            with client:
                refuse(str(error))
            return
        with client:
            ui.notify(f"Put into the project: {done}. Undo takes it back.", timeout=8000)

    ui.button(word, icon="check", on_click=press).classes("nw-strong")
