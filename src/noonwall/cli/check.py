"""``noonwall check``: what is wrong, what looks odd, what is only assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import options

if TYPE_CHECKING:
    from noonwall.model.file import Problem
    from noonwall.units import System


@click.command("check", short_help="What is wrong, what looks odd, what is assumed.")
@options.project
@options.as_json
@options.units
@click.option("--all", "every", is_flag=True, help="Why and by which source, for every value left open.")
def command(project: str, as_json: bool, system: str, every: bool) -> None:
    """Read PROJECT and tell what a second look would do good.

    A mistake is told in one line with its place, and the exit code is 2. Without one, you see what looks odd,
    and every value that was left open: the ten that move the answer most with what is taken in their place, why,
    and by which source, the others by name. A weather file is opened and read for it.
    """
    from noonwall.cli.run import reader_of
    from noonwall.errors import ProjectError
    from noonwall.model.convert import written_in
    from noonwall.model.defaults import assumed
    from noonwall.model.disk import project_file, read_text
    from noonwall.model.file import examine, parse_toml
    from noonwall.report.checks import Checked, check_document, check_page
    from noonwall.report.document import as_json as to_json
    from noonwall.report.second_look import odd, place_problems

    file = project_file(project)
    text = read_text(file)
    described, problems = examine(text, file.name)
    if described is None:
        raise ProjectError(_told(problems, file.name))
    reader = reader_of(system)
    speaks: System = "us" if reader.us else written_in(parse_toml(text, file.name))
    doubts = [*odd(text, speaks), *place_problems(text, file.parent, speaks)]
    checked = Checked(described, file.name, doubts, assumed(text, reader.system))
    click.echo(
        to_json(check_document(checked)) if as_json else check_page(checked, every=every), nl=not as_json
    )


def _told(problems: list[Problem], name: str) -> str:
    """Return the one problem for the complaint; several are printed, and only counted in it."""
    told = [problem.told(name) for problem in problems]
    if len(told) == 1:
        return told[0]
    for line in told:
        click.echo(line)
    return f"{name}: {len(told)} things to mend, listed above"
