"""``noonwall night``: the heat that goes back out through the wall, and what stops it."""

from __future__ import annotations

import click

from noonwall.cli import common, options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared


@click.command("night", short_help="What goes back out at night, what stops it.")
@options.project
@options.as_json
@picture
@options.step
@options.units
@options.learned
def command(project: str, as_json: bool, png: str | None, step_s: int, system: str, learned: bool) -> None:
    """Tell the heat that cold air carries out of PROJECT's wall: by month, by hour, in the worst nights.

    The same year is calculated with nothing to stop the air, with flaps as they really leak, with a metal damper,
    and with vents shut by hand; the heat and the fuel each saves stand side by side. Dew and frost on the
    glazing from the shop's own air are told too (shop.humidity).
    """
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.document import as_json as to_json
    from noonwall.report.night_document import night_document
    from noonwall.report.night_page import night_page
    from noonwall.studies.night import night_study

    described, reader = common.described(project, learned), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating the nights") as tell:
        study = night_study(described, weather, step_s, tell)
    if as_json:
        click.echo(to_json(night_document(study, weather)), nl=False)
    else:
        click.echo(night_page(study, described, weather, reader))
    if png is not None:
        from noonwall.report.night_figures import night_picture

        draw(png, lambda form: night_picture(study, described, weather, reader, form))
