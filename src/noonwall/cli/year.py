"""``noonwall year``: what the wall does, month by month."""

from __future__ import annotations

import click

from noonwall.cli import options


@click.command("year", short_help="What the wall does, month by month.")
@options.project
@options.as_json
@options.outputs
@options.step
@options.units
@click.option("--without-wall", is_flag=True, help="The same shop without the wall.")
@options.learned
def command(
    project: str,
    as_json: bool,
    csv: str | None,
    png: str | None,
    step_s: int,
    system: str,
    without_wall: bool,
    learned: bool,
) -> None:
    """Calculate a year of PROJECT: sun, heat, fans, and the shop with and without the wall.

    PROJECT is a folder with a noonwall.toml, or that file. The answer is a table, three sentences, and the
    shop at 8, 12 and 18 h, or at your own shop.comfort.hours, on a bad, a usual and a good winter day.
    """
    from noonwall.cli.common import described
    from noonwall.cli.run import Wanted, tell_year

    if without_wall and png is not None:
        raise click.UsageError("--png draws the wall's year; without the wall there is no picture to draw")
    tell_year(described(project, learned), Wanted(as_json, csv, png, step_s, system, without_wall))
