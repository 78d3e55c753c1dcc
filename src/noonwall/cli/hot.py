"""``noonwall hot``: how hot the wall gets when something fails on the worst day."""

from __future__ import annotations

import click

from noonwall.cli import common, options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared


@click.command("hot", short_help="How hot it gets when something fails.")
@options.project
@options.as_json
@picture
@options.units
@options.learned
def command(project: str, as_json: bool, png: str | None, system: str, learned: bool) -> None:
    """Tell how hot each piece of PROJECT gets in the worst credible hours, failure by failure.

    Clear sky, no wind, a hot day, snow in front where the month can have it; fans dead or stuck, a dead switch,
    a stuck flap, vents blocked by stock, the cover forgotten, a week without power. Each piece is held against
    the published limits of its material. The exit code is 1 when one is exceeded in a case that the project
    does not accept ([hot] accepted).
    """
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.document import as_json as to_json
    from noonwall.report.hot_document import hot_document
    from noonwall.report.hot_page import hot_page
    from noonwall.studies.hot import hot_study

    described, reader = common.described(project, learned), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating the worst hours") as tell:
        study = hot_study(described, weather, tell)
    if as_json:
        click.echo(to_json(hot_document(study, weather)), nl=False)
    else:
        click.echo(hot_page(study, described, weather, reader))
    if png is not None:
        from noonwall.report.hot_figures import hot_picture

        draw(png, lambda form: hot_picture(study, described, weather, reader, form))
    if study.breaches:
        raise click.exceptions.Exit(1)
