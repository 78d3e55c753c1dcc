"""The project on the desk: its text, what may be undone, and its file, which always holds what is shown as saved."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.errors import NoonwallError, ProjectError
from noonwall.model.beside import marks_of
from noonwall.model.disk import project_file, read_text, within, write_text
from noonwall.model.edit import path_of, set_value
from noonwall.model.file import from_text, parse_toml, with_files
from noonwall.model.skyline import with_skyline
from noonwall.web.asked import tell_all

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.model.edit import Value
    from noonwall.model.project import Project

MOST_STEPS = 1000
Edit = Callable[[str], str]


class ChangedElsewhereError(NoonwallError):
    """A value was changed in another window after this one showed it."""


class FileBesideError(ProjectError):
    """A file that the project names does not read; the project's own text does."""


@dataclass(frozen=True)
class Setting:
    """One value of the file that was set: what stood there, what stands there now; None where it is left open."""

    key: str
    was: Value | None
    now: Value | None


@dataclass(frozen=True)
class Step:
    """One state of the project, and in words what led to it; where values were set, which ones."""

    text: str
    told: str
    settings: tuple[Setting, ...] = ()


class Desk:
    """One opened project, shared by every window that shows it.

    Each change is checked and written to the disk before it counts; a refused one leaves everything as it was.
    """

    def __init__(self, path: str | Path) -> None:
        """Open a project; raises ProjectError when it does not read."""
        self.file = project_file(path)
        text = read_text(self.file)
        self.project: Project = described(text, self.folder)
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
        self.take_in()
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
            told = f"{key}: {_shown(now)} to {_shown(value)}"
            self.change(lambda text: set_value(text, key, value), told, (Setting(key, now, value),))

    def change(self, edit: Edit, told: str, settings: tuple[Setting, ...] = ()) -> None:
        """Change the project's text, check it, write it, and make it a step that can be undone.

        told  what it does, in words;  settings  the values that it sets, where it does nothing else
        raises  ProjectError or OutputError; file and desk are then as before
        """
        self.take_in()
        self._take(edit(self.text), told, settings)

    def undo(self) -> str | None:
        """Go one step back; returns what was undone, or None."""
        self.take_in()
        if self._at == 0:
            return None
        told = self._steps[self._at].told
        self._go(self._at - 1)
        return told

    def redo(self) -> str | None:
        """Go one step forward again; returns what was done again, or None."""
        self.take_in()
        if self._at + 1 >= len(self._steps):
            return None
        self._go(self._at + 1)
        return self._steps[self._at].told

    @property
    def next_undo(self) -> str | None:
        """Return what undo would take back."""
        return self.last.told if self.last else None

    @property
    def next_redo(self) -> str | None:
        """Return what redo would bring again."""
        return self.next.told if self.next else None

    @property
    def last(self) -> Step | None:
        """Return the step that undo would take back."""
        return self._steps[self._at] if self._at else None

    @property
    def next(self) -> Step | None:
        """Return the step that redo would bring again."""
        return self._steps[self._at + 1] if self._at + 1 < len(self._steps) else None

    def refresh(self) -> None:
        """Take in what a text editor or another program wrote into the file since, as a step of its own.

        A weather file or skyline replaced under the same name is taken in too, as no step: undo cannot bring it back.

        raises  ProjectError while the file on the disk does not read; nothing is overwritten then.
                FileBesideError while a file that it names does not; what was last read of that one stays
        """
        text = read_text(self.file)
        if text == self.text and marks_of(text, self.folder) == self.files:
            return
        project, fault = self._kept(text, text)
        if text != self.text:
            self._push(project, fault, Step(text, "changed in the file by another program"))
        elif fault is None:
            self._settled(project, None)
        if fault is not None:
            raise fault

    def take_in(self) -> None:
        """Do as `refresh`, in silence about a file beside the project that does not read: text can be mended."""
        with suppress(FileBesideError):
            self.refresh()

    def tried(self, text: str) -> Project:
        """Return the project as an edited text would have it; nothing is written.

        raises  ProjectError in one line
        """
        return self._kept(text, self.text)[0]

    def _take(self, text: str, told: str, settings: tuple[Setting, ...]) -> None:
        if text == self.text:
            return
        project, fault = self._kept(text, self.text)
        write_text(self.file, text)
        self._push(project, fault, Step(text, told, settings))

    def _push(self, project: Project, fault: FileBesideError | None, step: Step) -> None:
        self._steps = [*self._steps[: self._at + 1], step][-MOST_STEPS:]
        self._at = len(self._steps) - 1
        self._settled(project, fault)

    def _go(self, place: int) -> None:
        text = self._steps[place].text
        project, fault = self._kept(text, self.text)
        write_text(self.file, text)
        self._at = place
        self._settled(project, fault)

    def _settled(self, project: Project, fault: FileBesideError | None) -> None:
        self.project = project
        self.files = () if fault else marks_of(self.text, self.folder)  # () is looked at again until it reads
        self.revision += 1
        tell_all(self._listeners)

    def _kept(self, text: str, before: str) -> tuple[Project, FileBesideError | None]:
        """Return the project a text describes; a file that ``before`` names too and that does not read is passed over.

        Then what was last read of it stays in its place, and the fault is returned.
        raises  ProjectError for any other fault
        """
        project, last = from_text(text), self.project
        fault = None
        try:
            project = _with_skyline(project, self.folder)
        except ProjectError as error:
            fault = _passed(error, "site.horizon_file", text, before)
            site = project.site.model_copy(update={"horizon": last.site.horizon, "horizon_file": None})
            project = project.model_copy(update={"site": site})
        try:
            return enclosed(project, self.folder), fault
        except ProjectError as error:
            fault = _passed(error, "weather.file", text, before)
            weather = project.weather.model_copy(update={"file": last.weather.file})
            return project.model_copy(update={"weather": weather}), fault


def _passed(error: ProjectError, key: str, text: str, before: str) -> FileBesideError:
    """Return a fault that is not this edit's own; raise it where the edit is what named the file."""
    if value_at(text, key) != value_at(before, key):
        raise error
    return FileBesideError(f"{key}: {error}")


def described(text: str, folder: Path) -> Project:
    """Return the project a text describes, its weather file and skyline looked for in the folder.

    raises  ProjectError in one line; also when a path in the text would lead out of the folder
    """
    return enclosed(from_text(text), folder)


def enclosed(project: Project, folder: Path) -> Project:
    """Return a project with its weather file and skyline found in the folder.

    raises  ProjectError in one line, also when a path would lead out of the folder
    """
    if project.weather.file is not None:
        within(folder, project.weather.file, "weather.file")
    return with_files(_with_skyline(project, folder), folder)


def _with_skyline(project: Project, folder: Path) -> Project:
    if project.site.horizon_file is not None:
        within(folder, project.site.horizon_file, "site.horizon_file")
    return with_skyline(project, folder)


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
    "FileBesideError",
    "ProjectError",
    "Setting",
    "Step",
    "described",
    "enclosed",
    "value_at",
]
