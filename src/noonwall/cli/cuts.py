"""``noonwall cuts``: which saw cut gains most."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import options
from noonwall.cli.place import Quantity, years_on

if TYPE_CHECKING:
    from noonwall.studies.acts import Way

TALLEST_M = 120.0
MOST_STEPS = 200


@click.command("cuts", short_help="Which saw cut gains most.")
@options.project
@options.as_json
@click.option(
    "--way",
    type=click.Choice(["out", "top", "thin"]),
    default="out",
    show_default=True,
    help="What the order of cuts does to each: takes it out, tops it, thins it.",
)
@click.option(
    "--top",
    "top_m",
    type=Quantity("length", 0.5, TALLEST_M, "HEIGHT"),
    help="Height tops are cut off at, such as '8 m'. Two thirds of each height otherwise.",
)
@click.option(
    "--thin",
    type=Quantity("share", 0.01, 1.0, "SHARE"),
    default="50 %",
    show_default=True,
    help="Share of branches or stems that thinning takes out.",
)
@click.option(
    "--most", type=click.IntRange(1, MOST_STEPS), default=12, show_default=True, help="Steps of the order."
)
@years_on
@options.units
def command(
    project: str,
    as_json: bool,
    way: Way,
    top_m: float | None,
    thin: float,
    most: int,
    years_on: float,
    system: str,
) -> None:
    """Tell what each obstacle of PROJECT costs in heat and electricity, and in which order cuts gain most.

    Trees, rows and stands can be taken out, topped or thinned; everything else is told as it would be gone.
    Because shadows overlap, each step of the order is what a cut gains after all cuts before it; pairs of which
    one gains hardly anything alone are told too. Every figure is the difference of two calculated years.
    """
    from noonwall import load
    from noonwall.cli.common import counted, prepared
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.cuts_page import cuts_page
    from noonwall.report.document import as_json as to_json
    from noonwall.report.sun_document import cuts_document
    from noonwall.studies.trees import Remedies, rank_cuts

    described, reader = load(project), reader_of(system)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with counted("calculating years with and without") as tell:
        found = rank_cuts(described, weather, Remedies(way, top_m, thin, most), years_on, tell=tell)
    if as_json:
        click.echo(to_json(cuts_document(found, weather, years_on)), nl=False)
    else:
        click.echo(cuts_page(found, described, weather, reader, years_on))
