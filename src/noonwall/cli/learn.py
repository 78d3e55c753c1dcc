"""``noonwall learn``: from readings to what is true about a shop and wall that was only assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import options
from noonwall.cli.common import check_picture, counted, draw, picture, prepared

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.logs.learn.story import Learned
    from noonwall.model.project import Project

READING_STEP_S = 600
LONG_STEPS = {600: "10min", 900: "15min", 1800: "30min"}


@click.command("learn", short_help="What readings tell of what was assumed.")
@options.project
@click.option("--from", "first", metavar="DATE", help="First day, as 2025-01-31; default: all that was read.")
@click.option("--to", "last", metavar="DATE", help="Last day.")
@click.option(
    "--step",
    "step",
    type=click.Choice(list(LONG_STEPS.values())),
    default="10min",
    show_default=True,
    help="Step at which readings and calculation are set side by side.",
)
@click.option("--no-write", is_flag=True, help="Only tell; leave learned.toml as it is.")
@options.as_json
@picture
@options.units
def command(
    project: str,
    first: str | None,
    last: str | None,
    step: str,
    no_write: bool,
    as_json: bool,
    png: str | None,
    system: str,
) -> None:
    """Learn from the readings of PROJECT: loss, leakage, mass, ground, glazing, fans, shade of named obstacles.

    Two thirds of the days teach, the others judge. Values and their 90 % intervals go to learned.toml beside the
    project file, which keeps what was assumed; `noonwall year PROJECT --learned` calculates with them. What the
    readings cannot tell is said so and left as assumed.
    """
    from noonwall import load
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.logs.learn.keep import write
    from noonwall.report.document import as_json as to_json
    from noonwall.report.learn_document import learn_document
    from noonwall.report.learn_page import learn_page

    described, reader = load(project), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    step_s = next(seconds for seconds, name in LONG_STEPS.items() if name == step)
    learned = _learned(project, described, weather, step_s, first, last)
    if as_json:
        click.echo(to_json(learn_document(learned)), nl=False)
    else:
        click.echo(learn_page(learned, described, reader))
    if not no_write:
        click.echo(f"wrote {write(project, learned)}", err=True)
    if png is not None:
        from noonwall.report.learn_figures import learn_picture

        draw(png, lambda form: learn_picture(learned, described, reader, form))


def _learned(
    project: str,
    described: Project,
    weather: Weather,
    step_s: int,
    first: str | None,
    last: str | None,
) -> Learned:
    """Gather the readings and learn from them, the runs counted on stderr; Ctrl-C leaves everything as it was."""
    from noonwall.logs.learn.gather import gather
    from noonwall.logs.learn.story import learn
    from noonwall.logs.store import Store
    from noonwall.model.disk import project_file
    from noonwall.sky.fine import site_clock

    clock_h = site_clock(described.site, weather)
    with Store(project_file(project).parent) as store:
        measured, outside = gather(store, described, clock_h, step_s, first, last)
    prepared(described, weather)
    with counted("learning: runs of the engine") as tell:
        return learn(described, weather, measured, outside, tell)
