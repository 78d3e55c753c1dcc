"""``noonwall climate``: the weather a project is calculated with."""

from __future__ import annotations

import click

from noonwall.cli import options


@click.command("climate", short_help="The weather it is calculated with.")
@options.project
@options.as_json
@options.units
def command(project: str, as_json: bool, system: str) -> None:
    """Tell the weather of PROJECT month by month: air, wind, sun on the ground and on the wall, snow.

    It comes from the file the project names, from twelve months typed in, or is made from monthly figures of
    the nearest place known; which, and what was mended in it, is told.
    """
    from noonwall import load
    from noonwall.assess.climate import climate_months
    from noonwall.cli.progress import calculator
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.climates import climate_document, climate_page
    from noonwall.report.document import as_json as to_json

    described = load(project)
    weather = load_weather(described, ".")
    with calculator("light"):
        months, whole = climate_months(described, weather)
    if as_json:
        click.echo(to_json(climate_document(months, whole, weather)), nl=False)
    else:
        click.echo(climate_page(months, whole, weather, described, reader_of(system)))
