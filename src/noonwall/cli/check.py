"""``noonwall check``: what is wrong, what looks odd, what is only assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import options

if TYPE_CHECKING:
    from noonwall.model.file import Problem


@click.command("check", short_help="What is wrong, what looks odd, what is assumed.")
@options.project
@options.as_json
@options.units
def command(project: str, as_json: bool, system: str) -> None:
    """Read PROJECT and tell what a second look would do good.

    A mistake is told in one line with its place, and the exit code is 2. Without one, you see what looks odd,
    and every value that was left open: what is taken in its place, why, and by which source.
    """
    from noonwall.cli.run import reader_of
    from noonwall.errors import ProjectError
    from noonwall.model.defaults import assumed
    from noonwall.model.disk import project_file, read_text
    from noonwall.model.file import doubts_about, examine
    from noonwall.report.checks import Checked, check_document, check_page
    from noonwall.report.document import as_json as to_json

    file = project_file(project)
    text = read_text(file)
    described, problems = examine(text, file.name)
    if described is None:
        raise ProjectError(_first_of(problems, file.name))
    reader = reader_of(system)
    checked = Checked(described, file.name, doubts_about(described, text), assumed(text, reader.system))
    click.echo(to_json(check_document(checked)) if as_json else check_page(checked), nl=not as_json)


def _first_of(problems: list[Problem], name: str) -> str:
    """Return the first problem for the complaint; print the others before it, when there are more."""
    told = [problem.told(name) for problem in problems]
    for line in told if len(told) > 1 else ():
        click.echo(line)
    return told[0] + (f" (and {len(told) - 1} more, all listed above)" if len(told) > 1 else "")
