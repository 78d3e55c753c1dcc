"""``noonwall demo``: the main job on a built-in, invented project; no file, no network."""

from __future__ import annotations

import click

from noonwall.cli import options

NEXT = """
What to do next
  noonwall new my-shop            writes my-shop/noonwall.toml to fill in (--demo: a copy of this example)
  noonwall check my-shop          tells what is missing and which values are only assumed
  noonwall year my-shop           calculates your own wall
  noonwall demo --png demo.png    draws this year as a picture"""


@click.command("demo", short_help="The main job on an invented boat shed.")
@options.as_json
@options.outputs
@options.step
@options.units
def command(as_json: bool, csv: str | None, png: str | None, step_s: int, system: str) -> None:
    """Calculate the year of an invented boat-repair shed in the north-east of Maine.

    Its weather is made from monthly figures of the nearest listed place: no project, no file, no network.
    """
    from noonwall.cli.run import Wanted, tell_year
    from noonwall.model.file import from_text
    from noonwall.model.templates import demo_text

    tell_year(from_text(demo_text(), "demo"), Wanted(as_json, csv, png, step_s, system))
    if not as_json:
        click.echo(NEXT)
