"""``noonwall circuit``: the fans' circuit, drawn and checked."""

from __future__ import annotations

import click

from noonwall.cli import options
from noonwall.cli.common import check_picture, draw, picture, prepared
from noonwall.cli.progress import told

STEP_S = 60


@click.command("circuit", short_help="The fans' circuit, drawn and checked.")
@options.project
@options.as_json
@picture
@options.units
def command(project: str, as_json: bool, png: str | None, system: str) -> None:
    """Check the circuit of PROJECT's fans against its simulated year, and draw it as a ladder with --png.

    Contacts against running and starting current, limits wired so that they cannot act, switches that a whole year
    does not move, fans that hunt, the voltage the cable eats. The exit code is 1 when a contact is beyond its rating
    or a limit is wired in parallel. Local code and a licensed electrician decide.
    """
    import noonwall
    from noonwall import load
    from noonwall.assess.circuit import circuit_check
    from noonwall.cli.run import reader_of
    from noonwall.climate.load import load_weather
    from noonwall.report.circuit_page import circuit_document, circuit_page
    from noonwall.report.document import as_json as to_json

    described, reader = load(project), reader_of(system)
    check_picture(png)
    weather = load_weather(described, ".")
    prepared(described, weather)
    with told("calculating the year in minutes"):
        check = circuit_check(described, noonwall.simulate(described, weather, STEP_S), reader.system)
    if as_json:
        click.echo(to_json(circuit_document(check, described)), nl=False)
    else:
        click.echo(circuit_page(check, described, reader))
    if png is not None:
        from noonwall.report.circuit_figures import circuit_picture

        draw(png, lambda form: circuit_picture(check, described, reader, form))
    if check.beyond:
        raise click.exceptions.Exit(1)
