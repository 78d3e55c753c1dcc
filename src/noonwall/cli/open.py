"""``noonwall open``: the workbench in the browser, on this machine alone."""

from __future__ import annotations

import click

from noonwall.cli import options  # noqa: F401 - the same words as everywhere

DEFAULT_PORT = 8719


@click.command("open", short_help="The workbench in your browser.")
@click.argument("project", metavar="[PROJECT]", required=False, type=click.Path())
@click.option(
    "--port", type=click.IntRange(1, 65535), help=f"Port to serve at; {DEFAULT_PORT} or the next free one."
)
@click.option("--no-browser", is_flag=True, help="Only serve; open no browser.")
def command(project: str | None, port: int | None, no_browser: bool) -> None:
    """Open PROJECT in the browser: describe, calculate, compare, read in, look back.

    Without PROJECT a copy of the invented demo is opened to play with. Nothing leaves this machine.
    """
    from noonwall.web.app import run
    from noonwall.web.bench import Bench
    from noonwall.web.desk import Desk

    run(Bench(Desk(project or ".")), port or DEFAULT_PORT, show=not no_browser)
