"""Options that several commands share, spelled once."""

from __future__ import annotations

import os
import re
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.units import System

STEP_UNITS = {"": 1, "s": 1, "sec": 1, "min": 60, "h": 3600}
SYSTEMS = ("metric", "us")
UNITS_VARIABLE = "NOONWALL_UNITS"
SHORTEST_S, LONGEST_S = 10, 3600


class Step(click.ParamType[int]):
    """A length of time such as '5min', '300s' or '1h' that divides an hour: the answer is seconds."""

    name = "TIME"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return whole seconds, or refuse in one line."""
        found = re.fullmatch(r"\s*(\d{1,6})\s*([a-z]*)\s*", str(value).lower())
        if not found or found[2] not in STEP_UNITS:
            self.fail(f"{str(value)!r} is no time; write it like 5min, 300s or 1min", param, ctx)
        seconds = int(found[1]) * STEP_UNITS[found[2]]
        if not SHORTEST_S <= seconds <= LONGEST_S or LONGEST_S % seconds:
            self.fail(
                f"{value} is not a step from 10s to 1h that divides an hour; 1min and 5min do", param, ctx
            )
        return seconds


class Units(click.ParamType[str]):
    """Metric or US units, whatever the letters' case; a wrong word in NOONWALL_UNITS is told as that."""

    name = "metric|us"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return "metric" or "us", or refuse in one line."""
        word = str(value).strip().lower()
        if word not in SYSTEMS:
            self.fail(f"{str(value)!r} is neither 'metric' nor 'us'", param, ctx)
        return word


def units_by_variable(ctx: click.Context | None = None) -> System | None:
    """Return the units that NOONWALL_UNITS names, None where it names none.

    raises  UsageError for a word that it does not take
    """
    word = os.environ.get(UNITS_VARIABLE, "").strip()
    if not word:
        return None
    if word.lower() not in SYSTEMS:
        raise click.UsageError(f"the variable NOONWALL_UNITS is {word!r}; it takes 'metric' or 'us'", ctx)
    return "us" if word.lower() == "us" else "metric"


def _settled(ctx: click.Context, _param: click.Parameter, value: str | None) -> str:
    """Return the units asked for, else those of NOONWALL_UNITS, else those the project file names."""
    if value is not None:
        return value
    if word := units_by_variable(ctx):
        return word
    named = ctx.params.get("project")
    return _units_in(named) if isinstance(named, str) else "metric"


def _units_in(project: str) -> str:
    """Return the units a project file names; a file that does not read is complained about later."""
    import tomllib

    from noonwall.errors import NoonwallError
    from noonwall.model.disk import project_file, read_text

    try:
        found = tomllib.loads(read_text(project_file(project))).get("units")
    except (NoonwallError, ValueError, RecursionError):
        return "metric"
    return "us" if found == "us" else "metric"


def units(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --units."""
    return click.option(
        "--units",
        "system",
        type=Units(),
        callback=_settled,
        help="Units of what is printed and drawn. Without it NOONWALL_UNITS counts, then units in the project "
        "file, then metric.",
    )(command)


def units_to_write(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --units to a command that writes a project file."""
    return click.option(
        "--units",
        "system",
        type=Units(),
        callback=_settled,
        help="Units the file is written in, and what is printed and drawn for it from then on. Without it "
        "NOONWALL_UNITS counts, then metric.",
    )(command)


def step(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --step."""
    return click.option(
        "--step",
        "step_s",
        type=Step(),
        default="5min",
        show_default=True,
        help="Step of the calculation; it divides an hour.",
    )(command)


def learned(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --learned."""
    return click.option(
        "--learned", is_flag=True, help="With what `noonwall learn` learned, not with what was assumed."
    )(command)


def as_json(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --json."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON document instead of the table."
    )(command)


def outputs(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --csv and --png."""
    path = click.Path(dir_okay=True)
    command = click.option(
        "--png", type=path, metavar="FILE", help="Draw the year's picture into FILE (png, svg or pdf)."
    )(command)
    return click.option(
        "--csv", type=path, metavar="FILE", help="Write every step of the calculation to FILE, SI units."
    )(command)


project = click.argument("project", metavar="PROJECT", type=click.Path())
