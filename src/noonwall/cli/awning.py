"""``noonwall awning``: how deep, how high and how steep modules or an awning may hang."""

from __future__ import annotations

import click

from noonwall.cli import options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared
from noonwall.cli.place import Quantity, years_on

FEWEST_POINTS, MOST_POINTS = 2, 40


@click.command("awning", short_help="How deep, how high, how steep it may hang.")
@options.project
@options.as_json
@picture
@click.option(
    "--keep",
    type=Quantity("share", 0.05, 1.0, "SHARE"),
    default="90 %",
    show_default=True,
    help="Share of the sun from November to March that is to be left (south: May to September).",
)
@click.option(
    "--of", "name", metavar="NAME", help="Which awning or modules; otherwise what hangs over the glazing."
)
@click.option(
    "--points",
    type=click.IntRange(FEWEST_POINTS, MOST_POINTS),
    default=10,
    show_default=True,
    help="Points of the curve to calculate.",
)
@years_on
@options.units
def command(
    project: str,
    as_json: bool,
    png: str | None,
    keep: float,
    name: str | None,
    points: int,
    years_on: float,
    system: str,
) -> None:
    """Tell what PROJECT can have of winter sun and summer shade at once: a curve, not one answer.

    PV modules over the glazing, an awning, the overhang, or, without any of these, a plain awning as wide as the
    glazing is hung at many depths, heights and slopes. Told are those that no other beats both in winter and in
    summer, with the heat of the season and the modules' electricity.
    """
    from noonwall import load
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.awning_page import awning_document, awning_page
    from noonwall.report.document import as_json as to_json
    from noonwall.studies.awning import awning_curve

    described, reader = load(project), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating years along the curve") as tell:
        curve = awning_curve(described, weather, keep, name, years_on, points, tell, feet=reader.us)
    if as_json:
        click.echo(to_json(awning_document(curve, weather)), nl=False)
    else:
        click.echo(awning_page(curve, described, weather, reader))
    if png is not None:
        from noonwall.report.awning_figure import awning_picture

        draw(png, lambda form: awning_picture(curve, described, reader, form))
