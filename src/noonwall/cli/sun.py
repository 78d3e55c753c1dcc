"""``noonwall sun``: what trees, awning, modules and horizon leave of the wall's sun."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import options
from noonwall.cli.place import Date, years_on

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.sunlight import Sunlight, When


@click.command("sun", short_help="What stands in the wall's sun, and when.")
@options.project
@options.as_json
@click.option(
    "--png", type=click.Path(), metavar="DIR", help="Draw sky, carpet, plan and months into this folder."
)
@click.option(
    "--date", "when", type=Date(), help="A day, perhaps with a time. Otherwise 2-5 at the sun's noon."
)
@years_on
@options.units
def command(
    project: str, as_json: bool, png: str | None, when: When | None, years_on: float, system: str
) -> None:
    """Tell how much sun reaches PROJECT's wall month by month, and what each obstacle keeps off, when.

    Each obstacle is told by what would be gained if it alone were gone. The sun's calendar tells first and last
    direct sun through the year. The pictures are the sky as the wall sees it, a carpet of the year's direct sun,
    the plan with its shadows at the chosen moment, and the months of what each obstacle takes.
    """
    from noonwall import load
    from noonwall.cli.common import counted, prepared
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.document import as_json as to_json
    from noonwall.report.files import check_folder
    from noonwall.report.sun_document import sun_document
    from noonwall.report.sun_tables import sun_page
    from noonwall.studies.sunlight import sunlight

    described, reader = load(project), reader_of(system)
    if png is not None:
        check_folder(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("tracing what each obstacle keeps off") as tell:
        found = sunlight(described, weather, when, years_on, tell=tell)
    if as_json:
        click.echo(to_json(sun_document(found, weather)), nl=False)
    else:
        click.echo(sun_page(found, described, weather, reader))
    if png is not None:
        _draw(png, found, described, reader)


def _draw(folder: str, found: Sunlight, project: Project, reader: Reader) -> None:
    """Write the pictures into a folder, making it if it is not there."""
    from pathlib import Path

    from noonwall.cli.progress import told
    from noonwall.report.files import write_whole
    from noonwall.report.sun_figures import sun_pictures

    place = Path(folder)
    with told("drawing the pictures"):
        place.mkdir(exist_ok=True)
        for name, drawing in sun_pictures(found, project, reader).items():
            write_whole(place / name, drawing())
    click.echo(f"wrote sky.png, carpet.png, plan.png and months.png into {folder}", err=True)
