"""``noonwall compare``: two to eight ways of building or running the wall, side by side."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import click

from noonwall.cli import options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.studies.change import Varied


@click.command("compare", short_help="Two to eight ways side by side.")
@options.project
@click.option(
    "--variant",
    "written",
    multiple=True,
    metavar="CHANGE",
    help="Another way: 'flap', 'cover=05-01..09-15', 'wall.gap=120 mm'; several joined by +, a name before a colon.",
)
@click.option("--remedies", is_flag=True, help="The usual remedies, one by one and together.")
@options.as_json
@picture
@options.step
@options.units
def command(
    project: str,
    written: tuple[str, ...],
    remedies: bool,
    as_json: bool,
    png: str | None,
    step_s: int,
    system: str,
) -> None:
    """Set PROJECT beside other ways of building or running it, over the same year.

    Other ways are named by --variant, by [[variant]] in the project file, or by --remedies. Remedies by name: flap,
    shutters, room limit, fans, cover, vent out, awning, overhang, metal frame; each takes =none, most a figure.
    Any key of the project file may be set: 'wall.gap=120 mm'.
    """
    from noonwall import load
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.compare_page import compare_document, compare_page
    from noonwall.report.document import as_json as to_json
    from noonwall.studies.compare import compare_study

    described, reader = load(project), reader_of(system)
    variants = _variants(project, described, written, remedies)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating the variants") as tell:
        study = compare_study(described, variants, weather, step_s, tell)
    if as_json:
        click.echo(to_json(compare_document(study, weather)), nl=False)
    else:
        click.echo(compare_page(study, described, weather, reader))
    if png is not None:
        from noonwall.report.compare_figures import compare_picture

        draw(png, lambda form: compare_picture(study, described, weather, reader, form))


def _variants(path: str, described: Project, written: tuple[str, ...], remedies: bool) -> list[Varied]:
    """Return the ways that were asked for, or those of the project file."""
    from noonwall.errors import ProjectError
    from noonwall.model.disk import project_file, read_text
    from noonwall.model.file import with_files
    from noonwall.studies.change import changed_by, varied
    from noonwall.studies.compare import REMEDIES

    file = project_file(path)
    text, placed = read_text(file), partial(with_files, folder=file.parent)
    found = [varied(text, one, placed) for one in written]
    if remedies:
        found += [changed_by(text, name, pieces, placed) for name, pieces in REMEDIES]
    if not found:
        found = [changed_by(text, one.name, one.change, placed) for one in described.variants]
    if not found:
        raise ProjectError(
            "nothing to compare with: give --variant or --remedies, or write [[variant]] in the project"
        )
    return found
