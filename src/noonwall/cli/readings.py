"""``noonwall readings``: what loggers and builders wrote down, read, listed, judged, taken back."""

from __future__ import annotations

import shlex
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from noonwall.cli import options

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from noonwall.logs.guess import Guess
    from noonwall.logs.records import Verdict
    from noonwall.logs.store import Store
    from noonwall.model.project import Project


@click.group("readings", short_help="What loggers wrote: read it, judge it, take it back.")
def command() -> None:
    """Keep the readings of a shop in its project folder: thermometers, fan, sun, heater, remarks by hand.

    Raw readings are never altered. What looks doubtful is told, with what is made of it, and you have the
    last word.
    """


@command.command("add", short_help="Read files that loggers wrote.")
@options.project
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path())
@click.option(
    "--map",
    "words",
    multiple=True,
    metavar="KEY=VALUE",
    help="Correct what was understood: zone=America/Denver, dates=dmy, unit=F, or for a column "
    '"T1=shop at 1.2 m; unit=F"; or a file of such lines. Kept for the next file of the kind.',
)
@click.option("--yes", is_flag=True, help="Read without asking whether it was understood rightly.")
@click.option("--look", is_flag=True, help="Only tell what would be understood; read nothing.")
def add(project: str, files: tuple[str, ...], words: tuple[str, ...], yes: bool, look: bool) -> None:
    """Read each FILE into PROJECT, after telling how it is understood and asking whether that is right.

    Any table of text will do: whatever delimiter, date, clock, unit and layout, packed with gzip or not. A file
    is read whole or not at all; the same file twice adds nothing.
    """
    from pathlib import Path as FilePath

    from noonwall.cli.progress import told
    from noonwall.logs import maps
    from noonwall.logs.errors import ReadingsError
    from noonwall.logs.importer import guess_file, import_file
    from noonwall.logs.tellable import tells
    from noonwall.logs.told import import_page

    described, folder = _opened(project)
    offset, said, us = described.site.clock_h, maps.typed(words), described.units == "us"
    for name in files:
        with told(f"looking over {name}"):
            guess = guess_file(
                FilePath(name), said=said, folder=folder, utc_offset_h=offset, today=_today(), us=us
            )
        guess = _as_known(folder, guess)
        click.echo(guess.text())
        _offer(folder, guess)
        if look:
            continue
        if not guess.ready:
            question = next(item for item in guess.questions if item.must)
            raise ReadingsError(f"{name}: {question.text}; answer with {question.typed}")
        _agree(name, yes=yes)
        with _store(folder) as store:
            with told(f"reading {name}"):
                found = import_file(store, guess)
            maps.keep(folder, guess.table.names, guess.as_map())
            click.echo(import_page(found, offset))
            if not found.already:
                click.echo(tells(column.role for column in guess.columns))
                _checked(store, described)
    if not look:
        click.echo(_next(project))


@command.command("list", short_help="What was read: imports and channels.")
@options.project
@options.as_json
def listed(project: str, as_json: bool) -> None:
    """List the imports of PROJECT and its channels, with what each stands for."""
    from noonwall.logs.told import list_document, list_page
    from noonwall.report.document import as_json as to_json

    described, folder = _opened(project)
    with _kept(folder) as store:
        if as_json:
            click.echo(to_json(list_document(store)), nl=False)
        else:
            click.echo(list_page(store, described.site.clock_h))


@command.command("check", short_help="What is doubtful about the readings.")
@options.project
@click.option(
    "--use", "used", multiple=True, type=int, metavar="N", help="Use finding N's readings as they are."
)
@click.option(
    "--set-aside", "aside", multiple=True, type=int, metavar="N", help="Leave finding N's readings out."
)
@click.option(
    "--mend", "mended", multiple=True, type=int, metavar="N", help="Use finding N's readings mended."
)
@options.as_json
def checked(
    project: str, used: tuple[int, ...], aside: tuple[int, ...], mended: tuple[int, ...], as_json: bool
) -> None:
    """Look for gaps, stuck and leaping sensors, mixed units, exchanged or misplaced sensors, wrong clocks.

    Each finding is told with its dates, its evidence and what is made of it; your word on one (by its number)
    is kept through every later check. The readings themselves stay as they are.
    """
    from noonwall.cli.progress import told
    from noonwall.logs.quality.check import check_and_keep
    from noonwall.logs.quality.little import too_little
    from noonwall.logs.told import NONE_YET, findings_document, findings_page
    from noonwall.report.document import as_json as to_json

    described, folder = _opened(project)
    with _kept(folder) as store:
        verdicts: tuple[tuple[tuple[int, ...], Verdict], ...] = (
            (used, "used"),
            (aside, "set aside"),
            (mended, "mended"),
        )
        judged = [(number, verdict) for numbers, verdict in verdicts for number in numbers]
        for number, verdict in judged:
            store.judge(number, verdict)
        if not judged:
            with told("checking the readings"):
                check_and_keep(store, described.site)
        found, empty, little = store.findings(), not store.imports(), too_little(store)
    if as_json:
        click.echo(to_json(findings_document(found, little)), nl=False)
    elif empty:
        click.echo(NONE_YET)
    else:
        click.echo(findings_page(found, described.site.clock_h, little))


@command.command("undo", short_help="Take one import back.")
@options.project
@click.argument("number", metavar="IMPORT", type=int)
def undo(project: str, number: int) -> None:
    """Take import number IMPORT of PROJECT back, as if it had never been made; `list` tells the numbers."""
    from noonwall.logs.errors import ReadingsError
    from noonwall.logs.store import FILE

    described, folder = _opened(project)
    if not (folder / FILE).exists():
        raise ReadingsError(f"{folder}: there is no import {number}; imports are none")
    with _store(folder) as store:
        gone = store.undo(number)
        click.echo(f"import {number} ({gone.file}) is taken back")
        _checked(store, described)


def _opened(project: str) -> tuple[Project, Path]:
    """Return the described project and its folder."""
    from noonwall import load
    from noonwall.model.disk import project_file

    return load(project), project_file(project).parent


def _as_known(folder: Path, guess: Guess) -> Guess:
    """Return a guess whose columns go on with known channels, or have names that can be told from theirs."""
    from noonwall.logs.joins import as_known

    with _kept(folder) as store:
        return as_known(guess, store.channels())


def _offer(folder: Path, guess: Guess) -> None:
    """Tell which columns may go on with a channel that was read before."""
    from noonwall.logs.joins import joins

    with _kept(folder) as store:
        for item in () if store.import_of(guess.content) else joins(guess, store.channels()):
            click.echo(item.typed)


def _store(folder: Path) -> Store:
    from noonwall.logs.store import Store

    return Store(folder)


@contextmanager
def _kept(folder: Path) -> Iterator[Store]:
    """Open the store of a folder; where there is none yet, an empty one that leaves no file behind."""
    from tempfile import TemporaryDirectory

    from noonwall.logs.store import FILE

    if (folder / FILE).exists():
        with _store(folder) as store:
            yield store
    else:
        with TemporaryDirectory() as aside, _store(type(folder)(aside)) as store:
            yield store


def _next(project: str) -> str:
    """Return what to type next."""
    name = shlex.quote(project)
    lines = (
        (f"noonwall readings check {name}", "what is doubtful about the readings, what is made of it"),
        (f"noonwall recap {name}", "the time that was lived against what was expected of it"),
        (f"noonwall learn {name}", "what they tell of what was only assumed"),
    )
    wide = max(len(line) for line, _ in lines)
    return "\n".join(["next", *(f"  {line:<{wide}}  {told}" for line, told in lines)])


def _today() -> int:
    import time

    return int(time.time() // 86_400)


def _agree(name: str, *, yes: bool) -> None:
    """Ask whether a file was understood rightly; without a person to ask, only --yes will do."""
    from noonwall.logs.errors import ReadingsError

    if yes:
        return
    if not sys.stdin.isatty():
        raise ReadingsError(f"{name}: nothing was read; look at how it is understood, then say --yes")
    if not click.confirm("Is that right?", default=True, err=True):
        raise ReadingsError(f"{name}: nothing was read; correct what was understood with --map KEY=VALUE")


def _checked(store: Store, described: Project) -> None:
    """Check anew and tell in one line how much is doubtful."""
    from noonwall.cli.progress import told
    from noonwall.logs.quality.check import check_and_keep
    from noonwall.logs.quality.little import too_little

    with told("checking the readings"):
        found = check_and_keep(store, described.site)
    told_apart = {(item.kind, item.from_s, item.to_s) for item in found}
    if told_apart:
        many = "1 thing looks" if len(told_apart) == 1 else f"{len(told_apart)} things look"
        click.echo(f"{many} doubtful; `noonwall readings check` tells more")
    if little := too_little(store):
        click.echo(f"{little}.")
