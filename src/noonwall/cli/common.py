"""What the commands that make many runs share: preparing, counting what is done, drawing the picture."""

from __future__ import annotations

import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

from noonwall.cli.progress import PATIENCE_S, calculator, told

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project

PREPARING_STEP_S = 3600


def picture(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --png for a command with one picture."""
    return click.option(
        "--png",
        type=click.Path(dir_okay=True),
        metavar="FILE",
        help="Draw the picture into FILE (png, svg or pdf).",
    )(command)


def check_picture(path: str | None) -> None:
    """Refuse a picture that could not be drawn, before the calculation rather than after it."""
    if path is None:
        return
    from noonwall.report.figures import form_of
    from noonwall.report.files import check_writable

    check_writable(path)
    form_of(path)


def draw(path: str | None, drawing: Callable[[str], bytes]) -> None:
    """Draw a picture into a file, if one was asked for; ``drawing`` gets its form (png, svg, pdf)."""
    if path is None:
        return
    from noonwall.report.figures import form_of
    from noonwall.report.files import write_whole

    with told("drawing the picture"):
        write_whole(path, drawing(form_of(path)))
    click.echo(f"wrote {path}", err=True)


def described(path: str, learned: bool = False) -> Project:
    """Return the project at a path, with what was learned of it when that is asked for.

    raises  LearningError when nothing was learned, or of another description
    """
    from noonwall import load

    project = load(path)
    if not learned:
        return project
    from noonwall.logs.learn.keep import read, with_learned

    project = with_learned(project, read(path))
    _say("with learned values where the readings tell them (learned.toml)\n")
    return project


def prepared(project: Project, weather: Weather) -> None:
    """Compile the calculator if that was not done yet, telling so; a coarse run of the project does it."""
    from noonwall import compiled
    from noonwall.cli.progress import is_prepared

    if compiled.JIT and not is_prepared():
        import noonwall

        with calculator():
            noonwall.simulate(project, weather, PREPARING_STEP_S)


@contextmanager
def counted(what: str) -> Iterator[Callable[[int, int], None]]:
    """Tell on a terminal how many runs are done, elsewhere how long all took, if it lasts.

    what    what is being done
    yields  a function to call with (done, of)
    """
    began, terminal = time.monotonic(), sys.stderr.isatty()

    def tell(done: int, of: int) -> None:
        if terminal and time.monotonic() - began > PATIENCE_S:
            _say(f"\r{what} ... {done} of {of}")

    try:
        yield tell
    except BaseException:
        if terminal and time.monotonic() - began > PATIENCE_S:
            _say("\n")
        raise
    seconds = time.monotonic() - began
    if seconds >= PATIENCE_S:
        _say(f"\r{what} ... done in {seconds:.0f} s\n" if terminal else f"{what}: done in {seconds:.0f} s\n")


def _say(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
