"""One year for a command: calculate it with its progress told, then print and write what was asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import click

from noonwall.cli.progress import calculator, told

if TYPE_CHECKING:
    from noonwall.engine.year import Year
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.units import System


@dataclass(frozen=True)
class Wanted:
    """What the builder asked to get from a year."""

    as_json: bool
    csv: str | None
    png: str | None
    step_s: int
    system: str
    without_wall: bool = False


def tell_year(project: Project, wanted: Wanted) -> None:
    """Calculate a year, print it, and write the files that were asked for.

    Raises  NoonwallError before the calculation when a file could not be written after it
    """
    from noonwall.report.figures import form_of
    from noonwall.report.files import check_writable

    for path in (wanted.csv, wanted.png):
        if path is not None:
            check_writable(path)
    if wanted.png is not None:
        form_of(wanted.png)
    year = calculated(project, wanted.step_s)
    _print(project, year, wanted)
    _write(project, year, wanted)


def calculated(project: Project, step_s: int) -> Year:
    """Return the year of a project, telling on stderr when the calculator has to be prepared first.

    The weather is read before, so that a bad file is told at once and not after the preparation.
    """
    from noonwall import simulate
    from noonwall.climate.load import load_weather

    weather = load_weather(project, ".")
    with calculator():
        return simulate(project, weather, step_s)


def reader_of(system: str) -> Reader:
    """Return the reader of --units."""
    from noonwall.report.reader import Reader

    return Reader(cast("System", system))


def _print(project: Project, year: Year, wanted: Wanted) -> None:
    from noonwall.assess.sums import answers
    from noonwall.report.document import alone_document, as_json, year_document
    from noonwall.report.tables import alone_page, year_page

    found = answers(year, project)
    if wanted.as_json:
        alone = wanted.without_wall
        document = alone_document(year, found.alone_months, found.alone) if alone else year_document(year)
        click.echo(as_json(document), nl=False)
        return
    page = alone_page if wanted.without_wall else year_page
    click.echo(page(found, year, project, reader_of(wanted.system)))


def _write(project: Project, year: Year, wanted: Wanted) -> None:
    from noonwall.assess.sums import answers
    from noonwall.report.document import steps_csv
    from noonwall.report.figures import form_of, year_picture
    from noonwall.report.files import write_whole

    if wanted.csv is not None:
        write_whole(wanted.csv, steps_csv(year))
        click.echo(f"wrote {wanted.csv}: every step, SI units", err=True)
    if wanted.png is not None:
        with told("drawing the picture"):
            found, reader = answers(year, project), reader_of(wanted.system)
            write_whole(wanted.png, year_picture(found, year, project, reader, form_of(wanted.png)))
        click.echo(f"wrote {wanted.png}", err=True)
