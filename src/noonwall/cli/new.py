"""``noonwall new``: a project folder to fill in."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, cast

import click
from click.core import ParameterSource

from noonwall.cli import options

if TYPE_CHECKING:
    from noonwall.units import System


@click.command("new", short_help="A project folder to fill in.")
@click.argument("folder", metavar="DIR", type=click.Path())
@click.option("--demo", is_flag=True, help="A copy of the invented demo instead.")
@click.option(
    "--lived", is_flag=True, help="With --demo: the demo one year on, with a year of invented readings."
)
@click.option(
    "--from",
    "source",
    metavar="PROJECT",
    type=click.Path(),
    help="A copy of your own project, without its readings: to plan the next wall in. Its figures stay as they are "
    "written; with --units it is printed and drawn in these.",
)
@click.option("--name", help="Name of the project; otherwise the folder's name, or the demo's own.")
@options.units_to_write
def command(folder: str, demo: bool, lived: bool, source: str | None, name: str | None, system: str) -> None:
    """Write DIR/noonwall.toml, with the usual keys in it and a comment on each.

    DIR is made if it is not there. A project file that is there already is never overwritten.
    """
    from noonwall.cli.steps import next_steps
    from noonwall.model.copies import copy_project
    from noonwall.model.templates import create

    if source is not None:
        if demo:
            raise click.UsageError("--from and --demo: a copy of one project or of the other")
        asked = click.get_current_context().get_parameter_source("system") is ParameterSource.COMMANDLINE
        units = cast("System", system) if asked else None
        today = dt.datetime.now().astimezone().date()
        file = copy_project(folder, source, name, system=units, today=today)
        said = (
            f"wrote {file}: shop, site and wall as in {source}, every figure as it is written there, without readings "
            "and what they taught"
        )
        click.echo(f"{said}\n\n{next_steps(folder, 'Change its wall in a text editor, then')}")
        return
    if lived and not demo:
        raise click.UsageError("--lived goes with --demo: only the invented shed has invented readings")
    file = create(folder, demo=demo, name=name, system=cast("System", system))
    if lived:
        from noonwall.logs.furnish import furnish

        furnish(file, name, cast("System", system))
    if demo:
        what = "the shed and its readings" if lived else "the shed"
        click.echo(f"INVENTED: {what} in {folder}; no such shed stands anywhere", err=True)
    template = (
        "" if demo else "; the shop in it is a template's: make its place, room, envelope and wall your own"
    )
    click.echo(f"wrote {file}{template}\n\n{next_steps(folder, 'Open it in a text editor, then')}")
