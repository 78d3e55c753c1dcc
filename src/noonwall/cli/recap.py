"""``noonwall recap``: whether the time that was lived was as good as its weather allowed, and why not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from noonwall.cli import common, options

if TYPE_CHECKING:
    from noonwall.logs.recap import Recap
    from noonwall.model.project import Project

PICTURE = "recap.png"


@click.command("recap", short_help="A lived year against what was expected of it.")
@options.project
@click.option("--from", "first", metavar="DATE", help="First day, as 2025-01-31; default: all that was read.")
@click.option("--to", "last", metavar="DATE", help="Last day.")
@options.as_json
@click.option("--png", "folder", type=click.Path(), metavar="DIR", help=f"Draw {PICTURE} into DIR.")
@click.option(
    "--claim",
    metavar="HEAT",
    help="Hold a figure against the sun that fell on the wall: 4350 (kWh), '15 million Btu', '2 cords of wood'.",
)
@click.option(
    "--as-was",
    is_flag=True,
    help="Hold them against the project as it was when they were read in, not as it stands.",
)
@options.units
@options.learned
def command(
    project: str,
    first: str | None,
    last: str | None,
    as_json: bool,
    folder: str | None,
    claim: str | None,
    as_was: bool,
    system: str,
    learned: bool,
) -> None:
    """Hold the readings of PROJECT against what was expected of it, link by link.

    Expected is what the engine makes of the weather that was, with the project's assumptions. The difference is
    told as a chain that adds up: weather, cover, shade, shop, fans, reversed flow, and a rest. `noonwall new
    DIR --demo` makes a project with an invented year of readings to try it on.
    """
    from pathlib import Path

    from noonwall.cli.run import reader_of
    from noonwall.model.disk import project_file
    from noonwall.report.document import as_json as to_json
    from noonwall.report.files import check_folder, check_writable

    if folder is not None:
        check_folder(folder)
        if Path(folder).is_dir():
            check_writable(Path(folder) / PICTURE)
    described = common.described(project, learned)
    found = _looked_back(described, project_file(project).parent, first, last, claim, as_was=as_was)
    if as_json:
        from noonwall.report.recap_document import recap_document

        click.echo(to_json(recap_document(found)), nl=False)
    else:
        from noonwall.report.recap_page import recap_page

        click.echo(recap_page(found, described, reader_of(system)))
    if folder is not None:
        _draw(found, described, str(Path(folder) / PICTURE), system)


def _looked_back(
    described: Project,
    folder: object,
    first: str | None,
    last: str | None,
    claim: str | None,
    *,
    as_was: bool,
) -> Recap:
    """Return the recap, telling what takes time."""
    from dataclasses import replace
    from pathlib import Path

    from noonwall.cli.progress import calculator, told
    from noonwall.logs.errors import ReadingsError
    from noonwall.logs.recap import held_against, recap
    from noonwall.logs.store import FILE, Store
    from noonwall.report.claim_words import refuse_other_than_a_year
    from noonwall.report.heat_typed import heat_typed
    from noonwall.report.reader import Reader

    typed = None if claim is None else heat_typed(claim, Reader(), described.shop.heater)
    place = Path(str(folder))
    if not (place / FILE).exists():
        raise ReadingsError(
            f"{place}: no readings are kept yet; `noonwall readings add {place} FILE` reads some"
        )
    with Store(place) as store, calculator("recap"), told("looking back"):
        found = recap(described, store, first, last, as_was=as_was)
    if typed is None:
        return found
    if typed.yearly:
        refuse_other_than_a_year(found.period.days)
    return replace(found, claim=held_against(found, typed.kwh, saved=typed.saved))


def _draw(found: Recap, described: Project, path: str, system: str) -> None:
    from pathlib import Path

    from noonwall.cli.progress import told
    from noonwall.cli.run import reader_of
    from noonwall.report.files import write_whole
    from noonwall.report.recap_figures import recap_picture

    with told("drawing the picture"):
        Path(path).parent.mkdir(exist_ok=True)
        write_whole(path, recap_picture(found, described, reader_of(system)))
    click.echo(f"wrote {path}", err=True)
