"""``noonwall demo``: the main job on a built-in, invented project; no file, no network."""

from __future__ import annotations

import click

from noonwall.cli import options

OWN = "my-shop"
BEFORE = (
    f"noonwall new {OWN}",
    "A project to fill in; with --demo a copy of this example, with --lived too: one year on, readings and all",
)
AFTER = ("noonwall demo --png demo.png", "This year as a picture")


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
    from noonwall.cli.steps import next_steps
    from noonwall.model.file import from_text
    from noonwall.model.templates import demo_text

    tell_year(from_text(demo_text(), "demo"), Wanted(as_json, csv, png, step_s, system))
    if not as_json:
        click.echo("\n" + next_steps(OWN, "What to do next", before=(BEFORE,), after=(AFTER,)))
