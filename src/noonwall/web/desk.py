"""The project on the desk: its text, what may be undone, and its file, which always holds what is shown as saved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.beside import marks_of
from noonwall.model.disk import project_file, read_text, within, write_text
from noonwall.model.edit import path_of, set_value
from noonwall.model.file import from_text, parse_toml, with_files
from noonwall.web.asked import tell_all

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.model.edit import Value
    from noonwall.model.project import Project

MOST_STEPS = 1000
Edit = Callable[[str], str]


class ChangedElsewhereError(NoonwallError):
    """A value was changed in another window after this one showed it."""


@dataclass(frozen=True)
class Step:
    """One state of the project, and in words what led to it."""

    text: str
    told: str


class Desk:
    """One opened project, shared by every window that shows it.

    Each change is checked and written to the disk before it counts; a refused one leaves everything as it was.
    """

    def __init__(self, path: str | Path) -> None:
        """Open a project; raises ProjectError when it does not read."""
        self.file = project_file(path)
        text = read_text(self.file)
        self.project: Project = self._described(text)
        self.files = marks_of(text, self.folder)  # of weather file and skyline, as they were taken in
        self.revision = 0
        self._steps = [Step(text, "opened")]
        self._at = 0
        self._listeners: list[Callable[[], None]] = []

    @property
    def folder(self) -> Path:
        """Return the project's folder."""
        return self.file.parent

    @property
    def text(self) -> str:
        """Return the project file's text as it stands."""
        return self._steps[self._at].text

    def listen(self, call: Callable[[], None]) -> Callable[[], None]:
        """Have ``call`` called after each change; returns what ends that."""
        self._listeners.append(call)

        def end() -> None:
            if call in self._listeners:
                self._listeners.remove(call)

        return end

    def value(self, key: str) -> Value | None:
        """Return what the file says at a key as typed, None where it is left open."""
        return value_at(self.text, key)

    def set(self, key: str, value: Value | None, was: Value | None) -> None:
        """Set one value, or with None leave it open; ``was`` is what the window showed before.

        raises  ProjectError when the value will not do, ChangedElsewhereError when another window was first
        """
        member = _members_on(self.text, key)
        self.refresh()
        if _members_on(self.text, key) != member:
            raise ChangedElsewhereError(
                f"{key}: another program changed that list meanwhile; nothing was written. Look again, then type"
            )
        now = self.value(key)
        if now != was:
            raise ChangedElsewhereError(
                f"{key}: was changed to {_shown(now)} in another window; it was left so. Type again to change it"
            )
        if value != now:
            self.change(lambda text: set_value(text, key, value), f"{key}: {_shown(now)} to {_shown(value)}")

    def change(self, edit: Edit, told: str) -> None:
        """Change the project's text, check it, write it, and make it a step that can be undone.

        raises  ProjectError or OutputError; file and desk are then as before
        """
        self.refresh()
        self._take(edit(self.text), told)

    def undo(self) -> str | None:
        """Go one step back; returns what was undone, or None."""
        self.refresh()
        if self._at == 0:
            return None
        told = self._steps[self._at].told
        self._go(self._at - 1)
        return told

    def redo(self) -> str | None:
        """Go one step forward again; returns what was done again, or None."""
        self.refresh()
        if self._at + 1 >= len(self._steps):
            return None
        self._go(self._at + 1)
        return self._steps[self._at].told

    @property
    def next_undo(self) -> str | None:
        """Return what undo would take back."""
        return self._steps[self._at].told if self._at else None

    @property
    def next_redo(self) -> str | None:
        """Return what redo would bring again."""
        return self._steps[self._at + 1].told if self._at + 1 < len(self._steps) else None

    def refresh(self) -> None:
        """Take in what a text editor or another program wrote into the file since, as a step of its own.

        A weather file or skyline replaced under the same name is taken in too, as no step: undo cannot bring it back.

        raises  ProjectError while the file on the disk does not read; nothing is overwritten then
        """
        text = read_text(self.file)
        if text != self.text:
            self._push(text, self._described(text), "changed in the file by another program")
        elif marks_of(text, self.folder) != self.files:
            self._settled(self._described(text))

    def _take(self, text: str, told: str) -> None:
        if text == self.text:
            return
        project = self._described(text)
        write_text(self.file, text)
        self._push(text, project, told)

    def _push(self, text: str, project: Project, told: str) -> None:
        self._steps = [*self._steps[: self._at + 1], Step(text, told)][-MOST_STEPS:]
        self._at = len(self._steps) - 1
        self._settled(project)

    def _go(self, place: int) -> None:
        text = self._steps[place].text
        project = self._described(text)
        write_text(self.file, text)
        self._at = place
        self._settled(project)

    def _settled(self, project: Project) -> None:
        self.project = project
        self.files = marks_of(self.text, self.folder)
        self.revision += 1
        tell_all(self._listeners)

    def _described(self, text: str) -> Project:
        return described(text, self.folder)


def described(text: str, folder: Path) -> Project:
    """Return the project a text describes, its weather file and skyline looked for in the folder.

    raises  ProjectError in one line; also when a path in the text would lead out of the folder
    """
    return enclosed(from_text(text), folder)


def enclosed(project: Project, folder: Path) -> Project:
    """Return a project with its weather file and skyline found in the folder.

    raises  ProjectError in one line, also when a path would lead out of the folder
    """
    files = {"site.horizon_file": project.site.horizon_file, "weather.file": project.weather.file}
    for key, name in files.items():
        if name is not None:
            within(folder, name, key)
    return with_files(project, folder)


def value_at(text: str, key: str) -> Value | None:
    """Return the value at a key of a project text as typed, None where nothing stands."""
    here: object = parse_toml(text)
    for step in path_of(key):
        if isinstance(step, int):
            if not isinstance(here, list) or step >= len(here):
                return None
            here = here[step]
        elif isinstance(here, dict) and step in here:
            here = here[step]
        else:
            return None
    return here  # type: ignore[return-value]


def _members_on(text: str, key: str) -> list[tuple[int, object]]:
    """Return which members of lists a key leads through: how long each list is, and what its member is called."""
    here: Any = parse_toml(text)
    found: list[tuple[int, object]] = []
    for step in path_of(key):
        try:
            long, here = len(here) if isinstance(here, list) else 0, here[step]
        except (KeyError, IndexError, TypeError):
            break
        if isinstance(step, int):
            found.append((long, here.get("name") if isinstance(here, dict) else None))
    return found


def _shown(value: Value | None) -> str:
    return "left open" if value is None else str(value)


__all__ = [
    "ChangedElsewhereError",
    "Desk",
    "ProjectError",
    "Step",
    "described",
    "enclosed",
    "value_at",
]
