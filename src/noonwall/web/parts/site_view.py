"""The turnable view of the site: one own component, drawn in the browser from what ``report.site_scene`` gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from nicegui import ui

if TYPE_CHECKING:
    from collections.abc import Callable

    from nicegui.events import GenericEventArguments

    from noonwall.model.rearrange import Size

View = Literal["around", "plan", "wall"]


@dataclass(frozen=True)
class Hands:
    """What is called when something in the view is picked, moved, let go, resized."""

    pick: Callable[[str | None], None]
    move: Callable[[str, float, float], None]  # on the way: name, east, north [m]
    drop: Callable[[str, float, float], None]
    size: Callable[[str, Size, float], None]  # on the way: name, "height" or "width" [m]
    sized: Callable[[str, Size, float], None]


PARTS = {"three": "../static/three", "nw-site": "../static/site"}  # what the component imports by name


class SiteView(ui.element, component="../static/site.js", esm=PARTS):
    """The site in three dimensions and as a plan."""

    def __init__(self, scene: dict[str, Any], rings: list[dict[str, Any]], told: str, hands: Hands) -> None:
        """Show a scene.

        scene, rings  as ``report.site_scene`` gives them;  told  what is seen, for those who do not see it
        hands         what to call
        """
        super().__init__()
        self._props["scene"] = scene
        self._props["rings"] = rings
        self._props["told"] = told
        self.on("pick", lambda e: hands.pick(e.args["name"]))
        for name, call in (("move", hands.move), ("drop", hands.drop)):
            self.on(name, lambda e, call=call: call(*_place(e)))
        for name, change in (("size", hands.size), ("sized", hands.sized)):
            self.on(name, lambda e, change=change: change(*_size(e)))

    def show(self, scene: dict[str, Any], rings: list[dict[str, Any]]) -> None:
        """Show another state of the site."""
        self._props["rings"] = rings
        self._props["scene"] = scene
        self.update()

    def tell(self, told: str) -> None:
        """Say anew what is seen, for those who do not see it."""
        self._props["told"] = told
        self.update()

    def light(self, told: dict[str, Any]) -> None:
        """Move the sun, and light the glazing."""
        self.run_method("light", told)

    def look(self, view: View) -> None:
        """Look from somewhere else."""
        self.run_method("view", view)

    def pick(self, name: str | None, *, bring: bool = False) -> None:
        """Mark one thing; ``bring``: it was picked elsewhere on the page, and is to be seen."""
        self.run_method("pick", name, False, bring)


def _place(event: GenericEventArguments) -> tuple[str, float, float]:
    told = event.args
    return str(told["name"]), float(told["east"]), float(told["north"])


def _size(event: GenericEventArguments) -> tuple[str, Size, float]:
    told = event.args
    return str(told["name"]), ("width" if told["size"] == "width" else "height"), float(told["metres"])
