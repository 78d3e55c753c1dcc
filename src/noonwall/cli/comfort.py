"""``noonwall comfort``: when the shop gets too hot, what helps, and when to hang the cover."""

from __future__ import annotations

import click

from noonwall.cli import options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared


@click.command("comfort", short_help="Too hot: when, what helps, the cover's dates.")
@options.project
@options.as_json
@picture
@click.option(
    "--years",
    type=click.IntRange(3, 40),
    default=10,
    show_default=True,
    help="Possible years the cover's dates are spread over.",
)
@options.units
def command(project: str, as_json: bool, png: str | None, years: int, system: str) -> None:
    """Tell the hours in which PROJECT's shop is too hot, month by month, with each way of keeping it cool.

    A room limit, fans off, an opaque cover, the gap vented outdoors, and all of them: hours too hot, and the heat
    each gives up in cold weather. The dates to hang the cover and to take it down come with their spread over
    several possible years.
    """
    from noonwall import load
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.comfort_document import comfort_document
    from noonwall.report.comfort_page import comfort_page
    from noonwall.report.document import as_json as to_json
    from noonwall.studies.comfort import comfort_study

    described, reader = load(project), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating the warm season") as tell:
        study = comfort_study(described, weather, years, tell)
    if as_json:
        click.echo(to_json(comfort_document(study, weather)), nl=False)
    else:
        click.echo(comfort_page(study, described, weather, reader))
    if png is not None:
        from noonwall.report.comfort_figures import comfort_picture

        draw(png, lambda form: comfort_picture(study, described, weather, reader, form))
